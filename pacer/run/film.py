"""`Film`: a recording folded once, so that any moment of it can be looked at.

    film = Film(Recording(path))
    film.snapshot(film.phases[1][1], speed=10.0, paused=False)

It has no clock: who plays it, forwards, backwards or beside another, says the moment.
Events are kept as their lines, packed, with a folded state before each block of them: a
look anywhere unpacks one block and folds at most so many events. Packed lines, not places
in the file: what is shown stays what was read, whatever happens to the file meanwhile.
"""

from __future__ import annotations

import bisect
import zlib
from collections.abc import Callable, Iterator

from pacer.recording.codec import decode
from pacer.recording.reader import Recording
from pacer.review.rules.rule import Step
from pacer.review.table import table
from pacer.run.curve import Curve
from pacer.run.reviewing import numbered
from pacer.run.trend import Trend
from pacer.screen.desk import Snapshot
from pacer.session.cues import Cue
from pacer.session.events import Afterwards, AnyEvent, CueTold, Opened
from pacer.session.excursion import Excursion, follow
from pacer.session.fold import advance, step
from pacer.session.state import State
from pacer.session.stays import entered
from pacer.session.work import Phase

_BLOCK = 500
"""Events between kept states: a look folds at most so many, some 25 ms."""

_CUES_SHOWN = 20


class _Block:
    """Some lines, the time of the first and the state before it."""

    def __init__(self, state: State, from_s: float, lines: list[bytes]) -> None:
        self.state, self.from_s = state, from_s
        self._packed = zlib.compress(b"".join(lines), 1)

    def events(self, seed: int) -> list[AnyEvent]:
        lines = zlib.decompress(self._packed).splitlines(keepends=True)
        decoded = (decode(line, seed).event for line in lines)
        return [event for event in decoded if event is not None]


class Film:
    """What a recording holds, and its state at any moment, by today's rules."""

    def __init__(
        self, recording: Recording, progress: Callable[[float], None] | None = None
    ) -> None:
        """Read and fold the whole recording; `progress` hears how far it is, 0 to 1."""
        self.name, self.head = recording.name, recording.head
        self.start_s = self.head.t_s
        self._seed = recording.seed
        self._fold(recording, progress)
        self.damage = recording.damage
        "What was found wrong while reading."
        self._unpacked: tuple[int, list[AnyEvent]] = (-1, [])
        self._last: tuple[int, int, State] | None = None
        self._cue_times = [cue.t_s for cue in self.cues]

    def _fold(self, recording: Recording, progress: Callable[[float], None] | None) -> None:
        lines: list[bytes] = []
        size = max(1, recording.path.stat().st_size)

        def read() -> None:
            if progress is not None:
                progress(min(1.0, recording.sound_end / size))

        kept = _Kept(self.head, lines, read)
        self.findings = tuple(table(numbered(self.head, _events(recording, lines)), kept).findings)
        kept.end()
        self._begin, self._blocks, self.end_s = kept.begin, kept.blocks, kept.end_s
        self.cues, self.recorded = tuple(kept.cues), tuple(kept.recorded)
        self.phases, self.curve = tuple(kept.phases), kept.curve
        self.excursions = tuple((e.from_s, e.to_s, e.kind) for e in kept.excursions)
        self._trend = kept.trend.points()

    def state_at(self, t_s: float) -> State:
        """Return the state at a moment, timers due by then fired; the head's before the start.

        In a gap it is the one at the gap's start: nobody was there, and no timer fired.
        """
        return self._at(t_s)[0]

    def _at(self, t_s: float) -> tuple[State, bool]:
        """Return the state at a moment, and whether anybody watched."""
        t_s = max(t_s, self.start_s)
        at = bisect.bisect_right(self._blocks, t_s, key=lambda block: block.from_s) - 1
        if at < 0:
            return advance(self._begin, t_s)[0], True
        done, state = 0, self._blocks[at].state
        if self._last is not None and self._last[0] == at and self._last[2].t_s <= t_s:
            _, done, state = self._last
        events = self._unpack(at)
        while done < len(events) and events[done].known_s <= t_s:
            state, _ = step(state, events[done])
            done += 1
        self._last = (at, done, state)
        if done < len(events) and events[done].t_s < t_s:
            return advance(state, events[done].t_s)[0], False
        return advance(state, t_s)[0], True

    def _unpack(self, at: int) -> list[AnyEvent]:
        if self._unpacked[0] != at:
            self._unpacked = (at, self._blocks[at].events(self._seed))
        return self._unpacked[1]

    def record_after(self, t_s: float) -> float:
        """Return the time of the first record after `t_s`, s; the end where there is none."""
        at = bisect.bisect_right(self._blocks, t_s, key=lambda block: block.from_s)
        if at > 0:
            later = [event.t_s for event in self._unpack(at - 1) if event.t_s > t_s]
            if later:
                return min(self.end_s, *later)
        return min(self.end_s, self._blocks[at].from_s) if at < len(self._blocks) else self.end_s

    def record_before(self, t_s: float) -> float:
        """Return the time of the last record before `t_s`, s; the start where there is none."""
        at = bisect.bisect_left(self._blocks, t_s, key=lambda block: block.from_s) - 1
        if at < 0:
            return self.start_s
        earlier = (event.t_s for event in self._unpack(at) if event.t_s < t_s)
        return max(earlier, default=self.start_s)

    def snapshot(self, t_s: float, *, speed: float, paused: bool) -> Snapshot:
        """Return what is shown of a moment; nothing of it was known later than `t_s`.

        But that nobody watched just then, where so.
        """
        state, watched = self._at(t_s)
        shown = bisect.bisect_right(self._cue_times, t_s)
        seen = bisect.bisect_right(self._trend, t_s, key=lambda point: point[0])
        return Snapshot(
            state=state,
            t_s=t_s,
            kind="replay",
            trend=self._trend[:seen],
            cues=self.cues[max(0, shown - _CUES_SHOWN) : shown],
            log=self.name,
            speed=speed,
            paused=paused,
            over=t_s <= self.start_s if speed < 0 else t_s >= self.end_s,
            invented=self.head.invented,
            damaged=not self.damage.sound,
            findings=self.findings,
            watched=watched,
        )


class _Kept:
    """What is kept of a recording while the review folds it; `lines` are those not packed yet."""

    def __init__(self, head: Opened, lines: list[bytes], read: Callable[[], None]) -> None:
        self._lines, self._read = lines, read
        self.end_s = self._from_s = head.t_s
        self.blocks: list[_Block] = []
        self.cues: list[Cue] = []
        self.recorded: list[CueTold] = []
        self.phases: list[tuple[Phase, float]] = []
        self.excursions: list[Excursion] = []
        self.trend, self.curve = Trend(), Curve()

    def see(self, step: Step) -> None:
        """Keep what a look at any moment needs."""
        event, state = step.event, step.state
        self.cues.extend(step.cues)
        if event is None:
            self.begin = self._before = self._last = state
            self.phases.append(entered(state, self.end_s, None))
            return
        if isinstance(event, CueTold):
            self.recorded.append(event)
        if not isinstance(event, Afterwards):
            # What became of the part may be written down weeks later.
            self.end_s = max(self.end_s, event.known_s)
        stay = entered(state, event.known_s, self.phases[-1])
        if stay != self.phases[-1]:
            self.phases.append(stay)
        follow(self.excursions, state, event.t_s)
        self.trend.add(state)
        self.curve.add(state)
        if len(self._lines) == 1:
            # A cue's record may have an earlier time than the event before it.
            self._from_s = max(event.t_s, self._before.t_s)
        self._last = state
        if len(self._lines) == _BLOCK:
            self.end()
            self._read()

    def end(self) -> None:
        """Pack the lines since the last block."""
        if self._lines:
            self.blocks.append(_Block(self._before, self._from_s, self._lines))
            self._before = self._last
            self._lines.clear()


def _events(recording: Recording, lines: list[bytes]) -> Iterator[tuple[int, AnyEvent]]:
    """Yield every event with its record's number, its line put at the end of `lines` just before."""
    for record in recording.records():
        if record.event is not None:
            lines.append(record.line)
            yield record.q, record.event
