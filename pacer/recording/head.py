"""The head of a recording: it stands `HEADS` times, since without it no other line means anything.

One lost disk sector touches at most two of three copies that follow each other; only a 4 kB
sector in a head shorter than 2 kB could hold all three (an honest one has 3 to 5 kB).
Recordings made before version 1.3 have one.
"""

from __future__ import annotations

from typing import BinaryIO, NamedTuple

from pacer.errors import RecordingError
from pacer.recording.codec import MAX_LINE, Damaged, checked, decode_head
from pacer.session.events import Opened

HEADS = 3
"""Copies at the start of a new recording, the first line among them."""

BOM = b"\xef\xbb\xbf"
"""What some editors put before a text; it is none of the recording's bytes."""

_SEARCHED = 1 << 18
"""A copy is looked for so far into the file: three heads of the greatest length fit."""

_BEGINS = b'{"q":0,"k":"head"'


class Head(NamedTuple):
    """The head and how it stands in its file."""

    opened: Opened
    line: bytes
    "As it was written, with its line end."
    times: int
    "How often it is meant to stand there: once before version 1.3, else `HEADS` times."
    lost: bool
    "Line 1 is damaged; this is a copy of it."


def as_written(line: bytes) -> bytes:
    """Return a line with the line end it was written with: a mail program's is CRLF."""
    return line[:-2] + b"\n" if line.endswith(b"}\r\n") else line


def read_head(file: BinaryIO, name: str) -> Head:
    """Read the head at the start of a file, or where that is damaged a sound copy.

    Raises `RecordingError` (one line, `name` first) if there is neither.
    """
    line = as_written(file.readline(MAX_LINE + 1).removeprefix(BOM))
    try:
        opened = decode_head(line, name)
    except RecordingError as error:
        file.seek(0)
        copy = _copy_in(file.read(_SEARCHED))
        if copy is None:
            raise RecordingError(f"{error}{_what_now(line)}") from None
        return Head(decode_head(copy, name), copy, HEADS, lost=True)
    # Either copy will do: the other may be damaged, or its line end a CRLF.
    again = line[:-1] in file.read(HEADS * len(line))
    return Head(opened, line, HEADS if again else 1, lost=False)


def _copy_in(start: bytes) -> bytes | None:
    """Return the first line, or end of a line, that is a sound head."""
    for line in start.splitlines(keepends=True):
        # Within a head these bytes come no second time: a quote in a text has a backslash.
        copy = as_written(line[max(0, line.rfind(_BEGINS)) :])
        if copy.startswith(_BEGINS) and copy.endswith(b"}\n") and len(copy) <= MAX_LINE:
            try:
                checked(copy, 0)
            except Damaged:
                continue
            return copy
    return None


def _what_now(line: bytes) -> str:
    """Return what to do about a head that is gone, where it was a recording's."""
    if b'"k":"head"' not in line and b',"c":"' not in line[-20:]:
        return ""
    return "; no sound copy of it follows, and without it the rest means nothing: look for a backup"
