"""`Splitter`: bytes in any chunking become numbered lines, with a bounded buffer.

1. A line ends at LF, CR, CRLF or LFCR; a pair of two different ends counts once.
2. At most `limit` bytes of a line are held. A longer one is handed out once, at the byte
   that made it too long, and the rest is thrown away until its end.
3. What is handed out depends on the bytes only, never on how they were cut.

The library's own `readline` returns half lines on a timeout and costs 60 times as much
(ecosystem.md, finding 8, measured), so the port is read in chunks and split here.
"""

from __future__ import annotations

import re
from typing import NamedTuple

MAX_LINE = 1024
"""Bytes of a sensor's line that are kept: 16 members of a JSON object with long names need
about 800. reliability.md T-23 allows 4 KiB."""

_END = re.compile(rb"[\r\n]")


class Line(NamedTuple):
    """One line without its end."""

    number: int
    "From 1, blank lines counted."
    raw: bytes
    "At most the splitter's limit."
    too_long: bool


class Splitter:
    """State between chunks: the unfinished line, and how the last one ended."""

    def __init__(self, limit: int = MAX_LINE) -> None:
        self._limit = limit
        self._buffer = bytearray()
        self._skipping = False
        self._last_end = b""
        self._number = 1

    @property
    def held(self) -> int:
        """Bytes now in the buffer, never more than the limit."""
        return len(self._buffer)

    def skip_to_end(self) -> None:
        """Forget the unfinished line and throw away everything up to the next line end."""
        self._buffer.clear()
        self._skipping = True
        self._last_end = b""

    def feed(self, chunk: bytes) -> list[Line]:
        """Return the lines that `chunk` finished, and each that it made too long."""
        lines: list[Line] = []
        start = 0
        for end in _END.finditer(chunk):
            at = end.start()
            self._take(chunk[start:at], lines)
            start = at + 1
            self._end_line(end.group(), lines)
        self._take(chunk[start:], lines)
        return lines

    def finish(self) -> list[Line]:
        """Return the last line where the input ended without a line end."""
        if self._skipping or not self._buffer:
            return []
        return [self._cut(too_long=False)]

    def _take(self, part: bytes, lines: list[Line]) -> None:
        if not part:
            return
        self._last_end = b""
        if self._skipping:
            return
        room = self._limit - len(self._buffer)
        self._buffer += part[:room]
        if len(part) > room:
            lines.append(self._cut(too_long=True))
            self._skipping = True

    def _end_line(self, end: bytes, lines: list[Line]) -> None:
        if self._last_end and end != self._last_end:
            self._last_end = b""  # the second half of CRLF or LFCR
            return
        self._last_end = end
        if self._skipping:
            self._skipping = False
        elif self._buffer:
            lines.append(self._cut(too_long=False))
        self._number += 1

    def _cut(self, *, too_long: bool) -> Line:
        line = Line(self._number, bytes(self._buffer), too_long)
        self._buffer.clear()
        return line
