"""Where water boils at the user's place: `--pressure`, `--altitude`, or an answer."""

from __future__ import annotations

import re
from typing import NamedTuple

from pacer.errors import UserInputError
from pacer.heat.water import boiling_point_c, standard_pressure_pa
from pacer.sensor.listening.fieldcheck import BAROMETER_OFF_DC, WEATHER_PA
from pacer.text import clean
from pacer.units import Kind, QuantityError, parse

PRESSURE_PA = (50_000.0, 110_000.0)
"""500 hPa is the air at 5500 m, where nobody welds; 1084 hPa is the highest ever measured at sea
level (a public page, seen)."""

ALTITUDE_M = (-450.0, 5000.0)
"From the shores of the Dead Sea to the highest workshops."

QUESTION = (
    "Air pressure here, not at sea level (987 hPa, 29.15 inHg),\n"
    "or height above sea level (430 m, 1400 ft)?"
)


class Boiling(NamedTuple):
    """Where water boils, and how well that is known."""

    at_c: float
    off_dc: float
    "It may be so far off."
    how: str
    "In words, in the user's own figures."


def by_pressure(text: str, option: str = "--pressure") -> Boiling:
    """Return the boiling point at the pressure of a place.

    Raises UserInputError for text that is no pressure, or none people live in.
    """
    pressure_pa = _parsed(text, "pressure", option)
    low_pa, high_pa = PRESSURE_PA
    if not low_pa <= pressure_pa <= high_pa:
        raise UserInputError(
            f'{option}: found "{clean(text, 40)}", expected the air pressure at your place, '
            f"{low_pa / 100:.0f} to {high_pa / 100:.0f} hPa"
        )
    return Boiling(boiling_point_c(pressure_pa), BAROMETER_OFF_DC, f"at {clean(text, 40)}")


def by_altitude(text: str, option: str = "--altitude") -> Boiling:
    """Return the boiling point in the standard atmosphere, off by what the weather may do.

    Raises UserInputError for text that is no height, or none people work at.
    """
    altitude_m = _parsed(text, "length", option)
    low_m, high_m = ALTITUDE_M
    if not low_m <= altitude_m <= high_m:
        raise UserInputError(
            f'{option}: found "{clean(text, 40)}", expected {low_m:g} to {high_m:g} m'
        )
    pressure_pa = standard_pressure_pa(altitude_m)
    at_c = boiling_point_c(pressure_pa)
    weather_dc = at_c - boiling_point_c(pressure_pa - WEATHER_PA)
    off_dc = float((weather_dc**2 + BAROMETER_OFF_DC**2) ** 0.5)
    return Boiling(at_c, off_dc, f"{clean(text, 40)} above sea level, any weather")


def _parsed(text: str, kind: Kind, option: str) -> float:
    try:
        return parse(text, kind)
    except QuantityError as error:
        raise UserInputError(f"{option}: {error}") from None


def by_answer(text: str) -> Boiling:
    """Return what an answer says: a pressure or a height.

    Raises UserInputError where it is neither, or a number that may be both.
    """
    if re.fullmatch(r"[0-9.,]+", text):
        raise UserInputError(
            f'pressure or height: "{clean(text, 40)}": unit missing; write it, as in 987 hPa or 430 m'
        )
    try:
        parse(text, "length")
    except QuantityError:
        return by_pressure(text, "pressure or height")
    return by_altitude(text, "height")
