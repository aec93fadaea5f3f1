"""From a line of the source to tracks: its period, what is flagged, and the filter.

`update` is the filter: decoder status, span, a run of bad values, and a window that agrees
with itself. Spikes are met by the median: reliability.md section 5 measured median 9 at
4 Hz plus a 2 s on-delay as the best of seven filters on simulated arc starts (0-1 false
cues in 20 min against 39-195 raw). What the values mean is doubted in `session/guard`.
"""

from __future__ import annotations

from functools import lru_cache

import msgspec

from pacer.session.celsius import Degrees, corrected
from pacer.session.events import Reading
from pacer.session.evidence import Repeats
from pacer.session.state import Sensor, Track
from pacer.session.track import (
    BAD_IN_A_ROW,
    DISAGREES,
    GAPS_TELL_PERIOD,
    OUTSIDE,
    PROVEN_BY,
    READS_ZERO,
    SILENCE_LEAST_S,
    SPAN_C,
    silent_after_s,
)

replace = msgspec.structs.replace

AGREE_DC = 25.0
"""Readings of the window this near to its median speak for it: no part moves so far in two
seconds. Judgement; measured on invented noise (tests/session/test_no_nuisance.py)."""

ASKED_TO_AGREE_S = 1.0
"""Windows of slower sources are not asked: a part may move so far between two of their lines. At
1 Hz, windows of three, it took 66 wrong numbers an hour of 20 % spikes down to 9
(tests/bench/bench_filters.py, simulated)."""

WINDOW_S = 2.25
"""Nine readings at 4 Hz; slower sources keep fewer, but never under three."""

ZERO_AWAY_DC = 30.0
"""An exact 0 so far from the last good value is no temperature. Judgement; the maker's note that
a floating input reads exactly 0 °C is reliability.md section 5's (SEEN-P)."""

STEP_WITHIN_S = 2.5
"""A step is what happens within so long: two lines of a source that speaks once a second."""

_SPARSE_S = 0.75
_SPARSEST_S = 1.5
"""From the first on a line may fall in the middle of a step, which is then looked for farther back."""

_FEW = 5
"""In smaller windows one spike is a third: it doesn't break the trust in them."""
_EARLIER_EVERY_S = 0.45
_MOST_ODD = 24
_MOST_SEEN = 400
_MOST_MOVES = 10


def heard_line(sensor: Sensor, reading: Reading) -> Sensor:
    """Count a line and learn the source's period from the last nine intervals (median, s)."""
    t_s = reading.t_s
    parsed = reading.status == "ok" or "ok" in reading.statuses()
    unparsable = not parsed and "unparsable" in reading.statuses()
    if unparsable:
        # Noise is not speech: it neither ends a silence nor tells how often the source speaks.
        text = str(reading.raw[0]) if reading.raw else ""
        since_s = sensor.garbled_since_s
        return replace(
            sensor,
            garbled=sensor.garbled + 1,
            dropped=sensor.dropped + reading.dropped,
            last_garbled=text,
            garbled_why=reading.why or "",
            garbled_since_s=t_s if since_s is None else since_s,
            garbled_s=t_s,
        )
    gaps = sensor.gaps_s
    if sensor.last_line_s is not None and not sensor.period_given:
        gaps = (*gaps, round(t_s - sensor.last_line_s, 3))[-9:]
    period_s = sensor.period_s
    if not sensor.period_given and len(gaps) >= GAPS_TELL_PERIOD:
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
        garbled_since_s=None,
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


def looks_back_s(period_s: float) -> float:
    """Return how far back a step is looked for in a source of this period, s."""
    return STEP_WITHIN_S if period_s < _SPARSE_S else STEP_WITHIN_S + 2 * min(period_s, _SPARSEST_S)


def flagged(track: Track, t_s: float) -> Track:
    """Return the track with one of its values, or a line in its place, counted as odd."""
    return replace(track, odd_s=(*track.odd_s, t_s)[-_MOST_ODD:])


def update(
    track: Track, value: Degrees, sensor: Sensor, t_s: float, *, never_zero: bool = False
) -> Track:
    """Return the track after one value of its channel.

    `never_zero`: an exact 0 °C can't be the part, whatever was read before.
    """
    if value.temp_c is None:
        return _bad(track, value.why or value.status, t_s)
    if value.temp_c == 0.0 and _floating(track, never_zero):
        return _bad(track, READS_ZERO, t_s)
    temp_c = value.temp_c
    if sensor.channel.corrections:
        temp_c = corrected(sensor.channel, value.name, temp_c)
    if not SPAN_C[0] <= temp_c <= SPAN_C[1]:
        # A spike, most likely: it isn't heard, and where nothing else comes the value grows old.
        return replace(flagged(track, t_s), why_bad=OUTSIDE)
    if (plain := _calm(track, temp_c, sensor, t_s)) is not None:
        return plain
    keep = _kept(sensor.period_s)
    at_s, silent_s = track.at_s, silent_after_s(sensor)
    # After a long silence, or a run of bad values, the filter starts empty.
    restarted = track.bad >= BAD_IN_A_ROW or (at_s is not None and t_s - at_s > max(30.0, silent_s))
    window = ((temp_c,) if restarted else (*track.window, temp_c))[-keep:]
    ordered = sorted(window)
    value_c = ordered[len(window) // 2]
    # Of every value of every channel: what only spikes need is asked only then.
    near = len(window)
    if ordered[-1] - value_c > AGREE_DC or value_c - ordered[0] > AGREE_DC:
        near = sum(abs(c - value_c) <= AGREE_DC for c in window)
    repeats = repeated(track.repeats, temp_c, t_s)
    asked = sensor.period_s <= ASKED_TO_AGREE_S
    if asked and 2 * near < len(window):
        # Spikes have the majority and no two of them agree: the old value stands and ages.
        odd_s = (*track.odd_s, t_s)[-_MOST_ODD:] if spiked(window, value_c) else track.odd_s
        return replace(track, window=window, bad=0, why_bad=DISAGREES, odd_s=odd_s, repeats=repeats)
    broken = restarted or at_s is None or t_s - at_s > silent_s
    calm = keep < _FEW or 3 * near >= 2 * len(window)
    odd = near < len(window) and spiked(window, value_c)
    # What came instead of values was no noise on them.
    odd_s = () if broken and track.why_bad != DISAGREES else track.odd_s
    # The run of bad values is over, but five good ones must come first.
    mending = _mending(track.why_bad) if track.bad >= BAD_IN_A_ROW else track.mending
    good = 1 if restarted else min(PROVEN_BY, track.good + 1)
    earlier = track.earlier
    if broken or not earlier or t_s - earlier[-1][0] >= _EARLIER_EVERY_S:
        earlier = _earlier(track, value_c, t_s, sensor.period_s, broken=broken)
    return replace(
        track,
        window=window,
        value_c=value_c,
        at_s=t_s,
        good_since_s=track.good_since_s if calm and not broken else t_s,
        bad=0,
        why_bad="",
        good=good,
        mending="" if good >= PROVEN_BY else mending,
        first_c=_first_c(window, value_c) if track.first_c is None else track.first_c,
        earlier=earlier,
        odd_s=(*odd_s, t_s)[-_MOST_ODD:] if odd else odd_s,
        repeats=repeats,
    )


def _calm(track: Track, temp_c: float, sensor: Sensor, t_s: float) -> Track | None:
    """Return the track after a value as nearly all are, or None: then all is looked at.

    Nothing was odd lately, the window is full and agrees with the new value; the same comes out
    as in `update`, for a third of the cost.
    """
    at_s, window, period_s = track.at_s, track.window, sensor.period_s
    if track.good < PROVEN_BY or track.why_bad or at_s is None or track.first_c is None:
        return None
    if t_s - at_s > SILENCE_LEAST_S or len(window) != _kept(period_s):
        return None
    window = (*window[1:], temp_c)
    ordered = sorted(window)
    value_c = ordered[len(window) // 2]
    if ordered[-1] - value_c > AGREE_DC or value_c - ordered[0] > AGREE_DC:
        return None
    earlier = track.earlier
    if not earlier or t_s - earlier[-1][0] >= _EARLIER_EVERY_S:
        earlier = _earlier(track, value_c, t_s, period_s, broken=False)
    repeats = repeated(track.repeats, temp_c, t_s)
    return replace(
        track, window=window, value_c=value_c, at_s=t_s, earlier=earlier, repeats=repeats
    )


@lru_cache(maxsize=16)
def _kept(period_s: float) -> int:
    """Return how many values the window keeps: odd, so that the median is one that was read."""
    return min(9, max(3, round(WINDOW_S / max(period_s, 0.01)) | 1))


def spiked(window: tuple[float, ...], value_c: float) -> bool:
    """True if the last value but one was a spike: far from the median and from both neighbours.

    A step isn't, nor a flame that licks the probe: their next value is as far, or farther. On
    the way between its neighbours it is one only where the one before it was.
    """
    if len(window) < 3:
        return False
    before, spike, behind = window[-3:]
    # One after the other: most values are near the first.
    if (
        abs(spike - value_c) <= AGREE_DC
        or abs(spike - before) <= AGREE_DC
        or abs(spike - behind) <= AGREE_DC
    ):
        return False
    if not min(before, behind) <= spike <= max(before, behind):
        return True
    if len(window) < 4 or abs(before - window[-4]) <= AGREE_DC:
        return False
    return not min(window[-4], spike) <= before <= max(window[-4], spike)


def _bad(track: Track, why: str, t_s: float) -> Track:
    odd_s = (*track.odd_s, t_s)[-_MOST_ODD:]
    return replace(track, bad=track.bad + 1, why_bad=why, odd_s=odd_s)


def _floating(track: Track, never_zero: bool) -> bool:
    return never_zero or (track.value_c is not None and abs(track.value_c) > ZERO_AWAY_DC)


def _mending(why_bad: str) -> str:
    return why_bad if why_bad in {"open", "short", READS_ZERO} else ""


def _first_c(window: tuple[float, ...], value_c: float) -> float | None:
    agree = len(window) >= 3 and max(window) - min(window) <= AGREE_DC
    return value_c if agree else None


def _earlier(
    track: Track, value_c: float, t_s: float, period_s: float, *, broken: bool
) -> tuple[tuple[float, float], ...]:
    if broken:
        # A fast fall doesn't agree with itself before it is over: its start is what it fell from.
        if track.why_bad != DISAGREES or track.value_c is None:
            return ()
        return ((t_s, track.value_c),)
    back_s = looks_back_s(period_s) + 1e-9
    recent = [moment for moment in track.earlier if t_s - moment[0] <= back_s]
    return (*recent, (t_s, value_c))


def repeated(old: Repeats | None, temp_c: float, t_s: float) -> Repeats:
    """Return how the channel repeats itself, after one value more."""
    if old is None:
        return Repeats(temp_c, t_s)
    if temp_c == old.value_c:
        return replace(old, count=old.count + 1)
    seen, again = old.seen + old.count, old.repeated + old.count - 1
    if seen > _MOST_SEEN:
        # What it did long ago weighs less than what it does now.
        seen, again = seen // 2, again // 2
    moves = min(_MOST_MOVES, old.moves + 1)
    return Repeats(temp_c, t_s, seen=seen, repeated=again, moves=moves)
