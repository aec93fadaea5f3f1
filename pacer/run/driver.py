"""The driver: stamps events, writes them, folds them, tells the cues.

Order, for every event: timers due before it are told, the event is on disk, then it is
folded, then its cues are on disk, then sounded. The log is critical: its failure is on
the screen at once. Sinks are not: a failing one is recorded and dropped.
The driver is the only one that folds; screens read `snapshot()` and call `press()`.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Sequence
from functools import partial

import msgspec

from pacer.clock import Clock, stamp
from pacer.recording.limits import recordable
from pacer.recording.writing.writer import NOT_SAVED, Log
from pacer.run.clocks import BEAT_S, Clocks, Look
from pacer.run.refold import cue_told
from pacer.run.tellers import Tellers
from pacer.run.trend import Trend
from pacer.screen.desk import BY_THE_WELDER, Kind, Pace, Snapshot
from pacer.sensor.source import Heard, Source
from pacer.session.cues import Cue
from pacer.session.events import (
    Act,
    AnyEvent,
    ClockGap,
    Deed,
    GapBy,
    LogWord,
    Trouble,
    WallStepped,
)
from pacer.session.fold import advance, deadline, step
from pacer.session.state import State
from pacer.session.timers import Timer
from pacer.sound.sink import Sink
from pacer.text import clean
from pacer.units import Shown

replace = msgspec.structs.replace

MARK_EVERY_S = 60.0
_REST_S = 0.05
_MOST_NEWS = 4
"Of the log in one turn: a disk may fail at every other write."


class Driver:
    """One session, from its head to its end; a `Desk` for the screen."""

    def __init__(
        self,
        *,
        log: Log,
        source: Source,
        clock: Clock,
        state: State,
        cues: Sequence[Cue],
        told: int = 0,
        kind: Kind = "live",
        shown: Shown | None = None,
        sinks: Sequence[Sink] = (),
        off: Callable[[], Sequence[str]] = tuple,
        trend: Trend | None = None,
        damaged: bool = False,
    ) -> None:
        """Take over a state just begun or recovered.

        `cues` are the fold's cues so far; the first `told` of them are already in the log
        and are not sounded again. `off` returns what can't tell or hear just now, in lines.
        `trend` is what was measured before the session was taken up again, `damaged` that
        its recording lacks something.
        """
        self._log = log
        self._source = source
        self._clock = clock
        self._state = state
        self._due_of: State | None = None
        self._due: Timer | None = None
        self._kind: Kind = kind
        self._shown = shown or Shown("metric")
        self._tellers = Tellers(sinks, off)
        self._t_ms = round(state.t_s * 1000)
        self._marked_ms = self._t_ms
        self._moved, self._unsaved = "", False
        self._clocks = Clocks(clock, source.clock)
        self._timed = source.clk == "source"
        self._lock = threading.Lock()
        self._cues: deque[Cue] = deque(cues[:told], maxlen=20)
        self._trend = trend or Trend()
        self._damaged = damaged
        self._stopping = ""
        self._over = False
        self._changed: Callable[[], None] = _nobody
        self._looked: Callable[[], None] = _nobody
        self._fault = ""
        self._done = threading.Event()
        self._tell(tuple(cues[told:]))

    # --- the loop -----------------------------------------------------------------

    def run(self) -> None:
        """Drive until the source ends or `stop()` is called, then close the recording."""
        why = "stopped by a fault in the program"
        try:
            while not self._stopping and not self._source.finished:
                self.turn()
            if not self._timed and not self._log.trouble:
                # Stopped at the moment of waking: missed timers must not fire then either.
                self._look_at_clocks([])
                self._advance(self._source.clock())
            else:
                # What is due at the very last moment: a replay finds it due at the end's record.
                self._advance(self._t_ms / 1000)
            why = self._stopping or "the source ended"
        except BaseException as error:
            # A screen that went on counting would be worse than none.
            self._fault = f"{NOT_SAVED}the session stopped ({clean(type(error).__name__)})"
            raise
        finally:
            # The record first: a port can take its time to close.
            self._over = True
            try:
                self._log.end(self._t_ms, why, self._wall(), self._clock.now_s())
            finally:
                self._done.set()
                self._tellers.close()
                self._source.close()

    def turn(self) -> None:
        """Wait for the next input or deadline, whichever is earlier, and deal with it."""
        due = self._next()
        until_s = due.t_s if due else None
        if not self._timed:
            # A last reading before a silence is on disk within a second too. Never a rest of next
            # to nothing: a clock that stands still meanwhile would be asked for ever.
            rest_s = max(_REST_S, min(BEAT_S, self._log.patience_s(self._clock.now_s())))
            beat_s = self._source.clock() + rest_s
            until_s = beat_s if until_s is None else min(until_s, beat_s)
        heard = self._source.read(until_s)
        if not self._timed:
            heard = self._look_at_clocks(heard)
        for item in heard:
            self._take(item)
        if not heard:
            self._advance(self._source.clock())
        self._log.beat(self._clock.now_s())
        self._follow_log()
        if self._t_ms - self._marked_ms >= MARK_EVERY_S * 1000:
            self._marked_ms = self._t_ms
            self._log.mark(self._t_ms, self._wall(), self._clock.now_s())

    def _follow_log(self) -> None:
        """Write down what became of the log, and tell it.

        A single write that failed has been mended by the beat before this: nobody need hear of it.
        """
        for _ in range(_MOST_NEWS):
            word: LogWord
            if self._log.moved != self._moved:
                word, why = "log moved", self._log.moved
                # Moved it is saved, unless there is trouble again.
                self._moved, self._unsaved = why, False
            elif self._log.trouble and not self._unsaved:
                word, why = "log", self._log.trouble.removeprefix(NOT_SAVED)
                self._unsaved = True
            elif self._unsaved and not self._log.trouble:
                word, why = "log saved", "all of it"
                self._unsaved = False
            else:
                break
            self._write_and_fold(Trouble(t_ms=self._t_ms, what=word, why=why))
        if self._unsaved or self._state.log is not None:
            self._advance(self._t_ms / 1000)

    def _take(self, item: Heard) -> None:
        """Stamp, write and fold one item."""
        # The one place where time is stamped: whole ms, never going back.
        self._advance(item.t_s)
        event = replace(item.event, t_ms=self._t_ms)
        if isinstance(event, Act) and event.wall is None:
            event = replace(event, wall=self._wall())
        self._write_and_fold(recordable(event))

    def _write_and_fold(self, event: AnyEvent) -> None:
        written = self._log.append(event, self._clock.now_s())
        state, cues = step(self._state, written)
        with self._lock:
            before, self._state = self._state, state
            self._trend.add(state)
        self._told_and_drawn(before, cues)

    def _told_and_drawn(self, before: State, cues: Sequence[Cue]) -> None:
        failed: list[tuple[str, str]] = []
        if _waits(before) - _waits(self._state):
            # Before what the answer brings: else an alarm would go on sounding over it.
            failed = self._tellers.each(lambda sink: sink.hush())
        self._tell(cues, failed)
        self._changed()

    def _next(self) -> Timer | None:
        """Return what is due next, worked out once a state."""
        if self._due_of is not self._state:
            self._due_of, self._due = self._state, deadline(self._state)
        return self._due

    def _advance(self, t_s: float) -> None:
        # Whole ms here too: a replay, which never saw this waking, must find the same times.
        self._t_ms = max(self._t_ms, round(t_s * 1000))
        due = self._next()
        if due is None or due.t_s > self._t_ms / 1000:
            return
        state, cues = advance(self._state, self._t_ms / 1000)
        with self._lock:
            before, self._state = self._state, state
        self._told_and_drawn(before, cues)

    def _tell(self, cues: Sequence[Cue], failed: Sequence[tuple[str, str]] = ()) -> None:
        failed = list(failed)
        for cue in cues:
            self._log.append(cue_told(cue, self._shown), self._clock.now_s())
            with self._lock:
                self._cues.append(cue)
            failed += self._tellers.each(partial(_play, cue))
            self._source.hear(cue)
        # Only now: cues of one waking may be older than the waking itself.
        for name, why in failed:
            self._write_and_fold(Trouble(t_ms=self._t_ms, what=name, why=why))

    # --- clocks -------------------------------------------------------------------

    def _look_at_clocks(self, heard: list[Heard]) -> list[Heard]:
        """Write down time nobody watched, and a wall clock that was set; return what is left to take."""
        look = self._clocks.look()
        if look.missed is not None:
            heard = self._miss(look, look.missed, heard)
        if look.step_s:
            stepped = WallStepped(t_ms=self._t_ms, step_s=look.step_s, wall=stamp(look.wall))
            self._write_and_fold(stepped)
        return heard

    def _miss(self, look: Look, by: GapBy, heard: list[Heard]) -> list[Heard]:
        """Write down time nobody watched; return what was heard after it.

        What came in before a sleep and still waits is older than the sleep: stamped after it,
        it would be believed as the part's temperature now.
        """
        for item in heard:
            if item.t_s <= look.asleep_s:
                self._take(item)
        why, to_ms = "suspended or stalled", round(look.now_s * 1000)
        gap = ClockGap(t_ms=self._t_ms, to_ms=to_ms, why=why, by=by)
        self._t_ms = gap.to_ms
        self._write_and_fold(gap)
        return [item for item in heard if item.t_s > look.asleep_s]

    def _wall(self) -> str:
        return stamp(self._clock.wall())

    # --- the desk, called from the screen's thread -----------------------------------

    def snapshot(self) -> Snapshot:
        """Return the present moment."""
        self._looked()
        now_s = self._source.clock()
        with self._lock:
            state, cues, trend = self._state, tuple(self._cues), self._trend.points()
        return Snapshot(
            state=state,
            t_s=max(now_s, state.t_s),
            kind=self._kind,
            trend=trend,
            cues=cues,
            log=clean(self._log.path.name),
            trouble=self._fault or self._log.trouble,
            only_in_memory=self._log.only_in_memory if self._log.trouble else 0,
            damaged=self._damaged,
            off=self._tellers.off,
            speed=float(getattr(self._source, "rate", 1.0)),
            paused=bool(getattr(self._source, "paused", False)),
            over=self._over,
            invented=self._source.invented,
        )

    def press(
        self,
        deed: Deed,
        *,
        temp_c: float | None = None,
        side: int = 0,
        length_m: float | None = None,
        text: str | None = None,
    ) -> None:
        """Pass on what the welder did."""
        words_ = clean(text) if text is not None else None
        act = Act(t_ms=0, deed=deed, temp_c=temp_c, side=side, length_m=length_m, text=words_)
        self._source.post(act)

    def pace(self, word: Pace) -> None:
        """Change the pace of a practice part; a real one goes at its own."""
        change = getattr(self._source, "pace", None)
        if change is not None:
            change(word)

    def jump(self, t_s: float) -> str:
        """Only what is over can be gone through."""
        return "Only a replay can go to another time"

    def ask_to_stop(self, why: str = BY_THE_WELDER) -> None:
        """End the session soon, for the first reason given; safe in a signal handler."""
        self._stopping = self._stopping or why

    def stop(self, why: str = BY_THE_WELDER) -> None:
        """End the session; returns when the recording is closed."""
        self.ask_to_stop(why)
        # A live driver wakes within a beat, a practice part within a step.
        self._done.wait(timeout=10 * BEAT_S)

    def add_sink(self, sink: Sink) -> None:
        """Play cues there too, from now on."""
        self._tellers.add(sink)

    def on_change(self, changed: Callable[[], None]) -> None:
        """Call `changed` after every change of the state, in the driver's thread; it must not wait."""
        self._changed = changed

    def on_look(self, looked: Callable[[], None]) -> None:
        """Call `looked` at every snapshot taken, in the screen's thread; it must not wait."""
        self._looked = looked

    def note_trouble(self, what: str, why: str) -> None:
        """Write down that a part of the program failed; from any thread."""
        self._source.post(Trouble(t_ms=0, what=what, why=clean(why, 200)))


def _nobody() -> None:
    """Nobody wants to know."""


def _play(cue: Cue, sink: Sink) -> None:
    sink.play(cue)


def _waits(state: State) -> set[str]:
    """Return whether something waits for an answer: of the work, of the log."""
    asked = {"work": state.prompt, "log": state.log}
    return {of for of, waits in asked.items() if waits is not None and not waits.answered}
