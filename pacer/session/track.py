"""Temperature tracks: the guard, the filter and what is believed at a moment.

The guard: decoder status, span, a run of bad values, and a window that agrees with itself.
Spikes are met by the median: reliability.md section 5 measured median 9 at 4 Hz plus a
2 s on-delay as the best of seven filters on simulated arc starts (0-1 false cues in
20 min against 39-195 raw).
"""

from __future__ import annotations

import math

import msgspec

from pacer.session.celsius import Degrees, corrected, degrees
from pacer.session.events import Reading
from pacer.session.state import Sensor, State, Track
from pacer.session.timers import after
from pacer.session.work import Phase

replace = msgspec.structs.replace

SPAN_C = (-50.0, 1400.0)
"""What a part on this table can read; type K ends at 1372 °C (IEC 60584, from memory)."""

OUTSIDE = "outside what a part here can read"

DISAGREES = "not to be made out, too many spikes"
AGREE_DC = 25.0
"""Readings of the window this near to its median speak for it: no part moves so far in two
seconds. Judgement; measured on invented noise (tests/session/test_no_nuisance.py)."""

ENOUGH_TO_AGREE = 5
"""Smaller windows, of sources slower than twice a second, are not asked: theirs may fall so fast."""

WINDOW_S = 2.25
"""Nine readings at 4 Hz; slower sources keep fewer, but never under three."""

BAD_IN_A_ROW = 3
"""So many bad values end the trust in a channel (reliability.md section 4, OPEN_TC)."""

SILENCE_PERIODS = 3
SILENCE_LEAST_S = 2.0
"""Silent after max(3 periods, 2 s): reliability.md section 4, LIVE."""

_SURELY_HEARD_S = SILENCE_LEAST_S - 0.01

SILENCE_TOLD_S = 5.0
"""A silence is told after so long; its number is gone earlier. Drop-outs of a few seconds need
no answer (reliability.md section 4 warns at 10 s; judgement)."""

SILENCE_COVERED_S = 300.0
"""Told so late in a cool-down, unless the source said its period. Common practice, no source."""

SILENCE_PACED_S = 60.0
"""And so late where it did: a bad line or two among hours of them is nothing to tell."""

NEVER_SPOKEN_S = 10.0
"""A source that has said nothing at all is reported after this long."""

TYPED_FRESH_S = 120.0
"""A typed reading decides for so long while welding: a bare 3 kg plate loses some 14 K a
minute near 260 °C (heat.md section 1). Common practice, no source."""

TYPED_FRESH_SLOW_S = 600.0
"""The same in phases that run for tens of minutes. Common practice, no source."""

_SLOW = frozenset({Phase.PREHEAT, Phase.SOAK, Phase.POST_HEAT, Phase.BURY, Phase.COOL_DOWN})


class Believed(msgspec.Struct, frozen=True):
    """The part temperature a decision may use."""

    temp_c: float
    at_s: float
    typed: bool
    until_s: float
    "When it is too old to decide, if nothing newer comes."
    side: int = 0
    "Of a typed reading: 1 at least, -1 below."

    @property
    def least_c(self) -> float:
        """What it is at least, °C; minus infinity where only an upper side is known."""
        return -math.inf if self.side < 0 else self.temp_c

    @property
    def most_c(self) -> float:
        """What it is at most, °C; infinity where only a lower side is known."""
        return math.inf if self.side > 0 else self.temp_c


def heard_line(sensor: Sensor, reading: Reading) -> Sensor:
    """Count a line and learn the source's period from the last nine intervals (median, s)."""
    t_s = reading.t_s
    parsed = any(s == "ok" for s in reading.statuses())
    unparsable = not parsed and "unparsable" in reading.statuses()
    if unparsable:
        # Noise is not speech: it neither ends a silence nor tells how often the source speaks.
        text = str(reading.raw[0]) if reading.raw else ""
        return replace(
            sensor,
            garbled=sensor.garbled + 1,
            dropped=sensor.dropped + reading.dropped,
            last_garbled=text,
        )
    gaps = sensor.gaps_s
    if sensor.last_line_s is not None and not sensor.period_given:
        gaps = (*gaps, round(t_s - sensor.last_line_s, 3))[-9:]
    period_s = sensor.period_s
    if not sensor.period_given and len(gaps) >= 3:
        period_s = sorted(gaps)[len(gaps) // 2]
    if sensor.next_period_s is not None:
        period_s = sensor.next_period_s
    return replace(
        sensor,
        gaps_s=gaps,
        period_s=period_s,
        next_period_s=None,
        last_line_s=t_s,
        control=sensor.control or (_first_to_decide(sensor, reading) if parsed else None),
        dropped=sensor.dropped + reading.dropped,
        lost="",
    )


def _first_to_decide(sensor: Sensor, reading: Reading) -> str | None:
    """Return the channel asked for, once it speaks, or the first that sends a number."""
    heard = zip(reading.channel_names(), reading.statuses(), strict=False)
    apart = {sensor.channel.arc_name, sensor.channel.cj_name}
    speaking = [name for name, status in heard if status == "ok" and name not in apart]
    wanted = sensor.channel.name
    if wanted:
        return wanted if wanted in speaking else None
    return speaking[0] if speaking else None


def update(track: Track, value: Degrees, sensor: Sensor, t_s: float) -> Track:
    """Return the track after one value of its channel."""
    if value.temp_c is None:
        why = value.why if value.status == "ok" else value.status
        return replace(track, bad=track.bad + 1, why_bad=why)
    temp_c = corrected(sensor.channel, value.name, value.temp_c)
    if not SPAN_C[0] <= temp_c <= SPAN_C[1]:
        # A spike, most likely: it isn't heard, and where nothing else comes the value grows old.
        return replace(track, why_bad=OUTSIDE)
    # Odd, so that the median is always a value that was read.
    keep = min(9, max(3, round(WINDOW_S / max(sensor.period_s, 0.01)) | 1))
    # After a long silence, or a run of bad values, the filter starts empty.
    restarted = track.bad >= BAD_IN_A_ROW or (
        track.at_s is not None and t_s - track.at_s > max(30.0, silent_after_s(sensor))
    )
    window = ((temp_c,) if restarted else (*track.window, temp_c))[-keep:]
    value_c = sorted(window)[len(window) // 2]
    near = sum(abs(c - value_c) <= AGREE_DC for c in window)
    if keep >= ENOUGH_TO_AGREE and 2 * near < len(window):
        # Spikes have the majority and no two of them agree: the old value stands and ages.
        return replace(track, window=window, bad=0, why_bad=DISAGREES)
    broken = restarted or track.at_s is None or t_s - track.at_s > silent_after_s(sensor)
    calm = keep < ENOUGH_TO_AGREE or 3 * near >= 2 * len(window)
    good_since_s = track.good_since_s if calm and not broken else t_s
    return replace(
        track,
        window=window,
        value_c=value_c,
        at_s=t_s,
        good_since_s=good_since_s,
        bad=0,
        why_bad="",
    )


def take(state: State, reading: Reading) -> State:
    """Fold one line of the source into sensor and tracks."""
    sensor = heard_line(state.sensor, reading)
    tracks = {track.name: track for track in state.tracks}
    statuses = reading.statuses()
    if "ok" not in statuses and len(statuses) == 1 and statuses[0] == "unparsable":
        # One line of garbage says nothing about any channel.
        return replace(state, sensor=sensor)
    for value in degrees(sensor.channel, reading):
        if value.name in tracks or value.status == "ok":
            old = tracks.get(value.name) or Track(name=value.name)
            tracks[value.name] = update(old, value, sensor, reading.t_s)
    return replace(state, sensor=sensor, tracks=tuple(tracks.values()))


def silent_after_s(sensor: Sensor) -> float:
    """Return how long the source may be silent before it counts as silent, s."""
    return max(SILENCE_PERIODS * sensor.period_s, SILENCE_LEAST_S)


def told_silent_after_s(state: State) -> float:
    """Return how long a silence lasts before it is told, s.

    A covered part changes over hours and its logger may slow down without saying so: a
    normal burial stays silent. The number itself is gone from the screen earlier.
    """
    after_s = silent_after_s(state.sensor)
    if state.phase is Phase.COOL_DOWN:
        paced = state.sensor.period_given
        return max(after_s, SILENCE_PACED_S if paced else SILENCE_COVERED_S)
    return max(after_s, SILENCE_TOLD_S)


def trusted(state: State, track: Track, t_s: float) -> bool:
    """True while the track's value may decide at `t_s`."""
    if state.sensor.lost or track.value_c is None or track.at_s is None:
        return False
    if track.bad >= BAD_IN_A_ROW:
        return False
    if t_s - track.at_s < _SURELY_HEARD_S:
        # Asked several times a reading: the usual answer without arithmetic.
        return True
    # At the very instant of the deadline the timer has the word, so it is silent then.
    return t_s < after(track.at_s, silent_after_s(state.sensor))


def typed_fresh_s(phase: Phase) -> float:
    """Return how long a typed reading decides in this phase, s."""
    return TYPED_FRESH_SLOW_S if phase in _SLOW else TYPED_FRESH_S


def believed(state: State, t_s: float) -> Believed | None:
    """Return the deciding temperature at `t_s`, or None: then nothing is in band.

    A trusted instrument comes first, then a recently typed reading; the other way round while
    the instrument is only just back.
    """
    control, typed = state.control, state.typed
    typed_until_s = -math.inf if typed is None else after(typed.at_s, typed_fresh_s(state.phase))
    unproven = state.sensor.told_no_reading and t_s < typed_until_s
    if control is not None and trusted(state, control, t_s) and not unproven:
        assert control.value_c is not None
        assert control.at_s is not None
        until_s = after(control.at_s, silent_after_s(state.sensor))
        return Believed(control.value_c, control.at_s, typed=False, until_s=until_s)
    if typed is not None and t_s < typed_until_s:
        return Believed(typed.temp_c, typed.at_s, True, typed_until_s, typed.side)
    return None


def proven(state: State, now: Believed | None) -> bool:
    """True if `now` may call the welder: an instrument just back must first stay for a while."""
    return now is not None and (now.typed or not state.sensor.told_no_reading)


def known_points_c(state: State, t_s: float) -> tuple[float, ...]:
    """Return every temperature now believed, °C: trusted channels and a fresh typed reading."""
    points = [t.value_c for t in state.tracks if trusted(state, t, t_s) and t.value_c is not None]
    typed = state.typed
    # Beside a live instrument a typed point is soon history: the part goes on warming.
    fresh_s = TYPED_FRESH_S if points else typed_fresh_s(state.phase)
    # A crayon's one side is no temperature to compare others with.
    if typed is not None and not (typed.side and points) and t_s < after(typed.at_s, fresh_s):
        points.append(typed.temp_c)
    return tuple(points)


def places_c(state: State, t_s: float) -> tuple[float, ...]:
    """Return the temperature of every place known in a soak, °C: channels, and places typed.

    A place that was typed counts until it is too old, or the soak is over.
    """
    points = [t.value_c for t in state.tracks if trusted(state, t, t_s) and t.value_c is not None]
    for place in state.places:
        fresh_s = typed_fresh_s(state.phase)
        if place.at_s >= state.work.entered_s and t_s < after(place.at_s, fresh_s):
            points.append(place.temp_c)
    return tuple(points)


def blind(state: State, t_s: float) -> tuple[float, str] | None:
    """Return since when (s) and why the instrument gives no trusted reading, if it will not.

    The time may lie ahead: it is when the present silence becomes too long.
    """
    sensor = state.sensor
    if sensor.hand:
        return None
    if sensor.lost:
        return t_s, sensor.lost
    control = state.control
    if control is None or (control.at_s is None and control.bad < BAD_IN_A_ROW):
        if state.phase is Phase.COOL_DOWN and state.cooling is None:
            return None  # An import before its first reading: nothing is missing yet.
        # Lines that bring no deciding number don't put the telling off.
        due_s = after(sensor.waiting_since_s, NEVER_SPOKEN_S)
        if sensor.last_line_s is None:
            return due_s, "the sensor has said nothing yet"
        wanted = sensor.channel.name
        return due_s, f"no number from channel {wanted}" if wanted else "the sensor sends no number"
    if control.bad >= BAD_IN_A_ROW:
        words = {"open": "sensor open circuit", "short": "sensor short circuit"}
        why = words.get(control.why_bad, f"sensor value {control.why_bad}")
        if control.at_s is None or state.phase is not Phase.READY:
            return t_s, why
        # Where an arc may be starting a second of it is common (procedure.md section 5).
        return after(control.at_s, SILENCE_TOLD_S), why
    assert control.at_s is not None, "a track without a good value is bad or new"
    odd = control.why_bad in {OUTSIDE, DISAGREES}
    why = f"sensor value {control.why_bad}" if odd else "sensor silent"
    return after(control.at_s, told_silent_after_s(state)), why
