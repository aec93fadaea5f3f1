"""`pacer sensors [URL] [--check | --forget]`: which of its jobs is asked for."""

from __future__ import annotations

import argparse
import re

from pacer.cli.told import times_s
from pacer.errors import UserInputError
from pacer.sensor.listening.tuning import LISTEN_S
from pacer.settings import read_settings
from pacer.text import clean
from pacer.units import Shown

LONGEST_S = 3600.0

_URL = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+:.*", re.DOTALL)
"Two letters at least: one letter and a colon begin a path of Windows."


def sensors(args: argparse.Namespace) -> int:
    """List what is plugged in, show one source's values, or check it.

    Raises UserInputError for options that don't go together.
    """
    if args.url and args.url_option:
        raise UserInputError("sensors: found two URLs, expected one")
    args.url = args.url or args.url_option
    if (args.check or args.forget) and not (args.url and _URL.fullmatch(args.url)):
        option = "--check" if args.check else "--forget"
        found = f'"{clean(args.url, 80)}"' if args.url else "no URL"
        raise UserInputError(
            f"sensors {option}: found {found}, expected a sensor's URL; pacer sensors lists them"
        )
    _alone(args)
    shown = Shown(read_settings().units)
    if args.forget:
        from pacer.cli.sensors.checking import forget_sensor

        return forget_sensor(args.url)
    if args.check:
        from pacer.cli.sensors.checking import check

        return check(args, shown)
    seconds = _seconds(args.seconds)
    if args.url and _URL.fullmatch(args.url):
        from pacer.cli.sensors.live import show_live

        return show_live(args.url, shown, seconds, as_json=args.json)
    from pacer.cli.sensors.listing import list_ports

    return list_ports(args, shown, seconds or LISTEN_S)


def _alone(args: argparse.Namespace) -> None:
    """Raise for options that say nothing without `--check`, and for those against each other."""
    if args.check and args.forget:
        raise UserInputError("sensors: found --check and --forget, expected one of them")
    if args.check and (args.json or args.seconds):
        option = "--json" if args.json else "--seconds"
        raise UserInputError(f"sensors --check: found {option}, expected it without --check")
    for name in ("pressure", "altitude", "yes"):
        if getattr(args, name) and not args.check:
            raise UserInputError(f"sensors: found --{name}, expected it with --check")
    if args.pressure and args.altitude:
        raise UserInputError(
            "sensors --check: found --pressure and --altitude, expected one: "
            "the pressure, if you know it, is better"
        )


def _seconds(text: str | None) -> float | None:
    """Return `--seconds`, a number of seconds or a time with its unit."""
    if text is None:
        return None
    if re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        text = f"{text} s"
    (seconds,) = times_s([text], "--seconds")
    if not 0 < seconds <= LONGEST_S:
        raise UserInputError(
            f'--seconds "{clean(text, 40)}": expected more than 0 and at most {LONGEST_S:g} s'
        )
    return seconds
