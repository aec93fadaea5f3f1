"""The one gate for foreign text (reliability notes, T-18)."""

from __future__ import annotations

import unicodedata

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.text import clean, clean_bytes, csv_cell

BIDI = set("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"Bidirectional controls of Unicode's UAX 9 (from memory)."

any_text = st.text(st.characters(exclude_categories=()), max_size=80)


def _hostile(text: str) -> list[str]:
    return [ch for ch in text if unicodedata.category(ch) in {"Cc", "Cs"} or ch in BIDI]


def _random_texts(count: int) -> list[str]:
    rng = np.random.default_rng(18)
    narrow = rng.integers(0, 0x250, (count, 20))
    wide = rng.integers(0, 0x110000, (count, 20))
    bidi = rng.choice([ord(ch) for ch in sorted(BIDI)], (count, 20))
    kind = rng.integers(0, 8, (count, 20))
    points = np.where(kind == 0, bidi, np.where(kind < 4, wide, narrow))
    return ["".join(map(chr, row)) for row in points.tolist()]


def test_ten_thousand_random_strings_come_out_harmless() -> None:
    """T-18: no control, no surrogate, no bidirectional control in what `clean` returns."""
    assert [ch for text in _random_texts(10_000) for ch in _hostile(clean(text))] == []


@given(any_text, st.integers(1, 40))
def test_cleaning_is_bounded_and_changes_nothing_the_second_time(text: str, limit: int) -> None:
    """A cut text is marked and still within the limit."""
    once = clean(text, limit)

    assert len(once) <= limit
    assert clean(once, limit) == once
    assert not _hostile(once)


def test_a_long_plain_text_with_spaces_before_it_is_cut_the_same_twice() -> None:
    """Found while writing these tests: the short way out left leading spaces."""
    once = clean(" " + "a" * 2000)

    assert clean(once) == once
    assert once.endswith("…")


@given(st.binary(max_size=60))
def test_bytes_of_any_origin_become_harmless_text(raw: bytes) -> None:
    """Undecodable bytes are replaced, never raised about."""
    assert not _hostile(clean_bytes(raw))


@pytest.mark.parametrize(
    ("found", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-1", "'-1"),
        ("@x", "'@x"),
        ("\t=1", "'=1"),
        ("\r=1", "'=1"),
        ("  =1", "'=1"),
        ("2+2", "2+2"),
        ("", ""),
    ],
)
def test_a_spreadsheet_takes_no_foreign_text_for_a_formula(found: str, cell: str) -> None:
    """T-18: cells beginning with = + - @ TAB or CR are disarmed (from memory)."""
    assert csv_cell(found) == cell


@given(any_text)
def test_no_csv_cell_starts_a_formula(text: str) -> None:
    """T-18, as a property."""
    assert csv_cell(text)[:1] not in {"=", "+", "-", "@", "\t", "\r"}
