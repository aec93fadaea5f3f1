"""Random walks through the fold, over jobs and sources at their edges (`walks.py`).

What must hold in all of them: nothing raises or answers itself for ever, waking more often
changes nothing, READY is never told on a number that can't carry it, the arc is left in peace,
and from anywhere the work goes on and ends.
"""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from telling import Session, ready
from walks import JOBS, SOURCES, Moment, Onward, Walk, futures, head, moments

from pacer.job.job import Job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent, Opened
from pacer.session.fold import advance, begin, deadline, fold, step
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase

_EVENTS = 80
_DEFAULT_SEEDS = range(2)
_MANY_SEEDS = range(100, 160)

_CALLS = frozenset({CueKind.READY, CueKind.ALL_LAID})
_IN_A_BEAD = frozenset({CueKind.FINISH, CueKind.STOP})
_AFTER_THE_BEADS = frozenset({Phase.POST_HEAT, Phase.BURY, Phase.COOL_DOWN, Phase.DONE})
_ANSWERS = frozenset({CueKind.CANNOT, CueKind.TYPE_A_READING})
"""Answers to a press: two presses at one instant have two."""


def _walk(opened: Opened, events: list[AnyEvent]) -> State:
    """Walk, check every moment and what may well follow it, and return where it ends."""
    state, cues = begin(opened)
    told = list(cues)
    for moment in moments(state, events):
        told.extend(moment.cues)
        state = moment.after
        _check(moment)
        if moment.event is not None and state.undo is not None:
            _check(_undone(state))
        if _turns(moment):
            for future in futures(state):
                for later in moments(state, future):
                    _check(later)
    _told_once(told)
    whole, cues = fold(opened, events)
    whole, last = advance(whole, whole.t_s)
    assert [*cues, *last] == told, "waking more often changes what is told"
    assert whole == state, "waking more often changes the state"
    return state


def _turns(moment: Moment) -> bool:
    """True where another phase begins, or the instrument is lost or back."""
    before, after = moment.before, moment.after
    lost = before.sensor.told_no_reading is not after.sensor.told_no_reading
    return before.phase is not after.phase or lost


def _check(moment: Moment) -> None:
    _stands_still(moment)
    _calls_nothing_untrue(moment)
    _leaves_the_arc_in_peace(moment)


def _undone(state: State) -> Moment:
    """Return the moment at which the last press is taken back."""
    undo = Act(t_ms=round(state.t_s * 1000), deed="undo")
    back, cues = step(state, undo)
    return Moment(state, back, cues, undo)


def _stands_still(moment: Moment) -> None:
    """Nothing is due at an instant that has passed, unless an event has just come."""
    state = moment.after
    assert not state.stalled, f"timers answer each other in {moment.before.phase}"
    timer = deadline(state)
    if moment.event is None and timer is not None:
        assert timer.t_s > state.t_s, f"{timer.name} is due again in {state.phase}"


def _calls_nothing_untrue(moment: Moment) -> None:
    """READY and ALL LAID stand on a trusted reading within the band, or on his own word."""
    state, band = moment.after, moment.after.job.band
    for cue in moment.cues:
        if cue.kind not in _CALLS or cue.again:
            continue
        now = believed(state, cue.t_s)
        if now is None:
            own_word = state.sensor.hand and state.typed is None
            assert own_word, f"{cue} without a reading"
            continue
        just_back = state.sensor.told_no_reading and not now.typed
        assert not just_back, f"{cue} on a reading that has only just come back"
        assert now.least_c <= band.ceiling_c, f"{cue} over the ceiling: {now}"
        assert band.floor_c is None or now.most_c >= band.floor_c, f"{cue} below the floor: {now}"


def _leaves_the_arc_in_peace(moment: Moment) -> None:
    """While a bead runs only its end is told."""
    before, after = moment.before, moment.after
    if before.phase is after.phase is Phase.BEAD and before.work.paused_s is None:
        assert {cue.kind for cue in moment.cues} <= _IN_A_BEAD, moment.cues


def _told_once(cues: Iterable[Cue]) -> None:
    """No cue is told twice within a millisecond."""
    seen: set[tuple[int, CueKind, int]] = set()
    for cue in cues:
        this = (round(cue.t_s * 1000), cue.kind, cue.again)
        assert this not in seen or cue.kind in _ANSWERS, f"{cue} is told twice"
        seen.add(this)


def _goes_on(state: State) -> State:
    """Kept warm and pressed now and then, another bead is laid, unless beads are over."""
    onward, beads = Onward(state), len(state.work.beads)
    if state.phase in _AFTER_THE_BEADS:
        return state
    for _ in range(60):
        onward.read(state.job.band.preheat_c or 30.0, 10)
        onward.press("next")
        if len(onward.state.work.beads) > beads:
            return onward.state
    raise AssertionError(f"warm and pressed, no bead: {state.phase} to {onward.state.phase}")


def _ends(state: State) -> None:
    """From anywhere: the arc out, no more beads, covered, cool, uncovered."""
    onward = Onward(state)
    for deed in ("next", "finish", "next", "covered"):
        onward.read(state.job.band.preheat_c or 30.0, 10)
        onward.press(deed)
        onward.read(state.job.band.preheat_c or 30.0, 10)
    onward.read(22.0, 60)
    onward.press("uncovered")
    assert onward.state.phase is Phase.DONE, f"from {state.phase} to {onward.state.phase}"


def _all_checks(job: str, source: str, seed: int) -> None:
    opened = head(job, source)
    state = _walk(opened, Walk(source, seed).events(_EVENTS))
    if state.phase is not Phase.DONE:
        _ends(_goes_on(state))


@pytest.mark.slow
@pytest.mark.parametrize("source", SOURCES)
@pytest.mark.parametrize("job", JOBS)
def test_no_walk_breaks_a_rule(job: str, source: str) -> None:
    """A few seeds of every job with every source."""
    for seed in _DEFAULT_SEEDS:
        _all_checks(job, source, seed)


@pytest.mark.full
@pytest.mark.parametrize("source", SOURCES)
@pytest.mark.parametrize("job", JOBS)
def test_no_walk_of_many_breaks_a_rule(job: str, source: str) -> None:
    """The same with many seeds."""
    for seed in _MANY_SEEDS:
        _all_checks(job, source, seed)


def test_a_wake_up_does_not_end_an_uneven_soak(hot_job: Job) -> None:
    """205 °C typed at 14 s counts for 600 s; at 614 s nothing is uneven any more.

    Found by a walk: told at the wake-up, or else at the next line, never at its own time.
    """

    def told(wake_s: float) -> list[str]:
        session = Session(hot_job).at(0, 20.0).at(1, "next").steady(2, 14, 262.0)
        session.at(14, "reading 205").steady(15, 614, 262.0)
        return session.until(wake_s).at(614.9, 262.0).until(617).since(14)

    assert told(614.5) == told(613.5)


def test_a_wake_up_does_not_take_reading_back_away(hot_job: Job) -> None:
    """A reading of 262 °C typed at 100 s; back from 101 s, silent again after 108 s.

    The instrument is trusted to 110 s, ten clean seconds would end at 111 s.
    """

    def told(wake_s: float) -> list[str]:
        session = Session(hot_job).at(0, 20.0).at(1, "next").steady(2, 80, 262.0).until(100)
        session.at(100, "reading 262").steady(101, 108.5, 262.0, every_s=0.5)
        return session.until(wake_s).until(130).since(100)

    assert told(110.9) == told(109.0)


def test_an_undo_in_a_drop_out_does_not_call_a_bead_unread(hot_job: Job) -> None:
    """The last reading at 73 s is trusted to 76 s; NO READING would be told at 78 s."""
    session = ready(hot_job, to_s=74.0).at(74, "next").at(77, "undo")

    assert believed(session.state, 77.0) is None
    assert "77.0 READY" not in session.since(77)
