"""A sensor's URL: `scheme:target?name=value&…`, told apart and checked.

`serial://PORT?baud=…`, `socket://HOST:PORT`, `loop://`, `modbus://PORT?…`, `file:PATH`
(`-` is standard input), `practice:`, `hand:`.
A mistake in the URL is the user's input; a port that can't be opened is a `SensorError`.
Every scheme of a text source takes `unit=` (default degC) and `channel=`;
`unit=mV`, `uV` or `V` needs `type=` and `cj=`.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field
from typing import NoReturn
from urllib.parse import unquote

from pacer.errors import UserInputError
from pacer.heat.thermocouple import LETTERS
from pacer.sensor.text.told import Told
from pacer.sensor.text.values import Span, number
from pacer.session.celsius import COLD_JUNCTION_C, VOLTS
from pacer.session.events import ArcSignal, Channel, Thermocouple
from pacer.text import clean

SCHEMES = ("serial", "socket", "loop", "modbus", "practice", "hand", "file")
TEXT_PARAMETERS = (
    "unit",
    "type",
    "cj",
    "channel",
    "dialect",
    "decimal",
    "arc",
    "arc_on",
    "arc_off",
)
"What every source of text lines takes."

_SCHEME = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*):(.*)", re.DOTALL)
_PARAMETERS = re.compile(r"[A-Za-z_]+=[^&]*(&[A-Za-z_]+=[^&]*)*")
_CJ = "cj=t2 (the channel of the cold junction) or cj=23degC"
_CHANNEL_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]{0,31}")


@dataclass(frozen=True, slots=True)
class SensorUrl:
    """One sensor URL in its parts."""

    text: str
    "The whole URL, cleaned."
    scheme: str
    target: str
    "Port, host and port, or path; empty where the scheme needs none."
    params: dict[str, str] = field(default_factory=dict)
    what: str = "sensor"
    "What the URL is for: begins the line that says what is wrong with it."

    def wrong(self, found: str, expected: str) -> NoReturn:
        """Raise the one line that says what is wrong with this URL."""
        raise UserInputError(
            f"{self.what} {self.text}: found {clean(found, 80)}, expected {clean(expected)}"
        )

    def allow(self, *known: str) -> None:
        """Raise UserInputError for a parameter that this scheme doesn't have."""
        for name in self.params:
            if name not in known:
                near = difflib.get_close_matches(name, known, 1, 0.5)
                hint = f"{near[0]}=…" if near else " or ".join(f"{k}=…" for k in known)
                self.wrong(f"{name}=…", hint or "no parameters")

    def number(self, name: str, low: float, high: float) -> float | None:
        """Return a parameter's number within [low, high]; None where it isn't given."""
        if name not in self.params:
            return None
        value = number(self.params[name])
        if value is None or not low <= value <= high:
            self.wrong(f'{name}="{self.params[name]}"', f"a number from {low:.10g} to {high:.10g}")
        return value

    def channel(self, unit_key: str = "unit") -> Channel:
        """Return how this source's values become °C: `unit=`, `type=`, `cj=`, `channel=`.

        A scheme whose `unit=` means something else says the unit with another key.
        """
        name, unit = self.params.get("channel", ""), self.params.get(unit_key, "degC")
        if name and _CHANNEL_NAME.fullmatch(name) is None:
            self.wrong(f'channel="{name}"', "a channel's name such as t1")
        arc = self._arc(name)
        if unit in VOLTS:
            wire = self._thermocouple(f"{unit_key}={unit}", name)
            return Channel(name, unit, VOLTS[unit], arc=arc, thermocouple=wire)
        if alone := [key for key in ("type", "cj") if key in self.params]:
            self.wrong(
                f"{alone[0]}=… without a voltage",
                f"{unit_key}=mV, uV or V with it; a source of degrees has its type set at the meter",
            )
        if unit == "degC":
            return Channel(name, unit, arc=arc)
        from pacer.units import SOURCE_UNITS, affine

        if unit not in SOURCE_UNITS:
            self.wrong(f'{unit_key}="{unit}"', " or ".join((*SOURCE_UNITS, *VOLTS)))
        return Channel(name, unit, *affine(unit, "degC"), arc=arc)

    def _thermocouple(self, said: str, decides: str) -> Thermocouple:
        """Return `type=K&cj=t2`, a channel of the same lines, or `type=K&cj=23degC`."""
        letter, cj = self.params.get("type", "").upper(), self.params.get("cj", "")
        if missing := [f"{key}=" for key in ("type", "cj") if not self.params.get(key)]:
            self.wrong(f"{said} without {' and '.join(missing)}", f"{said}&type=K&{_CJ}")
        if letter not in LETTERS:
            self.wrong(f'type="{self.params["type"]}"', "one of " + ", ".join(LETTERS))
        if _CHANNEL_NAME.fullmatch(cj) is not None:
            if cj in {decides, self.params.get("arc")}:
                self.wrong(f"cj={cj}", "another channel than the temperature's or the arc's")
            return Thermocouple(letter, cj=cj)
        from pacer.units import QuantityError, parse

        try:
            cj_c = parse(cj, "temperature")
        except QuantityError as exc:
            self.wrong(f'cj="{cj}" ({exc.problem})', exc.write or _CJ)
        low_c, high_c = COLD_JUNCTION_C
        if not low_c <= cj_c <= high_c:
            self.wrong(f'cj="{cj}"', f"a temperature from {low_c:g} to {high_c:g} degC")
        return Thermocouple(letter, cj_c=cj_c)

    def _arc(self, decides: str) -> ArcSignal | None:
        """Return how the same lines tell of the arc: `arc=NAME&arc_on=&arc_off=`, `arc=noise`."""
        name = self.params.get("arc")
        on = self.number("arc_on", -1e6, 1e6)
        off = self.number("arc_off", -1e6, 1e6)
        if name is None or name == "noise":
            if on is not None or off is not None:
                self.wrong("arc_on=… or arc_off=…", "them only with arc=NAME of a channel")
            return None if name is None else ArcSignal(noise=True)
        if _CHANNEL_NAME.fullmatch(name) is None:
            self.wrong(f'arc="{name}"', "noise, or a channel's name such as t2")
        if name == decides:
            self.wrong(f"arc={name}", "another channel than the one that reads the temperature")
        if on is None:
            self.wrong(f"arc={name}", "arc_on= with it, the value from which the arc burns")
        # Half way back to zero: wide enough for a clamp's ripple. Common practice, no source.
        low = on / 2 if off is None and on > 0 else off
        if low is None or low >= on:
            self.wrong(f"arc_on={on:g}", "arc_off= below it")
        return ArcSignal(name=name, on=on, off=low)

    def told(self) -> Told:
        """Return what the URL says of the lines: `dialect=`, `decimal=`, `unit=`, the channels."""
        dialect = self.params.get("dialect", "auto")
        if dialect not in ("auto", "csv"):
            self.wrong(f'dialect="{dialect}"', "auto or csv")
        decimal = self.params.get("decimal", "point")
        if decimal not in ("point", "comma"):
            self.wrong(f'decimal="{decimal}"', "point or comma")
        if decimal == "comma" and dialect == "csv":
            self.wrong("dialect=csv and decimal=comma", "one of them")
        named = (self.params.get(key, "") for key in ("channel", "arc", "cj"))
        return Told(
            dialect="csv" if dialect == "csv" else "auto",
            comma=decimal == "comma",
            unit=self.params.get("unit", ""),
            asked=frozenset(filter(None, named)),
            decides=self.params.get("channel", ""),
        )


def is_channel_name(text: str) -> bool:
    """Return whether a channel may be called so."""
    return _CHANNEL_NAME.fullmatch(text) is not None


def span(channel: Channel) -> Span:
    """Return the span check that belongs to a channel's unit."""
    volts = channel.thermocouple is not None
    return Span(channel.scale, channel.offset_c, channel.arc_name, volts, channel.cj_name)


def parse_url(
    url: str,
    what: str = "sensor",
    schemes: tuple[str, ...] = SCHEMES,
    such_as: str = "serial:///dev/ttyUSB0?baud=9600 or file:readings.csv",
) -> SensorUrl:
    """Return the parts of a sensor's URL, or of something else's that has these `schemes`.

    Raises UserInputError, naming the nearest known scheme or the parameter that is wrong.

    >>> parse_url("file:log.csv?period=0.5").params
    {'period': '0.5'}
    """
    text = clean(url, 200)
    found = _SCHEME.fullmatch(url.strip())
    if found is None or (len(found[1]) == 1 and found[1].lower() not in schemes):
        raise UserInputError(f'{what}: found "{text}", expected a URL such as {such_as}')
    scheme, rest = found[1].lower(), found[2]
    if scheme not in schemes:
        near = difflib.get_close_matches(scheme, schemes, 1, 0.5)
        meant = f"{near[0]}:" if near else ", ".join(f"{known}:" for known in schemes)
        raise UserInputError(f'{what} {text}: found "{clean(scheme, 40)}:", expected {meant}')
    target, params = _split_parameters(rest, SensorUrl(text, scheme, "", what=what))
    if target.startswith("//"):
        target = target[2:]
    if "\0" in target:
        raise UserInputError(f"{what} {text}: found a NUL character, expected a name without")
    return SensorUrl(text, scheme, target, params, what)


def _split_parameters(rest: str, url: SensorUrl) -> tuple[str, dict[str, str]]:
    """Split at the first `?`, since a question may hold another (`ask=MEAS:TEMP?`).

    A file's name may hold one: there at the last, if `name=value` follows it.
    """
    is_file = url.scheme == "file"
    target, mark, query = rest.rpartition("?") if is_file else rest.partition("?")
    if not is_file and "&" in target:
        url.wrong(f'"{target}"', "a ? before the first name=value")
    if not mark or (is_file and _PARAMETERS.fullmatch(query) is None):
        return rest, {}
    params: dict[str, str] = {}
    for part in filter(None, query.split("&")):
        name, equals, value = part.partition("=")
        if not equals or not name:
            url.wrong(f'"{part}"', "name=value")
        if name in params:
            url.wrong(f"{name}=… twice", "it once")
        params[name] = unquote(value)
    return target, params
