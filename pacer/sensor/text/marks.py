"""Units that a line marks: `300.5 C`, `572 °F`, `degC` in a header, `"unit": "F"`.

1. A degree sign comes as UTF-8 (C2 B0), Latin-1 (B0) or code page 437 (F8). It is taken
   for one only where C, F or K follows; anywhere else such a byte is noise. The ordinal sign
   º (C2 BA, BA) beside it on some keyboards is taken for it, too.
2. `300F` is a whole number with its unit, or a hexadecimal number: a **doubtful** mark. It counts
   only where the sensor's URL says the same unit or an earlier line, that can't be
   misread, has marked it. `300.5F`, `300 F` and `300degF` are in no doubt.
3. The sign is shown as `°`; what is recorded is one of `degC`, `degF`, `K`, `mV`, `uV`, `V`.

Spellings are common practice, no source.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from pacer.sensor.text.values import NUMBER, fault

OTHER = "other"
"A unit of something else: amperes, per cent, seconds."

UNKNOWN = "unknown"
"Words in the place of a unit that are none we know: `T1 (foot)`."

_NEXT = rb"(?=[CFK](?![A-Za-z0-9_]))"
_SIGN = re.compile(rb"(?:\xc2?[\xb0\xba]|\xf8)[ ]?" + _NEXT)
_LETTER_WITH_SIGN = ((b"\xe2\x84\x83", b"degC"), (b"\xe2\x84\x89", b"degF"))
_MICRO = re.compile(rb"(?:\xc2\xb5|\xce\xbc|\xb5)(?=V(?![A-Za-z0-9_]))")

_BARE = {"C": "degC", "F": "degF", "K": "K"}
_VOLTS = {"mV": "mV", "uV": "uV", "V": "V"}
_SURE = {
    spelling + tail: unit
    for letter, word, unit in (
        ("c", "celsius", "degC"),
        ("f", "fahrenheit", "degF"),
        ("k", "kelvin", "K"),
    )
    for spelling, tail in (
        *((lead, letter) for lead in ("deg", "degree", "degrees", "*")),
        *((lead, word) for lead in ("", "deg", "degree", "degrees")),
    )
}
"Without blanks and full stops, in lower case."
_OTHER = re.compile(
    r"%|%?RH|[munkM]?A|kV|[mk]?W|[mkM]?Hz|[hkM]?Pa|m?bar|ppm|dBm?|lx|rpm|[mun]?s|sec|min|h"
)

_WITH_UNIT = re.compile(rf"({NUMBER})([ \t]*)([A-Za-z*%][A-Za-z*%. ]*)")
_FAULT_WITH_UNIT = re.compile(r"([A-Za-z./-]{2,})[ \t]*((?:[dD][eE][gG]\.? ?|\*)?[CFK])")

_LONGEST_HEAD = 60
"Characters: a longer one can't name a channel."

# In a name: the unit in brackets, after a slash, or as its last part: temp_degC, TempF.
_HEAD_BRACKET = re.compile(r"([^(\[/]*?)[ ]*(?:\(([^()]*)\)|\[([^\[\]]*)\]|/([^/]*))")
_HEAD_TAIL = re.compile(r"(?:.*_)?(deg[CFK])")
_HEAD_LETTER = re.compile(
    r"(?i:t|tc|temp|temperature)_?[0-9]*_([cfkCFK])|(?i:temp|temperature)([CFK])"
)


class Marked(NamedTuple):
    """A field apart from its unit."""

    text: str
    "The number or the fault word."
    unit: str = ""
    'A recorded unit, `OTHER`, or "": none was marked.'
    doubtful: bool = False


def spell_out(raw: bytes) -> bytes:
    """Return the line with its degree signs, and the micro sign before V, in plain letters."""
    for sign, letters in _LETTER_WITH_SIGN:
        raw = raw.replace(sign, letters)
    return _MICRO.sub(b"u", _SIGN.sub(b"deg", raw))


def unit_of(word: str) -> str:
    """Return the unit a word means; "" where it is none, `OTHER` where not ours."""
    word = word.strip()
    if unit := _BARE.get(word) or _VOLTS.get(word):
        return unit
    letters = word.replace(" ", "").replace(".", "").replace("°", "deg")
    if unit := _SURE.get(letters.lower()):
        return unit
    return OTHER if _OTHER.fullmatch(word) else ""


def split_unit(field: str) -> Marked | None:
    """Return number or fault word apart from the unit after it; None where it has none."""
    found = _WITH_UNIT.fullmatch(field)
    if found is not None:
        text, gap, word = found.groups()
        unit = unit_of(word)
        bare = not gap and "." not in text and word in _BARE
        return Marked(text, unit, bare) if unit else None
    found = _FAULT_WITH_UNIT.fullmatch(field)
    if found is None or fault(found[1]) is None:
        return None
    return Marked(found[1], unit_of(found[2]))


def split_name(head: str) -> tuple[str, str]:
    """Return a column's name apart from the unit in it: `T1 (°C)` is T1, `temp_degC` stays whole.

    The unit is "" where there is none; else it may be `OTHER` or `UNKNOWN`.
    """
    if len(head) > _LONGEST_HEAD:
        return head, ""
    found = _HEAD_BRACKET.fullmatch(head)
    if found is not None and found[1]:
        word = next(part for part in found.groups()[1:] if part is not None)
        return found[1], unit_of(word) or UNKNOWN
    if found := _HEAD_TAIL.fullmatch(head):
        return head, _BARE[found[1][-1]]
    if found := _HEAD_LETTER.fullmatch(head):
        return head, _BARE[(found[1] or found[2]).upper()]
    return head, _SURE.get(head.lower(), "")
