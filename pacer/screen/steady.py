"""`Steady`: digits that go to and fro are held for a moment, so that nothing flickers.

A sensor that speaks ten times a second may waver between two numbers; drawn as they come,
the giant digits would flash more than three times a second (reliability.md T-36; WCAG
2.3.1 as quoted there). A number that only rises or only falls is shown at once.
"""

from __future__ import annotations

from dataclasses import replace

from pacer.screen.view import View

TURN_S = 0.4
"""How long digits stay before they may turn back; two turns a second and a half at most."""

FAST_S = 0.25
"""Least time between two looks where session time runs fast: everything changes then."""


class Steady:
    """What was shown last, when it changed, and which way."""

    def __init__(self) -> None:
        """Begin with nothing shown."""
        self._last: View | None = None
        self._changed_s = 0.0
        self._way = 0
        self._looked_s = float("-inf")

    def due(self, t_s: float, speed: float) -> bool:
        """True if it is time for another look, t_s in seconds of real time."""
        if abs(speed) > 1.0 and t_s - self._looked_s < FAST_S * 0.9:
            return False
        self._looked_s = t_s
        return True

    def hold(self, view: View, t_s: float) -> View:
        """Return the view, with the temperature as it was last where it turns back too soon."""
        last, way = self._last, 0
        self._last = view
        if last is None or not _alike(last, view):
            self._way = 0
            return view
        if last.temp.digits == view.temp.digits:
            return view
        way = 1 if (view.temp.temp_c or 0.0) > (last.temp.temp_c or 0.0) else -1
        if way == -self._way and t_s - self._changed_s < TURN_S:
            self._last = replace(view, temp=last.temp, gauge=last.gauge)
            return self._last
        self._changed_s, self._way = t_s, way
        return view


def _alike(a: View, b: View) -> bool:
    """True if both show a number that stands for the same: nothing but digits changed."""
    if a.temp.temp_c is None or b.temp.temp_c is None:
        return False
    return (a.phase, a.word, a.temp.standing, a.temp.unit, a.temp.sure) == (
        b.phase,
        b.word,
        b.temp.standing,
        b.temp.unit,
        b.temp.sure,
    )
