"""What the live session was is what its recording folds to: state and cues (T-12).

Over random lives (`living.py`): jobs and sources at their edges, sleeps, wall clocks set,
kills at any turn, torn ends, goings-on with every kind of gap.
"""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from living import lives

from pacer.recording.reader import Recording
from pacer.run.audit import audit
from pacer.run.refold import states
from pacer.session.events import CueTold, Ended, Mark, Recovered, Resumed
from pacer.session.fold import advance
from pacer.session.state import State


def _same_as_live(path: Path, seed: int) -> set[type]:
    """Compare at every kill and at the end; return which kinds of records there were."""
    kinds: set[type] = set()
    for state, ended in lives(path, seed):
        recording = Recording(path)
        last, stalled = None, False
        for event, folded, _ in states(recording.head, recording.events()):
            kinds.add(type(event))
            stalled = stalled or folded.stalled
            if not isinstance(event, Ended):
                last = folded
        assert recording.damage.sound
        assert last is not None
        assert not stalled
        # Whoever was awake last, the state moves on from there as time passes.
        t_s = max(last.t_s, state.t_s)
        live, due = advance(state, t_s)
        _equal(advance(last, t_s)[0], live)
        told = audit(recording)
        assert told.differences == ()
        # Due at the very instant of the last record, when it was killed.
        assert told.untold in {0, len(due)}
        assert ended is recording.damage.ended
    return kinds


def _equal(replayed: State, live: State) -> None:
    for name in State.__struct_fields__:
        was, now = getattr(live, name), getattr(replayed, name)
        # Sets in order: how a set is iterated says nothing.
        same = msgspec.json.encode(was, order="sorted") == msgspec.json.encode(now, order="sorted")
        assert same, f"{name}: live {was}, replayed {now}"


@pytest.mark.parametrize("seeds", [range(n, n + 12) for n in range(0, 60, 12)], ids=str)
@pytest.mark.slow
def test_a_replay_is_what_the_live_session_was(seeds: range, tmp_path: Path) -> None:
    """Sixty lives; among them are records of every kind that a replay has and a live fold not."""
    kinds: set[type] = set()
    for seed in seeds:
        kinds |= _same_as_live(tmp_path / f"{seed}.jsonl", seed)
    assert kinds >= {CueTold, Mark, Recovered, Resumed}


@pytest.mark.full
@pytest.mark.parametrize("seeds", [range(n, n + 100) for n in range(1000, 2000, 100)], ids=str)
def test_a_replay_is_what_the_live_session_was_a_thousand_times(
    seeds: range, tmp_path: Path
) -> None:
    """The same, more often."""
    for seed in seeds:
        _same_as_live(tmp_path / f"{seed}.jsonl", seed)
