"""Lines kept in memory come back byte for byte, packed or not."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pacer.recording.writing.kept import BLOCK, Kept


@given(st.integers(0, 4 * BLOCK), st.integers(0, 3 * BLOCK))
def test_what_went_in_comes_out_in_order(count: int, waiting: int) -> None:
    """Whatever was waiting meanwhile, and after what a file held; what waits from the end."""
    lines = [b'{"q":%d}\n' % n for n in range(count)]
    kept = Kept()
    kept.take(b"what stood\r there")
    for n, line in enumerate(lines):
        kept.append(line, min(waiting, n + 1))
    assert b"".join(kept.chunks()) == b"what stood\r there" + b"".join(lines)
    waits = min(waiting, count)
    assert [kept.from_end(n) for n in range(waits, 0, -1)] == lines[count - waits :]
