"""What is believed of the tracks at a moment, and since when and why nothing is.

How a line becomes a track is `session/hearing.py`'s, what is doubted of one `session/guard`'s.
An instrument in doubt decides nothing: neither "in band" nor "too cold". Only what lies
over the ceiling is still feared (`feared`): to wait is the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import msgspec

from pacer.session.cues import CueKind
from pacer.session.events import NO_TEXT
from pacer.session.evidence import Doubt
from pacer.session.state import Sensor, State, Track
from pacer.session.timers import after
from pacer.session.work import Phase

NO_VALUES: Mapping[str, float] = MappingProxyType({})

SPAN_C = (-50.0, 1400.0)
"""What a part on this table can read; type K ends at 1372 °C (IEC 60584, from memory)."""

OUTSIDE = "outside what a part here can read"

DISAGREES = "not to be made out, too many spikes"
READS_ZERO = "reads exactly 0"
_ODD = frozenset({OUTSIDE, DISAGREES})

GARBLED_WHY = "what comes cannot be read, look at the baud rate"
GARBLED_S = 2.5
"""Lines come and none can be read for so long: the state is named before the 3 s of
reliability.md T-22 are over."""

BAD_IN_A_ROW = 3
"""So many bad values end the trust in a channel (reliability.md section 4, OPEN_TC)."""

PROVEN_BY = 5
"""So many good values, and an opened port is no longer being checked, an open circuit mended
(reliability.md section 4, PROBING and OPEN_TC)."""

SILENCE_PERIODS = 3
SILENCE_LEAST_S = 2.0
"""Silent after max(3 periods, 2 s): reliability.md section 4, LIVE."""

_SURELY_HEARD_S = SILENCE_LEAST_S - 0.01

GAPS_TELL_PERIOD = 3
"""From so many intervals on a source's period is known."""

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
    if not state.sensor.period_given and len(state.sensor.gaps_s) < GAPS_TELL_PERIOD:
        # A slow source that has just begun to speak.
        return max(after_s, NEVER_SPOKEN_S)
    return max(after_s, SILENCE_TOLD_S)


def heard(state: State, track: Track, t_s: float) -> bool:
    """True while the track has a value of this moment, doubted or not."""
    if state.sensor.lost or track.value_c is None or track.at_s is None:
        return False
    if track.bad >= BAD_IN_A_ROW:
        return False
    if t_s - track.at_s < _SURELY_HEARD_S:
        # Asked several times a reading: the usual answer without arithmetic.
        return True
    # At the very instant of the deadline the timer has the word, so it is silent then.
    return t_s < after(track.at_s, silent_after_s(state.sensor))


def trusted(state: State, track: Track, t_s: float) -> bool:
    """True while the track's value may decide at `t_s`."""
    if track.mending or (track.arc is not None and in_the_arc(state, track)):
        return False
    doubt = track.doubt
    return (doubt is None or doubt.accepted) and heard(state, track, t_s)


def in_the_arc(state: State, track: Track) -> bool:
    """True while an arc burns whose noise is in the channel: its value is one from before."""
    return track.arc is not None and track.arc.held and state.phase is Phase.BEAD


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


def feared(state: State, t_s: float) -> Believed | None:
    """Return a doubted value while nothing is believed: if it is over the ceiling it still counts.

    One side only, at least this: it says neither cool enough nor too cold.
    """
    control = state.control
    if control is None or not control.doubted or not heard(state, control, t_s):
        return None
    assert control.value_c is not None
    assert control.at_s is not None
    if control.value_c <= state.job.band.ceiling_c or believed(state, t_s) is not None:
        return None
    until_s = after(control.at_s, silent_after_s(state.sensor))
    return Believed(control.value_c, control.at_s, typed=False, until_s=until_s, side=1)


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


class Lapse(NamedTuple):
    """Why the instrument decides nothing, or soon won't."""

    due_s: float
    "Since when, s; it may lie ahead: then it is when the present silence becomes too long."
    why: str
    kind: CueKind = CueKind.NO_READING
    "The cue that tells it."
    values: Mapping[str, float] = NO_VALUES


def blind(state: State, t_s: float) -> Lapse | None:
    """Return since when and why the instrument gives no trusted reading, if it will not."""
    sensor = state.sensor
    if sensor.hand:
        return None
    if sensor.lost:
        return Lapse(t_s, sensor.lost)
    control = state.control
    if control is None or (control.at_s is None and control.bad < BAD_IN_A_ROW):
        if state.phase is Phase.COOL_DOWN and state.cooling is None:
            return None  # An import before its first reading: nothing is missing yet.
        return _never_spoken(sensor)
    doubt = control.doubt
    if doubt is not None and control.doubted and t_s < doubted_until_s(state, control):
        return Lapse(_doubt_told_s(state, doubt), doubt.because, doubt.kind, doubt.values)
    if control.bad >= BAD_IN_A_ROW:
        why = _bad_words(control.why_bad)
        if control.at_s is None or state.phase is not Phase.READY:
            return Lapse(t_s, why)
        # Where an arc may be starting a second of it is common (procedure.md section 5).
        return Lapse(after(control.at_s, SILENCE_TOLD_S), why)
    assert control.at_s is not None, "a track without a good value is bad or new"
    if control.mending and state.sensor.told_no_reading:
        return Lapse(t_s, _bad_words(control.mending))
    odd = control.why_bad in _ODD
    why = f"sensor value {control.why_bad}" if odd else "sensor silent"
    if unreadable(sensor):
        why = garbled_words(sensor)
    return Lapse(after(control.at_s, told_silent_after_s(state)), why)


def _doubt_told_s(state: State, doubt: Doubt) -> float:
    """Return when a doubt is told: a probe put right at once as the part is covered, never."""
    covered = state.phase is Phase.COOL_DOWN
    return after(doubt.since_s, SILENCE_PACED_S) if covered else doubt.since_s


def doubted_until_s(state: State, control: Track) -> float:
    """Return until when a doubt is what keeps the reading from deciding: later it is silence."""
    if control.at_s is None:
        return -math.inf
    return after(control.at_s, told_silent_after_s(state))


def _never_spoken(sensor: Sensor) -> Lapse:
    # Lines that bring no deciding number don't put the telling off.
    due_s = after(sensor.waiting_since_s, NEVER_SPOKEN_S)
    if unreadable(sensor):
        return Lapse(due_s, garbled_words(sensor))
    if sensor.last_line_s is None:
        return Lapse(due_s, "the sensor has said nothing yet")
    wanted = sensor.channel.name
    return Lapse(
        due_s, f"no number from channel {wanted}" if wanted else "the sensor sends no number"
    )


_MOST_WHY = 90
"Characters of a decoder's reason in a cue's line."


def _bad_words(why_bad: str) -> str:
    words = {
        "open": "sensor open circuit",
        "short": "sensor short circuit",
        READS_ZERO: "sensor reads exactly 0: an open circuit",
    }
    return words.get(why_bad, f"sensor value {why_bad[:_MOST_WHY]}")


def garbled_words(sensor: Sensor) -> str:
    """Return why the last lines could not be read, in the decoder's words where it was text."""
    why = sensor.garbled_why
    if not why or why == NO_TEXT:
        return GARBLED_WHY
    return f"what comes is refused, {why[:_MOST_WHY]}"


def unreadable(sensor: Sensor) -> bool:
    """True after a run of lines that nobody could read, long enough to be called so."""
    since_s, last_s = sensor.garbled_since_s, sensor.garbled_s
    return since_s is not None and last_s is not None and last_s - since_s >= GARBLED_S
