"""A recording taken up again, or watched again: never into a bead, and quick all the same.

reliability.md section 3: never resumed into a welding state. The wall clock, or the welder, says
how long the program was off, and may be wrong by hours. Times by hand from `telling.ready`.
"""

from __future__ import annotations

import pytest
from telling import Session, ready
from test_going_on import one_bead

from pacer.job.job import Job
from pacer.session import forecast
from pacer.session.events import Act, ArcSignal, Channel, GapBy, Reading, Resumed
from pacer.session.track import believed
from pacer.session.work import Phase

OFF: tuple[tuple[GapBy, float], ...] = (
    ("wall", 0.0),
    ("wall", 4.0),
    ("wall", 60.0),
    ("said", 0.0),
    ("said", 4.0),
)


def kinds(session: Session, since_s: float) -> list[str]:
    """What was told, without times."""
    return [cue.split()[1] for cue in session.since(since_s)]


def again(session: Session, off_s: float, by: GapBy = "wall", *, hand: bool = False) -> float:
    """Killed, and started again after `off_s` as `by` says; return when."""
    to_s = session.state.t_s + off_s
    session.gap(session.state.t_s, to_s, by)
    session.event(Resumed(t_ms=round(1000 * to_s), hand=hand))
    return to_s


@pytest.mark.parametrize(("by", "off_s"), OFF)
def test_a_bead_is_not_gone_on_with(hot_job: Job, by: GapBy, off_s: float) -> None:
    """Killed six seconds into it: ended there, nobody saw how; a reading decides."""
    session = ready(hot_job).at(73, "next").steady(74, 80, 262.0)
    start_s = again(session, off_s, by)
    assert session.state.phase is Phase.WAIT
    bead = session.state.work.beads[-1]
    assert (bead.ended_s, bead.ended_by, bead.peened) == (79.0, "assumed", "left alone")

    session.steady(start_s + 1, start_s + 6, 262.0)
    assert kinds(session, start_s) == ["GAP", "READY"], "two seconds of readings are enough"


@pytest.mark.parametrize("phase", [Phase.READY, Phase.PEEN, Phase.REHEAT, Phase.INSPECT])
def test_no_phase_before_or_after_a_bead_is_gone_on_with(hot_job: Job, phase: Phase) -> None:
    """Off for four seconds by the wall clock: a fresh reading in every one of them."""
    if phase is Phase.INSPECT:
        session = one_bead(hot_job).gap(107, 7307, "wall").steady(7308, 7400, 262.0)
    else:
        session = one_bead(hot_job)
    if phase is Phase.PEEN:
        session.at(107, "next").steady(108, 120, 262.0).at(120, "next")
    if phase is Phase.REHEAT:
        for i in range(40):
            session.at(107 + i, 262.0 - 2.0 * i)
    assert session.state.phase is phase
    again(session, 4.0)

    assert session.state.phase is Phase.WAIT


def test_a_resumption_whose_gap_is_not_in_the_recording(hot_job: Job) -> None:
    """Damaged, or of an older pacer: the same by itself."""
    session = ready(hot_job).at(73, "next").steady(74, 80, 262.0)
    session.event(Resumed(t_ms=80_000))

    assert session.state.phase is Phase.WAIT
    assert session.state.work.beads[-1].ended_by == "assumed"
    assert session.cues[-1] == "80.0 TYPE_A_READING"


@pytest.mark.parametrize("off_s", [4.0, 60.0])
def test_a_clock_that_stood_still_leads_no_cold_part_to_a_bead(hot_job: Job, off_s: float) -> None:
    """Hours passed, a machine without a clock of its own says seconds: 25 °C says more."""
    session = one_bead(hot_job)
    start_s = again(session, off_s)
    session.steady(start_s + 1, start_s + 20, 25.0)

    assert kinds(session, start_s) == ["GAP", "PREPARE"]
    assert session.state.work.inspect_first


def test_a_cold_part_whose_sensor_spoke_late(hot_job: Job) -> None:
    """Told that there is no reading, then 25 °C: it is judged when the reading counts again."""
    session = one_bead(hot_job)
    start_s = again(session, 4.0)
    session.until(start_s + 12).steady(start_s + 12, start_s + 30, 25.0)

    assert kinds(session, start_s) == ["GAP", "NO_READING", "READING_BACK", "PREPARE"]


def test_by_hand_he_is_asked_to_measure_before_his_word_counts(hot_job: Job) -> None:
    """One press: measure; the second is his "ready". A reading typed needs neither."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(700).at(705, "next")
    assert session.cues[-1] == "705.0 READY"
    start_s = again(session, 4.0, hand=True)
    assert session.state.phase is Phase.WAIT
    typed = Session(hot_job, hand=True)
    for event in session.events:
        typed.event(event)

    session.at(start_s + 3, "next").at(start_s + 6, "next")
    assert session.since(start_s)[1:] == ["712.0 TYPE_A_READING", "715.0 READY"]
    typed.at(start_s + 3, "reading 250").until(start_s + 10)
    assert typed.since(start_s)[1:] == ["714.0 READY"]


def test_nothing_pressed_or_typed_before_is_left(hot_job: Job) -> None:
    """A press of before can't be undone, a reading of before decides nothing."""
    session = ready(hot_job).at(73, "reading 262").at(74, "next")
    for told in (session, session.event(Resumed(t_ms=75_000))):
        again(told, 2.0)
        assert told.state.undo is None
        assert told.state.typed is None
    session.until(78)

    assert believed(session.state, 78.0) is None


# -- an arc over a gap ----------------------------------------------------------------------

CLAMP = Channel("t", "degC", arc=ArcSignal("i", on=20.0, off=10.0))


def welding(job: Job) -> tuple[Session, float]:
    """A clamp on the cable: arc from READY on, 4 s seen of it; and when."""
    session, t_s = Session(job, channel=CLAMP), 0.0
    read(session, 0.0, 20.0, 0.0)
    session.at(1, "next")
    for t_s in range(2, 100):
        read(session, t_s, 262.0 if t_s > 8 else 150.0, 0.0)
        if session.state.phase is Phase.READY:
            break
    for i in range(1, 9):
        read(session, t_s + i / 2, 262.0, 30.0)
    assert session.state.phase is Phase.BEAD
    return session, t_s + 4.0


def read(session: Session, t_s: float, temp_c: float, amps: float) -> None:
    """One line of part and clamp."""
    session.event(
        Reading(t_ms=round(1000 * t_s), raw=(temp_c, amps), status="ok", names=("t", "i"))
    )


@pytest.mark.parametrize("taken_up", [False, True])
def test_an_arc_that_burns_before_and_after_a_gap_is_no_lost_bead(
    hot_job: Job, taken_up: bool
) -> None:
    """Believed after a second, dated back to the first line; ended where the clamp says."""
    session, t_s = welding(hot_job)
    if taken_up:
        start_s = again(session, 4.0)
    else:
        start_s = t_s + 60
        session.gap(t_s, start_s)
    for i in range(1, 25):
        read(session, start_s + i / 2, 262.0, 30.0 if i < 21 else 0.0)

    first, second = session.state.work.beads
    assert (first.ended_s, first.ended_by) == (t_s, "assumed")
    assert (second.started_s, second.started_by) == (start_s + 0.5, "arc")
    assert (second.ended_s, second.ended_by) == (start_s + 10.5, "arc")
    assert session.state.phase is Phase.PEEN


def test_an_arc_that_went_out_in_the_gap_begins_nothing(hot_job: Job) -> None:
    """No signal after it."""
    session, t_s = welding(hot_job)
    session.gap(t_s, t_s + 60)
    for i in range(1, 41):
        read(session, t_s + 60 + i / 2, 262.0, 0.0)

    assert len(session.state.work.beads) == 1
    assert not session.state.arc.burning


# -- another day's cool-down ----------------------------------------------------------------


def second_day(job: Job) -> Session:
    """Covered half-way on the first day, cold; gone on with on the second, READY at its end."""
    session = one_bead(job).at(108, "covered")
    for i in range(1, 200):
        session.at(108 + 60 * i, max(25.0, 262.0 * 0.98**i))
    return session.at(12_060, "hold")


def test_a_cool_down_begins_anew_on_another_day(hot_job: Job) -> None:
    """Day 1 ended at 25 °C. On day 2 the sensor is silent as the part is covered: no word of it."""
    session = second_day(hot_job).at(12_062, "next").steady(12_064, 12_160, 262.0)
    assert session.state.cooling is None
    session.at(12_160, "next").at(12_180, "covered").until(12_190)
    assert session.state.phase is Phase.COOL_DOWN
    assert session.state.cooling is not None
    assert session.state.cooling.start_c is None
    assert session.state.cooling.bins == ()

    found = forecast.cooldown(session.state, session.state.t_s)
    assert found.eta_s > 3600.0, "from the plan's 260 °C to 40 °C in dry sand"
    session.at(12_200, 255.0).at(12_201, 255.0).at(12_202, 255.0)
    assert session.state.cooling.start_c == 255.0


def test_undone_the_first_days_cool_down_is_there_again(hot_job: Job) -> None:
    """`hold` by mistake."""
    session = second_day(hot_job)
    assert session.cues[-1] == "12060.0 PREPARE"
    session.at(12_070, "undo")

    assert session.state.phase is Phase.COOL_DOWN
    assert session.state.cooling is not None
    assert session.state.cooling.start_s == 108.0
    assert session.state.cooling.bins[-1][1] == pytest.approx(25.0)


def test_a_cover_by_mistake_leaves_no_cool_down(hot_job: Job) -> None:
    """Covered and undone: what was read meanwhile is the start of nothing."""
    session = ready(hot_job).at(73, "covered").steady(74, 80, 250.0).at(80, "undo")

    assert session.state.phase is Phase.READY
    assert session.state.cooling is None


# -- whose answer a reading is --------------------------------------------------------------


def test_only_a_reading_at_the_joint_answers_measure_at_the_joint(hot_job: Job) -> None:
    """Typed for the back the question stands, and is told again three times."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(662)
    assert session.cues[-1] == "660.0 TYPE_A_READING"
    back = Act(t_ms=665_000, deed="reading", temp_c=240.0, text="back")
    session.event(back).until(900)
    told = [repeat for repeat in session.repeats if "TYPE_A_READING" in repeat]
    assert told == ["690.0 TYPE_A_READING 1", "750.0 TYPE_A_READING 2", "810.0 TYPE_A_READING 3"]

    session.at(901, "reading 240").until(905)
    assert session.cues[-1] == "903.0 READY"


def test_any_answer_will_do_where_no_number_is_asked_for(hot_job: Job) -> None:
    """A reading of the back typed at READY: he is there."""
    session = ready(hot_job)
    session.event(Act(t_ms=73_000, deed="reading", temp_c=250.0, text="back"))

    assert session.state.prompt is not None
    assert session.state.prompt.answered
