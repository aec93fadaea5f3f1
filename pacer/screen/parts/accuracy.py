"""How near a thermocouple's wire is to its table, and which correction is in force.

The tolerance is that of new wire, class 2 (IEC 60584): what contact, old wire and the
meter add is not in it. Where the program doesn't know the wire it says nothing.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.heat.thermocouple import Letter
from pacer.session.events import Channel
from pacer.session.state import State
from pacer.text import clean
from pacer.units import Shown


class _Class2(NamedTuple):
    least_dc: float
    share: float
    from_c: float
    to_c: float


_CLASS_2: dict[Letter, _Class2] = {
    "K": _Class2(2.5, 0.0075, -40.0, 1200.0),
    "N": _Class2(2.5, 0.0075, -40.0, 1200.0),
    "J": _Class2(2.5, 0.0075, -40.0, 750.0),
    "E": _Class2(2.5, 0.0075, -40.0, 900.0),
    "T": _Class2(1.0, 0.0075, -40.0, 350.0),
    "R": _Class2(1.5, 0.0025, 0.0, 1600.0),
    "S": _Class2(1.5, 0.0025, 0.0, 1600.0),
    "B": _Class2(0.0, 0.0025, 600.0, 1700.0),
}
"""The larger of a difference and a share of the °C. K and N: IEC 60584 class 2 as quoted in
reliability.md section 5 (a secondary page); their lower end and the others from memory."""


def tolerance_dc(letter: Letter, temp_c: float) -> float | None:
    """Return the class 2 tolerance of a wire at a temperature, K; None outside its range."""
    row = _CLASS_2[letter]
    if not row.from_c <= temp_c <= row.to_c:
        return None
    return max(row.least_dc, row.share * abs(temp_c))


def tolerance(channel: Channel, temp_c: float, shown: Shown) -> str:
    """Return the tolerance of the channel's wire as shown; nothing where it isn't known."""
    wire = channel.thermocouple
    found_dc = None if wire is None else tolerance_dc(wire.letter, temp_c)
    return "" if found_dc is None else f"±{_degrees(found_dc, shown)}"


def correction(state: State, shown: Shown) -> str:
    """Return what the last field check corrects, at the temperature this job is about.

    Empty where the deciding channel has none.
    """
    sensor, band = state.sensor, state.job.band
    at_c = band.ceiling_c if band.preheat_c is None else band.preheat_c
    for made in sensor.channel.corrections:
        if made.channel not in {"", sensor.control or sensor.channel.name}:
            continue
        # What is added to a reading of `at_c`.
        change_dc = (made.scale - 1.0) * at_c + made.offset_dc
        change = f"{'+' if change_dc >= 0 else '-'}{_degrees(abs(change_dc), shown)}"
        return f"corrected {change} at {shown.temp_c(at_c)}, {clean(made.made, 10)}"
    return ""


def _degrees(difference_dc: float, shown: Shown) -> str:
    """Return a difference as degrees of the user's thermometer, to a tenth."""
    degrees = shown.temp_number(difference_dc) - shown.temp_number(0.0)
    return f"{degrees:.1f} {'°F' if shown.system == 'us' else '°C'}"
