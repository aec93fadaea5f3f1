"""A serial port opened for its control lines only: a lamp's RTS or DTR, a pedal's CTS or DSR.

    serial:///dev/ttyUSB1?line=RTS              lamp
    serial:///dev/ttyUSB1?line=CTS&mode=hold    pedal

One port is opened once: a lamp and a pedal on the same one share its `Outlet`.
`loop://` joins RTS to CTS and DTR to DSR, so both can be tested without hardware.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal, Protocol

from pacer.sensor.port.causes import cause
from pacer.sensor.port.wires import SerialWire
from pacer.sensor.url import SensorUrl, parse_url

Mode = Literal["press", "hold"]

OUTPUTS = ("RTS", "DTR")

FEEDS = {"CTS": "RTS", "DSR": "DTR"}
"""Input line -> the output line of the same plug that feeds a dry contact on it.
Common practice (ecosystem.md section 2; described so on public pages, seen)."""

DEBOUNCE_S = 0.03
"""A contact is believed when it has stood still for so long. Common practice, no source
(ecosystem.md section 2)."""

_DEBOUNCE_MS = (1.0, 250.0)
"""Longer, and debouncing would swallow a quick press."""

_SCHEMES = ("serial", "loop")
_BAUD = 9600
"No byte ever goes over it."


@dataclass(frozen=True, slots=True)
class LampUrl:
    """Where a lamp hangs."""

    text: str
    "The whole URL, cleaned."
    port: str
    line: str
    "RTS or DTR."
    shared: bool
    "True where the sensor's own port may be used."


@dataclass(frozen=True, slots=True)
class PedalUrl:
    """Where a contact hangs, and what its closing means."""

    text: str
    "The whole URL, cleaned."
    port: str
    line: str
    "CTS or DSR."
    mode: Mode
    debounce_s: float


def lamp_url(url: str) -> LampUrl:
    """Return where a lamp hangs; raises UserInputError with what is wrong."""
    parsed = _parsed(url, "lamp", "RTS")
    parsed.allow("line", "shared")
    shared = parsed.params.get("shared", "no")
    if shared not in {"yes", "no"}:
        parsed.wrong(f'shared="{shared}"', "shared=yes or shared=no")
    return LampUrl(parsed.text, _port(parsed), _line(parsed, OUTPUTS), shared == "yes")


def pedal_url(url: str) -> PedalUrl:
    """Return where a contact hangs; raises UserInputError with what is wrong."""
    parsed = _parsed(url, "pedal", "CTS")
    parsed.allow("line", "mode", "debounce")
    mode = parsed.params.get("mode", "press")
    if mode not in {"press", "hold"}:
        parsed.wrong(f'mode="{mode}"', "mode=press or mode=hold")
    debounce_ms = parsed.number("debounce", *_DEBOUNCE_MS)
    return PedalUrl(
        text=parsed.text,
        port=_port(parsed),
        line=_line(parsed, tuple(FEEDS)),
        mode="hold" if mode == "hold" else "press",
        debounce_s=DEBOUNCE_S if debounce_ms is None else debounce_ms / 1000,
    )


def _parsed(url: str, what: str, line: str) -> SensorUrl:
    return parse_url(url, what, _SCHEMES, f"serial:///dev/ttyUSB1?line={line}")


def _port(parsed: SensorUrl) -> str:
    if parsed.scheme == "loop":
        return "loop://"
    if not parsed.target:
        parsed.wrong("no port", "a port such as serial:///dev/ttyUSB1 or serial://COM5")
    return parsed.target


def _line(parsed: SensorUrl, known: tuple[str, ...]) -> str:
    line = parsed.params.get("line", "").upper()
    if line not in known:
        found = f'line="{parsed.params["line"]}"' if "line" in parsed.params else "no line"
        parsed.wrong(found, " or ".join(f"line={name}" for name in known))
    return line


def same_port(one: str, other: str) -> bool:
    """True where two names mean one port, `/dev/serial/by-id/…` and COM names included."""
    if os.name == "nt":
        return _windows_name(one) == _windows_name(other)
    return os.path.realpath(one) == os.path.realpath(other)


def _windows_name(port: str) -> str:
    return port.removeprefix("\\\\.\\").casefold()


class Lines(Protocol):
    """What an outlet needs of an opened port; every failure is an exception."""

    def set_line(self, name: str, on: bool) -> None:
        """Set RTS or DTR."""

    def line(self, name: str) -> bool:
        """Return whether CTS or DSR is on."""

    def close(self) -> None:
        """Give the port back."""


Opener = Callable[[str, Mapping[str, bool]], Lines]
"Opens a port with its output lines as given."


def open_lines(port: str, lines: Mapping[str, bool]) -> Lines:
    """Open a real port, or `loop://`."""
    return SerialWire(port, _BAUD, lines)


class Outlet:
    """One port's control lines, for use by several threads.

    Every method that fails raises OSError whose text is one clean line with the cause.
    """

    def __init__(self, port: str, lines: Mapping[str, bool], opener: Opener = open_lines) -> None:
        """`lines` are the output lines as they stand from the first opening on."""
        self.port = port
        self._lines = dict(lines)
        self._opener = opener
        self._lock = threading.Lock()
        self._wire: Lines | None = None

    def open(self) -> None:
        """Open the port, if it isn't; output lines stand as they were last set."""
        with self._lock:
            if self._wire is not None:
                return
            try:
                self._wire = self._opener(self.port, self._lines)
            except Exception as exc:
                raise OSError(cause(exc, self.port)) from None

    def set_line(self, name: str, on: bool) -> None:
        """Set an output line now and at every later opening."""
        with self._lock:
            self._lines[name] = on
            try:
                self._opened().set_line(name, on)
            except Exception as exc:
                raise OSError(cause(exc, self.port)) from None

    def line(self, name: str) -> bool:
        """Return whether an input line is on."""
        with self._lock:
            try:
                return self._opened().line(name)
            except Exception as exc:
                raise OSError(cause(exc, self.port)) from None

    def _opened(self) -> Lines:
        if self._wire is None:
            raise OSError("not open")
        return self._wire

    def drop(self) -> None:
        """Give the port back; `open` opens it again."""
        with self._lock:
            wire, self._wire = self._wire, None
            if wire is not None:
                with suppress(Exception):
                    wire.close()
