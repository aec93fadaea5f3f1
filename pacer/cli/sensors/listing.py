"""`pacer sensors`: every serial port, what it says, and what to write into the job file."""

from __future__ import annotations

import argparse
import json
import sys
import threading
from collections.abc import Callable, Iterator

from pacer.cli.sensors.words import no_number
from pacer.clock import BootClock
from pacer.sensor.listening.forms import Heard, listen
from pacer.sensor.listening.tuning import RATES, SerialTuned, Tuned
from pacer.sensor.port.identity import BY_ID, Listing, Port, ports, url_for
from pacer.text import clean
from pacer.units import Shown

Opener = Callable[[str], Tuned]


def list_ports(
    args: argparse.Namespace,
    shown: Shown,
    seconds: float,
    *,
    listing: Listing = ports,
    opener: Opener = SerialTuned,
) -> int:
    """Print what each port says; 1 if none of them says a reading."""
    found = list(listing())
    if args.url:
        found = [port for port in found if port.name == args.url] or [Port(args.url)]
    if not found:
        return _none(args)
    if not args.json:
        names = "1 port" if len(found) == 1 else f"{len(found)} ports"
        print(
            f"Listening to {names}, {seconds:g} s at most for each rate. Nothing is sent, but "
            "being opened makes some boards start anew.",
            file=sys.stderr,
            flush=True,
        )
    heard = _listen_all(found, seconds, opener)
    if args.json:
        told = [
            _as_json(port, item, lambda: found) for port, item in zip(found, heard, strict=True)
        ]
        print(json.dumps({"ports": told}))
    else:
        for port, item in zip(found, heard, strict=True):
            print()
            for line in _lines(port, item, lambda: found, shown, seconds):
                print(line)
    return 0 if any(item.state == "readable" for item in heard) else 1


def _none(args: argparse.Namespace) -> int:
    if args.json:
        print(json.dumps({"ports": []}))
    else:
        print(
            "No serial port found: plug the adapter in; is its cable one for data, not for "
            "charging only? Sensors on the network and files are not listed (pacer guide sensors)."
        )
    return 1


def _listen_all(found: list[Port], seconds: float, opener: Opener) -> list[Heard]:
    """Listen to all ports at the same time; they come back in their order."""
    clock = BootClock()
    heard: dict[int, Heard] = {}
    faults: list[BaseException] = []

    def one(at: int, name: str) -> None:
        try:
            heard[at] = listen(name, clock.now_s, seconds=seconds, opener=opener)
        except BaseException as error:  # a bug: raised again where it is seen
            faults.append(error)

    # Daemons: Ctrl-C must not wait for a port that hangs.
    threads = [
        threading.Thread(target=one, args=(at, port.name), daemon=True, name="listener")
        for at, port in enumerate(found)
    ]
    for thread in threads:
        thread.start()
    longest_s = 2 * len(RATES) * (seconds + 1.0) + 30.0
    for thread in threads:
        thread.join(timeout=longest_s)
    if faults:
        raise faults[0]
    late = "does not answer the system: unplug it and plug it in again"
    return [
        heard.get(at) or Heard(port.name, "closed", why=f"{clean(port.name, 80)}: {late}")
        for at, port in enumerate(found)
    ]


def proposed_url(port: Port, heard: Heard, listing: Listing) -> str:
    """Return what to write into the job file; empty where nothing was readable."""
    if heard.state != "readable":
        return ""
    params: dict[str, object] = {"baud": heard.baud}
    for part in filter(None, heard.query.split("&")):
        name, _, value = part.partition("=")
        params[name] = value
    good = [value.name for value in heard.values if value.temp_c is not None]
    if len(heard.raw) > 1 and good:
        params["channel"] = good[1 if heard.rising and len(good) > 1 else 0]
    return clean(url_for(port.name, listing, by_id=BY_ID, **params), 300)


def _lines(
    port: Port, heard: Heard, listing: Listing, shown: Shown, seconds: float
) -> Iterator[str]:
    usb = f", USB {port.usb}" if port.usb is not None else ""
    what = f"  {port.what}" if port.what else ""
    yield f"{clean(port.name, 80)}{what}{usb}"
    match heard.state:
        case "closed":
            yield f"  can't be opened: {heard.why}"
        case "silent":
            yield f"  silent: nothing came in {seconds:g} s; a wrong rate would have given something."
            yield "  A meter that must be asked (ask=, modbus:) says nothing by itself:"
            yield "  pacer guide sensors. One that sends seldom: pacer sensors --seconds 30"
        case "unreadable":
            yield from _unreadable(heard)
        case "readable":
            yield from _readable(heard, shown)
            yield "  for the job file, under [sensor]:"
            yield f'    url = "{proposed_url(port, heard, listing)}"'
            yield from _unsure(heard)


def _unreadable(heard: Heard) -> Iterator[str]:
    if heard.seven_bits:
        yield f"  speaks at {heard.baud} baud with 7 data bits: set the meter to 8 data bits,"
        yield "  no parity, 1 stop bit (8N1)"
        return
    if not heard.form:
        rates = ", ".join(str(rate) for rate in sorted(RATES))
        yield f"  sends, but no text at {rates} baud:"
        yield "  look for its rate in the meter's papers; a bus (modbus:) is no text either"
        return
    yield f"  {heard.baud} baud, {heard.form}"
    yield f"  last line:  {heard.line}"
    if heard.other_ways:
        yield "  may mean two things; only you can tell which, put it into the URL:"
        for way in heard.other_ways:
            yield f"    {way}"
    else:
        yield "  what lines can be read is in: pacer guide lines"


def _readable(heard: Heard, shown: Shown) -> Iterator[str]:
    some = "" if heard.share > 0.99 else f", {heard.share:.0%} of the lines are readings"
    yield f"  {heard.baud} baud, {heard.form}{some}"
    yield f"  last line:  {heard.line}"
    values = (
        f"{value.name} {shown.temp_c(value.temp_c, 1)}"
        if value.temp_c is not None
        else f"{value.name} {no_number(value.status, value.why)}"
        for value in heard.values
    )
    yield "  reads:      " + clean(", ".join(values), 200)


def _unsure(heard: Heard) -> Iterator[str]:
    if not any(heard.units):
        yield "  The lines name no unit: °C is taken. If the meter shows °F, add &unit=degF."
    if heard.rising:
        yield "  t1 rises by equal steps, as a time does: t2 is proposed. Look which is which."
    if len(heard.values) > 1:
        names = ", ".join(value.name for value in heard.values)
        yield f"  channel= says which one decides: {clean(names, 120)}."


def _as_json(port: Port, heard: Heard, listing: Listing) -> dict[str, object]:
    """Return the documented object of one port (`pacer guide checking`)."""
    units = heard.units or ("",) * len(heard.raw)
    return {
        "port": clean(port.name, 200),
        "what": port.what,
        "usb": str(port.usb) if port.usb is not None else None,
        "state": heard.state,
        "why": heard.why,
        "baud": heard.baud,
        "share": round(heard.share, 3),
        "form": heard.form,
        "line": heard.line,
        "channels": [
            {"name": clean(value.name, 40), "temp_c": value.temp_c, "status": value.status}
            for value in heard.values
        ],
        "units": list(units),
        "url": proposed_url(port, heard, listing) or None,
        "other_ways": list(heard.other_ways),
    }
