"""`hand:`, no instrument: the welder types what a contact probe or a crayon says."""

from __future__ import annotations

from pacer.clock import Clock
from pacer.sensor.source import LiveSource
from pacer.sensor.url import SensorUrl


class HandSource(LiveSource):
    """Only what is posted: typed readings and presses."""

    hand = True


def open_hand(url: SensorUrl, clock: Clock) -> HandSource:
    """Return the source without an instrument; raises UserInputError for a target."""
    url.allow("unit", "channel")
    if url.target:
        url.wrong(f'"{url.target}"', "nothing after hand:")
    return HandSource(url.text, url.channel(), clock)
