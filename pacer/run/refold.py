"""Fold a recording again: recovery, replay, cool-down and audit start here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from pacer.screen.words import because, words
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, CueTold, Opened
from pacer.session.fold import begin, step
from pacer.session.state import State
from pacer.units import Shown


@dataclass(frozen=True, slots=True)
class Refolded:
    """What a recording's facts come to with today's rules."""

    state: State
    cues: tuple[Cue, ...]
    recorded: tuple[CueTold, ...]
    "The cues as they were told then."
    last_ms: int
    "Session time of the last record."


def cue_told(cue: Cue, shown: Shown) -> CueTold:
    """Return the record of a cue, with its words in the user's units."""
    return CueTold(
        t_ms=round(cue.t_s * 1000),
        kind=cue.kind,
        urgency=cue.urgency,
        values=cue.values,
        words=words(cue, shown),
        because=because(cue, shown),
        again=cue.again,
    )


def untold(folded: Refolded) -> tuple[Cue, ...]:
    """Return the cues after the last recorded one: their event was written, they were not."""
    if not folded.recorded:
        return folded.cues
    last = folded.recorded[-1]
    times = [(round(cue.t_s * 1000), str(cue.kind)) for cue in folded.cues]
    for index in range(len(times) - 1, -1, -1):
        if times[index] == (last.t_ms, last.kind):
            return folded.cues[index + 1 :]
    return tuple(cue for cue in folded.cues if round(cue.t_s * 1000) > last.t_ms)


def states(
    opened: Opened, events: Iterable[AnyEvent]
) -> Iterator[tuple[AnyEvent | None, State, tuple[Cue, ...]]]:
    """Yield (event, state after it, its cues); first the head's with None for the event."""
    state, cues = begin(opened)
    yield None, state, cues
    for event in events:
        # A recorded cue is a moment somebody was awake: timers due by then have fired.
        state, cues = step(state, event)
        yield event, state, cues


def refold(
    opened: Opened, events: Iterable[AnyEvent], seen: Callable[[State], None] | None = None
) -> Refolded:
    """Return state and cues after a whole recording; `seen` is shown the state after each event."""
    cues: list[Cue] = []
    recorded: list[CueTold] = []
    last_ms = opened.t_ms
    walk = states(opened, events)
    _, state, first = next(walk)
    cues.extend(first)
    for event, state, more in walk:
        cues.extend(more)
        if seen is not None:
            seen(state)
        if isinstance(event, CueTold):
            recorded.append(event)
        if event is not None:
            last_ms = max(last_ms, event.t_ms)
    return Refolded(state, tuple(cues), tuple(recorded), last_ms)
