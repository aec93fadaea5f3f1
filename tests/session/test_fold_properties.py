"""Properties of the fold over any session: total, deterministic, indifferent to waking."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import not_folded, sessions
from telling import opened

from pacer.job.job import Job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import AnyEvent, Resumed
from pacer.session.fold import advance, begin, deadline, fold, step
from pacer.session.phases.table import FOLLOWS, diagram
from pacer.session.state import State
from pacer.session.work import Phase

_SOME = settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(params=["hot", "cold"])
def job(request: pytest.FixtureRequest, hot_job: Job, cold_job: Job) -> Job:
    """Both methods."""
    return hot_job if request.param == "hot" else cold_job


def _walk(job: Job, events: list[AnyEvent], wakes: list[int]) -> tuple[State, list[Cue]]:
    """Fold with extra wake-ups of the driver spread between the events."""
    state, told = begin(opened(job))
    cues = list(told)
    for index, event in enumerate(events):
        for wake in wakes:
            t_s = round(state.t_s + (event.t_s - state.t_s) * wake / 1000, 3)
            if index % 2 == wake % 2 and t_s <= event.t_s:
                state, more = advance(state, t_s)
                cues.extend(more)
        state, more = step(state, event)
        cues.extend(more)
    return state, cues


@pytest.mark.slow
@_SOME
@given(events=sessions(), wakes=st.lists(st.integers(0, 999), max_size=3))
def test_waking_more_often_changes_nothing(
    job: Job, events: list[AnyEvent], wakes: list[int]
) -> None:
    """Replay equals live whenever the driver woke."""
    assert _walk(job, events, wakes) == _walk(job, events, [])


@pytest.mark.slow
@_SOME
@given(
    events=sessions(),
    beside=st.lists(st.tuples(st.integers(0, 40), st.integers(-2000, 0), not_folded()), max_size=9),
)
def test_what_is_written_beside_the_facts_changes_nothing(
    job: Job, events: list[AnyEvent], beside: list[tuple[int, int, AnyEvent]]
) -> None:
    """Cues, seals, what became of it: a live fold never sees them, its recording's does.

    They come anywhere, right after a fact or up to 2 s older than it, as a cue's deadline may be.
    """
    written: list[AnyEvent] = []
    for index, event in enumerate(events):
        written.append(event)
        written += [
            msgspec.structs.replace(record, t_ms=max(0, event.t_ms + late_ms))
            for at, late_ms, record in beside
            if at == index
        ]
    read, cues = fold(opened(job), written)
    live, told = fold(opened(job), events)
    t_s = max(read.t_s, live.t_s)
    read, last = advance(read, t_s)
    live, due = advance(live, t_s)
    assert (*cues, *last) == (*told, *due)
    assert read == live


@pytest.mark.slow
@_SOME
@given(events=sessions(), cut=st.integers(0, 60))
def test_folding_in_two_parts_is_folding_at_once(
    job: Job, events: list[AnyEvent], cut: int
) -> None:
    """Recovery is fold(read(log)): what was folded before a crash counts the same."""
    whole, cues = fold(opened(job), events)
    half, first = fold(opened(job), events[:cut])
    rest: list[Cue] = []
    for event in events[cut:]:
        half, more = step(half, event)
        rest.extend(more)

    assert half == whole
    assert first + tuple(rest) == cues


@pytest.mark.slow
@_SOME
@given(events=sessions())
def test_cues_come_in_order_of_time_and_deadlines_never_lie_in_the_past(
    job: Job, events: list[AnyEvent]
) -> None:
    """A cue's time is its deadline; nothing is due before now."""
    state, cues = fold(opened(job), events)
    timer = deadline(state)

    assert all(a.t_s <= b.t_s for a, b in pairwise(cues))
    assert timer is None or timer.t_s >= state.t_s


@pytest.mark.slow
@_SOME
@given(events=sessions())
def test_rules_never_answer_each_other_for_ever(job: Job, events: list[AnyEvent]) -> None:
    """After every event, letting the instant pass leaves nothing due at it."""
    state, _ = begin(opened(job))
    for event in events:
        # Alone first: a step would forgive a stall on its way to the event.
        state, _ = advance(state, event.t_s)
        assert not state.stalled
        state, _ = step(state, event)
        state, _ = advance(state, state.t_s)
        assert not state.stalled
        timer = deadline(state)
        assert timer is None or timer.t_s > state.t_s


@pytest.mark.slow
@_SOME
@given(events=sessions())
def test_phases_follow_each_other_as_the_table_says(job: Job, events: list[AnyEvent]) -> None:
    """The graph in DEVELOPERS.md is what the rules do, undo left aside."""
    events = [e for e in events if getattr(e, "deed", "") != "undo"]
    state, _ = begin(opened(job))
    for event in events:
        before = state.phase
        # Timers first, one at a time, so that no phase is passed through unseen.
        while (timer := deadline(state)) is not None and timer.t_s <= event.t_s:
            phase = state.phase
            state, _ = advance(state, timer.t_s)
            assert state.phase is phase or _path(phase, state.phase)
        before = state.phase
        state, _ = step(state, event)
        assert state.phase is before or _path(before, state.phase)


def _path(a: Phase, b: Phase, length: int = 3) -> bool:
    """True if `b` follows `a` in a few steps: several timers can be due at one instant."""
    if b in FOLLOWS[a]:
        return True
    return length > 1 and any(_path(c, b, length - 1) for c in FOLLOWS[a])


@pytest.mark.slow
@_SOME
@given(events=sessions())
def test_a_bead_is_never_called_out_of_band_or_unread(job: Job, events: list[AnyEvent]) -> None:
    """READY only with a believed reading between floor and ceiling, carried by the cue.

    But on the welder's own word where the temperature is read by hand, from a resumption on.
    """
    _, cues = fold(opened(job), events)
    band = job.band
    by_hand = any(isinstance(event, Resumed) and event.hand for event in events)
    for cue in cues:
        if cue.kind in {CueKind.READY, CueKind.ALL_LAID}:
            if by_hand and "temp_c" not in cue.values:
                continue
            # Rounded to 0.1 °C where it is told.
            temp_c = cue.values["temp_c"]
            assert temp_c <= band.ceiling_c + 0.05
            assert band.floor_c is None or temp_c >= band.floor_c - 0.05


@pytest.mark.full
@pytest.mark.parametrize(
    "holds",
    [
        test_waking_more_often_changes_nothing,
        test_what_is_written_beside_the_facts_changes_nothing,
        test_folding_in_two_parts_is_folding_at_once,
        test_cues_come_in_order_of_time_and_deadlines_never_lie_in_the_past,
        test_rules_never_answer_each_other_for_ever,
        test_phases_follow_each_other_as_the_table_says,
        test_a_bead_is_never_called_out_of_band_or_unread,
    ],
    ids=lambda holds: holds.__name__,
)
def test_it_holds_for_a_thousand_sessions(holds: Callable[..., None], job: Job) -> None:
    """Each of the above, with other sessions every time."""
    for _ in range(13):
        holds(job=job)


def test_every_phase_is_reachable_and_can_end() -> None:
    """Walk the graph from prepare; from everywhere there is a way to done."""
    reached = {Phase.PREPARE}
    while more := {b for a in reached for b in FOLLOWS[a]} - reached:
        reached |= more
    assert reached == set(Phase)

    ending = {Phase.DONE}
    while more := {a for a in Phase if FOLLOWS[a] & ending} - ending:
        ending |= more
    assert ending == set(Phase)


def test_the_diagram_in_the_contributors_guide_is_the_table(root: Path) -> None:
    """A phase added to the table is added to DEVELOPERS.md."""
    assert diagram() in (root / "DEVELOPERS.md").read_text(encoding="utf-8")
