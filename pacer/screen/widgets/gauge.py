"""The band gauge: a line from cold to hot, the wanted stretch, and where the part is."""

from __future__ import annotations

from rich.cells import cell_len

from pacer.screen.parts.scale import Gauge
from pacer.screen.view import View
from pacer.screen.widgets.panel import BADGE, PLAIN, QUIET, STRONG, Panel, Row

_COLD, _HOT = "COLD ", " HOT"


class BandGauge(Panel):
    """Position on a line, with the limits named under it."""

    def part(self, view: View) -> object:
        """The gauge."""
        return view.gauge

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the line, the limits and, with a third row, a pointer."""
        gauge, inner = view.gauge, width - len(_COLD) - len(_HOT)
        if inner < 20:
            return []
        rows = [_line(gauge, inner), _names(gauge, inner, width)]
        if height > 2:
            rows.insert(0, _pointer(gauge, inner))
        return rows[:height]


def position(gauge: Gauge, temp_c: float, inner: int) -> int:
    """Return the column of a temperature, kept on the line."""
    share = (temp_c - gauge.low_c) / (gauge.high_c - gauge.low_c)
    return min(inner - 1, max(0, round(share * (inner - 1))))


def _line(gauge: Gauge, inner: int) -> Row:
    begin = position(gauge, gauge.wanted_from_c, inner)
    end = position(gauge, gauge.wanted_to_c, inner)
    cells = ["░" if at < begin else "▓" if at > end else "━" for at in range(inner)]
    for mark in gauge.marks:
        cells[position(gauge, mark.temp_c, inner)] = "╋"
    line = "".join(cells)
    if gauge.temp_c is None:
        return [(_COLD, PLAIN), (line, QUIET), (_HOT, PLAIN)]
    left_tip = "◀" if gauge.temp_c < gauge.low_c else "▐"
    right_tip = "▶" if gauge.temp_c > gauge.high_c else "▌"
    badge = f"{left_tip}{gauge.digits}{right_tip}"
    start = position(gauge, gauge.temp_c, inner) - cell_len(badge) // 2
    start = min(inner - cell_len(badge), max(0, start))
    return [
        (_COLD, PLAIN),
        (line[:start], STRONG),
        (badge, BADGE),
        (line[start + cell_len(badge) :], STRONG),
        (_HOT, PLAIN),
    ]


def _pointer(gauge: Gauge, inner: int) -> Row:
    if gauge.temp_c is None:
        return []
    at = len(_COLD) + position(gauge, gauge.temp_c, inner)
    return [(" " * at, PLAIN), ("▼", STRONG)]


def _names(gauge: Gauge, inner: int, width: int) -> Row:
    row = [" "] * width
    free_from = 0
    for mark in gauge.marks:
        name = f"{mark.name} {mark.shown}"
        at = len(_COLD) + position(gauge, mark.temp_c, inner) - len(name) // 2
        at = min(width - len(name), max(0, at))
        if at < free_from:
            continue
        row[at : at + len(name)] = name
        free_from = at + len(name) + 1
    return [("".join(row), PLAIN)]
