"""A row's words with its quantities in the user's units.

Rows are written in metric units. For a user of US units a figure that the source printed in
those is shown as printed (`as_published`), any other is converted; strengths, W/mK and the
like stay as they are.
"""

from __future__ import annotations

import re

from pacer.trade.rows import Row
from pacer.units import Shown, affine

_NUMBER = r"\d+(?:\.\d+)?"
_QUANTITIES = re.compile(
    rf"({_NUMBER}(?:(?:, | to | and | or |-){_NUMBER})*) "
    r"(°C|K/h|K|mm/min|m/min|m³/min|m³|mm|m|l|kg)(?![\w/²³])"
)
# Unit of a row -> the unit shown, and the two that are converted.
_US = {
    "°C": ("°F", "degC", "degF"),
    "K/h": ("°F/h", "degC", "degF"),
    "K": ("°F", "degC", "degF"),
    "mm/min": ("in/min", "mm", "in"),
    "m/min": ("ft/min", "m", "ft"),
    "m³/min": ("ft³/min", "m3", "ft3"),
    "m³": ("ft³", "m3", "ft3"),
    "mm": ("in", "mm", "in"),
    "m": ("ft", "m", "ft"),
    "l": ("gal", "l", "gal"),
    "kg": ("lb", "kg", "lb"),
}


def about(row: Row, shown: Shown) -> str:
    """Return what a row says, in the user's units.

    >>> from pacer.trade.rows import row
    >>> about(row("preheat", "W13"), Shown("us"))
    'grey iron, preheated, general: 600 to 1200 °F'
    """
    return reworded(row.about, shown, row.as_published)


def told(row: Row, shown: Shown) -> str:
    """Return fact, source and status in one line, in the user's units."""
    return f"{about(row, shown)} ({row.source}; {row.seen})"


def reworded(text: str, shown: Shown, as_published: dict[str, str] | None = None) -> str:
    """Return text written in metric units in the user's; sources' own US figures come first."""
    if shown.system == "metric":
        return text
    for metric in sorted(as_published or {}, key=len, reverse=True):
        text = text.replace(metric, (as_published or {})[metric])
    return _QUANTITIES.sub(_converted, text)


def _converted(found: re.Match[str]) -> str:
    numbers, unit = found.groups()
    shown, from_, to = _US[unit]
    scale, offset = affine(from_, to)
    offset = offset if unit == "°C" else 0.0  # a difference has no zero point

    def one(number: re.Match[str]) -> str:
        value = float(number[0]) * scale + offset
        return f"{value:.0f}" if "°" in shown else f"{float(f'{value:.3g}'):g}"

    return f"{re.sub(_NUMBER, one, numbers)} {shown}"
