"""Thermocouple voltage and temperature, ITS-90, by a library; nothing is raised, None is no answer.

The polynomials are not ours: thermocouple-its90 agrees with all 12,026 points of the NIST
tables (`tests/heat/test_thermocouple.py`). Ours is what a wrong setting would show:
a meter set to another type than its wire, and leads that are swapped.
"""

from __future__ import annotations

import math
from typing import Literal, get_args

Letter = Literal["K", "J", "N", "E", "T", "R", "S", "B"]
"""Thermocouple types by their letter (IEC 60584)."""

LETTERS: tuple[Letter, ...] = get_args(Letter)

LIKE_DC = 5.0
LIKE_SHARE = 0.02
"""So near, in K or as a share of the °C, another type must come to what was measured otherwise.

Twice the class 2 tolerance of type K (IEC 60584, seen in a secondary page): the wire's and
the other instrument's. JUDG.
"""


def temp_c(letter: str, emf_mv: float, cj_c: float) -> float | None:
    """Return the hot junction's °C for a voltage in mV and the cold junction's °C.

    None where the voltage or the cold junction lies outside the type's range; for type B that
    is all below 250 °C (0.291 mV), where its voltage may belong to two temperatures.
    """
    # Imported here: most sessions get °C and need none of it.
    from thermocouple_its90 import RangeError, get

    if not (math.isfinite(emf_mv) and math.isfinite(cj_c)):
        return None
    try:
        return float(get(letter).temperature(emf_mv, reference=cj_c))
    except RangeError:
        return None


def emf_mv(letter: str, hot_c: float, cj_c: float = 0.0) -> float | None:
    """Return the voltage in mV between a hot and a cold junction; None outside the type's range."""
    from thermocouple_its90 import RangeError, get

    try:
        return float(get(letter).emf(hot_c, reference=cj_c))
    except RangeError:
        return None


def looks_like(shown_c: float, true_c: float, cj_c: float, set_letter: str) -> tuple[Letter, ...]:
    """Return the types that a wire on a meter set to `set_letter` may be, the nearest first.

    At the voltage that makes the set type read `shown_c`, they would read `true_c` within
    `LIKE_DC` or `LIKE_SHARE`. Empty where none does, or where the set type can't read so.

    >>> looks_like(339.5, 260.0, 23.0, "K")
    ('J',)
    """
    mv = emf_mv(set_letter, shown_c, cj_c)
    if mv is None or not math.isfinite(true_c):
        return ()
    near_dc = max(LIKE_DC, LIKE_SHARE * abs(true_c))
    found: list[tuple[float, Letter]] = []
    for letter in LETTERS:
        read_c = None if letter == set_letter else temp_c(letter, mv, cj_c)
        if read_c is not None and abs(read_c - true_c) <= near_dc:
            found.append((abs(read_c - true_c), letter))
    return tuple(letter for _, letter in sorted(found))


def reversed_c(letter: str, shown_c: float, cj_c: float) -> float | None:
    """Return what would be read with the two leads swapped at the meter; None: no such reading.

    The same voltage with the other sign: a part hotter than the cold junction reads colder
    than it. It answers both ways, from the true to the shown and back.
    """
    mv = emf_mv(letter, shown_c, cj_c)
    return None if mv is None else temp_c(letter, -mv, cj_c)
