"""A proof load's nominal bending stress, and the iron's published strengths beside it.

Plain beam theory for a straight bar: it shows what was pulled at, it rates nothing. What
grade an iron is was written by somebody; charts of equal grades differ, and a casting is
weaker than the bar its grade is named by.
"""

from __future__ import annotations

import math
import re

from pacer.trade.rows import Row, load, row
from pacer.units import Shown

PA_PER_MPA, PA_PER_KSI = 1e6, 6.894757e6
"A ksi is 1,000 pounds-force on a square inch (NIST SP 811, from memory)."

NO_RATING = (
    "No rating: a nominal stress of a plain bar. Notches, the weld's boundary and what stress the "
    "weld left are not in it, and iron bears less under a load that comes again and again."
)


def bending_stress_pa(load_n: float, arm_m: float, width_m: float, height_m: float) -> float:
    """Return the nominal stress at the skin of a rectangular section, Pa: ``6 F a / (b h²)``.

    `arm_m` from the load to the section, `height_m` in the direction of the load. Beam
    theory (textbook formula, from memory): straight bar, elastic, no notch.
    ValueError for a size that is not above 0.

    >>> round(bending_stress_pa(1000.0, 0.2, 0.05, 0.02) / 1e6, 3)
    60.0
    """
    _above_zero(width_m, height_m)
    return 6.0 * load_n * arm_m / (width_m * height_m**2)


def round_bending_stress_pa(load_n: float, arm_m: float, diameter_m: float) -> float:
    """Return the nominal stress at the skin of a round solid section, Pa: ``32 F a / (pi d³)``.

    As `bending_stress_pa`.
    """
    _above_zero(diameter_m)
    return 32.0 * load_n * arm_m / (math.pi * diameter_m**3)


def beside(stress_pa: float, grade: str, shown: Shown, wall_m: float | None = None) -> list[str]:
    """Return the stress and what is published of the grade's strength, a line each.

    `grade` as its standard names it, such as ASTM A48 class 30, JL/200 or EN-GJL-250; one
    that is not known gets no strength. `wall_m` picks the wall of EN 1561; all without it.
    The last line says that this is no rating.
    """
    lines = [
        f"nominal bending stress {_stress(stress_pa, shown)} "
        "(computed: load times arm over the section's modulus)"
    ]
    for fact, values in strengths(grade, wall_m):
        told = " to ".join(_stress(value * PA_PER_MPA, shown) for value in values)
        lines.append(f"{told}{_wall(fact, values, wall_m, shown)}: {fact.told}")
    if len(lines) == 1:
        known = "ASTM A48 class 30, JL/200 or EN-GJL-250"
        lines.append(f"no published strength of this grade here; known are names such as {known}")
    return [*lines, NO_RATING]


def _wall(fact: Row, values: tuple[float, ...], wall_m: float | None, shown: Shown) -> str:
    if "wall_mm" not in fact.values or wall_m is None or len(values) != 1:
        return ""
    at_m = fact.values["wall_mm"][fact.values["mpa"].index(values[0])] / 1e3
    thicker = f", the next in the table above {shown.length_m(wall_m)}" if at_m > wall_m else ""
    return f" in a wall of {shown.length_m(at_m)}{thicker}"


def strengths(grade: str, wall_m: float | None = None) -> list[tuple[Row, tuple[float, ...]]]:
    """Return the rows about a grade with the MPa that each gives it; none for one not known.

    The two charts that set A48 beside ISO 185 disagree: both are returned.
    """
    a48, iso = _a48_class(grade), _iso_grade(grade)
    found: list[tuple[Row, tuple[float, ...]]] = []
    if a48 is not None:
        found += [
            (fact, (fact.values["min_mpa"],))
            for fact in load("grades")
            if fact.values.get("class") == a48
        ]
        charts = [row("grades", name) for name in ("ISO185-first", "ISO185-second")]
        found += [
            (fact, tuple(dict.fromkeys(fact.values["a48"][str(a48)])))
            for fact in charts
            if str(a48) in fact.values["a48"]
        ]
    if iso is not None:
        named = row("grades", "ISO185")
        if iso in named.values["min_mpa"]:
            found.append((named, (float(iso),)))
        found += _in_casting(iso, wall_m)
    return found


def _in_casting(iso: int, wall_m: float | None) -> list[tuple[Row, tuple[float, ...]]]:
    for fact in load("grades"):
        if fact.id != f"EN1561-{iso}":
            continue
        walls_mm, mpa = fact.values["wall_mm"], fact.values["mpa"]
        # A wall between two of the table is taken as the thicker, which is the weaker; of one
        # beyond it nothing is known but that it is weaker still.
        thick = next((at for at, mm in enumerate(walls_mm) if (wall_m or 0.0) * 1e3 <= mm), None)
        if wall_m is None or thick is None:
            return [(fact, (min(mpa), max(mpa)))]
        return [(fact, (mpa[thick],))]
    return []


def _stress(stress_pa: float, shown: Shown) -> str:
    if shown.system == "us":
        return f"{stress_pa / PA_PER_KSI:.3g} ksi"
    return f"{stress_pa / PA_PER_MPA:.3g} MPa"


_CLASS = re.compile(r"\bcl(?:ass)?(?![a-z])[\s.:-]*(?:no[\s.]*)?(\d*)", re.IGNORECASE)
_AFTER_A48 = re.compile(r"\bA\s?48(?!\d)\D*?(\d+)", re.IGNORECASE)


def _a48_class(grade: str) -> int | None:
    # Beside the word class, what follows A48 is the year of the edition.
    found = _CLASS.search(grade) or _AFTER_A48.search(grade)
    return int(found[1]) if found and len(found[1]) == 2 else None


def _iso_grade(grade: str) -> int | None:
    found = re.search(r"\b(?:GJL|JL)[\s/-]*(\d{3})(?!\d)", grade, re.IGNORECASE)
    return int(found[1]) if found else None


def _above_zero(*sizes_m: float) -> None:
    if not all(size > 0.0 for size in sizes_m):
        raise ValueError("a section's sizes must be above 0 m")
