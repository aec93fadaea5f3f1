"""The replay: the same screen over a recorded log, with pause, pace and jumps both ways."""

from __future__ import annotations

import bisect
from collections.abc import Callable

from pacer.clock import Clock
from pacer.recording.reader import Recording
from pacer.run.refold import differences, states
from pacer.run.trend import Trend
from pacer.screen.desk import BY_THE_WELDER, Pace, Snapshot
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, CueTold, Deed
from pacer.session.fold import advance, step
from pacer.session.state import State

_EVERY = 500
"""Events between kept states: a jump folds at most so many again."""

_AGAIN_S = 1.0
"""Of the viewer's time: a second press within it is meant to go on from the first."""

_SPEEDS = (1.0, 2.0, 5.0, 10.0, 20.0, 60.0, 200.0, 1000.0)


class Replay:
    """A `Desk` over a recording; `clock` is any steady clock."""

    def __init__(self, recording: Recording, clock: Clock, speed: float = 10.0) -> None:
        """Fold the whole recording once: cues, kept states and the trend."""
        self._recording = recording
        self._clock = clock
        self._speed = speed
        self._paused = False
        self._last: tuple[int, State] | None = None
        self._events: list[AnyEvent] = []
        self._kept: list[tuple[int, State]] = []
        self._trend = Trend()
        cues: list[Cue] = []
        recorded: list[CueTold] = []
        state: State | None = None
        for event, state, more in states(recording.head, recording.events()):
            if event is not None:
                self._events.append(event)
                if isinstance(event, CueTold):
                    recorded.append(event)
                self._trend.add(state)
            if len(self._events) % _EVERY == 0:
                self._kept.append((len(self._events), state))
            cues.extend(more)
        self.cues = tuple(cues)
        self.recorded = tuple(recorded)
        self._times = [event.t_s for event in self._events]
        self.end_s = self._times[-1] if self._times else recording.head.t_s
        self._base_t_s = self._t_s = recording.head.t_s
        self._base_at_s = clock.now_s()
        self._state_at(self._t_s)

    def differences(self) -> list[str]:
        """Return one line for each cue that differs from the one recorded."""
        return differences(self.cues, self.recorded)

    def _now(self) -> float:
        run_s = 0.0 if self._paused else (self._clock.now_s() - self._base_at_s) * self._speed
        return min(self.end_s, self._base_t_s + run_s)

    def _rebase(self, t_s: float) -> None:
        self._base_t_s, self._base_at_s = t_s, self._clock.now_s()

    def _state_at(self, t_s: float) -> State:
        """Return the state at `t_s`, folding on from the nearest kept one before it."""
        upto = bisect.bisect_right(self._times, t_s)
        place = bisect.bisect_right(self._kept, upto, key=lambda kept: kept[0]) - 1
        done, state = self._kept[max(0, place)]
        last = self._last
        if last is not None and done <= last[0] <= upto and last[1].t_s <= t_s:
            done, state = last
        for event in self._events[done:upto]:
            state, _ = step(state, event)
        self._last = (upto, state)
        return advance(state, t_s)[0]

    def snapshot(self) -> Snapshot:
        """Return the moment the replay has come to."""
        t_s = self._now()
        state = self._state_at(t_s)
        shown = bisect.bisect_right(self.cues, t_s, key=lambda cue: cue.t_s)
        points = self._trend.points()
        seen = bisect.bisect_right(points, t_s, key=lambda point: point[0])
        return Snapshot(
            state=state,
            t_s=t_s,
            kind="replay",
            trend=points[:seen],
            cues=self.cues[max(0, shown - 20) : shown],
            log=self._recording.name,
            speed=self._speed,
            paused=self._paused,
            over=t_s >= self.end_s,
            invented=self._recording.head.invented,
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
        """A replay changes nothing."""

    def pace(self, word: Pace) -> None:
        """Pause, go faster or slower, jump to the next or the previous cue."""
        t_s = self._now()
        if word == "pause":
            self._paused = not self._paused
        elif word in {"faster", "slower"}:
            at = min(range(len(_SPEEDS)), key=lambda i: abs(_SPEEDS[i] - self._speed))
            at += 1 if word == "faster" else -1
            self._speed = _SPEEDS[max(0, min(len(_SPEEDS) - 1, at))]
        else:
            t_s = self._cue_beside(t_s, forward=word == "next cue")
        self._rebase(t_s)

    def _cue_beside(self, t_s: float, *, forward: bool) -> float:
        times = [cue.t_s for cue in self.cues]
        if forward:
            at = bisect.bisect_right(times, t_s)
            return times[at] if at < len(times) else self.end_s
        # Pressed again soon: count from where the last press led, however fast time runs on.
        if self._clock.now_s() - self._base_at_s < _AGAIN_S:
            t_s = self._base_t_s
        at = bisect.bisect_left(times, t_s) - 1
        return times[at] if at >= 0 else self._recording.head.t_s

    def stop(self, why: str = BY_THE_WELDER) -> None:
        """Nothing to close."""

    def on_change(self, changed: Callable[[], None]) -> None:
        """Nothing changes but by the passing of time."""
