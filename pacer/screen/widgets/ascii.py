"""Every painted character in plain ASCII, for terminals and fonts that have no other.

One character for one cell, so that a row keeps its width. What has no likeness is "?".
"""

from __future__ import annotations

import functools
import unicodedata

from rich.cells import cell_len

_LIKE = {
    # Blocks: strokes stay closed, a half is a whole.
    **dict.fromkeys("█▀▄▅▆▇■", "#"),
    **dict.fromkeys("▁▂▃", "_"),
    # Gauge: cold, wanted, hot, limit, where the part is.
    **dict(zip("░━▓╋▐▌◀▶▼", ".=%|[]<>v", strict=True)),
    # Crack map and edges of the word.
    **dict(zip("│├┤▸▹←→↑↓▲▞", "|||>)<>^v^/", strict=True)),
    # Words. The degree is the small o of old typewriters.
    **dict(zip("–—−…·×°±“”‘’", "---~-xo~\"\"''", strict=True)),
}
_UPPER_DOTS, _LOWER_DOTS = 0x01 | 0x02 | 0x08 | 0x10, 0x04 | 0x20 | 0x40 | 0x80


@functools.lru_cache(maxsize=1024)
def ascii_only(text: str) -> str:
    """Return the text in characters from space to tilde, as wide as before.

    >>> ascii_only("≥ 262 °C – 1…"), ascii_only("漢é")
    ('? 262 oC - 1~', '??e')
    """
    return text if text.isascii() else "".join(_like(ch) for ch in text)


def _like(ch: str) -> str:
    if ch.isascii():
        return ch
    if ch in _LIKE:
        return _LIKE[ch]
    if 0x2800 <= ord(ch) <= 0x28FF:
        return _dots(ord(ch) - 0x2800)
    bare = unicodedata.normalize("NFKD", ch).encode("ascii", "ignore").decode()
    wide = cell_len(ch)
    return bare if len(bare) == wide else "?" * wide


def _dots(cell: int) -> str:
    """Return a braille cell as a colon, or half of one."""
    upper, lower = cell & _UPPER_DOTS, cell & _LOWER_DOTS
    return ":" if upper and lower else "'" if upper else "." if lower else " "
