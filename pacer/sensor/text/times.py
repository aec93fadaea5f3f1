"""Times inside lines, which are no values: ISO 8601 dates and times, and running counts.

1. A field that looks like a date or a time of day (ISO 8601; also `25.11.2026`, in whose
   place no number can stand) is left out, wherever it is.
2. `1234,300.5`: a first column of whole numbers, beside numbers with a decimal point, and
   no header, may be a count of lines or of milliseconds. It must not become the channel
   that decides, and it may not be thrown away for its looks either: the lines are refused
   until three steps are equal (a count) or not (a channel). JUDG.
"""

from __future__ import annotations

import re
from typing import Literal

_DATE = (
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{4}/[0-9]{2}/[0-9]{2}"
    r"|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{4}"
)
_CLOCK = r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]{1,9})?)?(?:[ ]?Z|[+-][0-9]{2}:?[0-9]{2})?"
WHEN = rf"(?:(?:{_DATE})(?:[T ]{_CLOCK})?|{_CLOCK})"
"A regular expression without groups."

_WHEN = re.compile(WHEN)
_LEADING = re.compile(rf"(?:\[{WHEN}\]|{WHEN}(?=[ \t]))[ \t]*(?![ \t;,]|$)")

_EQUAL_STEPS = 3
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
