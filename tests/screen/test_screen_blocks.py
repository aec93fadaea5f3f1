"""The block letters: sizes, fit and one shape a letter."""

from __future__ import annotations

import pytest

from pacer.screen.widgets.blocks import GLYPHS, HEIGHTS, blocks
from pacer.screen.widgets.giants import word_blocks
from pacer.session.cues import CUES

WORDS = [text.word for text in CUES.values()] + ["WELD", "HOT", "LOG NOT SAVED", "NO READING"]


@pytest.mark.parametrize("word", sorted(set(WORDS)))
@pytest.mark.parametrize(("width", "height", "least"), [(74, 7, 7), (94, 9, 7), (154, 12, 10)])
def test_every_giant_word_fits_and_is_high_enough(
    word: str, width: int, height: int, least: int
) -> None:
    """reliability.md T-34: at least 5 rows at 24 x 80 and 8 at 50 rows."""
    drawn = blocks(word, width, height)
    assert least <= len(drawn) <= height
    assert max(len(row) for row in drawn) <= width
    assert any("█" in row for row in drawn)


@pytest.mark.parametrize(
    "text", ["0:12", "59:59", "10h05", "+0:07", "1234", "-12", "– – –", "245?", "1245?", "-12?"]
)
def test_times_and_temperatures_fit_half_of_80_columns(text: str) -> None:
    """Five rows, unit beside them."""
    drawn = blocks(text, 40 - 2 - 4, 5)
    assert len(drawn) == 5
    assert max(len(row) for row in drawn) <= 34


def test_every_glyph_is_its_own_shape() -> None:
    """O and 0 excepted: digits and letters never stand together."""
    shapes: dict[tuple[str, ...], str] = {}
    for letter, rows in GLYPHS.items():
        assert len(rows) == 7
        assert len({len(row) for row in rows}) == 1
        if letter not in "0" and rows in shapes:
            pytest.fail(f"{letter} looks like {shapes[rows]}")
        shapes[rows] = letter


def test_all_strokes_of_a_bar_are_equally_thick_at_every_height() -> None:
    """Of an E: top, middle and bottom bar."""
    for height in HEIGHTS:
        rows = blocks("E", 60, height)
        full = [len(row.rstrip()) > len(rows[height // 4].rstrip()) for row in rows]
        runs = "".join("x" if bar else " " for bar in full).split()
        assert len(runs) == 3
        assert len({len(run) for run in runs}) == 1


def test_a_word_too_long_for_one_line_takes_two() -> None:
    """Where there are rows for them; else it is plain."""
    drawn = word_blocks("LOG NOT SAVED", 56, 16)
    assert len(drawn) == 15
    assert drawn[7].strip() == ""
    assert max(len(row) for row in drawn) <= 56
    assert len(word_blocks("POST-HEAT", 40, 15)) == 15
    assert word_blocks("LOG NOT SAVED", 56, 7) == ("LOG NOT SAVED",)
    assert len(word_blocks("LOG NOT SAVED", 74, 7)) == 7


def test_text_too_wide_for_any_size_is_shown_plain_and_cut() -> None:
    """Better small than nothing."""
    assert blocks("LOG NOT SAVED", 10, 7) == ("LOG NOT SA",)
    assert blocks("", 80, 7) == ()
