"""Thermocouple voltage and temperature, ITS-90, by a library; nothing is raised, None is no answer.

The polynomials are not ours: thermocouple-its90 agrees with all 12,026 points of the NIST
tables (`tests/heat/test_thermocouple.py`).
"""

from __future__ import annotations

import math


def temp_c(letter: str, emf_mv: float, cj_c: float) -> float | None:
    """Return the hot junction's °C for a voltage in mV and the cold junction's °C.

    None where the voltage or the cold junction lies outside the type's range.
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
