"""A bare part in still air, taken as one temperature.

``m c(T) dT/dt = -A [ 6 (|T-Ta|/100)^0.25 (T-Ta) + e sigma (T^4 - Ta^4) ]``

One temperature is right because heat moves through thin iron far faster than it leaves
the surface (Biot number some 0.003 in air); it is wrong for the first minute or two
after a bead, when the heat has not spread.

Rules of this file: standard library only (the fold imports it), and total: every
function takes any finite numbers, never raises and never returns NaN; what is never
reached takes ``inf`` seconds. Numbers outside the physical range are clamped to it.

Sources: 6 W/m2K at a difference of 100 K lies between the published correlations for the
lower and the upper face of a hot plate 0.1 m long (3.6 and 7.1, read from the `ht`
library, SEEN-P). Specific heat of grey iron near room temperature 450-490 J/kgK (data
sheet pages, SEEN-S), its slope from memory. Emissivity 0.8: as-cast and oxidised iron
0.63-0.95 in two published tables (SEEN-S); the choice is ours.
"""

from __future__ import annotations

import math

STEFAN_BOLTZMANN_W_M2K4 = 5.670374419e-8
"Exact in the SI since 2019 (CODATA 2018, from memory; `scipy.constants` agrees)."
ZERO_CELSIUS_K = 273.15
EMISSIVITY = 0.8
CONVECTION_W_M2K = 6.0
"Mean film coefficient of all faces at a difference of 100 K."

_HOTTEST_C = 2000.0
_STEPS = 32


def _clamp(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def _temperature_c(temp_c: float) -> float:
    return _clamp(temp_c, -ZERO_CELSIUS_K, _HOTTEST_C)


def heat_capacity_j_kgk(temp_c: float) -> float:
    """Return the specific heat of grey iron, ``450 + 0.4 T``, J/kgK.

    Held constant below 0 and above 700 °C: the peak at the transformation near 730 °C is
    left out, a repair does not go there.

    >>> heat_capacity_j_kgk(250.0)
    550.0
    """
    return 450.0 + 0.4 * _clamp(temp_c, 0.0, 700.0)


def film_w_m2k(
    temp_c: float, ambient_c: float, emissivity: float = EMISSIVITY, scale: float = 1.0
) -> float:
    """Return convection and radiation together as loss per area and degree, W/m2K.

    Finite at no difference too, so that times can be integrated down to ambient.
    """
    temp_c, ambient_c = _temperature_c(temp_c), _temperature_c(ambient_c)
    hot_k, cold_k = temp_c + ZERO_CELSIUS_K, ambient_c + ZERO_CELSIUS_K
    convection = CONVECTION_W_M2K * math.pow(abs(temp_c - ambient_c) / 100.0, 0.25)
    radiation = STEFAN_BOLTZMANN_W_M2K4 * (hot_k + cold_k) * (hot_k**2 + cold_k**2)
    return _clamp(scale, 0.0, 1e3) * (convection + _clamp(emissivity, 0.0, 1.0) * radiation)


def loss_w(
    temp_c: float,
    ambient_c: float,
    area_m2: float,
    emissivity: float = EMISSIVITY,
    scale: float = 1.0,
) -> float:
    """Return the heat a bare surface loses to still air, W; negative while it is colder.

    `scale` multiplies the whole loss: what a session has learned about its own part.
    """
    difference_dc = _temperature_c(temp_c) - _temperature_c(ambient_c)
    area_m2 = _clamp(area_m2, 0.0, 1e6)
    return area_m2 * film_w_m2k(temp_c, ambient_c, emissivity, scale) * difference_dc


def cooling_rate_c_s(
    temp_c: float,
    ambient_c: float,
    mass_kg: float,
    area_m2: float,
    emissivity: float = EMISSIVITY,
    scale: float = 1.0,
) -> float:
    """Return how fast a bare part cools, °C/s; negative where the air warms it."""
    heat_j_k = _clamp(mass_kg, 1e-6, 1e9) * heat_capacity_j_kgk(temp_c)
    return loss_w(temp_c, ambient_c, area_m2, emissivity, scale) / heat_j_k


def temp_after_c(
    start_c: float,
    duration_s: float,
    ambient_c: float,
    mass_kg: float,
    area_m2: float,
    emissivity: float = EMISSIVITY,
    scale: float = 1.0,
) -> float:
    """Return a bare part's temperature after `duration_s` in still air, °C.

    The difference to ambient shrinks by the midpoint rule in its logarithm, so it can
    neither cross ambient nor overshoot, however long the time.
    """
    start_c, ambient_c = _temperature_c(start_c), _temperature_c(ambient_c)
    mass_kg, area_m2 = _clamp(mass_kg, 1e-6, 1e9), _clamp(area_m2, 0.0, 1e6)
    step_s = _clamp(duration_s, 0.0, 1e9) / _STEPS

    def decay_1_s(difference_dc: float) -> float:
        temp_c = ambient_c + difference_dc
        film = film_w_m2k(temp_c, ambient_c, emissivity, scale)
        return area_m2 * film / (mass_kg * heat_capacity_j_kgk(temp_c))

    difference_dc = start_c - ambient_c
    for _ in range(_STEPS):
        half_dc = difference_dc * math.exp(-0.5 * step_s * decay_1_s(difference_dc))
        difference_dc *= math.exp(-step_s * decay_1_s(half_dc))
    return ambient_c + difference_dc


def _simpson(values: list[float], width: float) -> float:
    odd, even = sum(values[1:-1:2]), sum(values[2:-1:2])
    return width / (len(values) - 1) / 3.0 * (values[0] + 4.0 * odd + 2.0 * even + values[-1])


def time_to_cool_s(
    start_c: float,
    target_c: float,
    ambient_c: float,
    mass_kg: float,
    area_m2: float,
    emissivity: float = EMISSIVITY,
    scale: float = 1.0,
) -> float:
    """Return how long a bare part takes from `start_c` down to `target_c`, s.

    0 where it is there already, ``inf`` where the target is not above ambient.
    Integrated over the logarithm of the difference to ambient, which makes the
    integrand ``m c / (A h)`` smooth down to ambient.
    """
    start_c, target_c = _temperature_c(start_c), _temperature_c(target_c)
    ambient_c = _temperature_c(ambient_c)
    mass_kg, area_m2 = _clamp(mass_kg, 1e-6, 1e9), _clamp(area_m2, 0.0, 1e6)
    if start_c <= target_c:
        return 0.0
    if target_c <= ambient_c:
        return math.inf
    low, high = math.log(target_c - ambient_c), math.log(start_c - ambient_c)
    if high <= low:
        # Apart by less than a float can tell once ambient is taken off: it is there already.
        return 0.0
    values = []
    for i in range(_STEPS + 1):
        temp_c = ambient_c + math.exp(low + (high - low) * i / _STEPS)
        conductance_w_k = area_m2 * film_w_m2k(temp_c, ambient_c, emissivity, scale)
        if conductance_w_k <= 0.0:
            return math.inf
        values.append(mass_kg * heat_capacity_j_kgk(temp_c) / conductance_w_k)
    return _simpson(values, high - low)


def time_to_heat_s(
    power_w: float,
    start_c: float,
    target_c: float,
    ambient_c: float,
    mass_kg: float,
    area_m2: float,
    emissivity: float = EMISSIVITY,
    scale: float = 1.0,
) -> float:
    """Return how long steady `power_w` into a bare part takes to reach `target_c`, s.

    0 where it is there already, ``inf`` where the loss at the target eats the power.
    The surplus falls towards the target; integrating over the logarithm of the distance
    to where it would vanish keeps the integrand smooth when it nearly does.
    """
    start_c, target_c = _temperature_c(start_c), _temperature_c(target_c)
    mass_kg = _clamp(mass_kg, 1e-6, 1e9)
    power_w = _clamp(power_w, -1e12, 1e12)
    if start_c >= target_c:
        return 0.0

    def surplus_w(temp_c: float) -> float:
        return power_w - loss_w(temp_c, ambient_c, area_m2, emissivity, scale)

    if surplus_w(target_c) <= 0.0:
        return math.inf
    slope_w_k = (surplus_w(start_c) - surplus_w(target_c)) / (target_c - start_c)
    if slope_w_k * (target_c - start_c) <= 1e-9 * max(abs(power_w), surplus_w(target_c)):
        # No loss to speak of: the surplus is constant and the heat is all there is.
        heat_j = mass_kg * heat_capacity_j_kgk(0.5 * (start_c + target_c)) * (target_c - start_c)
        return heat_j / surplus_w(target_c)
    beyond_dc = surplus_w(target_c) / slope_w_k
    low, high = math.log(beyond_dc), math.log(target_c - start_c + beyond_dc)
    values = []
    for i in range(_STEPS + 1):
        distance_dc = math.exp(low + (high - low) * i / _STEPS)
        temp_c = _clamp(target_c + beyond_dc - distance_dc, start_c, target_c)
        values.append(mass_kg * heat_capacity_j_kgk(temp_c) * distance_dc / surplus_w(temp_c))
    return _simpson(values, high - low)
