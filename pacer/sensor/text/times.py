"""Times inside lines, which are no values: ISO 8601 dates and times, and running counts.

1. A field that looks like a date or a time of day (ISO 8601; also `25.11.2026`, in whose
   place no number can stand) is left out, wherever it is.
2. `1234,300.5`: a first column of whole numbers, beside numbers with a decimal point, and
   no header, may be a count of lines or of milliseconds. It must not become the channel
   that decides, and it may not be thrown away for its looks either: the lines are refused
   until three steps are equal (a count) or not (a channel). JUDG.
3. `12.5,300.5` and `12;300`: so may others, in seconds. Such lines are read, since most
   are two temperatures, and refused once eight steps from the first line on were equal and
   the next column did not go along; the first other step ends that. JUDG.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

_DATE = (
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{4}/[0-9]{2}/[0-9]{2}"
    r"|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{4}"
)
_CLOCK = (
    r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]{1,9})?)?"
    r"(?:[ ]?(?:Z|[AaPp][Mm])|[+-][0-9]{2}:?[0-9]{2})?"
)
WHEN = rf"(?:(?:{_DATE})(?:[T ]{_CLOCK})?|{_CLOCK})"
"A regular expression without groups."

_WHEN = re.compile(WHEN)
_LEADING = re.compile(rf"(?:\[{WHEN}\]|{WHEN}(?=[ \t]))[ \t]*(?![ \t;,]|[AaPp][Mm]|$)")

_EQUAL_STEPS = 3
_CLOCK_STEPS = 8
_JITTER = 0.1
"Part of a step by which a board's milliseconds may differ."


def is_when(field: str) -> bool:
    """True for a date, a time of day, or both."""
    return field[:1].isdigit() and _WHEN.fullmatch(field) is not None


def without_leading(text: str) -> str:
    """Return the line without a date or time that blanks set apart at its start."""
    # One character tells for almost every line: 300.5 has no colon, dash or slash.
    if not (text[0].isdigit() or text[0] == "["):
        return text
    found = _LEADING.match(text)
    return text if found is None else text[found.end() :]


def in_equal_steps(values: Sequence[float]) -> bool:
    """True where each value is above the one before by about the same; for two values never."""
    steps = [after - before for before, after in pairwise(values)]
    return len(steps) > 1 and all(
        step > 0 and abs(step - steps[0]) <= _JITTER * steps[0] for step in steps
    )


class RunningCount:
    """Whether the first column counts: asked line by line until it is known."""

    def __init__(self) -> None:
        self._last: int | None = None
        self._step = 0
        self._equal = 0
        self._known: Literal["count", "channel"] | None = None

    def judge(self, value: int) -> Literal["count", "channel", "doubtful"]:
        """Take the first column of one more line and return what it is."""
        if self._known == "channel":
            return "channel"
        last, self._last = self._last, value
        if last is None:
            return "doubtful"
        step = value - last
        if step <= 0:
            # A count that starts again is a board that did; else it is no count.
            self._equal = self._step = 0
            self._known = None if self._known == "count" else "channel"
            return self._known or "doubtful"
        if self._known is None:
            alike = not self._step or abs(step - self._step) <= _JITTER * self._step
            self._step, self._equal = step, self._equal + 1
            if not alike:
                self._known = "channel"
            elif self._equal == _EQUAL_STEPS:
                self._known = "count"
        return self._known or "doubtful"


class SecondsCount:
    """Whether the first column is a time in seconds: equal steps only, from the first line on."""

    def __init__(self) -> None:
        self._last: tuple[float, float] | None = None
        self._fell = False
        self._is_channel = False
        self._begin()

    def _begin(self) -> None:
        self._step = 0.0
        self._equal = 0
        self._apart = False
        "True where the next column has not gone along."

    def looks_so(self, value: float, beside: float) -> bool:
        """Take the first two columns of one more line; True while the first looks like a time."""
        if self._is_channel:
            return False
        last, self._last = self._last, (value, beside)
        if last is None:
            return False
        step, along = value - last[0], beside - last[1]
        if step < -2 * self._step and not self._fell:
            # A board that starts again: its time falls once, and far.
            self._fell = True
            self._begin()
            return False
        alike = not self._step or abs(step - self._step) <= _JITTER * self._step
        self._is_channel = step <= 0 or not alike
        self._apart = self._apart or abs(along - step) > _JITTER * step
        self._step, self._equal = step, self._equal + 1
        return not self._is_channel and self._apart and self._equal >= _CLOCK_STEPS
