"""Record, replay, record: the same events, cues and states (T-12)."""

from __future__ import annotations

import hashlib
from pathlib import Path

import msgspec
import pytest
from driving import hot_script, hot_told, live, press_next, same_again, scripted, steady
from fakes import Doing, FakeClock

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.refold import states
from pacer.session.events import Act, AnyEvent, CueTold, Ended, Mark, Opened, Reading
from pacer.session.state import State


def _print_of(state: State) -> str:
    """Return a hash of the whole state; sets in order, so that equal states have equal ones."""
    return hashlib.sha256(msgspec.json.encode(state, order="sorted")).hexdigest()


def _prints(opened: Opened, events: list[AnyEvent]) -> list[str]:
    return [_print_of(state) for _, state, _ in states(opened, events)]


def _facts(path: Path) -> list[AnyEvent]:
    """Return what a recording holds, without seals and without the wall times of its making."""
    return [
        msgspec.structs.replace(event, wall=None) if isinstance(event, Act) else event
        for event in Recording(path).events()
        if not isinstance(event, Mark | Ended)
    ]


def _heard(events: list[AnyEvent]) -> list[tuple[float, AnyEvent | Doing]]:
    """Return what came from outside, to be heard again."""
    return [
        (event.t_s, msgspec.structs.replace(event, t_ms=0))
        for event in events
        if isinstance(event, Reading | Act)
    ]


def test_a_recording_heard_again_makes_the_same_recording(hot_job: Job, tmp_path: Path) -> None:
    """A hot repair: events in order, cues with their values and words, every state between."""
    first = scripted(tmp_path / "first.jsonl", hot_job, hot_script(110))
    first.driver.run()
    recorded = _facts(first.log.path)
    assert sum(isinstance(event, CueTold) for event in recorded) >= 5

    again = live(tmp_path / "again.jsonl", hot_job, _heard(recorded))
    again.driver.run()
    assert _facts(again.log.path) == recorded

    head = msgspec.structs.replace(again.log.opened, channel=first.log.opened.channel)
    assert _prints(head, recorded) == _prints(first.log.opened, recorded)


def test_a_replay_comes_to_the_states_of_the_live_session(hot_job: Job, tmp_path: Path) -> None:
    """The last state of the driver, which woke when it liked, is the replay's."""
    driven = live(tmp_path / "a.jsonl", hot_job, hot_told(110))
    driven.driver.run()
    *_, last = states(
        driven.log.opened, [event for event in driven.events() if not isinstance(event, Ended)]
    )
    snapshot = driven.driver.snapshot()
    assert _print_of(last[1]) == _print_of(snapshot.state)


@pytest.mark.parametrize(("butter", "told"), [(True, "PEEN"), (False, "LOOK_UNPEENED")])
def test_a_replay_follows_the_coated_faces_of_its_head(
    hot_job: Job, tmp_path: Path, butter: bool, told: str
) -> None:
    """The root is left unpeened: the first run, or where faces are coated one that comes later."""
    rules = msgspec.structs.replace(hot_job.bead, peen_runs="not root")
    joint = msgspec.structs.replace(hot_job.joint, butter=butter)
    job = msgspec.structs.replace(hot_job, joint=joint, bead=rules)
    driven = scripted(tmp_path / "a.jsonl", job, hot_script(110))
    driven.driver.run()

    assert [cue.split()[1] for cue in driven.told()][-2:] == [told, "READY"]
    assert Recording(driven.log.path).head.job.joint.butter is butter
    same_again(driven)


def test_a_lid_closed_over_a_cool_down_is_told_once(hot_job: Job, tmp_path: Path) -> None:
    """Two minutes asleep, the next reading 50 s later: covered it goes on, and GAP waits for nobody."""
    clock = FakeClock()
    told = [*steady(0, 3, 20.0), press_next(3), *steady(4, 20, 250.0)]
    told += [(20.0, Act(t_ms=0, deed="covered"))]
    told += [(21.0 + 60 * k, Reading(t_ms=0, raw=(250.0 - k,), status="ok")) for k in range(5)]
    told += [(300.0, lambda: clock.to(420.0))]
    told += [(470.0 + 60 * k, Reading(t_ms=0, raw=(240.0 - k,), status="ok")) for k in range(6)]
    driven = live(tmp_path / "a.jsonl", hot_job, told, clock)
    driven.driver.run()
    gaps = [e for e in driven.events() if isinstance(e, CueTold) and e.kind == "GAP"]
    assert [(cue.t_s, cue.again) for cue in gaps] == [(420.0, 0)]
    same_again(driven)
