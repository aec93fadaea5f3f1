"""Folding a recording again: state, cues, what differs, what was not told (T-12)."""

from __future__ import annotations

from pathlib import Path

import msgspec
from driving import hot_script, scripted
from written import head_of

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.refold import Refolded, cue_told, refold, states
from pacer.session.cues import Cue, CueKind
from pacer.session.events import (
    Act,
    AnyEvent,
    ClockGap,
    CueTold,
    Inspection,
    Outcome,
    Recovered,
    Resumed,
)
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


def test_only_cues_of_the_last_fact_can_be_untold(hot_job: Job, tmp_path: Path) -> None:
    """A kill comes between a fact and its cue; one lost in the middle stays lost."""
    folded, events = _events(hot_job, tmp_path)
    assert folded.untold == ()
    at = next(i for i, e in enumerate(events) if isinstance(e, Act))
    press, told = events[at], events[at + 1]
    assert isinstance(told, CueTold)
    opened = Recording(tmp_path / "a.jsonl").head

    def untold(*events: AnyEvent) -> list[str]:
        return [str(cue.kind) for cue in refold(opened, events).untold]

    before = events[:at]
    assert untold(*before, press) == [told.kind]
    assert untold(*before, press, told) == []
    assert untold(*before, press, events[at + 2]) == []
    # Killed once more while it went on, and asked meanwhile what became of the repair.
    torn = Recovered(t_ms=press.t_ms, torn=5)
    asked = Outcome(t_ms=press.t_ms, found="no crack found")
    looked = Inspection(t_ms=press.t_ms, look="visual", result="not judged")
    assert untold(*before, press, torn, asked, looked) == [told.kind]
    assert untold(*before, press, torn, told) == []
    # Gap and resumption come in one write, and then the gap's cue.
    heated = events[: at + 30]
    away = ClockGap(t_ms=heated[-1].t_ms, to_ms=heated[-1].t_ms + 900_000, by="wall")
    assert "GAP" in untold(*heated, away, Resumed(t_ms=away.to_ms))
    # A repeat is another cue than the one it repeats.
    assert untold(*before, press, replace(told, again=1)) == [told.kind]


def test_nothing_but_the_head_leaves_its_own_cue_untold(hot_job: Job) -> None:
    """Killed as soon as it was opened."""
    assert [str(cue.kind) for cue in refold(head_of(hot_job), ()).untold] == ["PREPARE"]


def test_a_gap_reaches_to_its_end(hot_job: Job) -> None:
    """Killed before the resumption was written: session time never falls back to the gap's start."""
    gap = ClockGap(t_ms=5000, to_ms=905_000, by="wall")
    folded = refold(head_of(hot_job), [gap])
    assert (folded.last_ms, folded.state.t_s) == (905_000, 905.0)
    # Left by an older program: the next gap begins where that one began.
    older = refold(head_of(hot_job), [gap, replace(gap, to_ms=65_000), Resumed(t_ms=905_000)])
    assert (older.last_ms, older.state.t_s) == (905_000, 905.0)
