"""The arc signal: a second value on the sensor's line starts and ends beads by itself.

READY since 72 s (`telling.ready`); bead planned 10 s. Clamp: at or above 20 burning, below 10
not. Thresholds and delays are invented for the test; no real arc was recorded.
"""

from __future__ import annotations

import msgspec
from telling import Session, opened

from pacer.job.job import Job
from pacer.session.events import ArcSignal, Channel, Reading, SensorChanged
from pacer.session.fold import begin
from pacer.session.work import Phase

CLAMP = ArcSignal(name="t2", on=20.0, off=10.0)


def at_ready(job: Job, arc: ArcSignal = CLAMP) -> Session:
    """READY since 72 s, with a clamp that says 0."""
    session = Session(job)
    session.opened = opened(job, channel=Channel(name="", unit="degC", arc=arc))
    session.state, told = begin(session.opened)
    session.told = list(told)
    line(session, 0, 20.0, 0.0)
    session.at(1, "next")
    for t_s in range(2, 9):
        line(session, t_s, 150.0, 0.0)
    for t_s in range(9, 73):
        line(session, t_s, 262.0, 0.0)
    assert session.cues[-1] == "72.0 READY"
    return session


def line(session: Session, t_s: float, temp_c: float, arc: float) -> None:
    """One line of the sensor: temperature and, where the session has one, clamp."""
    signal = session.opened.channel.arc
    raw = (temp_c, arc) if signal is not None and signal.name == "t2" else (temp_c,)
    session.event(Reading(t_ms=round(t_s * 1000), raw=raw, status="ok"))


def lines(session: Session, from_s: float, to_s: float, arc: float, temp_c: float = 262.0) -> None:
    """Four lines a second."""
    for i in range(round((to_s - from_s) * 4)):
        line(session, from_s + i / 4, temp_c, arc)


def test_a_bead_starts_and_ends_by_itself_and_its_arc_is_measured(hot_job: Job) -> None:
    """Burning from 75 to 85.5 s: 10.5 s of arc, PEEN 0.5 s after its end, no press at all."""
    session = at_ready(hot_job)
    lines(session, 73, 75, 0.0)
    lines(session, 75, 85.5, 120.0)
    lines(session, 85.5, 103, 0.0)

    assert session.since(73) == ["81.5 FINISH", "85.0 STOP", "86.0 PEEN", "101.0 READY"]
    bead = session.state.work.beads[0]
    assert (bead.started_s, bead.ended_s) == (75.0, 85.5)
    assert (bead.started_by, bead.ended_by, bead.counted) == ("arc", "arc", True)


def test_between_the_thresholds_nothing_changes(hot_job: Job) -> None:
    """15 is neither on nor off: not an arc before, still one during."""
    session = at_ready(hot_job)
    lines(session, 73, 76, 15.0)
    assert session.state.work.beads == ()
    lines(session, 76, 78, 120.0)
    lines(session, 78, 84, 15.0)
    assert session.state.phase is Phase.BEAD


def test_one_spike_is_no_arc_and_one_gap_no_end(hot_job: Job) -> None:
    """A single value either way is not believed."""
    session = at_ready(hot_job)
    lines(session, 73, 73.25, 500.0)
    lines(session, 73.25, 75, 0.0)
    assert session.state.work.beads == ()
    lines(session, 75, 80, 120.0)
    lines(session, 80, 80.25, 0.0)
    lines(session, 80.25, 84, 120.0)
    assert session.state.phase is Phase.BEAD
    assert len(session.state.work.beads) == 1


def test_a_wrongly_detected_arc_is_marked_and_passed_over(hot_job: Job) -> None:
    """Half a second of light, thrice: no bead, nothing told, marked as flickers."""
    session = at_ready(hot_job)
    for t_s in (73.0, 76.0, 79.0):
        lines(session, t_s, t_s + 0.5, 120.0)
        lines(session, t_s + 0.5, t_s + 3, 0.0)
    assert session.since(73) == []
    assert session.state.work.beads == ()
    assert session.state.arc.flickers == 3


def test_a_short_arc_in_the_soak_does_not_skip_it(hot_job: Job) -> None:
    """A light of 2 s at 20 s: asked about, then the soak again, from its beginning."""
    session = Session(hot_job)
    session.opened = opened(hot_job, channel=Channel(name="", unit="degC", arc=CLAMP))
    session.state, _ = begin(session.opened)
    line(session, 0, 20.0, 0.0)
    session.at(1, "next")
    lines(session, 2, 20, 0.0)
    assert session.state.work.phase is Phase.SOAK
    lines(session, 20, 22, 120.0)
    lines(session, 22, 90, 0.0)
    told = [cue.split()[1] for cue in session.since(20)]
    assert told == ["SHORT_BEAD", "SOAK"]


def test_a_short_arc_is_asked_about_not_counted(hot_job: Job) -> None:
    """3 s of arc (procedure.md section 5: under 5 s is asked about)."""
    session = at_ready(hot_job)
    lines(session, 73, 76, 120.0)
    lines(session, 76, 78, 0.0)
    assert [line.split()[1] for line in session.since(73)] == ["SHORT_BEAD"]
    assert session.state.work.laid == 0


def test_struck_again_at_once_it_is_the_same_bead(hot_job: Job) -> None:
    """Off at 78, on at 80: within 3 s the same bead (procedure.md section 5)."""
    session = at_ready(hot_job)
    lines(session, 73, 78, 120.0)
    lines(session, 78, 80, 0.0)
    lines(session, 80, 86, 120.0)
    lines(session, 86, 88, 0.0)
    assert len(session.state.work.beads) == 1
    assert session.state.work.beads[0].arc_s(0.0) == 11.0


def test_a_signal_that_dies_leaves_the_bead_to_the_cadence(hot_job: Job) -> None:
    """Unplugged at 76 in mid-arc: FINISH, STOP, and the end is assumed, not waited for."""
    session = at_ready(hot_job)
    lines(session, 73, 76, 120.0)
    session.event(SensorChanged(t_ms=76_000, state="lost", why="unplugged")).until(90)
    assert session.since(73)[:2] == ["79.5 FINISH", "83.0 STOP"]
    assert session.state.work.beads[0].ended_by == "assumed"


def test_the_arc_channel_is_no_temperature(hot_job: Job) -> None:
    """120 on the clamp is no cold point, no channel and no reading."""
    session = at_ready(hot_job)
    lines(session, 73, 75, 120.0)
    assert [track.name for track in session.state.tracks] == ["t1"]


def test_a_burst_of_noise_while_ready_is_an_arc_start_where_configured(hot_job: Job) -> None:
    """Three values 800 K off within 1.5 s: the start is inferred, the cadence ends the bead."""
    session = at_ready(hot_job, ArcSignal(noise=True))
    lines(session, 73, 74, 0.0)
    for t_s, temp_c in ((74.0, 1062.0), (74.25, -40.0), (74.5, 1062.0)):
        line(session, t_s, temp_c, 0.0)
    lines(session, 74.75, 107, 0.0)
    bead = session.state.work.beads[0]
    assert (bead.started_s, bead.started_by, bead.ended_by) == (74.0, "inferred", "assumed")
    assert session.since(73) == [
        "80.5 FINISH",
        "84.0 STOP",
        "86.0 PEEN",
        "101.0 LOOK_AT_BEAD",
        "104.0 READY",
    ]


def test_without_being_configured_noise_starts_nothing(hot_job: Job) -> None:
    """The same burst with no arc signal named: no bead."""
    session = at_ready(hot_job, msgspec.structs.replace(CLAMP, name="t3"))
    for t_s, temp_c in ((74.0, 1062.0), (74.25, -40.0), (74.5, 1062.0)):
        line(session, t_s, temp_c, 0.0)
    assert session.state.work.beads == ()


def test_an_unplugged_probe_is_no_arc_start(hot_job: Job) -> None:
    """`arc=noise`: open circuits, or a burst after which nothing good comes, start nothing."""
    unplugged = at_ready(hot_job, ArcSignal(noise=True))
    for i in range(8):
        unplugged.event(Reading(t_ms=73_000 + i * 250, raw=(None,), status="open"))
    unplugged.until(90)
    assert unplugged.state.work.beads == ()
    assert "NO_READING" in [cue.split()[1] for cue in unplugged.since(73)]

    broken = at_ready(hot_job, ArcSignal(noise=True))
    for i in range(40):
        line(broken, 73 + i / 4, 1062.0 if i % 2 else -40.0, 0.0)
    assert broken.state.work.beads == ()


def test_a_small_step_is_no_noise(hot_job: Job) -> None:
    """40 K off for three lines: a part or a probe may do that (60 K is the limit)."""
    session = at_ready(hot_job, ArcSignal(noise=True))
    for t_s, temp_c in ((73.0, 302.0), (73.25, 222.0), (73.5, 302.0), (73.75, 262.0)):
        line(session, t_s, temp_c, 0.0)
    assert session.state.work.beads == ()


def test_an_arc_seen_after_a_press_begins_when_it_is_seen(hot_job: Job) -> None:
    """Pressed at 73, burning from 78 to 88: 10 s of arc, FINISH and STOP counted from 78."""
    session = at_ready(hot_job)
    session.at(73, "next")
    lines(session, 73, 78, 0.0)
    lines(session, 78, 88, 120.0)
    lines(session, 88, 90, 0.0)
    assert session.since(80) == ["84.5 FINISH", "88.0 STOP", "88.5 PEEN"]
    bead = session.state.work.beads[0]
    assert (bead.started_s, bead.ended_s, bead.started_by) == (78.0, 88.0, "arc")
