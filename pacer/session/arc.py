"""The arc signal: a current clamp or a light sensor on the sensor's own lines.

The channel's raw values are facts of the record; that the arc burns is judged here, with
hysteresis and a delay at both ends, and told to the fold as if the welder had said it.
Where no such channel exists, a burst of bad values while READY stands can be taken for a
high-frequency arc start (`noise`): then only the start is known, and the cadence ends it.
"""

from __future__ import annotations

import msgspec

from pacer.session.celsius import corrected, degrees
from pacer.session.events import Act, ArcSignal, Deed, Reading
from pacer.session.state import ArcSeen, State
from pacer.session.track import silent_after_s
from pacer.session.work import Phase

replace = msgspec.structs.replace

ON_S = 1.0
"""Above the threshold for so long before it is believed, and then dated back: a flicker of
the lamp over the table must not throw the welder out of what he is doing. Common practice,
no source."""

FLICKER_S = 0.2
"""A signal that went out before it was believed is marked as a false arc from here on."""

OFF_S = 0.4
"""Below the lower threshold for so long: an arc flickers. Common practice, no source."""

BURST = 3
BURST_S = 3.0
"""So many odd values within so long, and a good one after them, are a high-frequency start; a
probe that came off sends no good one. Bursts of up to six samples at 4 Hz are reliability.md's
invented noise; no recording of a real arc was seen."""

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
    flickered = not arc.burning and not turns and arc.turning_s is not None
    if flickered and raw < signal.off and t_s - (arc.turning_s or 0.0) >= FLICKER_S:
        arc = replace(arc, flickers=arc.flickers + 1)
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
    t_s, old_s = reading.t_s, state.arc.odd_s
    if state.phase is not Phase.READY:
        return (replace(state, arc=ArcSeen()) if old_s else state), None
    odd = _odd(state, reading)
    if odd is None:
        return state, None
    if odd:
        return replace(state, arc=replace(state.arc, odd_s=(*old_s, t_s)[-BURST:])), None
    if len(old_s) < BURST or t_s - old_s[0] > BURST_S:
        return state, None
    act = Act(t_ms=reading.t_ms, deed="arc on", by="noise", held_s=round(t_s - old_s[0], 3))
    return replace(state, arc=ArcSeen()), act


def _odd(state: State, reading: Reading) -> bool | None:
    """True for a line that no part can have sent: not readable, or far from the last ones.

    None for one that says nothing either way, such as an open circuit: the probe is off.
    """
    channel, control = state.sensor.channel, state.control
    if control is None or control.value_c is None:
        return None
    for value in degrees(channel, reading):
        if value.name == control.name and value.temp_c is not None:
            return abs(corrected(channel, value.name, value.temp_c) - control.value_c) > ODD_DC
    return True if "unparsable" in reading.statuses() else None
