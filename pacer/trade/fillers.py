"""Which filler a designation names, and what it holds: by the exact designation, never a guess.

Rows F10 of the table `fillers` say of what kind each designation is; other rows that list
designations give figures of these and of no others. A designation in no row is unknown.
"""

from __future__ import annotations

import re
from typing import Literal

from pacer.trade.rows import Row, load

Element = Literal["nickel", "chromium"]
"What a filler can hold that its fume is cautioned of."

_STANDARD = r"^(?:(?:AWS|EN|ISO)\b[\s:/-]*)+(?:A?\d[\d.]*[\s:/-]*)*"


def symbol(designation: str) -> str:
    """Return a designation without the standard that it is by.

    >>> symbol("AWS A5.14 ERNi-1"), symbol("ISO 1071: S C NiFe-1"), symbol(" ENiFe-CI ")
    ('ERNi-1', 'S C NiFe-1', 'ENiFe-CI')
    """
    return re.sub(_STANDARD, "", designation.strip())


def kind(designation: str) -> Row | None:
    """Return the row that says of what kind a filler is (its value `kind`); None if unknown.

    >>> [found.values["kind"] if (found := kind(name)) else None for name in ("ENiFeMn-CI", "x")]
    ['nickel-iron-manganese', None]
    """
    return next((found for found in _about(designation) if "kind" in found.values), None)


def figures(designation: str) -> tuple[Row, ...]:
    """Return the rows with what is known of this very designation, that of its kind left out.

    >>> [found.id for found in figures("ENiFe-CI")], figures("ERNi-1")
    (['F01b', 'F04b'], ())
    """
    return tuple(found for found in _about(designation) if "kind" not in found.values)


def may_hold(designation: str, element: Element) -> bool:
    """Tell whether a filler holds an element; one that isn't known may.

    >>> may_hold("E312-16", "chromium"), may_hold("ESt", "nickel"), may_hold("x", "nickel")
    (True, False, True)
    """
    known = kind(designation)
    return known is None or element in known.values["holds"]


def _about(designation: str) -> tuple[Row, ...]:
    name = _plain(symbol(designation))
    return tuple(
        found
        for found in load("fillers")
        if any(name == _plain(known) for known in found.values.get("designations", ()))
    )


def _plain(designation: str) -> str:
    """A designation as it is compared: nobody means another filler by a blank or a small letter."""
    return re.sub(r"[\s-]", "", designation).casefold()
