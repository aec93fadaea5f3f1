"""The one gate for foreign text: `clean()`.

Every string that came from a wire, a file, a file name or an exception passes here
before it reaches a screen, a print, HTML or CSV.
Textual and terminals obey escape sequences found inside displayed text
(title, clipboard, clear screen, queries answered as key presses), so nothing of the
kind may pass. Markup is the other half: widgets that show foreign text are made with
`markup=False`; `clean()` leaves brackets alone.
"""

from __future__ import annotations

import unicodedata

_MAX_CHARS = 1000
_REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
# Categories that can steer a terminal, hide text, or can't be encoded:
# control, format (all bidi controls are Cf), surrogate, private use, unassigned.
_HOSTILE = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
# Line and paragraph separators break "one record, one line".
_SPACES = frozenset({"Zl", "Zp", "Zs"})


def clean(text: str, limit: int = _MAX_CHARS) -> str:
    """Return `text` as printable characters only, at most `limit` of them.

    Tabs, line ends and odd spaces become a space; every other control, format,
    surrogate, private or unassigned character becomes U+FFFD, so that the reader sees
    that something was there. A cut is marked by an ellipsis.

    >>> clean("231.5\\r\\n")
    '231.5'
    >>> clean("\\x1b]0;title\\x07ok")
    '\N{REPLACEMENT CHARACTER}]0;title\N{REPLACEMENT CHARACTER}ok'
    """
    cut = len(text) > limit
    text = text[: limit - 1] if cut else text
    if text.isascii() and text.isprintable():
        text = text.strip()
        return (text + "…") if cut else text
    out: list[str] = []
    for ch in text:
        if ch in "\t\n\r\v\f":
            out.append(" ")
            continue
        category = unicodedata.category(ch)
        if category in _SPACES:
            out.append(" ")
        elif category in _HOSTILE:
            out.append(_REPLACEMENT)
        else:
            out.append(ch)
    cleaned = "".join(out).strip()
    return (cleaned + "…") if cut else cleaned


def clean_bytes(raw: bytes, limit: int = _MAX_CHARS) -> str:
    """`clean()` for bytes of unknown origin: undecodable bytes become U+FFFD."""
    return clean(raw[: limit * 4].decode("utf-8", errors="replace"), limit)


def csv_cell(text: str) -> str:
    """Return cleaned text that a spreadsheet can't take for a formula.

    A cell beginning with ``= + - @`` gets a leading apostrophe (from memory: the usual
    guard against formula injection). Numbers are written as numbers, not through here.
    """
    text = clean(text)
    return f"'{text}" if text[:1] in {"=", "+", "-", "@"} else text
