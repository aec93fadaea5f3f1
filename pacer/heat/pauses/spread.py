"""How the heat of a bead spreads through a thin plate to a place beside the joint.

A plate of sides `along` and `across` the joint, closed at its rim, one temperature through
its thickness. A bead's heat, set free at
once at one place, raises another place by ``E / (m c) x A gx gy`` with, for each axis,

    g(u, t) = sum over n of exp(-(u - u_n)^2 / 4 a t) / sqrt(4 pi a t),  u_n = n L + (-1)^n u_0

the method of images (textbook). Five of them are enough early; later the first terms of
the same solution's Fourier series are (the tests check one against the other). Late g is
1/L: the heat has spread through the whole plate.

Standard library only, and scalar: the fold runs it once a second, for a few beads.
"""

from __future__ import annotations

import math

_COSINES_AFTER = 0.12
"a t / L^2 at which five images and two cosines both hold L g to 2e-4."
_EVEN_AFTER = 0.9
"a t / L^2 from which L g is 1 to 3e-4."
_NOTHING = 30.0
"exp(-30) of a heat is nothing."


def share(
    probe_m: float, source_m: float, side_m: float, spread_m2: float
) -> tuple[float, float, float]:
    """Return ``L g`` for one axis, its slope in the probe's place (1/m) and in ln a.

    1 is as much as once all is even. Places count from the plate's middle; `spread_m2` is
    diffusivity times time, above 0.
    """
    if spread_m2 > _EVEN_AFTER * side_m * side_m:
        return 1.0, 0.0, 0.0
    if spread_m2 > _COSINES_AFTER * side_m * side_m:
        return _cosines(math.pi * probe_m / side_m, math.pi * source_m / side_m, side_m, spread_m2)
    wide = 4.0 * spread_m2
    reach = _NOTHING * wide
    g = by_place = by_ln_a = 0.0
    for image_m in (
        source_m,
        side_m - source_m,
        -side_m - source_m,
        2.0 * side_m + source_m,
        source_m - 2.0 * side_m,
    ):
        away = probe_m - image_m
        square = away * away
        if square < reach:
            term = math.exp(-square / wide)
            g += term
            by_place -= away * term
            by_ln_a += (square / wide - 0.5) * term
    scale = side_m / math.sqrt(math.pi * wide)
    return scale * g, 2.0 * scale / wide * by_place, scale * by_ln_a


def _cosines(
    probe: float, source: float, side_m: float, spread_m2: float
) -> tuple[float, float, float]:
    """Return the same by two terms of the Fourier series; places as angles, pi for the side."""
    rate = math.pi**2 * spread_m2 / (side_m * side_m)
    first = math.exp(-rate)
    second = first**4
    one = 2.0 * first * math.sin(source)
    two = 2.0 * second * math.cos(2.0 * source)
    odd, even = one * math.sin(probe), two * math.cos(2.0 * probe)
    by_place = one * math.cos(probe) - 2.0 * two * math.sin(2.0 * probe)
    return 1.0 + odd + even, math.pi / side_m * by_place, -rate * (odd + 4.0 * even)
