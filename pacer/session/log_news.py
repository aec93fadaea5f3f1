"""What the welder is told of the recording itself: LOG NOT SAVED, LOG MOVED.

Beside the prompt (`prompt.py`), for it says nothing about the work: neither takes the
other's place. Told at once, but in a bead, its peen and its look, seconds that are needed;
the top line of the screen says it even then (`screen/view.py`). A press answers what fills
the screen and does nothing else; a WARN or FAULT of the work comes first.
"""

from __future__ import annotations

import msgspec

from pacer.session import prompt
from pacer.session.cues import Cue, CueKind, Urgency
from pacer.session.events import Act, Trouble
from pacer.session.state import LogNews, State
from pacer.session.timers import Timer, after
from pacer.session.work import Phase

replace = msgspec.structs.replace

NAME = "log"

_SECONDS = frozenset({Phase.BEAD, Phase.PEEN, Phase.LOOK})

TOLD_AGAIN_S = 60.0
"""A disk that fails again and again is told once a minute (reliability.md section 6, re-alarm)."""


def heard(state: State, event: Trouble) -> State:
    """Return the state after news of the recording: not saved, moved, or saved again."""
    if event.what == "log":
        return replace(state, log=LogNews(CueKind.LOG_NOT_SAVED, event.why))
    if event.what == "log moved":
        return replace(state, log=LogNews(CueKind.LOG_MOVED, event.why))
    unsaved = state.log is not None and state.log.kind is CueKind.LOG_NOT_SAVED
    return replace(state, log=None) if unsaved else state


def timers(state: State) -> list[Timer]:
    """When it is told, and told again."""
    news = state.log
    if news is None or news.answered or state.phase in _SECONDS:
        return []
    if news.told_s is None:
        if prompt.aside(state, news.kind):
            return []
        due_s = state.t_s
        if news.kind is CueKind.LOG_NOT_SAVED and state.log_told_s is not None:
            due_s = max(due_s, after(state.log_told_s, TOLD_AGAIN_S))
        return [Timer(due_s, NAME, rank=0)]
    waits = prompt.AGAIN_S[Urgency.FAULT]
    if news.again >= len(waits):
        return []
    return [Timer(after(news.told_s, waits[news.again]), NAME, rank=0)]


def on_timer(state: State, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Tell it, or tell it again."""
    news = state.log
    assert news is not None
    again = 0 if news.told_s is None else news.again + 1
    state = replace(state, log=replace(news, told_s=t_s, again=again))
    if news.kind is CueKind.LOG_NOT_SAVED:
        state = replace(state, log_told_s=t_s)
    return state, (Cue(kind=news.kind, t_s=t_s, because=news.why, again=again),)


def unanswered(state: State) -> Cue | None:
    """Return what of the recording waits for an answer and fills the screen, or None."""
    news = state.log
    if news is None or news.answered or news.told_s is None:
        return None
    if state.phase in _SECONDS or prompt.alarm_fills(state):
        return None
    return Cue(kind=news.kind, t_s=news.told_s, because=news.why, again=news.again)


def answered(state: State, act: Act) -> State | None:
    """Return the state with the news answered or put aside, None where the act isn't about that."""
    news = state.log
    if news is None or news.told_s is None or unanswered(state) is None:
        return None
    if act.deed == "shelve":
        return _aside(state, news, act.t_s)
    if act.deed != "next" or act.by not in prompt.HANDS:
        return None
    if act.t_s - news.told_s < prompt.UNSEEN_S - 1e-9:
        return replace(state, ignored=state.ignored + 1)
    return replace(state, log=replace(news, answered=True))


def _aside(state: State, news: LogNews, t_s: float) -> State:
    if news.kind is CueKind.LOG_MOVED:
        # Nothing is to be done about it: there is no need to hear of it again.
        return replace(state, log=replace(news, answered=True))
    # What still holds when the shelf ends is told anew.
    state = prompt.put_aside(state, news.kind, t_s)
    return replace(state, log=replace(news, told_s=None, again=0))
