"""A doubted value never says "in band": over all phases and doubts, and over random walks."""

from __future__ import annotations

import msgspec
import pytest
from telling import Session, ready
from walks import Walk, head, moments

from pacer.job.job import Job
from pacer.session.band import judge
from pacer.session.cues import DOUBTS, CueKind
from pacer.session.evidence import Doubt
from pacer.session.fold import advance, begin
from pacer.session.guard.standing import QUESTIONS, standing
from pacer.session.state import Conditions, State
from pacer.session.track import believed, trusted
from pacer.session.work import Phase

replace = msgspec.structs.replace
IN_BAND = frozenset({CueKind.READY, CueKind.ALL_LAID})
CALM = Conditions()
TEMPS_C = (20.0, 150.0, 199.0, 230.0, 262.0, 295.0)


def doubted(state: State, kind: CueKind, phase: Phase, temp_c: float) -> State:
    """The state in another phase, its deciding channel at `temp_c` and in doubt."""
    doubt = Doubt(kind, state.t_s, "invented", was_c=500.0, clean_s=state.t_s)
    control = state.control
    assert control is not None
    track = replace(control, value_c=temp_c, window=(temp_c,) * 9, doubt=doubt)
    work = replace(state.work, phase=phase)
    return replace(state, tracks=(track,), work=work)


@pytest.mark.parametrize("phase", list(Phase))
@pytest.mark.parametrize("kind", sorted(DOUBTS))
def test_no_condition_is_held_by_a_doubted_value(hot_job: Job, kind: CueKind, phase: Phase) -> None:
    """Neither warm enough nor cool enough nor cold: only over the ceiling is still feared."""
    state = ready(hot_job).state
    for temp_c in TEMPS_C:
        judged = judge(doubted(state, kind, phase, temp_c), state.t_s)
        assert believed(judged, state.t_s) is None
        assert standing(judged, state.t_s).state in QUESTIONS
        assert judged.conditions == CALM
    over = judge(doubted(state, kind, phase, 310.0), state.t_s).conditions
    assert over == replace(CALM, over_ceiling=state.t_s)


@pytest.mark.parametrize("phase", [phase for phase in Phase if phase is not Phase.BEAD])
@pytest.mark.parametrize("kind", sorted(DOUBTS))
def test_no_bead_is_called_by_a_doubted_value(hot_job: Job, kind: CueKind, phase: Phase) -> None:
    """However long it stands: no READY, no end of a preheat, no UNCOVER while it is in doubt."""
    session = ready(hot_job).at(73, "next").at(80, "next")
    start = judge(doubted(session.state, kind, phase, 262.0), 80.0)
    state = replace(start, undo=None)
    for index in range(8):
        state, cues = advance(state, 80.0 + index * 0.25)
        doubt = state.control.doubt if state.control else None
        assert doubt is not None
        assert not IN_BAND & {cue.kind for cue in cues}
    if phase is Phase.PREHEAT:
        assert state.phase is Phase.PREHEAT


@pytest.mark.slow
@pytest.mark.parametrize("source", ["plain", "arc signal"])
def test_no_walk_decides_by_a_doubted_value(source: str) -> None:
    """Random sessions with steps of every size: what is believed is trusted or typed."""
    seen = set()
    for seed in range(12):
        opened = head("hot", source)
        state, _ = begin(opened)
        for moment in moments(state, Walk(source, seed).events(120)):
            after = moment.after
            now, control = believed(after, after.t_s), after.control
            if control is not None and control.doubt is not None and control.doubted:
                seen.add(control.doubt.kind)
                assert not trusted(after, control, after.t_s)
                assert now is None or now.typed
            for cue in moment.cues:
                if cue.kind in IN_BAND and not cue.again:
                    told = believed(after, cue.t_s)
                    assert told is not None
    # The walks do raise doubts.
    assert {CueKind.JUMPED, CueKind.WHICH_UNIT} & seen


def test_a_soak_in_doubt_ends_in_a_wait(hot_job: Job) -> None:
    """4 Hz, in doubt from 20 s on: the soak's time is over at 63 s, and no bead is called."""
    session = Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next")
    session.steady(1.25, 20, 262.0, every_s=0.25).steady(20, 80, 60.0, every_s=0.25)

    assert session.state.phase is Phase.WAIT
    assert not {"READY", "REHEAT"} & {cue.split()[1] for cue in session.cues}
