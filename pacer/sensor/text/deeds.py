"""`!word` in a script becomes what the welder did: `!next`, `!bead 14 mm`, `!note …`.

Debounce belongs to keys and contacts; a script is taken at its word.
The words are `DEEDS` of `session/events.py`; only the three tables here know what
each takes after it.
"""

from __future__ import annotations

import difflib

from pacer.errors import UserInputError
from pacer.sensor.text.values import HIGHEST_C
from pacer.session.events import DEEDS, Act, Deed
from pacer.text import clean

_WITH_QUANTITY: frozenset[Deed] = frozenset({"bead", "reading"})
_WITH_WORDS: frozenset[Deed] = frozenset({"note", "tink", "crack", "checked", "prepared"})
_LONGEST_BEAD_M = 10.0
"A slip of the pen, not a bead (JUDG)."
_EXAMPLES: dict[Deed, str] = {
    "bead": "!bead 14 mm",
    "reading": "!reading 231 degC or !reading 231 degC far end",
    "note": "!note and some words",
}


class DeedError(Exception):
    """Why a `!word` can't be taken; the text is cleaned."""


def parse_deed(text: str) -> Act:
    """Return the act that `text`, beginning with `!`, means; `by` is "script".

    Raises DeedError for an unknown word (naming the nearest known), for words after
    one that takes none, and for a quantity that can't be read.
    """
    words = clean(text).strip().removeprefix("!").split()
    deed = _deed(words)
    rest = words[len(deed.split()) :]
    if deed in _WITH_QUANTITY:
        return _with_quantity(deed, " ".join(rest))
    if rest and deed not in _WITH_WORDS:
        raise DeedError(f'found "{" ".join(rest)}" after !{deed}, expected nothing')
    if deed == "note" and not rest:
        raise DeedError(f"expected words, such as {_EXAMPLES[deed]}")
    return Act(t_ms=0, deed=deed, by="script", text=" ".join(rest) or None)


def _deed(words: list[str]) -> Deed:
    lowered = [word.lower() for word in words[:2]]
    for deed in DEEDS:
        if deed.split() == lowered[: len(deed.split())]:
            return deed
    found = " ".join(words[:2] if lowered[:1] == ["arc"] else words[:1])
    near = difflib.get_close_matches(found.lower(), DEEDS, 1, 0.5)
    meant = f"!{near[0]}" if near else "one of " + ", ".join(f"!{deed}" for deed in DEEDS)
    raise DeedError(f'found "!{clean(found, 40)}", expected {meant}')


def _with_quantity(deed: Deed, text: str) -> Act:
    from pacer.units import parse, sided, with_place

    try:
        if deed == "bead":
            length_m = parse(text, "length")
            if not 0.0 < length_m <= _LONGEST_BEAD_M:
                raise DeedError(f'found "{clean(text, 40)}", expected above 0 mm and at most 10 m')
            return Act(t_ms=0, deed=deed, by="script", length_m=length_m)
        side, text = sided(text)
        text, place = with_place(text)
        temp_c = parse(text, "temperature")
        if temp_c > HIGHEST_C:
            raise DeedError(f'found "{clean(text, 40)}", expected at most {HIGHEST_C:g} degC')
        return Act(t_ms=0, deed=deed, by="script", temp_c=temp_c, side=side, text=place or None)
    except UserInputError as exc:
        raise DeedError(f"{clean(str(exc), 160)}; for example {_EXAMPLES[deed]}") from None
