"""From a URL to what opens its port; the reader thread of `ports.py` calls it at every try."""

from __future__ import annotations

from collections.abc import Callable

from pacer.sensor.port.identity import Adapter, Listing, parse_usb
from pacer.sensor.port.wires import SerialWire, SocketWire, Wire
from pacer.sensor.url import SensorUrl

SERIAL = ("baud", "usb", "dtr", "rts")
"Parameters that only a real serial port has."

DEFAULT_BAUD = 9600

Opener = Callable[[], Wire]
"Opens the port; raises OSError."


def adapter_of(url: SensorUrl, listing: Listing) -> Adapter:
    """Return who finds the port of a `serial:` URL; raises UserInputError."""
    usb = None
    if "usb" in url.params and (usb := parse_usb(url.params["usb"])) is None:
        url.wrong(f'usb="{url.params["usb"]}"', "usb=VID:PID or VID:PID:SERIAL, in hex")
    if not url.target and usb is None:
        url.wrong("no port", "a port such as serial:///dev/ttyUSB0, serial://COM3, or usb=…")
    return Adapter(url.target, usb, listing)


def serial_opener(url: SensorUrl, adapter: Adapter) -> Opener:
    """Return what opens the adapter's port: `baud=`, `dtr=off`, `rts=off`; raises UserInputError."""
    baud = int(url.number("baud", 50, 4_000_000) or DEFAULT_BAUD)
    lines = {line: False for line in ("RTS", "DTR") if _off(url, line.lower())}

    return found_by(adapter, lambda port: SerialWire(port, baud, lines))


def found_by(adapter: Adapter, opened: Callable[[str], Wire]) -> Opener:
    """Return what finds the adapter's port, opens it by `opened` and remembers whose it is."""

    def open_it() -> Wire:
        port = adapter.find()
        wire = opened(port)
        adapter.remember(port)
        return wire

    return open_it


def _off(url: SensorUrl, name: str) -> bool:
    word = url.params.get(name, "on")
    if word not in ("on", "off"):
        url.wrong(f'{name}="{word}"', "on or off")
    return word == "off"


def opener_of(url: SensorUrl) -> Opener:
    """Return what opens a `socket:` or `loop:` URL; raises UserInputError."""
    if url.scheme == "loop":
        return lambda: SerialWire("loop://", DEFAULT_BAUD)
    host, _, port = url.target.rpartition(":")
    if not host or not (port.isascii() and port.isdigit() and 0 < int(port[:6]) < 65536):
        url.wrong(f'"{url.target}"', "HOST:PORT such as 192.168.4.1:5000")
    return lambda: SocketWire(host.strip("[]"), int(port))
