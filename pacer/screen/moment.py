"""A session time as people type it: what the screen shows, or hours, minutes and seconds."""

from __future__ import annotations

import re

from pacer.errors import UserInputError
from pacer.text import clean
from pacer.units import parse

_CLOCK = re.compile(r"(?:(\d{1,4}):)?(\d{1,2}):(\d{2}(?:\.\d{1,3})?)")
_PARTS = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([a-z]{1,7})", re.IGNORECASE)


def moment_s(text: str) -> float:
    """Return `1:02:05` (h:mm:ss), `12:30` (m:ss), `1h20min` or `812 s` in s.

    Raises `UserInputError` with one line for anything else.

    >>> [moment_s(text) for text in ("1:02:05", "12:30.5", "1h20min", "812 s")]
    [3725.0, 750.5, 4800.0, 812.0]
    """
    text = text.strip()[:60]
    if clock := _CLOCK.fullmatch(text):
        hours, minutes, seconds = int(clock[1] or 0), int(clock[2]), float(clock[3])
        if seconds >= 60 or (clock[1] is not None and minutes >= 60):
            raise _wrong(text)
        return hours * 3600 + minutes * 60 + seconds
    at, total_s, parts = 0, 0.0, 0
    while part := _PARTS.match(text, at):
        total_s += parse(f"{part[1]} {part[2]}", "time")
        at, parts = part.end(), parts + 1
    if not parts or text[at:].strip():
        raise _wrong(text)
    return total_s


def _wrong(text: str) -> UserInputError:
    found = clean(text, 40)
    return UserInputError(f'"{found}": expected a session time such as 1:02:05, 1h20min or 812s')
