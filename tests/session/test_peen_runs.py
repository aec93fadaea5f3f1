"""`bead.peen_runs`: in a run that is left unpeened the look takes the peen's place.

Three places a run; READY since 72 s (`telling.ready`); a bead lasts 10 s, hood up 2 s, peen
15 s, peen within 5 s, look 3 s. The times are common practice, no source.
"""

from __future__ import annotations

import msgspec
import pytest
from telling import Session, ready
from test_arc_signal import at_ready, lines

from pacer.job.job import Job, PeenRuns
from pacer.screen.desk import Snapshot
from pacer.screen.parts.quiet import quiet
from pacer.screen.words import cue_line, words
from pacer.session.cues import DOUBTS, CueKind
from pacer.session.work import Phase
from pacer.sound.speech import WORDS as SPOKEN
from pacer.units import Shown


def leaving(job: Job, which: PeenRuns) -> Job:
    """The job with another choice of runs to peen."""
    return msgspec.structs.replace(job, bead=msgspec.structs.replace(job.bead, peen_runs=which))


def kinds(session: Session, since_s: float) -> list[str]:
    """Cues told since, without their times."""
    return [line.split()[1] for line in session.since(since_s)]


def told_quietly(session: Session, t_s: float) -> str:
    """The screen's quiet line."""
    moment = Snapshot(session.state, t_s, "live", (), (), "x.jsonl")
    return quiet(moment, Shown("metric"))


def laid(session: Session, beads: int, from_s: float) -> float:
    """Lay so many beads of 9 s, ended by a press, one each 40 s; return when the next begins."""
    t_s = from_s
    for _ in range(beads):
        session.at(t_s, "next").steady(t_s + 0.5, t_s + 9, 262.0).at(t_s + 9, "next")
        session.steady(t_s + 9.5, t_s + 39, 262.0)
        t_s += 40.0
    return t_s


def test_the_root_run_is_looked_at_and_the_next_is_peened(hot_job: Job) -> None:
    """Beads 1-3 are the root, 4 is not. A look of 5 s, as long as `peen_within`: 82 to 87 s."""
    session = ready(leaving(hot_job, "not root"))
    t_s = laid(session, 3, 73.0)
    assert session.since(73)[:4] == [
        "79.5 FINISH",
        "82.0 LOOK_UNPEENED",
        "87.0 READY",
        "119.5 FINISH",
    ]
    assert "PEEN" not in kinds(session, 73)
    assert [bead.peened for bead in session.state.work.beads] == ["not planned"] * 3

    laid(session, 1, t_s)
    assert kinds(session, t_s) == ["FINISH", "PEEN", "READY"]
    assert session.state.work.beads[3].peened == "not confirmed"


def test_the_last_run_is_left_too_where_the_job_says_so(hot_job: Job) -> None:
    """Two runs of three places: root and last are all there is, so nothing is peened."""
    plan = msgspec.structs.replace(hot_job.plan, runs=2)
    job = msgspec.structs.replace(hot_job, plan=plan)
    session = ready(leaving(job, "not root nor last"))
    t_s = laid(session, 6, 73.0)
    assert CueKind.PEEN not in kinds(session, 73)
    # A bead beyond the plan lies on top: it counts as the last run's.
    laid(session, 1, t_s)
    assert [bead.peened for bead in session.state.work.beads] == ["not planned"] * 7

    peened = ready(leaving(job, "not root"))
    laid(peened, 4, 73.0)
    assert kinds(peened, 73).count(CueKind.PEEN) == 1


def test_all_is_as_it_was(hot_job: Job) -> None:
    """The default: every bead is peened."""
    session = ready(hot_job)
    laid(session, 2, 73.0)
    assert kinds(session, 73).count(CueKind.PEEN) == 2


def test_the_cadence_s_press_sets_the_true_end_in_the_look(hot_job: Job) -> None:
    """Taken to end at 83 + 2 s, pressed at 87: that is the end, and the look starts again."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").steady(73.5, 87, 262.0)
    assert session.state.phase is Phase.LOOK
    assert session.state.work.beads[0].ended_by == "assumed"
    session.at(87, "next").steady(87.5, 91.5, 262.0)
    bead = session.state.work.beads[0]
    assert (bead.ended_by, bead.ended_s, bead.peened) == ("press", 87.0, "not planned")
    assert session.state.phase is Phase.LOOK
    session.steady(92, 93, 262.0)
    assert session.since(85) == ["85.0 LOOK_UNPEENED", "92.0 READY"]


def test_a_press_ends_the_look(hot_job: Job) -> None:
    """Ended by a press at 82, looked at until the press at 85: READY then."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").steady(73.5, 82, 262.0)
    session.at(82, "next").steady(82.5, 85, 262.0).at(85, "next")
    assert session.since(82) == ["82.0 LOOK_UNPEENED", "85.0 READY"]
    assert len(session.state.work.beads) == 1
    assert session.state.work.beads[0].peened == "not planned"


def test_an_arc_struck_again_within_three_seconds_is_the_same_bead(hot_job: Job) -> None:
    """Out at 80 s, burning again at 82: one bead, as where it is peened."""
    session = at_ready(leaving(hot_job, "not root"))
    for from_s, to_s, arc in ((73, 75, 0.0), (75, 80, 120.0), (80, 82, 0.0), (82, 88, 120.0)):
        lines(session, from_s, to_s, arc)
    assert session.state.phase is Phase.BEAD
    assert len(session.state.work.beads) == 1


@pytest.mark.parametrize(("which", "told"), [("all", "peen it, grind"), ("not root", "no peen in")])
def test_a_lost_arc_is_told_without_the_peen(hot_job: Job, which: PeenRuns, told: str) -> None:
    """Lost after 6 of 10 s in the root: grind and restrike, and no word of peening it."""
    session = ready(leaving(hot_job, which)).at(73, "next").steady(73.5, 79, 262.0).at(79, "next")
    cue = session.told[-1]
    assert cue.kind is CueKind.ARC_LOST
    assert told in words(cue, Shown("metric"))
    assert ("peen it" in words(cue, Shown("metric"))) == (which == "all")
    # The bead that finishes it is the one that was asked for.
    session.steady(79.5, 81, 262.0)
    assert session.state.phase is (Phase.PEEN if which == "all" else Phase.LOOK)


def test_a_short_arc_in_the_root_is_asked_about(hot_job: Job) -> None:
    """3 s of arc is no bead, peened or not."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").steady(73.5, 76, 262.0)
    session.at(76, "next")
    assert session.since(74) == ["76.0 SHORT_BEAD"]
    assert session.state.work.beads[0].counted is False


def test_the_quiet_line_says_why_no_peen_is_called(hot_job: Job) -> None:
    """In the look that takes the peen's place, and only there."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").steady(73.5, 82, 262.0)
    session.at(82, "next").steady(82.5, 84, 262.0)
    assert "run 1 is not peened, as the job file says" in told_quietly(session, 84.0)
    session.steady(84, 90, 262.0)
    assert "not peened" not in told_quietly(session, 90.0)


def test_the_look_says_that_it_is_not_peened(hot_job: Job) -> None:
    """On the screen, without one and spoken: PEEN is what a welder waits for after the arc."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").steady(73.5, 82, 262.0)
    cue = session.at(82, "next").told[-1]
    assert cue.values == {"bead": 1, "run": 1}
    assert words(cue, Shown("metric")).startswith("Do not peen run 1; look at bead 1: ")
    assert cue_line(cue, Shown("metric")).split("\t")[:2] == ["82.000", "LOOK_UNPEENED"]
    assert SPOKEN[cue.kind] == "do not peen"


def test_a_peen_that_may_begin_late_makes_the_look_no_longer(hot_job: Job) -> None:
    """Peened within 30 s: still a look of 5 s; and `bead.look` may ask for more."""
    job = leaving(hot_job, "not root")
    for within_s, look_s, until_s in ((30.0, 3.0, 87.0), (1.0, 3.0, 85.0), (30.0, 12.0, 94.0)):
        rules = msgspec.structs.replace(job.bead, peen_within_s=within_s, look_s=look_s)
        session = ready(msgspec.structs.replace(job, bead=rules))
        session.at(73, "next").steady(73.5, 82, 262.0).at(82, "next").steady(82.5, 100, 262.0)
        assert session.since(82) == ["82.0 LOOK_UNPEENED", f"{until_s:.1f} READY"]


def test_a_press_long_after_an_assumed_end_sets_nothing_right(hot_job: Job) -> None:
    """Taken to end at 83, looked at from 85 for 12 s: at 89 it is the end, at 91 he has looked."""
    job = leaving(hot_job, "not root")
    rules = msgspec.structs.replace(job.bead, peen_within_s=30.0, look_s=12.0)
    for pressed_s, by in ((89.0, "press"), (91.0, "assumed")):
        session = ready(msgspec.structs.replace(job, bead=rules)).at(73, "next")
        session.steady(73.5, pressed_s, 262.0).at(pressed_s, "next")
        assert session.state.work.beads[0].ended_by == by
        assert (session.state.phase is Phase.LOOK) == (by == "press")


def test_a_bead_paused_and_given_up_is_not_too_late_to_peen(hot_job: Job) -> None:
    """Paused at 75 s for the whole minute: it was never to be peened."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").at(75, "pause")
    session.steady(75.5, 145, 262.0)
    assert "LEAVE_IT" not in kinds(session, 73)
    assert session.state.work.beads[0].peened == "not planned"
    # 2 s of arc: no bead, and asked about as ever.
    assert session.since(73)[0] == "135.0 SHORT_BEAD"


def test_the_press_after_a_pause_given_up_makes_it_no_arc_time(hot_job: Job) -> None:
    """A peen within 2 min: an arc out at 82 s is not taken to have burnt until 144."""
    job = leaving(hot_job, "not root")
    rules = msgspec.structs.replace(job.bead, peen_within_s=120.0)
    session = ready(msgspec.structs.replace(job, bead=rules)).at(73, "next").steady(73.5, 82, 262.0)
    session.at(82, "pause").steady(82.5, 144, 262.0).at(144, "next")
    bead = session.state.work.beads[0]
    assert (bead.ended_s, bead.ended_by, bead.peened) == (82.0, "assumed", "not planned")
    assert session.state.phase is Phase.READY


def test_a_pause_in_the_look_stands_still_and_goes_on(hot_job: Job) -> None:
    """Look from 82 s, paused 84 to 120: on for the 3 s that were left of it, no word of a peen."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").steady(73.5, 82, 262.0)
    session.at(82, "next").at(84, "pause").steady(84.5, 120, 262.0)
    session.at(120, "next").steady(120.5, 125, 262.0)
    assert session.since(82) == ["82.0 LOOK_UNPEENED", "84.0 PAUSED", "123.0 READY"]
    assert session.state.work.beads[0].peened == "not planned"


@pytest.mark.parametrize(("which", "peened"), [("all", "left alone"), ("not root", "not planned")])
def test_a_gap_in_a_bead_leaves_what_was_planned(
    hot_job: Job, which: PeenRuns, peened: str
) -> None:
    """Asleep from 80 to 100 s with the arc on: too late to peen only where it was to be."""
    session = ready(leaving(hot_job, which)).at(73, "next").steady(73.5, 80, 262.0).gap(80, 100)
    assert kinds(session, 75) == ["FINISH", "GAP"]
    assert session.state.work.beads[0].peened == peened


def test_a_bead_taken_up_again_by_an_undo_long_after(hot_job: Job) -> None:
    """Ended by a press at 82, taken back at 135: the cadence ends it, and it is only looked at."""
    session = ready(leaving(hot_job, "not root")).at(73, "next").steady(73.5, 82, 262.0)
    session.at(82, "next").steady(82.5, 135, 262.0).at(135, "undo").steady(135.5, 142, 262.0)
    assert "LEAVE_IT" not in kinds(session, 73)
    assert kinds(session, 135) == ["LOOK_UNPEENED", "READY"]
    assert session.state.work.beads[0].peened == "not planned"


@pytest.mark.parametrize(("which", "told"), [("all", ["PROBE_OFF"]), ("not root", [])])
def test_nobody_struck_the_probe_off(hot_job: Job, which: PeenRuns, told: list[str]) -> None:
    """A fall of 37 K at 89 s: after blows it asks for the probe; without them it is under 50 K.

    Peen 82 to 87 s by a press; the look in its place ends by a press at the same time. The same
    with a fall at 83 s, in the midst of it.
    """
    session = ready(leaving(hot_job, which), 73.0).at(73, "next").steady(73.5, 82, 262.0, 0.25)
    session.at(82, "next").steady(82.25, 87, 262.0, 0.25).at(87, "next")
    session.steady(87.25, 89, 262.0, 0.25).steady(89, 95, 225.0, 0.25)
    assert [kind for kind in kinds(session, 88) if kind in DOUBTS] == told

    during = ready(leaving(hot_job, which), 73.0).at(73, "next").steady(73.5, 82, 262.0, 0.25)
    during.at(82, "next").steady(82.25, 83, 262.0, 0.25).steady(83, 100, 225.0, 0.25)
    assert [kind for kind in kinds(during, 82) if kind in DOUBTS] == told
    assert (session.state.work.peened_s is None) == (which == "not root")
