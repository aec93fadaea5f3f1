"""The arc signal: a current clamp or a light sensor on the sensor's own lines.

The channel's raw values are facts of the record; that the arc burns is judged here, with
hysteresis and a delay at both ends, and told to the fold as if the welder had said it.
Where no such channel exists, a burst of bad values while READY stands can be taken for a
high-frequency arc start (`noise`): then only the start is known, and the cadence ends it.
"""

from __future__ import annotations

import msgspec

from pacer.session.events import Act, ArcSignal, Deed, Reading
from pacer.session.state import ArcSeen, State
from pacer.session.track import silent_after_s
from pacer.session.work import Phase

replace = msgspec.structs.replace

ON_S = 0.2
"""Above the threshold for so long before it is believed: one spike is no arc. At 4 Hz the
second value. Common practice, no source."""

OFF_S = 0.4
"""Below the lower threshold for so long: an arc flickers. Common practice, no source."""

BURST = 3
BURST_S = 1.5
"""So many bad values within so long are a high-frequency start. Bursts of up to six samples
at 4 Hz are reliability.md's invented noise; no recording of a real arc was seen."""

ODD_DC = 60.0
"""Farther than this from the filtered reading no part moves between two lines."""


def heard(state: State, reading: Reading) -> tuple[State, Act | None]:
    """Return the state with the arc channel judged, and what it says happened, if anything."""
    signal = state.sensor.channel.arc
    if signal is None:
        return state, None
    if signal.noise:
        return _burst(state, reading)
    raw = _value(signal, reading)
    if raw is None:
        return state, None
    arc, t_s = replace(state.arc, at_s=reading.t_s), reading.t_s
    turns = raw < signal.off if arc.burning else raw >= signal.on
    since_s = (arc.turning_s if arc.turning_s is not None else t_s) if turns else None
    arc = replace(arc, turning_s=since_s)
    if since_s is None or t_s - since_s < (OFF_S if arc.burning else ON_S) - 1e-9:
        return replace(state, arc=arc), None
    deed: Deed = "arc off" if arc.burning else "arc on"
    arc = replace(arc, burning=not arc.burning, turning_s=None)
    held_s = round(t_s - since_s, 3)
    act = Act(t_ms=reading.t_ms, deed=deed, by="signal", held_s=held_s)
    return replace(state, arc=arc), act


def lost_after_s(state: State) -> float | None:
    """Return when a burning arc's signal is too old to count on, s; None without a signal."""
    signal, at_s = state.sensor.channel.arc, state.arc.at_s
    if signal is None or signal.noise or at_s is None:
        return None
    return at_s + silent_after_s(state.sensor)


def _value(signal: ArcSignal, reading: Reading) -> float | None:
    for name, raw, status in zip(
        reading.channel_names(), reading.raw, reading.statuses(), strict=False
    ):
        if name == signal.name and status == "ok" and isinstance(raw, int | float):
            return float(raw)
    return None


def _burst(state: State, reading: Reading) -> tuple[State, Act | None]:
    t_s = reading.t_s
    if state.phase is not Phase.READY:
        calm = ArcSeen() if state.arc.odd_s else state.arc
        return replace(state, arc=calm), None
    if not _odd(state, reading):
        return state, None
    odd_s = (*(at_s for at_s in state.arc.odd_s if t_s - at_s <= BURST_S), t_s)
    if len(odd_s) < BURST:
        return replace(state, arc=replace(state.arc, odd_s=odd_s)), None
    held_s = round(t_s - odd_s[0], 3)
    act = Act(t_ms=reading.t_ms, deed="arc on", by="noise", held_s=held_s)
    return replace(state, arc=ArcSeen()), act


def _odd(state: State, reading: Reading) -> bool:
    """True for a line that no part can have sent: not readable, or far from the last ones."""
    channel, control = state.sensor.channel, state.control
    if control is None or control.value_c is None:
        return False
    for name, raw, status in zip(
        reading.channel_names(), reading.raw, reading.statuses(), strict=False
    ):
        if name == control.name:
            if status != "ok" or not isinstance(raw, int | float):
                return True
            return abs(channel.scale * raw + channel.offset_c - control.value_c) > ODD_DC
    return "ok" not in reading.statuses()
