"""Which adapter a serial port is: its USB identity, and where that adapter is plugged in now.

A port's name says little: `ttyUSB0` and `COM5` are given out anew at every plugging in.
`Usb` is what the adapter says of itself (vendor, product, serial number, as pyserial's
`list_ports` reads them from the system) and the socket it hangs on.

`Adapter` finds the port to open, and finds it again after a loss:

1. the same name, if the adapter behind it is the same, or its identity is not known;
2. else the one port with the same identity, whatever its name;
3. another adapter under the old name is never taken: it would be another probe;
4. two that match: the socket decides; where it doesn't, none is opened and both are named.

Listing and opening never run at the same time: on Windows a listing makes an opening in
another thread fail (pyserial #309, read).
"""

from __future__ import annotations

import errno
import os
import re
import threading
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from pacer.text import clean

LISTING = threading.Lock()
"Held while ports are listed and while one is opened."

BY_ID = Path("/dev/serial/by-id")
"Links that Linux keeps under the adapter's own name."

_USB = re.compile(r"([0-9A-Fa-f]{1,4}):([0-9A-Fa-f]{1,4})(?::(.{1,64}))?")


@dataclass(frozen=True, slots=True)
class Usb:
    """An adapter's identity."""

    vid: int
    "Vendor, 16 bits."
    pid: int
    "Product, 16 bits."
    serial: str | None = None
    "Serial number, cleaned; None: the adapter has none, or the URL doesn't ask for one."
    location: str | None = None
    "The socket, such as `1-1.4`, or `1-1.4:1.0` for one port of several in a device."

    def __str__(self) -> str:
        """Return it as the URL's `usb=` takes it: VID:PID or VID:PID:SERIAL, in hex."""
        ids = f"{self.vid:04x}:{self.pid:04x}"
        return f"{ids}:{self.serial}" if self.serial else ids

    @property
    def interface(self) -> str:
        """Which port of a device with several; empty for a device with one."""
        return (self.location or "").partition(":")[2]

    def fits(self, found: Usb, *, exact: bool = False) -> bool:
        """True where `found` is what this asks for; `exact`: also in having no serial number.

        Capitals don't matter: Windows shows serial numbers in capitals (from memory).
        """
        if (self.vid, self.pid) != (found.vid, found.pid):
            return False
        if self.serial is None:
            return not exact or found.serial is None
        return found.serial is not None and self.serial.casefold() == found.serial.casefold()


@dataclass(frozen=True, slots=True)
class Port:
    """One serial port that the system lists."""

    name: str
    "As the system opens it, such as `/dev/ttyUSB0` or `COM5`; may be foreign text."
    usb: Usb | None = None
    "None: no USB adapter, or nothing known of it."
    what: str = ""
    "What it says it is, cleaned."


Listing = Callable[[], Iterable[Port]]
"Returns the ports there are; tests have their own."


def ports() -> list[Port]:
    """Return the serial ports there are, in the order of their names; none if listing fails.

    Takes 0.5 ms on Linux (measured); where Bluetooth ports are listed, seconds (pyserial #450, read).
    """
    from serial.tools import list_ports

    with LISTING:
        try:
            found = sorted(list_ports.comports())
        except Exception:
            # What a system's own lists raise is not ours to know; no list is no loss of a port.
            return []
    return [Port(info.device, _usb(info), _what(info)) for info in found]


def _usb(info: object) -> Usb | None:
    vid, pid = getattr(info, "vid", None), getattr(info, "pid", None)
    if not isinstance(vid, int) or not isinstance(pid, int):
        return None
    serial, location = (getattr(info, name, None) for name in ("serial_number", "location"))
    return Usb(
        vid,
        pid,
        clean(serial, 64) or None if isinstance(serial, str) else None,
        clean(location, 64) or None if isinstance(location, str) else None,
    )


def _what(info: object) -> str:
    words = str(getattr(info, "description", "") or "")
    return "" if words == "n/a" else clean(words, 80)


def parse_usb(text: str) -> Usb | None:
    """Return the identity that `VID:PID` or `VID:PID:SERIAL` names; None: it is neither.

    >>> parse_usb("0403:6001:A1B2")
    Usb(vid=1027, pid=24577, serial='A1B2', location=None)
    """
    found = _USB.fullmatch(text)
    if found is None:
        return None
    return Usb(int(found[1], 16), int(found[2], 16), found[3])


def same_name(one: str, other: str) -> bool:
    """True where two names mean one port, links and COM names included."""
    if os.name == "nt":
        return _windows(one) == _windows(other)
    return os.path.realpath(one) == os.path.realpath(other)


def _windows(name: str) -> str:
    return name.removeprefix("\\\\.\\").casefold()


def usb_of(port: str, listing: Listing = ports) -> Usb | None:
    """Return the identity of the adapter behind a port's name; None where none is known."""
    return _behind(port, list(listing()))


def _behind(port: str, listed: Sequence[Port]) -> Usb | None:
    return next((known.usb for known in listed if same_name(known.name, port)), None)


def find(usb: Usb, listing: Listing = ports) -> list[str]:
    """Return the names of all ports whose adapter fits."""
    return [port.name for port in listing() if port.usb is not None and usb.fits(port.usb)]


def url_for(port: str, listing: Listing = ports, *, by_id: Path = BY_ID, **params: object) -> str:
    """Return a sensor URL that finds this port again, with `params` such as `baud=9600`.

    The link of Linux that is named after the adapter; else the name with `usb=`; else the name.
    """
    values = {name: str(value) for name, value in params.items()}
    link = _link(port, by_id)
    if link is None and (usb := usb_of(port, listing)) is not None:
        values = {"usb": str(usb)} | values
    query = "&".join(f"{name}={quote(value, safe=':')}" for name, value in values.items())
    return f"serial://{link or port}" + (f"?{query}" if query else "")


def _link(port: str, by_id: Path) -> str | None:
    try:
        links = sorted(link for link in by_id.iterdir() if link.is_symlink())
    except OSError:
        return None
    # A `?` in the name would begin the URL's parameters.
    fitting = (str(link) for link in links if same_name(str(link), port))
    return next((link for link in fitting if "?" not in link), None)


class NotFound(OSError):
    """Why no port is opened; the text says all of it."""


class Adapter:
    """Where one sensor's port is to be found, over a whole session.

    The reader thread alone uses it: `find`, open, `remember`; `there` while it is away.
    """

    def __init__(self, given: str, usb: Usb | None = None, listing: Listing = ports) -> None:
        """`given` is the port's name in the URL, may be empty where `usb` says which it is."""
        self._given = given
        self._asked = usb
        self._listing = listing
        self._known: Usb | None = None
        self._strangers: frozenset[str] = frozenset()
        self._listed: list[Port] = []
        self.name = given or f"USB {usb}"

    def find(self) -> str:
        """Return the name of the port to open; raises OSError with what is in the way."""
        self._listed = list(self._listing())
        self.name = self._choose()
        return self.name

    def remember(self, port: str) -> None:
        """Take the adapter just opened for the sensor's own, and others like it for others."""
        usb = _behind(port, self._listed)
        if usb is None:
            return
        self._known = usb
        alike = (other.usb for other in self._listed if not same_name(other.name, port))
        self._strangers = frozenset(
            other.location
            for other in alike
            if other is not None and other.location and usb.fits(other, exact=True)
        )

    def there(self) -> bool:
        """True where opening is worth a try."""
        try:
            self.find()
        except OSError:
            return False
        return self._is_there(self.name)

    def _is_there(self, name: str) -> bool:
        if os.name == "nt":
            return any(same_name(port.name, name) for port in self._listed)
        return os.path.exists(name)

    def _choose(self) -> str:
        wanted = self._known or self._asked
        if wanted is None:
            return self._given
        # A stranger that has been pulled out may not be the one that is plugged in there next.
        self._strangers &= {port.usb.location or "" for port in self._listed if port.usb}
        fitting = self._fitting(wanted)
        if len(fitting) == 1:
            return self._called(fitting[0])
        if fitting:
            return self._called(self._one_of(fitting, wanted))
        if self._given and self._is_there(self._given):
            here = _behind(self._given, self._listed)
            if here is not None:
                raise NotFound(f"another adapter answers to that name: USB {here}, not {wanted}")
            if self._known is not None:
                return self._given
        if self._given:
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
        raise NotFound("not there: plug in that adapter")

    def _fitting(self, wanted: Usb) -> list[Port]:
        exact = self._known is not None
        return [
            port
            for port in self._listed
            if port.usb is not None
            and wanted.fits(port.usb, exact=exact)
            and (not exact or port.usb.interface == wanted.interface)
            and port.usb.location not in self._strangers
        ]

    def _one_of(self, fitting: list[Port], wanted: Usb) -> Port:
        at_home = [p for p in fitting if p.usb is not None and p.usb.location == wanted.location]
        if wanted.location and len(at_home) == 1:
            return at_home[0]
        named = [port for port in fitting if same_name(port.name, self._given)]
        if named and (wanted.serial is not None or not wanted.location):
            return named[0]
        names = " and ".join(clean(port.name, 120) for port in fitting[:3])
        raise NotFound(f"more than one adapter matches: {names}: unplug the others")

    def _called(self, port: Port) -> str:
        """Return the user's own name for a port where it still means that port."""
        return self._given if self._given and same_name(port.name, self._given) else port.name
