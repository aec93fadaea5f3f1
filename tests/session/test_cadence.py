"""The cadence: one press a bead, the rest by time, marked as assumed; paused by any key.

Bead 10 s, hood up 2 s, peen 15 s, look 3 s; READY since 72 s (`telling.ready`).
The times are common practice, no source.
"""

from __future__ import annotations

import msgspec
from telling import Session, ready

from pacer.job.job import Job
from pacer.session.events import Act, Trouble
from pacer.session.phases.bead import PAUSE_MOST_S
from pacer.session.work import Phase


def test_one_press_runs_a_whole_bead(hot_job: Job) -> None:
    """73 press; 79.5, 83, 85, 100, 103: and the next bead is called, never counted in."""
    session = ready(hot_job).at(73, "next").steady(73.5, 110, 262.0)

    assert [line.split()[1] for line in session.since(73)] == [
        "FINISH",
        "STOP",
        "PEEN",
        "LOOK_AT_BEAD",
        "READY",
    ]
    assert session.state.phase is Phase.READY
    bead = session.state.work.beads[0]
    assert (bead.ended_by, bead.peened, bead.started_by) == ("assumed", "not confirmed", "press")


def test_its_times_are_the_jobs(hot_job: Job) -> None:
    """hood_up 4 s, no look: PEEN at 87, READY at 102."""
    rules = msgspec.structs.replace(hot_job.bead, hood_up_s=4.0, look_s=0.0)
    job = msgspec.structs.replace(hot_job, bead=rules)
    session = ready(job).at(73, "next").steady(73.5, 110, 262.0)
    assert session.since(83) == ["83.0 STOP", "87.0 PEEN", "102.0 READY"]


def test_the_walk_back_from_the_key_is_no_arc_time(hot_job: Job) -> None:
    """hood_down 5 s, pressed at 73: the arc is taken from 78 s, FINISH at 84.5, STOP at 88."""
    rules = msgspec.structs.replace(hot_job.bead, hood_down_s=5.0)
    session = ready(msgspec.structs.replace(hot_job, bead=rules)).at(73, "next")
    session.steady(73.5, 92, 262.0)
    assert session.since(73) == ["84.5 FINISH", "88.0 STOP", "90.0 PEEN"]
    assert session.state.work.beads[0].arc_s(0.0) == 10.0


def test_no_ready_without_a_reading(hot_job: Job) -> None:
    """The rhythm runs to its end, then the missing reading is asked for."""
    session = ready(hot_job, to_s=80).at(80, "next").until(130)
    assert "READY" not in [line.split()[1] for line in session.since(80)]
    assert session.state.phase is Phase.WAIT


def test_forty_beads_need_forty_presses(hot_job: Job) -> None:
    """procedure.md section 15: never two hundred presses; one a bead, with the part at 262 °C."""
    session, t_s = ready(hot_job), 73.0
    for _ in range(40):
        session.at(t_s, "next").steady(t_s + 0.5, t_s + 35, 262.0)
        t_s += 36.0
        assert session.state.phase is Phase.READY
    presses = [e for e in session.events if isinstance(e, Act) and e.t_s >= 73.0]
    assert len(presses) == 40
    assert len(session.state.work.beads) == 40


def test_a_pause_stands_still_and_a_press_goes_on(hot_job: Job) -> None:
    """Paused from 75 to 81 s: FINISH, STOP and PEEN come 6 s later; no arc time is invented."""
    session = ready(hot_job).at(73, "next").at(75, "pause").steady(75.5, 81, 262.0)
    assert session.since(73) == []
    session.at(81, "next").steady(81.5, 112, 262.0)
    assert session.since(73) == [
        "85.5 FINISH",
        "89.0 STOP",
        "91.0 PEEN",
        "106.0 LOOK_AT_BEAD",
        "109.0 READY",
    ]
    assert session.state.work.beads[0].arc_s(0.0) == 10.0


def test_a_pause_in_the_peen_is_told_and_shifts_its_end(hot_job: Job) -> None:
    """Peen from 85 s, paused 90 to 94: it ends at 104."""
    session = ready(hot_job).at(73, "next").steady(73.5, 90, 262.0).at(90, "pause")
    session.steady(90.5, 94, 262.0).at(94, "next").steady(94.5, 106, 262.0)
    assert session.since(86) == ["90.0 PAUSED", "104.0 LOOK_AT_BEAD"]


def test_after_a_long_pause_nothing_is_peened_cold(hot_job: Job) -> None:
    """The arc ended at 83; gone on at 110, 27 s later: LEAVE IT, and on to the next."""
    session = ready(hot_job).at(73, "next").steady(73.5, 90, 262.0).at(90, "pause")
    session.steady(90.5, 110, 262.0).at(110, "next")
    assert session.since(91) == ["110.0 LEAVE_IT"]
    assert session.steady(111, 114, 262.0).since(111) == ["113.0 READY"]
    assert session.state.work.beads[0].peened == "left alone"


def test_a_pause_nobody_ends_is_given_up(hot_job: Job) -> None:
    """A bead paused at 75 s for a minute: it ended there, uncounted; the part decides."""
    session = ready(hot_job).at(73, "next").at(75, "pause").steady(75.5, 140, 262.0)
    assert session.since(73) == [f"{75 + PAUSE_MOST_S:.1f} LEAVE_IT", "138.0 READY"]
    bead = session.state.work.beads[0]
    assert (bead.ended_s, bead.ended_by, bead.counted) == (75.0, "assumed", False)


def test_a_stray_key_pauses_nothing_elsewhere(hot_job: Job) -> None:
    """At READY, and in a bead with an arc signal, there is no rhythm to pause."""
    session = ready(hot_job).at(73, "pause")
    assert session.state.work.paused_s is None
    lit = ready(hot_job).at(73, "arc on").at(75, "pause")
    assert lit.state.work.paused_s is None


def test_undo_takes_a_pause_back_with_its_deadlines(hot_job: Job) -> None:
    """A key hit by accident: the rhythm goes on as if nothing had been."""
    session = ready(hot_job).at(73, "next").at(75, "pause").at(76, "undo").steady(76.5, 90, 262.0)
    assert session.since(76)[:2] == ["79.5 FINISH", "83.0 STOP"]


def test_by_hand_readings_the_welders_own_ready_is_enough(hot_job: Job) -> None:
    """No instrument at all and nothing typed: his press makes it READY, then one press a bead."""
    session = Session(hot_job, hand=True)
    for t_s, deed in enumerate(("next", "next", "next"), start=1):
        session.at(t_s, deed)
    session.until(70).at(70, "next")
    assert session.state.phase is Phase.READY
    session.at(71, "next").until(105)
    assert [line.split()[1] for line in session.since(71)][:4] == [
        "FINISH",
        "STOP",
        "PEEN",
        "LOOK_AT_BEAD",
    ]


def test_a_pedal_lost_while_held_leaves_the_bead_to_the_cadence(hot_job: Job) -> None:
    """Held from 73 s, unplugged at 76: the end is assumed at 83, not waited for."""
    session = ready(hot_job, to_s=73).at(73, "arc on").steady(73.5, 76, 262.0)
    session.event(Trouble(t_ms=76_000, what="pedal", why="gone: check the cable"))
    session.steady(76, 90, 262.0)
    assert session.since(73) == ["79.5 FINISH", "83.0 STOP", "85.0 PEEN"]
    assert session.state.work.beads[0].ended_by == "assumed"
