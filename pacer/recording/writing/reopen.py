"""What stands in a recording that is taken up again.

Nothing of it is ever changed. Where its last bytes are no whole record they stay, and the
first record written after them tells of them (`Recovered`), begun with a line end.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.errors import RecordingError
from pacer.recording.codec import MAX_LINE, Damaged, decode
from pacer.recording.reader import Recording, open_regular
from pacer.recording.writing.kept import Kept
from pacer.session.events import Recovered

_CHUNK = 1 << 16


class Found(NamedTuple):
    """The end of a recording."""

    size: int
    torn: int
    "Bytes after the last sound record."
    lead: bytes
    "What must come before the next record so that it stands on a line of its own."
    last_ms: int

    def record(self, q: int, wall: str | None) -> Recovered:
        """Return the record that tells of the torn bytes."""
        return Recovered(t_ms=self.last_ms, torn=self.torn, wall=wall)


def found_in(recording: Recording, kept: Kept) -> Found:
    """Read the whole recording, which nobody else writes any more, and its bytes into `kept`.

    Raises `RecordingError` if it has grown since `recording` was last read: whoever folded
    it then knows an older one.
    """
    before, last_ms = recording.next_q, recording.head.t_ms
    for record in recording.records():
        if record.event is not None:
            last_ms = max(last_ms, record.event.known_ms)
    if before > 1 and before != recording.next_q:
        raise RecordingError(f"{recording.name}: another pacer wrote it just now; start again")
    size, tail = 0, b""
    with open_regular(recording.path) as file:
        while chunk := file.read(_CHUNK):
            kept.take(chunk)
            size += len(chunk)
            # Enough of the end to hold the longest record.
            tail = (tail + chunk)[-(MAX_LINE + 1) :]
    torn = size - recording.sound_end
    tail = tail[-torn:] if torn else b""
    if not tail or tail.endswith(b"\n"):
        return Found(size, torn, b"", last_ms)
    try:
        decode(tail.rpartition(b"\n")[2] + b"\n", recording.seed)
    except Damaged:
        return Found(size, torn, b"\n", last_ms)
    # Whole but for its line end, and nobody has folded it: the line end alone would make it
    # a record again. A space, counted as torn, keeps it what it was taken for.
    return Found(size, torn + 1, b" \n", last_ms)
