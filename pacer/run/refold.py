"""Fold a recording again: recovery, replay, cool-down and audit start here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from pacer.screen.words import because, words
from pacer.session.cues import Cue
from pacer.session.events import Afterwards, AnyEvent, CueTold, Opened, Recovered, Resumed
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
    "Session time that the last record tells of: for a gap its end."
    untold: tuple[Cue, ...]
    "Cues of the last fact that were not written down any more: a kill came between."


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


class LastFact:
    """The cues of a recording's last fact, and which of them were written down.

    Cues are written right after their fact, in order, so that a kill can only cost some at
    the end. What today's rules tell otherwise earlier on was never due to be written.
    """

    def __init__(self) -> None:
        self._cues: list[Cue] = []
        self._written: set[tuple[int, str, int]] = set()

    def take(self, event: AnyEvent | None, cues: Iterable[Cue]) -> None:
        """Take what `states` yields."""
        if isinstance(event, CueTold):
            self._written.add((event.t_ms, event.kind, event.again))
        elif not isinstance(event, Recovered | Afterwards | Resumed):
            # All but the last are written after a kill, perhaps before what it cost; the last is in
            # one write with the gap before it.
            self._cues.clear()
            self._written.clear()
        self._cues.extend(cues)

    def untold(self) -> tuple[Cue, ...]:
        """Return those after the last one that was written."""
        for at in range(len(self._cues), 0, -1):
            cue = self._cues[at - 1]
            if (round(cue.t_s * 1000), cue.kind, cue.again) in self._written:
                return tuple(self._cues[at:])
        return tuple(self._cues)


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
    last_ms, last = opened.t_ms, LastFact()
    walk = states(opened, events)
    _, state, first = next(walk)
    cues.extend(first)
    last.take(None, first)
    for event, state, more in walk:
        cues.extend(more)
        last.take(event, more)
        if seen is not None:
            seen(state)
        if isinstance(event, CueTold):
            recorded.append(event)
        if event is not None:
            last_ms = max(last_ms, event.known_ms)
    return Refolded(state, tuple(cues), tuple(recorded), last_ms, last.untold())
