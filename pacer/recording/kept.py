"""Every line of a session in memory, packed: the way out when its file can't be trusted.

Twelve hours at 4 Hz are some 170,000 lines; as they are they take 20 MB, packed a quarter
of that (measured, tests/bench/bench_memory.py). Lines not yet on disk are left unpacked.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable

BLOCK = 256
"""Lines packed together: enough for them to resemble each other, a fraction of a ms to pack."""


class Kept:
    """Lines in order; only the newest are held as they are."""

    def __init__(self, lines: Iterable[bytes] = ()) -> None:
        self._blocks: list[bytes] = []
        self._loose: list[bytes] = []
        self._open: tuple[int, list[bytes]] = (-1, [])
        "The block unpacked last, and its lines: a rewrite asks for them one by one."
        for line in lines:
            self.append(line, waiting=0)

    def __len__(self) -> int:
        return len(self._blocks) * BLOCK + len(self._loose)

    def append(self, line: bytes, waiting: int) -> None:
        """Add a line; the last `waiting` ones, this among them, stay loose."""
        self._loose.append(line)
        if len(self._loose) - waiting >= 2 * BLOCK:
            self._blocks.append(zlib.compress(b"".join(self._loose[:BLOCK]), 1))
            del self._loose[:BLOCK]

    def from_end(self, n: int) -> bytes:
        """Return the `n`-th line from the end, 1 for the last."""
        index = len(self) - n
        block, place = divmod(index, BLOCK)
        if block >= len(self._blocks):
            return self._loose[index - len(self._blocks) * BLOCK]
        if self._open[0] != block:
            lines = zlib.decompress(self._blocks[block]).splitlines(keepends=True)
            self._open = (block, lines)
        return self._open[1][place]

    def forget_open(self) -> None:
        """Let go of the unpacked block: the rewrite is over."""
        self._open = (-1, [])
