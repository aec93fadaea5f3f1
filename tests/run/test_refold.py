"""Folding a recording again: state, cues, what differs, what was not told (T-12)."""

from __future__ import annotations

from pathlib import Path

import msgspec
from driving import hot_script, scripted

from pacer.job.job import Job
from pacer.run.refold import Refolded, cue_told, refold, states, untold
from pacer.session.cues import Cue, CueKind
from pacer.session.events import AnyEvent, CueTold
from pacer.session.fold import fold
from pacer.units import Shown

replace = msgspec.structs.replace


def _events(job: Job, tmp_path: Path) -> tuple[Refolded, list[AnyEvent]]:
    driven = scripted(tmp_path / "a.jsonl", job, hot_script())
    driven.driver.run()
    events = driven.events()
    return refold(driven.log.opened, events), events


def test_folding_again_gives_state_and_cues(hot_job: Job, tmp_path: Path) -> None:
    """The same fold as live, over the events on disk."""
    driven = scripted(tmp_path / "a.jsonl", hot_job, hot_script())
    driven.driver.run()
    events = driven.events()
    folded = refold(driven.log.opened, events)
    state, cues = fold(driven.log.opened, events)
    assert (folded.state, folded.cues) == (state, cues)
    assert folded.last_ms == events[-1].t_ms
    assert [event.kind for event in folded.recorded] == [cue.kind for cue in cues]
    walked = list(states(driven.log.opened, events))
    assert len(walked) == len(events) + 1
    assert walked[0][0] is None
    assert walked[-1][1] == state


def test_recorded_cues_change_nothing(hot_job: Job, tmp_path: Path) -> None:
    """Facts only: without its cue records a recording folds to the same cues."""
    driven = scripted(tmp_path / "a.jsonl", hot_job, hot_script())
    driven.driver.run()
    events = driven.events()
    facts = [event for event in events if not isinstance(event, CueTold)]
    assert refold(driven.log.opened, facts).cues == refold(driven.log.opened, events).cues


def test_a_cue_is_recorded_with_its_words_in_the_users_units() -> None:
    """212 °F = 100 °C (definition of the scale)."""
    cue = Cue(kind=CueKind.TOO_HOT, t_s=1.2504, values={"temp_c": 100.0, "ceiling_c": 60.0})
    told = cue_told(cue, Shown("us"))
    assert (told.t_ms, told.kind, told.urgency, told.values) == (
        1250,
        "TOO_HOT",
        "WARN",
        cue.values,
    )
    assert "212" in told.words


def test_only_what_comes_after_the_last_recorded_cue_is_untold(
    hot_job: Job, tmp_path: Path
) -> None:
    """A crash between an event and its cue; a cue lost in the middle stays lost."""
    folded, _ = _events(hot_job, tmp_path)

    def rest(recorded: tuple[CueTold, ...]) -> int:
        return len(untold(Refolded(folded.state, folded.cues, recorded, folded.last_ms)))

    told = folded.recorded
    assert rest(told) == 0
    assert rest(told[:-1]) == 1
    assert rest(()) == len(told)
    assert rest(told[:2] + told[3:]) == 0
    # Told by older rules at another moment: only later ones are missing.
    moved = (*told[:-2], replace(told[-2], t_ms=told[-2].t_ms + 1))
    assert rest(moved) == 1
