"""Lines kept in memory come back byte for byte, packed or not."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pacer.recording.kept import BLOCK, Kept


@given(st.integers(0, 4 * BLOCK), st.integers(0, 3 * BLOCK))
def test_what_went_in_comes_out_in_order(count: int, waiting: int) -> None:
    """Whatever was waiting meanwhile; counted from the end as the writer does."""
    lines = [b'{"q":%d}\n' % n for n in range(count)]
    kept = Kept()
    for n, line in enumerate(lines):
        kept.append(line, min(waiting, n + 1))
    assert len(kept) == count
    assert [kept.from_end(n) for n in range(count, 0, -1)] == lines
    kept.forget_open()
    assert [kept.from_end(n) for n in range(1, count + 1)] == lines[::-1]
