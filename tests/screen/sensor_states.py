"""Sessions in which the sensor can't be taken at its word: each of its states, through the fold.

All data invented.
"""

from __future__ import annotations

from collections.abc import Callable

import fake_desk as fd

from pacer.session.events import Channel, Correction, Thermocouple
from pacer.session.guard.standing import Standing


def _wavering(session: fd.Session, temp_c: float, seconds_s: float) -> fd.Session:
    """Read as an instrument does that hardly ever repeats itself."""
    for at in range(round(seconds_s / 0.5)):
        session.raw(temp_c + 0.1 * (at % 3))
    return session


def stuck() -> fd.Session:
    """The very same value all through a bead and long after it."""
    session = fd.soaking()
    _wavering(session, 262.0, 30.0).press("next")
    _wavering(session, 262.0, 5.0).press("next").read(262.0, 12.0).press("next")
    return session.read(262.0, 90.0)


def which_unit() -> fd.Session:
    """A cold shop reads 73: °F, most likely."""
    return fd.Session().read(73.0, 8.0)


def probe_off() -> fd.Session:
    """The probe falls off while he peens."""
    return fd.peening().read(90.0, 16.0)


def jumped() -> fd.Session:
    """A step that no part makes, in a hold."""
    return fd.holding().read(120.0, 4.0)


def reversed_() -> fd.Session:
    """It falls while it is heated."""
    session = fd.Session().read(20.0, 8.0).press("next").read(20.0, 10.0)
    return session.ramp(-30.0, 1.0).read(-30.0, 20.0)


def wire_type() -> fd.Session:
    """A type K meter on J wire shows 340 where 260 was measured."""
    session = fd.holding().ramp(339.5).read(339.5, 5.0)
    # What was typed decides for two minutes.
    return session.press("reading", temp_c=260.0).read(339.5, 125.0)


def apart() -> fd.Session:
    """Two channels of one part, a hundred kelvin apart between beads."""
    session = fd.Session()
    session.press("next")
    for _ in range(30):
        session.raw(262.0, 262.0)
    session.press("next").press("hold")
    # A part just heated is left to even out.
    for _ in range(150):
        session.raw(262.0, 262.0)
    for at in range(20):
        session.raw(262.0, 262.0 - 5.0 * at)
    for _ in range(40):
        session.raw(262.0, 162.0)
    return session


def noisy() -> fd.Session:
    """Every third value is a spike."""
    session = fd.ready()
    for at in range(40):
        session.raw(700.0 if at % 3 == 0 else 262.0)
    return session


def arc() -> fd.Session:
    """A hundred kelvin come with the arc."""
    return fd.ready().press("next").read(362.0, 3.0)


def after_arc() -> fd.Session:
    """They went with it too."""
    return arc().read(362.0, 9.0).press("next").read(262.0, 20.0)


def starting() -> fd.Session:
    """The port was just opened, before the heat."""
    return fd.Session().opened(2.0).wait(1.0)


def checking() -> fd.Session:
    """Its first readings."""
    return fd.Session().opened(2.0).wait(2.0).read(21.0, 1.0)


def waiting() -> fd.Session:
    """Nothing has come yet."""
    return fd.Session().wait(3.0)


def open_() -> fd.Session:
    """A wire broke."""
    session = fd.waiting(290.0)
    for _ in range(4):
        session.raw(None, status="open")
    return session


def shorted() -> fd.Session:
    """Two wires touch."""
    session = fd.waiting(290.0)
    for _ in range(4):
        session.raw(None, status="short")
    return session


def outside() -> fd.Session:
    """No part here can be so hot."""
    return fd.waiting(290.0).read(2000.0, 10.0)


def garbled() -> fd.Session:
    """Lines come, and nobody can read them."""
    session = fd.waiting(290.0)
    for _ in range(20):
        session.raw("~\x7fx", status="unparsable")
    return session


def silent() -> fd.Session:
    """Nothing comes any more."""
    return fd.waiting(290.0).wait(14.0)


def lost() -> fd.Session:
    """The plug was pulled."""
    return fd.waiting(290.0).lost("device reports readiness to read but returned no data").wait(8.0)


def by_hand() -> fd.Session:
    """No instrument."""
    return fd.Session(hand=True)


VOLTS = Channel("t1", "mV", thermocouple=Thermocouple("K", cj_c=23.0))
FIELD_CHECK = Correction(scale=1.004, offset_dc=-0.2, made="2026-11-20", how="ice and water")


def volts() -> fd.Session:
    """Type K wire by its voltage: 9.724 mV above a junction of 23 °C are some 262 °C."""
    return fd.Session(channel=VOLTS).press("next").read(9.724, 10.0)


def checked() -> fd.Session:
    """A field check found the sensor reading low at the preheat temperature."""
    channel = Channel("t1", "degC", corrections=(FIELD_CHECK,))
    return fd.Session(channel=channel).press("next").read(140.0, 10.0)


SESSIONS: dict[Standing, Callable[[], fd.Session]] = {
    Standing.HAND: by_hand,
    Standing.WAITING: waiting,
    Standing.STARTING: starting,
    Standing.CHECKING: checking,
    Standing.LIVE: fd.ready,
    Standing.NOISY: noisy,
    Standing.ARC: arc,
    Standing.STUCK: stuck,
    Standing.UNIT: which_unit,
    Standing.PROBE: probe_off,
    Standing.JUMPED: jumped,
    Standing.REVERSED: reversed_,
    Standing.WIRE: wire_type,
    Standing.APART: apart,
    Standing.OUTSIDE: outside,
    Standing.OPEN: open_,
    Standing.SHORT: shorted,
    Standing.GARBLED: garbled,
    Standing.SILENT: silent,
    Standing.LOST: lost,
}
