"""`Playback`: where a replay stands: paused or not, how fast, which way, and jumps.

Knows no recording: times are seconds on one axis, session time for a replay, time since the
aligned moment for two side by side.
"""

from __future__ import annotations

import bisect
from collections.abc import Callable, Sequence
from typing import NamedTuple

from pacer.clock import Clock
from pacer.screen.desk import Pace

SPEEDS = (1.0, 2.0, 5.0, 10.0, 20.0, 60.0, 200.0, 1000.0)

_AGAIN_S = 1.0
"""Of the viewer's time: a second press within it is meant to go on from the first."""


_FAR_S = 60.0
"""How far the arrows up and down go."""


class Marks(NamedTuple):
    """What keys jump to, times on the axis in s, ascending."""

    cues_s: Sequence[float]
    excursions_s: Sequence[float]
    phases_s: Sequence[float]
    record_after: Callable[[float], float]
    "The time of the next record after a time, or the end."
    record_before: Callable[[float], float]


class Playback:
    """Time from `start_s` to `end_s` as it is played; `clock` is any steady clock."""

    def __init__(
        self,
        clock: Clock,
        start_s: float,
        end_s: float,
        *,
        speed: float = 10.0,
        at_s: float | None = None,
    ) -> None:
        """Begin to play at `at_s`, or at the start."""
        self._clock = clock
        self.start_s, self.end_s = start_s, end_s
        self.speed = speed
        self.paused = False
        self.backwards = False
        self.to(start_s if at_s is None else at_s)

    def now_s(self) -> float:
        """Return where it stands, never before the start or after the end."""
        passed_s = 0.0 if self.paused else self._clock.now_s() - self._from_clock_s
        way = -1.0 if self.backwards else 1.0
        return self._within(self._from_s + way * passed_s * self.speed)

    @property
    def over(self) -> bool:
        """True where it can go no further its way."""
        return self.now_s() == (self.start_s if self.backwards else self.end_s)

    def to(self, t_s: float) -> None:
        """Jump, and go on from there as before."""
        self._from_s, self._from_clock_s = self._within(t_s), self._clock.now_s()

    def by(self, step_s: float) -> None:
        """Jump so many seconds on, or back where negative."""
        self.to(self.now_s() + step_s)

    def pause(self) -> None:
        """Stand still, or go on."""
        self.to(self.now_s())
        self.paused = not self.paused

    def turn(self) -> None:
        """Play the other way."""
        self.to(self.now_s())
        self.backwards = not self.backwards

    def faster(self) -> None:
        """Take the next greater speed there is."""
        self._change(1)

    def slower(self) -> None:
        """Take the next smaller speed there is."""
        self._change(-1)

    def _change(self, by: int) -> None:
        self.to(self.now_s())
        at = min(range(len(SPEEDS)), key=lambda i: abs(SPEEDS[i] - self.speed))
        self.speed = SPEEDS[max(0, min(len(SPEEDS) - 1, at + by))]

    def beside(self, times_s: Sequence[float], *, forward: bool) -> None:
        """Jump to the next of the moments, ascending, or to the one before; where there is none, stay.

        Pressed again soon, it counts from where the last jump led: against the way it plays,
        time that has run on since would otherwise lead to the same moment again.
        """
        t_s = self.now_s()
        if forward is self.backwards and self._clock.now_s() - self._from_clock_s < _AGAIN_S:
            t_s = self._from_s
        if forward:
            at = bisect.bisect_right(times_s, t_s)
        else:
            at = bisect.bisect_left(times_s, t_s) - 1
        if 0 <= at < len(times_s):
            self.to(times_s[at])

    def pace(self, word: Pace, marks: Marks) -> None:
        """Pause, turn, go faster or slower, step, or jump to what comes next or came before."""
        match word:
            case "pause":
                self.pause()
            case "turn":
                self.turn()
            case "faster":
                self.faster()
            case "slower":
                self.slower()
            case "next record":
                self._stand_at(marks.record_after)
            case "previous record":
                self._stand_at(marks.record_before)
            case "on a minute":
                self.by(_FAR_S)
            case "back a minute":
                self.by(-_FAR_S)
            case "next cue" | "previous cue":
                self.beside(marks.cues_s, forward=word == "next cue")
            case "next excursion" | "previous excursion":
                self.beside(marks.excursions_s, forward=word == "next excursion")
            case "next phase" | "previous phase":
                self.beside(marks.phases_s, forward=word == "next phase")
            case "start":
                self.to(self.start_s)
            case "end":
                self.to(self.end_s)

    def _stand_at(self, record_beside: Callable[[float], float]) -> None:
        """Go to the record beside, and stand there: what is stepped to is to be looked at."""
        if not self.paused:
            self.pause()
        self.to(record_beside(self.now_s()))

    def _within(self, t_s: float) -> float:
        return min(self.end_s, max(self.start_s, t_s))
