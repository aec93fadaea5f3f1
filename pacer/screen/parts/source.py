"""The sensor line: channels, garbled and dropped lines, silence. Foreign text is cleaned."""

from __future__ import annotations

import math

from pacer.session.state import State, Track
from pacer.session.track import silent_after_s, trusted
from pacer.text import clean
from pacer.units import Shown

_BAD = {"open": "open circuit", "short": "short circuit", "missing": "missing"}


def sensor_line(state: State, t_s: float, shown: Shown) -> str:
    """Return what is known of the source, the worst first."""
    sensor = state.sensor
    if sensor.hand:
        return "no instrument: readings are typed (R)"
    said: list[str] = []
    if sensor.lost:
        said.append(f"lost: {clean(sensor.lost, 60)}")
    elif sensor.last_line_s is None:
        said.append("has said nothing yet")
    elif t_s - sensor.last_line_s >= silent_after_s(sensor):
        said.append(f"silent for {_whole(t_s - sensor.last_line_s)}")
    said += [_channel(state, track, t_s, shown) for track in state.tracks[:4]]
    if len(state.tracks) > 4:
        said.append(f"and {len(state.tracks) - 4} more")
    if sensor.channel.arc is not None and not sensor.channel.arc.noise:
        said.append(_arc(state, sensor.channel.arc.name))
    if sensor.garbled:
        said.append(f"{sensor.garbled} garbled, last “{clean(sensor.last_garbled, 16)}”")
    if sensor.dropped:
        said.append(f"{sensor.dropped} dropped")
    return "sensor " + " · ".join(said)


def _channel(state: State, track: Track, t_s: float, shown: Shown) -> str:
    name = clean(track.name, 12)
    if len(state.tracks) > 1 and track.name == state.sensor.control:
        name += " (decides)"
    if trusted(state, track, t_s) and track.value_c is not None:
        return f"{name} {shown.temp_c(track.value_c)}"
    if track.bad:
        return f"{name} {_BAD.get(track.why_bad, clean(track.why_bad, 30))}"
    return f"{name} –"


def _arc(state: State, name: str) -> str:
    if state.arc.at_s is None:
        return f"no value from {clean(name, 12)}, the arc's channel"
    short = f", {state.arc.flickers} too short" if state.arc.flickers else ""
    return f"{'arc burning' if state.arc.burning else 'no arc'}{short}"


def _whole(age_s: float) -> str:
    if age_s < 120:
        return f"{math.floor(age_s)} s"
    return f"{math.floor(age_s / 60)} min"
