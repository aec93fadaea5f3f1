"""Text to quantity and back; the only module that imports pint, inside functions.

pint reads shop spellings wrongly without complaint (`600 F` is farad, `25,4 mm` is
254 mm), so user text never reaches its parser: the number is read here, the unit is
looked up in a list of spellings for the kind expected, and pint only converts.
"""

from __future__ import annotations

import functools
import math
import re
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from pacer.errors import UserInputError
from pacer.text import clean

Kind = Literal[
    "temperature",
    "temperature_difference",
    "rate_c_h",
    "length",
    "mass",
    "time",
    "volume",
    "speed",
    "current",
    "voltage",
    "angle",
    "pressure",
    "gas_flow",
    "force",
]
System = Literal["metric", "us"]

ABSOLUTE_ZERO_C = -273.15
SOURCE_UNITS = ("degC", "degF", "K")
"Units a sensor may send."

_MAX_CHARS = 80


# kind | words for an error | example | pint unit of the result | pint unit=spellings ...
_TABLE = """
temperature | a temperature | 200 degC | degC | \
 degC=degC,°C,℃,Celsius degF=degF,°F,℉,Fahrenheit kelvin=K,kelvin
temperature_difference | a temperature difference | 5 delta_degC | kelvin | \
 kelvin=K,kelvin delta_degC=delta_degC,Δ°C delta_degF=delta_degF,Δ°F
rate_c_h | a rate | 40 delta_degC/hour | kelvin/hour | \
 kelvin/hour=delta_degC/hour,delta_degC/h,K/hour,K/h kelvin/minute=delta_degC/min,K/min \
 delta_degF/hour=delta_degF/hour,delta_degF/h delta_degF/minute=delta_degF/min
length | a length | 25 mm | meter | \
 mm=mm cm=cm meter=m inch=in,inch,inches,",″ foot=ft,foot,feet
mass | a mass | 3.2 kg | kilogram | \
 kilogram=kg gram=g tonne=t pound=lb,lbs,pound,pounds ounce=oz
time | a time | 20 min | second | \
 second=s,sec,second,seconds minute=min,minute,minutes hour=h,hr,hour,hours day=d,day,days
volume | a volume | 30 l | meter**3 | \
 liter=l,L,litre,litres,liter,liters,dm3 ml=ml,cm3 gallon=gal,gallon meter**3=m3,m³ \
 foot**3=ft3 inch**3=in3
speed | a speed | 120 mm/min | meter/second | mm/minute=mm/min mm/second=mm/s \
 cm/minute=cm/min meter/minute=m/min meter/second=m/s inch/minute=in/min,ipm
current | a current | 65 A | ampere | ampere=A,amp,amps,ampere
voltage | a voltage | 22 V | volt | volt=V,volt,volts
angle | an angle | 60 deg | degree | degree=deg,°,degree,degrees
pressure | a pressure | 987 hPa | pascal | \
 hectopascal=hPa kilopascal=kPa pascal=Pa millibar=mbar,mb bar=bar inch_Hg=inHg mmHg=mmHg
gas_flow | a gas flow | 8 l/min | meter**3/second | \
 liter/minute=l/min,L/min foot**3/hour=ft3/h,cfh
force | a load | 2 kN | newton | \
 newton=N kilonewton=kN kilogram_force=kgf,kg pound_force=lbf,lb,lbs
"""


class _KindRow(NamedTuple):
    words: str
    example: str
    target: str
    spellings: dict[str, str]


def _kind_row(line: str) -> tuple[str, _KindRow]:
    name, words, shown, target, units = (cell.strip() for cell in line.split("|"))
    pairs = (pair.split("=") for pair in units.split())
    table = {word: unit for unit, words_ in pairs for word in words_.split(",")}
    return name, _KindRow(words, shown, target, table)


_KINDS = dict(_kind_row(line) for line in _TABLE.strip().splitlines())

# What pint would silently take them for, and what was meant.
_TRAPS = {"F": "farad", "C": "coulomb", "f": "no unit", "c": "no unit"}
_BARE = {"force": "kg"}
"What a bare number is likely to mean, where that is not the unit of the kind's example."
_PLAIN = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_QUANTITY = re.compile(
    rf"(?P<sign>[+-]?)(?:(?:(?P<whole>[0-9]+)(?:-|\s+))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    rf"|(?P<plain>{_PLAIN}))\s*(?P<unit>\D.*)?"
)
_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]+)(.*)")


class QuantityError(UserInputError):
    """Text that isn't a quantity of the kind expected; one line says what to write."""

    def __init__(self, found: str, problem: str, write: str = "") -> None:
        """Keep the cleaned text found, what is wrong with it, and a spelling that works."""
        self.found, self.problem, self.write = clean(found, _MAX_CHARS), problem, write
        tail = f"; write {write}" if write else ""
        super().__init__(f'"{self.found}": {problem}{tail}')


@functools.cache
def _registry() -> Any:
    """Return pint's registry, from its cache on disk where that can be used."""
    import pickle

    from pint import UnitRegistry

    try:
        return UnitRegistry(cache_folder=":auto:")
    except (OSError, EOFError, pickle.UnpicklingError, AttributeError):
        # A read-only home or a half-written cache costs 0.1 s, not the session.
        return UnitRegistry()


_SIDED = re.compile(r"\s*(at least|below|>=?|<)\s*(?=\S)", re.IGNORECASE)


def sided(text: str) -> tuple[int, str]:
    """Split "at least 260 degC" into 1 and the rest, "below …" into -1; else 0 and all of it.

    A temperature crayon says one of the two; ``>=``, ``>`` and ``<`` mean the same.

    >>> sided("at least 260 degC"), sided("< 200 degC"), sided("231 degC")
    ((1, '260 degC'), (-1, '200 degC'), (0, '231 degC'))
    """
    found = _SIDED.match(text)
    if found is None:
        return 0, text
    return (-1 if found[1].lower() in {"below", "<"} else 1), text[found.end() :]


def parse(text: str, kind: Kind) -> float:
    """Return the quantity in `text`: °C, K, K/h, m, kg, s, m³, m/s, A, V, degrees, Pa, m³/s or N.

    Raises QuantityError for anything but one finite number and one unit of this kind.

    >>> parse("1-1/2 in", "length")
    0.0381
    """
    number, unit = _split(text, kind)
    words, example, target, spellings = _KINDS[kind]
    if unit not in spellings:
        raise _unit_error(text, number, unit, kind)
    if not math.isfinite(number):
        raise QuantityError(text, "the number is too large", f'{words} such as "{example}"')
    value = float(_registry().Quantity(number, spellings[unit]).to(target).magnitude)
    if kind == "temperature" and value < ABSOLUTE_ZERO_C - 1e-9:
        raise QuantityError(text, "below absolute zero", f'{words} such as "{example}"')
    # Conversions leave dust in the last digits (0.0381 m as 0.038099999999999995).
    return float(f"{value:.14g}")


PLACE_CHARS = 60
"Of the words for a place so many are kept."

_UNIT_WORDS = 2
"A unit is one word, or two as in `deg C`."

_PLACE = re.compile(r"[^\W\d_]{3}")


def with_place(text: str) -> tuple[str, str]:
    """Split "231 degC far end" into the temperature and the place; all of it where there is none.

    A place begins with a word of three letters or more, so that no unit is taken for one.

    >>> with_place("231 degC far end"), with_place("231 degC")
    (('231 degC', 'far end'), ('231 degC', ''))
    """
    words = text.split()
    for count in range(min(len(words) - 1, 1 + _UNIT_WORDS), 0, -1):
        found, place = " ".join(words[:count]).rstrip(",;:"), " ".join(words[count:])
        if not _PLACE.match(place):
            continue
        try:
            parse(found, "temperature")
        except QuantityError:
            continue
        return found, clean(place, PLACE_CHARS)
    return text, ""


def _split(text: str, kind: Kind) -> tuple[float, str]:
    """Split into number and unit text; the unit may be empty."""
    words, example, _, _ = _KINDS[kind]
    stripped = text.strip()
    if len(stripped) > _MAX_CHARS:
        raise QuantityError(text, "too long", f'{words} such as "{example}"')
    if comma := _COMMA.fullmatch(stripped):
        raise _comma_error(text, comma)
    found = _QUANTITY.fullmatch(stripped)
    if found is None:
        raise QuantityError(text, f'expected {words} such as "{example}"')
    if found["plain"]:
        number = float(found["plain"])
    elif int(found["bottom"]) == 0:
        raise QuantityError(text, "division by zero", f'{words} such as "{example}"')
    else:
        number = int(found["whole"] or 0) + int(found["top"]) / int(found["bottom"])
    unit = re.sub(r"\s*/\s*", "/", (found["unit"] or "").strip())
    if unit.startswith(("deg ", "° ")):
        unit = unit.replace(" ", "", 1)
    return (-number if found["sign"] == "-" else number), unit


def _comma_error(text: str, comma: re.Match[str]) -> QuantityError:
    whole, part, rest = comma.groups()
    unit = f" {clean(rest)}".rstrip()
    write = f'"{whole}.{part}{unit}"'
    if len(part) == 3:
        write += f' or "{whole}{part}{unit}"'
    return QuantityError(text, "decimal comma", write)


def _unit_error(text: str, number: float, unit: str, kind: Kind) -> QuantityError:
    """Say what the unit was taken for and which spelling is meant, if that can be told."""
    words, shown_example, _, known = _KINDS[kind]
    shown, expected = f"{number:.10g}", f'expected {words} such as "{shown_example}"'
    degree = {"temperature": "deg", "temperature_difference": "delta_deg"}.get(kind)
    if not unit:
        usual = _BARE.get(kind, shown_example.split(" ", 1)[1])
        second = f"{degree}F" if degree else {"time": "s", "length": "in", "force": "N"}.get(kind)
        write = f'"{shown} {usual}"' + (f' or "{shown} {second}"' if second else "")
        return QuantityError(text, "unit missing", write)
    if degree and unit in _TRAPS:
        taken = f"{unit} is {_TRAPS[unit]}, not {words}"
        return QuantityError(text, taken, f'"{shown} {degree}{unit.upper()}"')
    folded = {word.casefold(): word for word in known}
    if unit.casefold() in folded:
        return QuantityError(text, f"unknown unit {unit}", f'"{shown} {folded[unit.casefold()]}"')
    if kind != "temperature" and unit.startswith(("degC", "degF")):
        meant = unit.replace("deg", "delta_deg", 1)
        if meant in known:
            return QuantityError(text, "a temperature, not a difference", f'"{shown} {meant}"')
    for other_kind, other in _KINDS.items():
        if other_kind != kind and unit in other.spellings:
            return QuantityError(text, f"{unit} is for {other.words}; {expected}")
    return QuantityError(text, expected)


def spellings(kind: Kind) -> tuple[str, ...]:
    """Return the unit spellings accepted for a kind, in the order of the table."""
    return tuple(_KINDS[kind].spellings)


def example(kind: Kind) -> tuple[str, str]:
    """Return how the kind is called and a text that parses: ("a length", "25 mm")."""
    return _KINDS[kind].words, _KINDS[kind].example


@functools.cache
def affine(from_unit: str, to_unit: str) -> tuple[float, float]:
    """Return (scale, offset) with `to = scale * value + offset`, asked of pint once.

    Both are unit names from the table above; raises QuantityError for others.

    >>> affine("degC", "degF")
    (1.8, 32.0)
    """
    # Reversed, so that kg stays a mass: as a load it is the weight of one.
    kinds = reversed(_KINDS.values())
    known = {word: unit for kind in kinds for word, unit in kind.spellings.items()}
    for unit in (from_unit, to_unit):
        if unit not in known:
            raise QuantityError(unit, "unknown unit", " or ".join(SOURCE_UNITS))
    if from_unit == to_unit:
        return 1.0, 0.0
    quantity, target = _registry().Quantity, known[to_unit]
    offset = float(quantity(0.0, known[from_unit]).to(target).magnitude)
    far = float(quantity(1e6, known[from_unit]).to(target).magnitude)
    return round((far - offset) / 1e6, 15), round(offset, 10)


def _inch_fraction(inches: float) -> str | None:
    """Return a size below an inch as the fraction it is sold by; None where it is none within 1 %.

    >>> _inch_fraction(2.4 / 25.4), _inch_fraction(12.7 / 25.4), _inch_fraction(2.5 / 25.4)
    ('3/32', '1/2', None)
    """
    found = Fraction(round(inches * 32.0), 32)
    if not 0 < found < 1 or abs(float(found) - inches) > 0.01 * inches:
        return None
    return f"{found.numerator}/{found.denominator}"


class Shown:
    """SI and °C values as short text in the user's units; metric needs no pint.

    >>> shown = Shown("metric")
    >>> shown.temp_c(231.4), shown.length_m(0.0025), shown.duration(7800)
    ('231 °C', '2.5 mm', '2 h 10 min')
    """

    def __init__(self, system: System = "metric") -> None:
        """Ask pint once for the factors of the US system."""
        self.system = system
        self._us = system == "us"
        self._degf = affine("degC", "degF") if self._us else (1.0, 0.0)
        self._inch = affine("m", "in")[0] if self._us else 0.0
        self._pound = affine("kg", "lb")[0] if self._us else 0.0
        self._pound_force = affine("N", "lbf")[0] if self._us else 0.0
        self._gallon = affine("m3", "gal")[0] if self._us else 0.0

    def temp_c(self, temp_c: float, digits: int = 0) -> str:
        """Show a temperature given in °C."""
        return f"{self.temp_number(temp_c):.{digits}f} {'°F' if self._us else '°C'}"

    def temp_number(self, temp_c: float) -> float:
        """Return a temperature in °C as the number in the user's unit."""
        scale, offset = self._degf
        return scale * temp_c + offset + 0.0  # + 0.0: no minus zero

    def temp_dc(self, difference_dc: float, digits: int = 0) -> str:
        """Show a temperature difference given in K."""
        return f"{difference_dc * self._degf[0]:.{digits}f} {'°F' if self._us else 'K'}"

    def rate_c_h(self, rate_c_h: float) -> str:
        """Show a rate given in K/h."""
        return f"{self.temp_dc(rate_c_h)}/h"

    def length_m(self, length_m: float) -> str:
        """Show a length given in m."""
        if self._us:
            return f"{length_m * self._inch:.3g} in"
        return f"{length_m * 1000:.3g} mm" if abs(length_m) < 1.0 else f"{length_m:.3g} m"

    def stock_m(self, length_m: float) -> str:
        """Show the size of a rod or wire given in m, in inches as it is sold."""
        fraction = _inch_fraction(length_m * self._inch) if self._us else None
        return f"{fraction} in" if fraction else self.length_m(length_m)

    def mass_kg(self, mass_kg: float) -> str:
        """Show a mass given in kg."""
        return f"{mass_kg * self._pound:.3g} lb" if self._us else f"{mass_kg:.3g} kg"

    def force_n(self, force_n: float) -> str:
        """Show a force given in N."""
        if self._us:
            return f"{force_n * self._pound_force:.3g} lbf"
        return f"{force_n:.3g} N" if abs(force_n) < 1000.0 else f"{force_n / 1000:.3g} kN"

    def volume_m3(self, volume_m3: float) -> str:
        """Show a volume given in m³."""
        return f"{volume_m3 * self._gallon:.3g} gal" if self._us else f"{volume_m3 * 1000:.3g} l"

    def speed_m_s(self, speed_m_s: float) -> str:
        """Show a travel speed given in m/s."""
        if self._us:
            return f"{speed_m_s * self._inch * 60:.3g} in/min"
        return f"{speed_m_s * 60_000:.3g} mm/min"

    def duration(self, seconds_s: float) -> str:
        """Show a duration in s: seconds below 2 min, then minutes, then hours and minutes."""
        if not math.isfinite(seconds_s):
            return "unknown"
        sign, whole = ("-" if seconds_s < -0.5 else ""), round(abs(seconds_s))
        if whole < 120:
            return f"{sign}{whole} s"
        hours, minutes = divmod(round(whole / 60), 60)
        if not hours:
            return f"{sign}{minutes} min"
        return f"{sign}{hours} h {minutes} min" if minutes else f"{sign}{hours} h"
