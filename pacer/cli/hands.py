"""What a session tells and hears by besides screen and keys: sounds, a lamp, a pedal.

Nothing here is critical: what can't be opened is named in one line, and the session goes
on without it. Settings that can't be meant are the user's input and stop the command.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from pacer.errors import UserInputError
from pacer.sensor.plugs.outlet import (
    FEEDS,
    LampUrl,
    Outlet,
    PedalUrl,
    lamp_url,
    pedal_url,
    same_port,
)
from pacer.sensor.plugs.pedal import Pedal
from pacer.sensor.source import Source
from pacer.sensor.url import parse_url
from pacer.settings import Settings
from pacer.sound.lamp import Lamp
from pacer.sound.sink import Sink

OPTIONS = ("lamp", "pedal", "theme", "sound")
"Settings that the command line has a word for."


def chosen(args: argparse.Namespace, settings: Settings) -> Settings:
    """Return the settings with what the command line says instead."""
    given = {name: getattr(args, name, None) for name in OPTIONS}
    return replace(settings, **{name: word for name, word in given.items() if word is not None})


def at_the_table(args: argparse.Namespace, settings: Settings, source: Source) -> Settings:
    """Return the settings without lamp and pedal where nobody can be at the table.

    A script or a practice without a screen runs as fast as it can: what hangs on the
    shop's plugs is opened for it only if the command line says so.
    """
    if not args.no_screen or source.clk != "source":
        return settings
    lamp, pedal = getattr(args, "lamp", None), getattr(args, "pedal", None)
    return replace(settings, lamp=lamp or "", pedal=pedal or "")


@dataclass
class Hands:
    """The open ends of one session."""

    sinks: list[Sink] = field(default_factory=list)
    not_there: list[str] = field(default_factory=list)
    "What could not be opened, in lines."
    pedal: Pedal | None = None
    outlets: list[Outlet] = field(default_factory=list)

    def off(self) -> list[str]:
        """Return what can't tell or hear just now, in lines; safe from any thread."""
        trouble = self.pedal.trouble if self.pedal is not None else ""
        return [*self.not_there, *([f"pedal is off: {trouble}"] if trouble else [])]

    def give_up(self) -> None:
        """Close all of it: there will be no session."""
        for sink in self.sinks:
            sink.close()
        self.close()

    def close(self) -> None:
        """Give the ports back; the sinks are closed by the driver."""
        if self.pedal is not None:
            self.pedal.close()
        for outlet in self.outlets:
            outlet.drop()


def check_hands(settings: Settings, sensor_url: str) -> tuple[LampUrl | None, PedalUrl | None]:
    """Return where lamp and pedal hang; opens nothing.

    Raises UserInputError, one line each, for a URL that is wrong and for plugs that can't
    be used together.
    """
    lamp = lamp_url(settings.lamp) if settings.lamp else None
    pedal = pedal_url(settings.pedal) if settings.pedal else None
    wrong = [*_on_the_sensor(lamp, pedal, sensor_url), *_on_each_other(lamp, pedal)]
    if wrong:
        raise UserInputError("\n".join(wrong))
    return lamp, pedal


def _on_the_sensor(lamp: LampUrl | None, pedal: PedalUrl | None, sensor_url: str) -> list[str]:
    port = _port_of(sensor_url)
    wrong = []
    if port and lamp and same_port(lamp.port, port) and not lamp.shared:
        wrong.append(
            f"lamp {lamp.text}: found the sensor's own port, expected another: toggling a line "
            "there resets many boards; shared=yes allows it"
        )
    if port and pedal and same_port(pedal.port, port):
        wrong.append(f"pedal {pedal.text}: found the sensor's own port, expected another")
    return wrong


def _port_of(sensor_url: str) -> str:
    """Return the serial port a sensor is on, or nothing."""
    sensor = parse_url(sensor_url)
    if sensor.scheme == "loop":
        return "loop://"
    return sensor.target if sensor.scheme in {"serial", "modbus"} else ""


def _on_each_other(lamp: LampUrl | None, pedal: PedalUrl | None) -> list[str]:
    if not (lamp and pedal and same_port(lamp.port, pedal.port)):
        return []
    feed = FEEDS[pedal.line]
    if lamp.line != feed:
        return []
    other = "DTR" if feed == "RTS" else "RTS"
    return [
        f"lamp {lamp.text}: found line={feed}, expected line={other} or another port: "
        f"{feed} feeds the pedal's contact on {pedal.line}"
    ]


def open_hands(settings: Settings, source: Source, *, screen: bool) -> Hands:
    """Open what the settings name; raises UserInputError as `check_hands` does.

    Sounds go with a screen: without one the cues are lines for another program.
    """
    lamp, pedal = check_hands(settings, source.url)
    hands = Hands()
    if screen:
        from pacer.sound.open import open_sounds

        sinks, off = open_sounds(settings.sound, settings.speech)
        hands.sinks += sinks
        hands.not_there += off
    if pedal is not None:
        lines = {FEEDS[pedal.line]: True}
        if lamp is not None and same_port(lamp.port, pedal.port):
            lines[lamp.line] = False
        outlet = Outlet(pedal.port, lines)
        hands.outlets.append(outlet)
        hands.pedal = Pedal(outlet, pedal, source.post)
        hands.pedal.start()
    if lamp is not None:
        _add_lamp(hands, lamp, pedal, source)
    return hands


def _add_lamp(hands: Hands, lamp: LampUrl, pedal: PedalUrl | None, source: Source) -> None:
    port = _port_of(source.url)
    if lamp.shared and port and same_port(lamp.port, port):
        hands.sinks.append(Lamp(lambda on: source.set_line(lamp.line, on)))
        return
    if pedal is not None and same_port(lamp.port, pedal.port):
        (outlet,) = hands.outlets
    else:
        outlet = Outlet(lamp.port, {lamp.line: False})
        hands.outlets.append(outlet)
    try:
        outlet.open()
        outlet.set_line(lamp.line, False)
    except OSError as exc:
        hands.not_there.append(f"{Lamp.name} is off: {exc}")
        return
    hands.sinks.append(Lamp(_line_of(outlet, lamp.line)))


def _line_of(outlet: Outlet, line: str) -> Callable[[bool], None]:
    return lambda on: outlet.set_line(line, on)
