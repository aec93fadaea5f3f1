"""News from the port itself: lost, back, a new pace; and a recording taken up again."""

from __future__ import annotations

import msgspec

from pacer.session.events import Resumed, SensorChanged
from pacer.session.state import ArcSeen, Conditions, State, Track
from pacer.session.timers import after

replace = msgspec.structs.replace


def sensor_changed(state: State, event: SensorChanged) -> State:
    """Return the state after news from the port; numbers must come before it is trusted again."""
    sensor = state.sensor
    match event.state:
        case "opened":
            tracks = tuple(replace(track, good=0) for track in state.tracks)
            settled_s = after(event.t_s, event.settle_s or 0.0)
            return replace(state, sensor=replace(sensor, settled_s=settled_s), tracks=tracks)
        case "lost":
            lost = event.why or "sensor lost"
            return replace(
                state,
                sensor=replace(sensor, lost=lost, waiting_since_s=event.t_s, garbled_since_s=None),
                tracks=_doubts_kept(state),
                conditions=Conditions(),
            )
        case "paced" if event.period_s is not None and event.period_s > 0:
            sensor = replace(sensor, period_given=True)
            # A shorter period must not turn the silence just kept into a lapse.
            if event.period_s > sensor.period_s:
                sensor = replace(sensor, period_s=event.period_s, next_period_s=None)
            else:
                sensor = replace(sensor, next_period_s=event.period_s)
            return replace(state, sensor=sensor)
        case _:
            return state


def taken_up(state: State, event: Resumed) -> State:
    """Return the state with the sensor now in use, which has not spoken yet."""
    sensor = replace(
        state.sensor,
        channel=event.channel or state.sensor.channel,
        lost="",
        gaps_s=(),
        period_given=False,
        control=None,
        # A sensor just connected gets its time to speak.
        last_line_s=event.t_s,
        waiting_since_s=event.t_s,
        hand=event.hand,
        garbled_since_s=None,
        unit_asked=True,
    )
    same = (
        event.channel is None or event.channel == state.sensor.channel
    ) and event.hand == state.sensor.hand
    tracks = _doubts_kept(state) if same else ()
    return replace(
        state,
        sensor=sensor,
        tracks=tracks,
        conditions=Conditions(),
        arc=ArcSeen(),
        ended=False,
    )


def _doubts_kept(state: State) -> tuple[Track, ...]:
    """Return tracks without values: what is wrong with a probe or meter is so when it is back."""
    return tuple(Track(name=t.name, doubt=t.doubt) for t in state.tracks if t.doubt is not None)
