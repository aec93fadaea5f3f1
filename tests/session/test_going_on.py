"""Going on after time nobody watched, or on another day: never straight into a bead.

procedure.md section 7: preparation check, full preheat, soak, a look for new cracks before
the first bead. Times are worked out by hand from the jobs in conftest: 60 s of soak, 2 s of
on-delay, the median of three readings (`telling.ready`).
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np
import pytest
from conftest import HOT
from telling import Session, ready
from walks import JOBS, SOURCES, Walk, head, moments

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import AnyEvent, ClockGap, GapBy, Resumed, WallStepped
from pacer.session.fold import advance, begin, step
from pacer.session.phases.moves import OTHER_DAY_S
from pacer.session.phases.pause import LONG_HOLD_S
from pacer.session.state import State
from pacer.session.watch import SHORT_GAP_S, UNTOLD_GAP_S
from pacer.session.work import LAYING, Phase

HOUR = 3600.0


def phase_of(session: Session) -> Phase:
    """Where it stands now."""
    return session.state.phase


def one_bead(job: Job) -> Session:
    """A first bead from 73 s, ended by press at 90 s, peened; READY again at 105 s."""
    session = ready(job).at(73, "next").steady(74, 90, 262.0).at(90, "next")
    return session.steady(91, 107, 262.0)


def warmed(session: Session, from_s: float, to_s: float, temp_c: float = 262.0) -> Session:
    """Readings each second of one temperature."""
    return session.steady(from_s, to_s, temp_c)


def sunk(session: Session, from_s: float) -> Session:
    """From 262 °C to 190 °C in 37 s: no quicker, or the probe is asked about."""
    for i in range(37):
        session.at(from_s + i, 262.0 - 2.0 * i)
    return session


def test_after_a_long_gap_come_preheat_soak_and_a_look_and_only_then_a_bead(hot_job: Job) -> None:
    """Two hours away. Readings at 7308 to 7310 agree; at target 2 s, 60 s of soak, then the look."""
    session = one_bead(hot_job).gap(107, 7307).until(7307)
    assert session.since(107) == ["7307.0 GAP", "7307.0 NO_READING"]
    assert phase_of(session) is Phase.PREHEAT

    warmed(session, 7308, 7500)
    told = [cue.split()[1] for cue in session.since(7308)]
    assert told == ["SOAK", "READING_BACK", "LOOK_FOR_CRACKS"]
    assert phase_of(session) is Phase.INSPECT
    assert session.told[-1].values == {"bead": 2.0}

    session.at(7501, "next")
    assert session.since(7501) == ["7501.0 READY"]


def test_without_a_bead_there_is_nothing_new_to_crack(hot_job: Job) -> None:
    """The same, no bead laid: preheat, soak, ready."""
    session = warmed(ready(hot_job).gap(74, 7274), 7275, 7400)

    assert phase_of(session) is Phase.READY


@pytest.mark.parametrize(
    ("gap_s", "phase"),
    [
        (UNTOLD_GAP_S - 1, Phase.READY),
        (SHORT_GAP_S, Phase.WAIT),
        (SHORT_GAP_S + 1, Phase.PREHEAT),
        (OTHER_DAY_S - 1, Phase.PREHEAT),
        (OTHER_DAY_S, Phase.PREPARE),
    ],
)
def test_how_long_a_gap_decides_where_it_goes_on(hot_job: Job, gap_s: float, phase: Phase) -> None:
    """Both sides of each limit."""
    assert one_bead(hot_job).gap(107, 107 + gap_s).state.phase is phase


def test_on_another_day_the_preparation_is_checked_and_no_tack_is_made_again() -> None:
    """Cold tacks, one bead, fifteen hours: PREPARE, then PREHEAT."""
    job = job_from_text(HOT.replace("crack_length", 'tack = "cold"\ncrack_length'), "cold-tack")
    session = Session(job).at(0, 20.0).at(1, "next").at(2, "next").steady(3, 80, 262.0)
    assert phase_of(session) is Phase.READY
    session.at(80, "next").steady(81, 97, 262.0).at(97, "next").steady(98, 115, 262.0)

    session.gap(115, 115 + 15 * HOUR, "wall")
    assert session.since(115) == [f"{115 + 15 * HOUR:.1f} GAP"]
    assert phase_of(session) is Phase.PREPARE

    session.at(116 + 15 * HOUR + 5, "next")
    assert phase_of(session) is Phase.PREHEAT
    assert session.state.work.tacked


@pytest.mark.parametrize(
    ("temp_c", "hours", "phase"),
    [(250.0, 1.0, Phase.PREHEAT), (30.0, 1.0, Phase.PREPARE), (150.0, 5.0, Phase.PREPARE)],
)
def test_out_of_a_cool_down_it_goes_on_by_how_long_and_how_cold(
    hot_job: Job, temp_c: float, hours: float, phase: Phase
) -> None:
    """`hold` in the cool-down: cold (until 45 °C in this job), or four hours: prepare first."""
    end_s = 110 + hours * HOUR
    session = one_bead(hot_job).at(108, "hold").at(110, "covered")
    session.steady(111, 121, 262.0).steady(end_s - 10, end_s, temp_c).at(end_s, "hold")

    assert session.state.phase is phase
    assert session.state.work.inspect_first
    session.at(end_s + 2, "undo")
    assert phase_of(session) is Phase.COOL_DOWN
    assert not session.state.work.inspect_first


def test_a_repair_buried_half_way_goes_on_after_it_was_uncovered(hot_job: Job) -> None:
    """DONE is the end only of what was finished."""
    half = one_bead(hot_job).at(108, "covered").steady(109, 130, 30.0).at(130, "next")
    assert half.state.phase is Phase.DONE
    assert half.at(140, "hold").state.phase is Phase.PREPARE

    whole = one_bead(hot_job).at(108, "finish").at(109, "covered").steady(110, 130, 30.0)
    assert whole.at(130, "next").at(140, "hold").cues[-1] == "140.0 CANNOT"


def test_the_cold_method_looks_first_and_then_is_ready(cold_job: Job) -> None:
    """No soak there: a long gap, a reading, the look, ready."""
    session = Session(cold_job).at(0, 20.0).at(1, "next").steady(2, 20, 21.0).at(20, "next")
    session.steady(21, 40, 21.0).at(40, "next").steady(41, 90, 21.0)
    assert session.state.work.laid == 1
    session.gap(90, 90 + HOUR, "wall")
    assert phase_of(session) is Phase.WAIT

    session.steady(91 + HOUR, 121 + HOUR, 21.0)
    assert phase_of(session) is Phase.INSPECT
    session.at(122 + HOUR, "next")
    assert phase_of(session) is Phase.READY
    assert one_day(cold_job).state.phase is Phase.PREPARE


def one_day(job: Job) -> Session:
    """The cold method, standing at READY, left for a day."""
    return Session(job).at(0, 20.0).at(1, "next").steady(2, 20, 21.0).gap(20, 20 + 24 * HOUR)


def inspecting(job: Job) -> Session:
    """Standing in the look for new cracks since 7372 s or a little later, readings to 7400 s."""
    session = warmed(one_bead(job).gap(107, 7307, "wall"), 7308, 7400)
    assert phase_of(session) is Phase.INSPECT
    return session


def test_an_arc_there_is_a_fact_and_no_answer_is_asked_for_after_it(hot_job: Job) -> None:
    """Asked to look, he welds: the bead is early, and READY follows it."""
    session = inspecting(hot_job).at(7400, "arc on").steady(7401, 7415, 262.0)
    assert session.state.work.bead is not None
    assert session.state.work.bead.early
    session.at(7415, "arc off").steady(7416, 7440, 262.0)

    assert phase_of(session) is Phase.READY


def test_an_arc_that_was_no_bead_leads_back_to_the_look(hot_job: Job) -> None:
    """Two seconds of arc are no bead, and no look either."""
    session = inspecting(hot_job).at(7400, "arc on").at(7401, 262.0).at(7402, "arc off")

    assert session.steady(7403, 7425, 262.0).state.phase is Phase.INSPECT


def test_a_crack_seen_there_is_recorded_and_the_look_stays(hot_job: Job) -> None:
    """K, then a press; an undo leads back to the look."""
    session = inspecting(hot_job).at(7400, "crack")
    assert phase_of(session) is Phase.INSPECT
    session.at(7401, "next").at(7402, 262.0).at(7403, "undo")

    assert phase_of(session) is Phase.INSPECT
    assert session.since(7400) == ["7401.0 READY", "7403.0 LOOK_FOR_CRACKS"]


@pytest.mark.parametrize(
    ("deed", "phase"),
    [("hold", Phase.HOLD), ("finish", Phase.POST_HEAT), ("covered", Phase.COOL_DOWN)],
)
def test_hold_finish_and_cover_work_there(hot_job: Job, deed: str, phase: Phase) -> None:
    """Found cracked it may be the end of it, or of the day."""
    assert inspecting(hot_job).at(7400, deed).state.phase is phase


def test_the_part_is_kept_hot_while_he_looks(hot_job: Job) -> None:
    """190 °C is under the floor, told; a press then means reheating, not a bead."""
    session = sunk(inspecting(hot_job), 7400).steady(7437, 7445, 190.0)
    assert "TOO_COLD" in [cue.split()[1] for cue in session.since(7400)]
    session.at(7445, "next")

    assert phase_of(session) is Phase.REHEAT
    warmed(session, 7446, 7470)
    assert phase_of(session) is Phase.READY, "looked at once is enough"


def test_after_a_long_hold_new_cracks_are_looked_for(hot_job: Job) -> None:
    """Kept warm for half an hour, both sides of the limit."""
    for held_s, phase in ((LONG_HOLD_S - 1, Phase.READY), (LONG_HOLD_S, Phase.INSPECT)):
        session = one_bead(hot_job).at(108, "hold").steady(109, 108 + held_s, 262.0, every_s=1.0)
        assert session.at(108 + held_s, "next").state.phase is phase


def test_by_hand_without_any_reading_the_look_stands_before_his_word(hot_job: Job) -> None:
    """`hand:` and nothing typed: preheat and soak by press and clock, the look, then READY."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(700)
    session.at(705, "next").at(710, "next").at(730, "next").until(760)
    assert session.state.work.laid == 1
    session.gap(760, 760 + HOUR, "wall").event(Resumed(t_ms=round((760 + HOUR) * 1000), hand=True))
    start_s = 760 + HOUR
    session.at(start_s + 600, "next").until(start_s + 700)
    session.at(start_s + 700, "next").at(start_s + 710, "next")

    told = [cue.split()[1] for cue in session.since(760)]
    assert told == ["GAP", "SOAK", "TYPE_A_READING", "LOOK_FOR_CRACKS", "READY"]


def test_a_hold_after_the_beads_doesnt_count_before_the_new_sensor_has_spoken(
    hot_job: Job,
) -> None:
    """Taken up again in post-heat: a note alone doesn't start the hold, a reading does."""
    session = one_bead(hot_job).at(108, "finish").steady(109, 111, 262.0)
    session.gap(111, 1111, "wall").event(Resumed(t_ms=1_111_000))
    session.at(1112, "note")
    assert session.state.work.since_s is None

    session.steady(1113, 1120, 262.0)
    assert session.state.work.since_s == pytest.approx(1115.0, abs=2.0)


# -- gaps everywhere ------------------------------------------------------------------------


def _reached(job: Job) -> dict[Phase, Session]:
    """One session in every phase, beads laid where there can be."""
    deeds: dict[Phase, Callable[[Session], Session]] = {
        Phase.READY: lambda s: s,
        Phase.BEAD: lambda s: s.at(107, "next").at(108, 262.0),
        Phase.PEEN: lambda s: s.at(107, "next").steady(108, 120, 262.0).at(120, "next"),
        Phase.WAIT: lambda s: s.steady(107, 113, 320.0),
        Phase.REHEAT: lambda s: sunk(s, 107),
        Phase.HOLD: lambda s: s.at(107, "hold"),
        Phase.POST_HEAT: lambda s: s.at(107, "finish"),
        Phase.BURY: lambda s: s.at(107, "finish").at(108, "next"),
        Phase.COOL_DOWN: lambda s: s.at(107, "covered").at(108, 262.0),
        Phase.DONE: lambda s: s.at(107, "covered").steady(108, 125, 30.0).at(125, "next"),
    }
    sessions = {phase: reach(one_bead(job)) for phase, reach in deeds.items()}
    sessions[Phase.INSPECT] = inspecting(job)
    sessions[Phase.PREHEAT] = one_bead(job).gap(107, 407)
    sessions[Phase.SOAK] = warmed(one_bead(job).gap(107, 407), 408, 425)
    sessions[Phase.PREPARE] = one_bead(job).gap(107, 107 + OTHER_DAY_S)
    hot_tacks = job_from_text(HOT.replace("crack_length", 'tack = "hot"\ncrack_length'), "tack")
    sessions[Phase.TACK] = ready(hot_tacks)
    sessions[Phase.LOOK] = one_bead(job).at(107, "next").steady(108, 135, 262.0).until(135)
    for phase, session in sessions.items():
        assert session.state.phase is phase, phase
    assert set(sessions) == set(Phase)
    return sessions


_BY: tuple[GapBy, ...] = ("steady", "wall", "said", "unknown")


def test_a_gap_in_any_phase_tells_little_and_never_calls_a_bead(hot_job: Job) -> None:
    """One cue besides the gap's own at most (T-14), whatever was due; time never falls."""
    for phase, session in _reached(hot_job).items():
        for by in _BY:
            # Of a few seconds that the program slept through, running, nothing is made.
            few = () if by == "steady" else (0.0, 1.0, 4.0)
            for gap_s in (*few, 10.0, 100.0, 1380.0, 20 * HOUR):
                _check_gap(session.state, phase, by, gap_s)


def _check_gap(state: State, phase: Phase, by: GapBy, gap_s: float) -> None:
    begun_s = state.t_s
    # What was due by then is no news of the gap.
    state, _ = advance(state, begun_s)
    to_ms = round((begun_s + (0.0 if by == "unknown" else gap_s)) * 1000)
    gap = ClockGap(t_ms=round(begun_s * 1000), to_ms=to_ms, by=by)
    after, told = step(state, gap)
    assert after.t_s >= begun_s
    # The next line, a second later: whatever the gap left due has been told by then.
    later, more = step(after, WallStepped(t_ms=to_ms + 1000, step_s=0.0))
    cues = [*told, *more]
    kinds = [cue.kind for cue in cues]
    assert not later.stalled
    assert not {CueKind.READY, CueKind.ALL_LAID, CueKind.FINISH, CueKind.STOP} & set(kinds)
    assert len(kinds) <= 2, (phase, by, gap_s, kinds)
    assert all(not cue.again for cue in cues), (phase, by, gap_s, cues)
    if by != "steady":
        assert later.phase not in {Phase.READY, Phase.BEAD, Phase.PEEN, Phase.LOOK}
    long = by == "unknown" or gap_s > SHORT_GAP_S
    if long and phase in LAYING | {Phase.PREHEAT, Phase.SOAK, Phase.TACK}:
        assert later.phase in {Phase.PREHEAT, Phase.PREPARE}, (phase, by, gap_s)
        assert later.work.inspect_first is bool(later.work.beads)


_ORDER = (CueKind.PREHEAT, CueKind.SOAK, CueKind.LOOK_FOR_CRACKS, CueKind.READY)


class _Stopped:
    """What must come before a bead is called again, in one walk."""

    def __init__(self) -> None:
        self.left: list[Phase] = []

    def after(self, before: State, after: State, event: object, cues: tuple[Cue, ...]) -> None:
        if isinstance(event, ClockGap) and before.phase in LAYING | {Phase.PREHEAT, Phase.SOAK}:
            length_s = event.to_s - event.t_s
            if event.by == "unknown" or length_s > SHORT_GAP_S:
                hot = [Phase.PREHEAT, Phase.SOAK] if before.job.method == "hot" else []
                self.left = [*hot, *([Phase.INSPECT] if before.work.beads else [])]
        if after.phase in {Phase.BEAD, Phase.COOL_DOWN, Phase.DONE}:
            # An arc is a fact; a cool-down has rules of its own.
            self.left = []
        if self.left and after.phase is self.left[0]:
            self.left.pop(0)
        called = {CueKind.READY, CueKind.ALL_LAID} & {cue.kind for cue in cues}
        assert not (called and self.left), f"called before {self.left}"


def _with_gaps(events: list[AnyEvent], seed: int) -> list[AnyEvent]:
    """Put a gap into a walk here and there; what comes after it is later by its length."""
    chance, later_ms, result = np.random.default_rng(seed), 0, list[AnyEvent]()
    for event in events:
        if chance.random() < 0.02:
            length_ms = int(chance.choice([0, 60_000, 300_000, 20_000_000]))
            start_ms = event.t_ms + later_ms
            by: GapBy = "wall" if length_ms else "unknown"
            result.append(ClockGap(t_ms=start_ms, to_ms=start_ms + length_ms, by=by))
            later_ms += length_ms
        moved = msgspec.structs.replace(event, t_ms=event.t_ms + later_ms)
        if isinstance(moved, ClockGap):
            moved = msgspec.structs.replace(moved, to_ms=moved.to_ms + later_ms)
        result.append(moved)
    return result


@pytest.mark.slow
@pytest.mark.parametrize("job", JOBS)
def test_no_walk_calls_a_bead_after_a_long_gap_before_all_that_comes_first(job: str) -> None:
    """Random walks full of gaps (invented): READY only after preheat, soak and look."""
    gaps = 0
    for source in SOURCES:
        for seed in (1, 2):
            events = _with_gaps(Walk(source, seed).events(60), seed)
            state, _ = begin(head(job, source))
            stopped = _Stopped()
            for moment in moments(state, events):
                stopped.after(moment.before, moment.after, moment.event, moment.cues)
                assert moment.after.t_s >= moment.before.t_s, "time never falls"
                gaps += isinstance(moment.event, ClockGap)
    assert gaps > 0


def test_the_wall_clock_set_back_and_forward_moves_no_timer(hot_job: Job) -> None:
    """T-13: -1 h, +1 h, ten years back, 2 s, jitter every 100 ms: the same cues at the same times."""
    plain = ready(hot_job).at(73, "next").steady(74, 110, 262.0)
    stepped = ready(hot_job).at(73, "next")
    for i, step_s in enumerate((-3600.0, 3600.0, -3.2e8, 2.0)):
        stepped.event(WallStepped(t_ms=73_100 + i, step_s=step_s))
    for t_s in range(74, 110):
        stepped.at(t_s, 262.0)
        for tenth in range(1, 10):
            stepped.event(WallStepped(t_ms=t_s * 1000 + tenth * 100, step_s=0.05))

    assert stepped.cues == plain.cues
    assert "83.0 STOP" in plain.cues
    assert msgspec.structs.replace(stepped.state, t_s=plain.state.t_s) == plain.state


def test_a_suspend_of_23_minutes_is_one_gap(hot_job: Job) -> None:
    """T-14: one cue for the missed time; what the temperature is now nobody knows."""
    from pacer.session.track import believed

    session = one_bead(hot_job).gap(107, 107 + 1380).until(107 + 1380)

    assert session.since(107) == ["1487.0 GAP", "1487.0 NO_READING"]
    assert believed(session.state, 1487.0) is None
