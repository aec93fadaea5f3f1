"""`pacer sensors URL --check`: the field check in melting ice and boiling water.

What it found is measured, never a promise: the sensor was right at two temperatures below
100 °C, once.
"""

from __future__ import annotations

import argparse
from typing import NamedTuple

from pacer.cli.sensors.answers import Answers, NoAnswer
from pacer.cli.sensors.matching import known_as, same_sensor
from pacer.cli.sensors.points import NotSteady, Watch, point
from pacer.cli.sensors.store import forget, settings_path, store
from pacer.cli.sensors.water import QUESTION, Boiling, by_altitude, by_answer, by_pressure
from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.heat.water import ICE_C
from pacer.sensor.listening.fieldcheck import (
    CLASS_2_DC,
    ICE_OFF_DC,
    Line,
    Steady,
    boil_doubt,
    ice_doubt,
    two_points,
    uncertainty_dc,
)
from pacer.sensor.open import open_source, parse_url
from pacer.sensor.port.identity import url_for
from pacer.sensor.source import Source
from pacer.sensor.url import SensorUrl
from pacer.settings import SensorCorrection
from pacer.text import clean
from pacer.units import Shown

SHOWN_C = (0.0, 100.0, 260.0)
"Near the two points, and at the preheat of many hot repairs."

TRIES = 3
"A slip while typing is asked for again."

_ICE = (
    "1  Melting ice. Crush it, fill a cup, add cold water until it just floats, stir.",
    "   The tip in the middle of the ice, not touching the cup. Stir now and then.",
)
_BOIL = (
    "2  Boiling water, boiling hard. The tip well under, touching neither bottom nor wall.",
    "   CAUTION: water and steam scald. Fix the wire or hold it with tongs, face and hands",
    "   out of the steam; water splashes; keep the laptop and mains leads dry.",
)


class Checked(NamedTuple):
    """Two points and what follows from them."""

    channel: str
    ice: Steady
    boil: Steady
    boiling: Boiling
    line: Line

    def off_dc(self, at_c: float) -> float:
        """Return how far a corrected reading may be off, K."""
        ice_dc = (ICE_OFF_DC**2 + (self.ice.spread_dc / 2) ** 2) ** 0.5
        boil_dc = (self.boiling.off_dc**2 + (self.boil.spread_dc / 2) ** 2) ** 0.5
        return uncertainty_dc(at_c, ice_dc, boil_dc, self.boiling.at_c)


def check(args: argparse.Namespace, shown: Shown) -> int:
    """Check one sensor; 0 if it was checked, 1 if something is wrong with it or with the check.

    Raises UserInputError for what can't be meant or written, SensorError for a port that
    can't be opened.
    """
    try:
        return _check(args, shown)
    except NoAnswer as error:
        print(f"\nNot checked, nothing stored: {error}", flush=True)
        return 1
    except KeyboardInterrupt:
        print("\nStopped, nothing stored.", flush=True)
        raise


def _check(args: argparse.Namespace, shown: Shown) -> int:
    url = parse_url(args.url)
    _can_be_checked(url, asks=not args.yes)
    answers = None if args.yes else Answers()
    boiling = _boiling(args, answers)
    known = known_as(url)
    source = open_source(args.url, BootClock(), fail_fast=True)
    try:
        print(
            f"Water boils at {shown.temp_c(boiling.at_c, 1)} here ({boiling.how}), "
            f"{_plus_minus(boiling.off_dc, shown)}.\n",
            flush=True,
        )
        checked = _both_points(source, boiling, answers, shown)
    except NotSteady as error:
        print(f"\nNot checked, nothing stored: {error}", flush=True)
        return 1
    finally:
        source.close()
    for line in _result(checked, shown):
        print(line)
    made = SensorCorrection(
        sensor=_named(url, known.sensor),
        usb=str(known.usb) if known.usb is not None else "",
        channel=checked.channel,
        scale=checked.line.scale,
        offset_dc=checked.line.offset_dc,
        made=f"{BootClock().wall().astimezone():%Y-%m-%d}",
        how=_how(checked),
        ice_c=round(checked.ice.value_c, 3),
        boil_c=round(checked.boil.value_c, 3),
        boils_at_c=round(boiling.at_c, 3),
    )
    return _keep(made, url, answers)


def forget_sensor(text: str) -> int:
    """Take the corrections of a sensor, or of the channel its URL names, out of the settings."""
    url = parse_url(text)
    known, channel = known_as(url), url.params.get("channel", "")
    gone = forget(
        lambda old: same_sensor(old, known) and (not channel or old.channel in {"", channel})
    )
    for old in gone:
        print(f"forgotten: {clean(old.sensor)} {clean(old.channel)}, made {old.made[:10]}")
    if not gone:
        print(f"no correction is stored for {url.text}")
    return 0 if gone else 1


def _can_be_checked(url: SensorUrl, *, asks: bool) -> None:
    if url.scheme in {"practice", "hand"}:
        url.wrong(f"{url.scheme}:", "a real sensor to check")
    if url.scheme == "file" and url.target == "-" and asks:
        url.wrong("file:- with questions", "--yes, since the readings come from standard input")


def _boiling(args: argparse.Namespace, answers: Answers | None) -> Boiling:
    if args.pressure:
        return by_pressure(args.pressure)
    if args.altitude:
        return by_altitude(args.altitude)
    if answers is None:
        raise UserInputError("sensors --check --yes: expected --pressure 987hPa or --altitude 430m")
    for _ in range(TRIES - 1):
        try:
            return by_answer(answers.ask(QUESTION))
        except NoAnswer:
            raise
        except UserInputError as error:
            print(error, flush=True)
    return by_answer(answers.ask(QUESTION))


def _both_points(
    source: Source, boiling: Boiling, answers: Answers | None, shown: Shown
) -> Checked:
    watch = Watch(source, shown)
    print("\n".join(_ICE), flush=True)
    ice = point(source, watch, lambda v: ice_doubt(source.channel, v, watch.unit, shown), answers)
    _refuse(ice_doubt(source.channel, ice, watch.unit, shown))
    print(f"   Read {shown.temp_c(ice.value_c, 1)} in ice ({watch.channel}).\n", flush=True)
    print("\n".join(_BOIL), flush=True)

    def doubt(value: Steady) -> str:
        return boil_doubt(source.channel, value, watch.unit, boiling.at_c, shown)

    watch.samples.clear()
    boil = point(source, watch, doubt, answers)
    _refuse(doubt(boil))
    print(f"   Read {shown.temp_c(boil.value_c, 1)} in boiling water.\n", flush=True)
    found = two_points(ice.value_c, boil.value_c, boiling.at_c)
    return Checked(watch.channel, ice, boil, boiling, found)


def _refuse(doubt: str) -> None:
    if doubt:
        raise NotSteady(doubt)


def _result(checked: Checked, shown: Shown) -> list[str]:
    """Return the correction in figures, and what it is worth."""
    lines = ["Where it reads   it is corrected to   which may be off by"]
    for at_c in SHOWN_C:
        right = shown.temp_c(checked.line.at(at_c), 1)
        far = "   extrapolated" if at_c > 2 * checked.boiling.at_c else ""
        off = shown.temp_dc(checked.off_dc(at_c), 1)
        lines.append(f"  {shown.temp_c(at_c):>8}         {right:>10}           {off:>8}{far}")
    ice_off_dc = abs(checked.ice.value_c - ICE_C)
    boil_off_dc = abs(checked.boil.value_c - checked.boiling.at_c)
    if max(ice_off_dc, boil_off_dc) <= CLASS_2_DC:
        within = shown.temp_dc(CLASS_2_DC, 1)
        lines.append(f"Both points are within {within}: so much may a type K wire of class 2")
        lines.append("be off by when new (IEC 60584).")
    far_c = SHOWN_C[-1]
    if abs(checked.line.at(far_c) - far_c) < checked.off_dc(far_c):
        lines.append(
            f"At {shown.temp_c(far_c)} the correction is smaller than what it may be off by:"
        )
        lines.append("little is gained by storing it.")
    lines.append("At preheat the wire's own error comes on top, which two points below boiling")
    lines.append("can't know (pacer guide checking).")
    return lines


def _plus_minus(off_dc: float, shown: Shown) -> str:
    return f"give or take {shown.temp_dc(off_dc, 1)}"


def _how(checked: Checked) -> str:
    return (
        f"ice {checked.ice.value_c:.1f} °C, boiling water {checked.boil.value_c:.1f} °C "
        f"of {checked.boiling.at_c:.1f} °C ({checked.boiling.how})"
    )


def _named(url: SensorUrl, sensor: str) -> str:
    """Return the sensor's URL by a name that stays the same, where the system has one."""
    if url.scheme == "serial" and url.target:
        name = url_for(url.target, lambda: ())
        return clean(name + ("?" + sensor.partition("?")[2] if "?" in sensor else ""), 200)
    return sensor


def _keep(made: SensorCorrection, url: SensorUrl, answers: Answers | None) -> int:
    if answers is not None:
        try:
            answer = answers.ask(f"Store it for {made.sensor}, channel {made.channel}? [y/N]")
        except NoAnswer:
            answer = ""
        if answer.casefold() not in {"y", "yes"}:
            print("Not stored.")
            return 0
    known = known_as(url)
    store(made, lambda old: same_sensor(old, known) and old.channel in {"", made.channel})
    print(f"Stored in {clean(str(settings_path()))}: sessions with this sensor use it from now on.")
    print(f'To take it away again: pacer sensors "{url.text}" --forget')
    return 0
