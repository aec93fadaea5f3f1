"""The frame of a chart: its size, axes, ticks, limits, gaps and curves.

Each chart is drawn twice, for a wide page or paper and for a narrow screen, since letters
that shrink with a picture can't be read; the page's style shows one of the two.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from html import escape
from typing import NamedTuple

from pacer.review.report.chart import ink
from pacer.review.report.chart.envelope import Point, thinned
from pacer.review.report.chart.room import Box, Room
from pacer.review.report.chart.scale import Scale, hours, ticks, time_ticks
from pacer.review.report.series import Gap
from pacer.text import clean
from pacer.units import Shown


class Size(NamedTuple):
    """What a chart is drawn on, in its own units."""

    name: str
    wide: float
    left: float
    right: float
    letter: float
    "Height of the letters."


WIDE = Size("wide", 900.0, 78.0, 14.0, 13.0)
NARROW = Size("narrow", 380.0, 66.0, 6.0, 12.0)
SIZES = (WIDE, NARROW)


class Window(NamedTuple):
    """The stretch of time and temperature that a chart shows."""

    from_s: float
    to_s: float
    low_c: float
    high_c: float


class Chart(NamedTuple):
    """One figure."""

    name: str
    heading: str
    caption: str
    drawings: tuple[str, ...]
    "The same for each size of page."
    window: Window
    zero_s: float = 0.0
    "Times on its axis count from here."


def across(size: Size, seen: Window) -> Scale:
    """Return the scale of a chart's times."""
    return Scale(seen.from_s, max(seen.to_s, seen.from_s + 1.0), size.left, size.wide - size.right)


def sized(drawn: Callable[[Size], str]) -> tuple[str, ...]:
    """Return a drawing for each size of page."""
    return tuple(drawn(size) for size in SIZES)


class Plot:
    """A chart as it is drawn: parts are added from the back to the front."""

    def __init__(
        self, size: Size, window: Window, shown: Shown, *, top: float, high: float
    ) -> None:
        """`top` is the room above the plot, `high` the plot's own height."""
        self.size, self.window, self.shown = size, window, shown
        self.left, self.right = size.left, size.wide - size.right
        self.top, self.bottom = top, top + high
        self.foot = self.bottom + 2.2 * size.letter
        "Where the next lane below the plot begins."
        self.x = across(size, window)
        low, most = shown.temp_number(window.low_c), shown.temp_number(window.high_c)
        self.y = Scale(low, max(most, low + 1.0), self.bottom, self.top)
        self.room = Room(Box(self.left + 3.0, self.top, self.right, self.bottom))
        "What is taken of the plot."
        self.parts: list[str] = []
        self._behind: list[str] = []
        self._ground = 0

    def y_of(self, temp_c: float) -> float:
        """Return where a temperature lies, kept within the plot."""
        at = self.y.at(self.shown.temp_number(temp_c))
        return min(max(at, self.top), self.bottom)

    def x_of(self, t_s: float) -> float:
        """Return where a time lies, kept within the plot."""
        return min(max(self.x.at(t_s), self.left), self.right)

    def meets(self, from_s: float, to_s: float) -> bool:
        """True if a stretch of time is, in part, on the chart."""
        return from_s <= self.window.to_s and to_s >= self.window.from_s

    def add(self, *parts: str) -> None:
        """Draw over what is there."""
        self.parts += parts

    def ground(self) -> None:
        """What was drawn so far is the ground: `behind` draws upon it, under all that follows."""
        self._ground = len(self.parts)

    def behind(self, *parts: str) -> None:
        """Draw on the ground, under curves and words."""
        self._behind += parts

    @property
    def tells(self) -> bool:
        """True where a pointer can rest on a mark; a narrow screen has none."""
        return self.size is WIDE

    def told(self, words: str) -> str:
        """Return words for a pointer."""
        return words if self.tells else ""

    def word(self, words: str, places: Iterable[tuple[float, float]]) -> bool:
        """Write a word at the first of these places where there is room; False where there is none.

        A place is its left end and its middle's height.
        """
        letter = self.size.letter
        wide, half = ink.wide(words, letter), 0.58 * letter
        box = self.room.place(Box(x, y - half, x + wide, y + half) for x, y in places)
        if box is None:
            return False
        self.add(ink.text("limit", box.left, box.top + half, words))
        return True

    def axes(self, zero_s: float = 0.0) -> None:
        """Draw the grid with its numbers; times count from `zero_s`."""
        letter = self.size.letter
        for value in ticks(self.y.low, self.y.high, 7):
            at = self.y.at(value)
            self.add(ink.line("grid", self.left, at, self.right, at))
            self.add(ink.text("tick", self.left - 6, at, f"{value:g}", "end"))
        unit = self.shown.temp_c(0.0).split()[1]
        self.add(ink.text("tick", self.left - 6, self.top - letter, unit, "end"))
        room = 5.2 * letter
        from_s, to_s = self.x.low - zero_s, self.x.high - zero_s
        times = time_ticks(from_s, to_s, int((self.right - self.left) / room))
        fine = any(t_s % 60.0 for t_s in times)
        for t_s in times:
            at = self.x.at(t_s + zero_s)
            self.add(ink.line("grid", at, self.top, at, self.bottom + 4))
            anchor = "middle" if at + 0.4 * room < self.size.wide else "end"
            self.add(ink.text("tick", at, self.bottom + 4 + 0.7 * letter, hours(t_s, fine), anchor))

    def frame(self) -> None:
        """Draw the plot's own edge."""
        self.add(ink.line("edge", self.left, self.bottom, self.right, self.bottom))
        self.add(ink.line("edge", self.left, self.top, self.left, self.bottom))

    def curve(self, kind: str, points: Iterable[Point]) -> None:
        """Draw a curve of points within the window: of each pixel the coldest and the hottest."""
        from_s, to_s = self.window.from_s, self.window.to_s
        drawn = thinned(points, from_s, to_s, int(self.right - self.left))
        runs = ink.runs(drawn, self.x, self.y, self.shown)
        self.add(ink.curve(kind, runs))
        self.room.follow(runs)

    def gaps(self, gaps: Iterable[Gap]) -> None:
        """Hatch the time in which nothing is known."""
        drawn_to = self.left - 1.0
        for gap in gaps:
            if not self.meets(gap.from_s, gap.to_s):
                continue
            x0, x1 = self.x_of(gap.from_s), self.x_of(gap.to_s)
            if x1 - drawn_to < 0.5:
                continue
            drawn_to = x1
            watched = gap.kind == "no trusted reading"
            kind = "gap" if watched else "unwatched"
            self.add(ink.hatch(kind, x0, self.top, x1, self.bottom, falling=not watched))
            self.room.spare(Box(x0, self.top, x1, self.bottom))

    def name_gaps(self, gaps: Iterable[Gap]) -> None:
        """Write into each gap what it is, where there is room."""
        letter = self.size.letter
        for gap in gaps:
            x0, x1 = self.x_of(gap.from_s), self.x_of(gap.to_s)
            wide = ink.wide(gap.kind, letter)
            if self.meets(gap.from_s, gap.to_s) and wide + 6 < x1 - x0:
                x, steps = (x0 + x1 - wide) / 2.0, int((self.bottom - self.top) / letter)
                self.word(gap.kind, ((x, self.top + (n + 0.7) * letter) for n in range(steps)))

    def svg(self, name: str, title: str, words: str) -> str:
        """Return the drawing; `name` is unique on the page, title and words are for who can't see."""
        own = f"{name}-{self.size.name}"
        high = self.foot + 0.4 * self.size.letter
        parts = (*self.parts[: self._ground], *self._behind, *self.parts[self._ground :])
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="chart {self.size.name}" role="img" '
            f'aria-labelledby="{own}-title {own}-words" '
            f'viewBox="0 0 {self.size.wide:g} {ink.number(high)}" '
            f'font-size="{self.size.letter:g}">'
            f'<title id="{own}-title">{escape(clean(title))}</title>'
            f'<desc id="{own}-words">{escape(clean(words, 2000))}</desc>'
            f"{''.join(parts)}</svg>"
        )


def window(
    curves: Sequence[Iterable[Point]], from_s: float, to_s: float, least: Iterable[float] = ()
) -> Window:
    """Return a window on curves that lie within its times, with room for what is in `least`, °C."""
    temps = [point.temp_c for points in curves for point in points]
    temps += least
    low_c, high_c = min(temps, default=0.0), max(temps, default=100.0)
    spare_dc = max(0.06 * (high_c - low_c), 4.0)
    # A chart that reaches down nearly to 0 °C may as well show it.
    low_c = min(0.0, low_c) if low_c < 0.35 * high_c else low_c - spare_dc
    return Window(from_s, max(to_s, from_s + 1.0), low_c, high_c + spare_dc)
