"""The sensor line: the port's news, each channel with its state, the worst first.

Of several channels ▸ marks the one that decides, as it marks the next place. What belongs to all of them follows: wire, correction, arc, garbled and dropped lines.
Foreign text is cleaned.
"""

from __future__ import annotations

import math

from pacer.screen.parts.accuracy import correction, tolerance
from pacer.screen.parts.standing import worst_first
from pacer.session.guard.standing import (
    QUESTIONS,
    TRUSTED,
    Stand,
    Standing,
    channel_standing,
    standing,
)
from pacer.session.state import State, Track
from pacer.session.track import silent_after_s, unreadable
from pacer.text import clean
from pacer.units import Shown

MOST_CHANNELS = 4

_SHOWN = TRUSTED | QUESTIONS | {Standing.ARC}
"""States whose number is worth showing beside the word."""


def sensor_line(state: State, t_s: float, shown: Shown) -> str:
    """Return what is known of the source, the worst first."""
    sensor = state.sensor
    if sensor.hand:
        return "no instrument: readings are typed (R)"
    news = _port(state, t_s)
    said = news + _channels(state, t_s, shown, silent=not news)
    wire = sensor.channel.thermocouple
    if wire is not None:
        said.append(_wire(state, wire.letter, shown))
    said += [words for words in (correction(state, shown),) if words]
    if sensor.channel.arc is not None and not sensor.channel.arc.noise:
        said.append(_arc(state, sensor.channel.arc.name))
    if sensor.garbled:
        said.append(f"{sensor.garbled} garbled, last “{clean(sensor.last_garbled, 16)}”")
    if sensor.dropped:
        said.append(f"{sensor.dropped} dropped")
    return "sensor " + " · ".join(said)


def _port(state: State, t_s: float) -> list[str]:
    """Return the port's news: nothing while lines come."""
    sensor = state.sensor
    if sensor.lost:
        return [f"lost: {clean(sensor.lost, 60)}"]
    stand = standing(state, t_s)
    if stand.state is Standing.STARTING:
        return ["starting"]
    if stand.state is Standing.GARBLED and unreadable(sensor):
        return [str(stand.state)]
    if sensor.last_line_s is None:
        return ["has said nothing yet"]
    if t_s - sensor.last_line_s >= silent_after_s(sensor):
        return [f"silent for {_whole(t_s - sensor.last_line_s)}"]
    return []


def _channels(state: State, t_s: float, shown: Shown, *, silent: bool) -> list[str]:
    """Return the channels, the worst first and of equals the deciding one.

    `silent`: those too that only share the port's silence.
    """

    def order(found: tuple[Track, Stand]) -> tuple[int, bool]:
        return worst_first(found[1]), found[0].name != state.sensor.control

    found = ((track, channel_standing(state, track, t_s)) for track in state.tracks)
    stands = sorted((f for f in found if silent or f[1].state is not Standing.SILENT), key=order)
    said = [_channel(state, track, stand, shown) for track, stand in stands[:MOST_CHANNELS]]
    if len(stands) > MOST_CHANNELS:
        said.append(f"and {len(stands) - MOST_CHANNELS} more")
    return said


def _channel(state: State, track: Track, stand: Stand, shown: Shown) -> str:
    name = clean(track.name, 12)
    if len(state.tracks) > 1 and track.name == state.sensor.control:
        name = f"▸{name}"
    if stand.state in _SHOWN and track.value_c is not None:
        doubt = "?" if stand.state in QUESTIONS else ""
        word = "" if stand.state is Standing.LIVE else f", {stand.state}"
        return f"{name} {shown.temp_c(track.value_c)}{doubt}{word}"
    if stand.state is Standing.GARBLED and stand.why:
        return f"{name} {clean(stand.why, 30)}"
    return f"{name} {stand.state}"


def _wire(state: State, letter: str, shown: Shown) -> str:
    control = state.control
    about = ""
    if control is not None and control.value_c is not None:
        about = tolerance(state.sensor.channel, control.value_c, shown)
    return f"type {letter} wire" + (f" {about} as new" if about else "")


def _arc(state: State, name: str) -> str:
    if state.arc.at_s is None:
        return f"no value from {clean(name, 12)}, the arc's channel"
    short = f", {state.arc.flickers} too short" if state.arc.flickers else ""
    return f"{'arc burning' if state.arc.burning else 'no arc'}{short}"


def _whole(age_s: float) -> str:
    if age_s < 120:
        return f"{math.floor(age_s)} s"
    return f"{math.floor(age_s / 60)} min"
