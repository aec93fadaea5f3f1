"""Block letters to be read across a shop: a 5x7 font drawn with full and half blocks.

Heavy strokes lie in columns 0, 2, 4 and rows 0, 3, 6 of every glyph, so a glyph can be
stretched by giving those lines another width than the lines between: five rows of text
are half-row heights 2 1 1 2 1 1 2, and every bar stays one full row thick.
5x7 is the least matrix for capitals and digits (ISO 9241-3 as quoted in reliability.md
section 7, seen in a secondary page).
"""

from __future__ import annotations

import functools
from typing import NamedTuple

_FONT = """
A .###. #...# #...# ##### #...# #...# #...#
B ####. #...# #...# ####. #...# #...# ####.
C .#### #.... #.... #.... #.... #.... .####
D ####. #...# #...# #...# #...# #...# ####.
E ##### #.... #.... ####. #.... #.... #####
F ##### #.... #.... ####. #.... #.... #....
G .#### #.... #.... #.### #...# #...# .###.
H #...# #...# #...# ##### #...# #...# #...#
I ### .#. .#. .#. .#. .#. ###
J ....# ....# ....# ....# ....# ....# ####.
K #...# #..#. #.#.. ##... #.#.. #..#. #...#
L #.... #.... #.... #.... #.... #.... #####
M #...# ##.## #.#.# #.#.# #...# #...# #...#
N #...# #...# ##..# #.#.# #..## #...# #...#
O .###. #...# #...# #...# #...# #...# .###.
P ####. #...# #...# ####. #.... #.... #....
Q .###. #...# #...# #...# #.#.# #..#. .##.#
R ####. #...# #...# ####. #.#.. #..#. #...#
S .#### #.... #.... .###. ....# ....# ####.
T ##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..
U #...# #...# #...# #...# #...# #...# .###.
V #...# #...# #...# #...# #...# .#.#. ..#..
W #...# #...# #...# #.#.# #.#.# #.#.# .#.#.
X #...# #...# .#.#. ..#.. .#.#. #...# #...#
Y #...# #...# .#.#. ..#.. ..#.. ..#.. ..#..
Z ##### ....# ...#. ..#.. .#... #.... #####
0 .###. #...# #...# #...# #...# #...# .###.
1 ..#.. .##.. ..#.. ..#.. ..#.. ..#.. .###.
2 ####. ....# ....# .###. #.... #.... #####
3 ####. ....# ....# .###. ....# ....# ####.
4 #...# #...# #...# ##### ....# ....# ....#
5 ##### #.... #.... ####. ....# ....# ####.
6 .###. #.... #.... ####. #...# #...# .###.
7 ##### ....# ....# ...#. ..#.. ..#.. ..#..
8 .###. #...# #...# .###. #...# #...# .###.
9 .###. #...# #...# .#### ....# ....# .###.
h #.... #.... #.... ####. #...# #...# #...#
: . # # . # # .
- ... ... ... ### ... ... ...
+ ..... ..#.. ..#.. ##### ..#.. ..#.. .....
? .###. #...# ....# ..##. ..... ..... ..#..
. . . . . . . #
"""

GLYPHS = {line[0]: tuple(line[2:].split()) for line in _FONT.strip().splitlines()}
GLYPHS["–"] = (".....", ".....", ".....", "#####", ".....", ".....", ".....")
GLYPHS[" "] = ("...",) * 7


class Stretch(NamedTuple):
    """How wide or high lines 0, 2, 4 (rows 0, 3, 6) and the lines between are."""

    heavy: int
    light: int


# Half-row heights for each height in rows.
_ROWS = {
    5: Stretch(2, 1),
    7: Stretch(2, 2),
    9: Stretch(2, 3),
    10: Stretch(4, 2),
    12: Stretch(4, 3),
    14: Stretch(4, 4),
}
HEIGHTS = tuple(sorted(_ROWS, reverse=True))

# Cell widths to try for each height, widest first.
_COLUMNS = {
    5: ((2, 1), (1, 2), (1, 1)),
    7: ((2, 2), (2, 1), (1, 2), (1, 1)),
    9: ((3, 2), (2, 2), (2, 1), (1, 2), (1, 1)),
    10: ((4, 2), (3, 2), (2, 2), (2, 1), (1, 2)),
    12: ((4, 3), (4, 2), (3, 2), (2, 2), (2, 1)),
    14: ((4, 4), (4, 3), (3, 2), (2, 2), (2, 1)),
}


def blocks(text: str, width: int, height: int) -> tuple[str, ...]:
    """Return `text` as rows of blocks no wider and no higher than given, left-aligned.

    The tallest size that fits; where none does, the text itself in one row, cut to width.
    """
    if not text:
        return ()
    return _drawn(text, width, height)


@functools.lru_cache(maxsize=256)
def _drawn(text: str, width: int, height: int) -> tuple[str, ...]:
    known = [ch if ch in GLYPHS else ch.upper() if ch.upper() in GLYPHS else "-" for ch in text]
    for rows in HEIGHTS:
        if rows > height:
            continue
        for heavy, light in _COLUMNS[rows]:
            columns = Stretch(heavy, light)
            if _wide(known, columns) <= width:
                return _rows(known, columns, _ROWS[rows])
    return (text[:width],)


def _gap(columns: Stretch) -> int:
    return columns.heavy if columns.heavy < 3 else columns.heavy - 1


def _wide(known: list[str], columns: Stretch) -> int:
    glyphs = sum(_span(len(GLYPHS[ch][0]), columns) for ch in known)
    return glyphs + _gap(columns) * (len(known) - 1)


def _span(lines: int, stretch: Stretch) -> int:
    heavy = (lines + 1) // 2
    return heavy * stretch.heavy + (lines - heavy) * stretch.light


def _rows(known: list[str], columns: Stretch, rows: Stretch) -> tuple[str, ...]:
    halves: list[str] = []
    for line in range(7):
        dots = (" " * _gap(columns)).join(_stretched(GLYPHS[ch][line], columns) for ch in known)
        halves += [dots] * (rows.heavy if line % 3 == 0 else rows.light)
    return tuple(
        "".join(_cell(up, down) for up, down in zip(upper, lower, strict=True))
        for upper, lower in zip(halves[::2], halves[1::2], strict=True)
    )


def _stretched(line: str, columns: Stretch) -> str:
    return "".join(
        ("█" if dot == "#" else " ") * (columns.heavy if at % 2 == 0 else columns.light)
        for at, dot in enumerate(line)
    )


def _cell(up: str, down: str) -> str:
    if up == down:
        return up
    return "▀" if up == "█" else "▄"
