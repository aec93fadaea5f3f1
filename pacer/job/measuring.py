"""Where ISO 13916 has the temperature measured, from the wall's thickness alone.

Row M01: walls up to 50 mm, at a distance from the groove's edge. Row M02: above, a band of
parent metal that must have the temperature. Row M07: how long to wait for it to even out.
The distance at which beads show best (25-35 mm, calculated) is another matter.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.trade.rows import row

SHOWS_BEADS_M = (0.025, 0.035)
"Where a probe sees best what each bead adds; beside the standard's distance, never instead of it."


class Measuring(NamedTuple):
    """What the standard asks for one wall: a distance or a band, never both."""

    distance_m: float | None
    "From the longitudinal edge of the groove, on the face towards the welder; None: a thick wall."
    band_m: float | None
    "So far in any direction the parent metal must have the temperature; None: a thin wall."


def iso13916(wall_m: float) -> Measuring:
    """Return where to measure on a wall of `wall_m`: 4 t up to 50 mm of wall, at most 50 mm.

    Source: ISO 13916 clause 4.1, rows M01 and M02 of `measuring.toml`, seen in an adoption.

    >>> iso13916(0.010), iso13916(0.060)
    (Measuring(distance_m=0.04, band_m=None), Measuring(distance_m=None, band_m=0.075))
    """
    near, thick = row("measuring", "M01").values, row("measuring", "M02").values
    if wall_m > thick["above_mm"] / 1000.0:
        return Measuring(None, thick["band_mm"] / 1000.0)
    return Measuring(min(near["factor"] * wall_m, near["max_mm"] / 1000.0), None)


def wait_s(wall_m: float) -> float:
    """Return how long to wait after the flame before reading, s: 2 min for each 25 mm.

    Row M07, from memory; not needed where the face opposite the heat is measured.
    """
    return float(row("measuring", "M07").values["wait_s_per_mm"]) * wall_m * 1000.0
