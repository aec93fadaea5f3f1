"""Where water boils: saturation temperature at a pressure, and the pressure at an altitude.

For the field check (`pacer guide checking`): melting ice and boiling water are the two
known temperatures a repair shop can make.
"""

from __future__ import annotations

import math

ICE_C = 0.0
"""Melting ice in its own water, to a few thousandths of a kelvin. Ice of tap water, or with salt
in it, melts lower: a public laboratory procedure (seen) takes distilled water for both."""

_N = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
"""IAPWS R7-97(2012), table 34, n1 to n10; the release itself was not seen, the figures were in
five public implementations, and its verification values (table 36) come out."""

LOWEST_PA, HIGHEST_PA = 611.213, 22.064e6
"Validity of the saturation equation: 273.15 K to the critical point (same source)."

_T0_K, _P0_PA, _LAPSE_K_M = 288.15, 101325.0, 0.0065
"ICAO standard atmosphere (ISO 2533): 15 °C and 1013.25 hPa at sea level, 6.5 K/km (SEEN-S)."
_EXPONENT = 9.80665 / (287.05287 * _LAPSE_K_M)
"g / (R L) with the standard's gravity and gas constant of dry air (from memory)."
LOWEST_M, HIGHEST_M = -500.0, 11_000.0
"From the shores below sea level to the height where its lapse rate ends (SEEN-S)."


def boiling_point_c(pressure_pa: float) -> float:
    """Return the temperature at which pure water boils at an absolute pressure, °C.

    Saturation-temperature equation of IAPWS-IF97, region 4, equation 31: with
    beta = (p / 1 MPa)^0.25 a quadratic in the transformed temperature.
    Raises ValueError outside 611.213 Pa to 22.064 MPa.

    >>> round(boiling_point_c(0.1e6) + 273.15, 6)
    372.755919
    """
    if not LOWEST_PA <= pressure_pa <= HIGHEST_PA:
        raise ValueError(f"found {pressure_pa:g} Pa, expected {LOWEST_PA:g} to {HIGHEST_PA:g}")
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _N
    beta = math.pow(pressure_pa / 1e6, 0.25)
    e = beta * beta + n3 * beta + n6
    f = n1 * beta * beta + n4 * beta + n7
    g = n2 * beta * beta + n5 * beta + n8
    d = 2.0 * g / (-f - math.sqrt(f * f - 4.0 * e * g))
    return (n10 + d - math.sqrt((n10 + d) ** 2 - 4.0 * (n9 + n10 * d))) / 2.0 - 273.15


def standard_pressure_pa(altitude_m: float) -> float:
    """Return the pressure of the ICAO standard atmosphere at an altitude, Pa.

    p = p0 (1 - L h / T0)^(g / (R L)). The weather is not in it: the air pressure of a day
    is some per cent above or below.
    Raises ValueError outside -500 m to 11 km.

    >>> round(standard_pressure_pa(1457.0) / 100)
    850
    """
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise ValueError(f"found {altitude_m:g} m, expected {LOWEST_M:g} to {HIGHEST_M:g}")
    return float(_P0_PA * (1.0 - _LAPSE_K_M * altitude_m / _T0_K) ** _EXPONENT)
