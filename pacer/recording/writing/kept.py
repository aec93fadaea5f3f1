"""Every byte of a session in memory, packed: the way out when its file can't be trusted.

Twelve hours at 4 Hz are some 170,000 lines; as they are they take 20 MB, packed a quarter
of that (measured, tests/bench/bench_memory.py). Lines not yet on disk are left unpacked.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator

BLOCK = 256
"""Lines packed together: enough for them to resemble each other, a fraction of a ms to pack."""


class Kept:
    """Lines in order; only the newest are held as they are."""

    def __init__(self) -> None:
        self._blocks: list[bytes] = []
        self._loose: list[bytes] = []

    def take(self, whole: bytes) -> None:
        """Add what stands in the file already: any bytes, before the first line."""
        self._blocks.append(zlib.compress(whole, 1))

    def append(self, line: bytes, waiting: int) -> None:
        """Add a line; the last `waiting` ones, this among them, stay loose."""
        self._loose.append(line)
        if len(self._loose) - waiting >= 2 * BLOCK:
            self._blocks.append(zlib.compress(b"".join(self._loose[:BLOCK]), 1))
            del self._loose[:BLOCK]

    def from_end(self, n: int) -> bytes:
        """Return the `n`-th line from the end, 1 for the last: one of those that wait."""
        return self._loose[-n]

    def chunks(self) -> Iterator[bytes]:
        """Yield all bytes in order, some lines at a time."""
        for block in self._blocks:
            yield zlib.decompress(block)
        if self._loose:
            yield b"".join(self._loose)
