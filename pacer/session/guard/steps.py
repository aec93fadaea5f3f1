"""Steps that no part makes: JUMPED, PROBE ON?, and a meter switched to another unit.

Iron of some kilograms moves by a few kelvin a second at most, and only under a flame. Where
one is meant to burn a step is nothing strange: it may lie on the probe.
"""

from __future__ import annotations

import statistics

from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt
from pacer.session.hearing import AGREE_DC, STEP_WITHIN_S, looks_back_s
from pacer.session.state import State, Track
from pacer.session.track import Believed
from pacer.session.work import Phase

JUMP_DC = 50.0
"""A step over so much within some two seconds is no part's. Judgement: a flame may move the probe's
place by some 10 K/s, but none is meant to burn where this is asked."""

COARSE_S = 0.4
COARSE_SHARE = 0.3
"""A source that sends less often than this has two or three lines to see a step by: all of them
must agree; and of one that says the same again and again, a script or a coarse meter, it must
be this share of the way from the room to the ceiling. Judgement."""

SAME_AGAIN_SHARE = 0.8
LEAST_SEEN = 20

FLAME_GONE_S = 4.0
"""What is seen now may have happened so long ago: two seconds of a step, the lag of the median."""

FAST_DC_S = 15.0
"""A rise faster than this may be a flame on the probe: no target is reached in its first moment."""

KNOCKED_OFF_DC = 20.0
KNOCKED_OFF_S = 10.0
"""A fall of so much in the peen or soon after it asks whether the probe is still on
(procedure.md section 13)."""

BACK_DC = 10.0
"""So near to what it was before the step, the value is taken for back. Judgement."""

CLEAN_S = 10.0
"""After so long without anything odd a value has proved itself (reliability.md section 4,
SUSPECT); nobody asked then, for the welder may be away."""

CLEAN_DEEP_S = 30.0
"""After a fall that no part makes the question stands for so long: taken by default it may call for
a reheat of a part that is hotter than it reads. Judgement."""

MOST_SHARE = 0.5
"""A fall by more of the way to the room's temperature than this never proves itself: no part
falls so. Judgement."""

UNIT_FITS_DC = 2.0
UNIT_STEP_DC = 25.0
"""A step that fits °C to °F or back so well, and is larger than this (reliability.md T-27)."""

_NOWHERE_ODD = frozenset(
    {
        Phase.PREPARE,
        Phase.TACK,
        Phase.PREHEAT,
        Phase.REHEAT,
        Phase.POST_HEAT,
        Phase.BURY,
        Phase.COOL_DOWN,
        Phase.DONE,
    }
)
"""Heated, cold, moved by hand, or judged elsewhere (`session/cooling.py`)."""

_PEENED = frozenset({Phase.PEEN, Phase.LOOK})


def raised(state: State, old: Track, new: Track, t_s: float, *, marked: bool) -> Doubt | None:
    """Return the doubt that a step in the last two seconds raises, or None.

    `marked`: the line says its unit itself.
    """
    if new.at_s != t_s or new.value_c is None or not new.earlier:
        return None
    back_s = looks_back_s(state.sensor.period_s)
    value_c, (low, high) = new.value_c, _span(new, t_s, back_s)
    fell, rose = high - value_c, value_c - low
    if max(fell, rose) <= KNOCKED_OFF_DC:
        return None
    if not marked and (doubt := _switched(state, old, new, t_s)):
        return doubt
    if state.phase in _NOWHERE_ODD or _just_heated(state, t_s) or not _stays(state, new):
        return None
    if fell > KNOCKED_OFF_DC and _after_blows(state, t_s):
        return _doubt(CueKind.PROBE_OFF, "fell from {was_c} to {now_c} after the blows", high, new)
    jump_dc = _jump_dc(state, old)
    if fell > jump_dc:
        return _doubt(CueKind.JUMPED, "fell from {was_c} to {now_c} at once", high, new)
    if rose > jump_dc:
        return _doubt(CueKind.JUMPED, "rose from {was_c} to {now_c} at once", low, new)
    return None


def _span(track: Track, t_s: float, back_s: float = STEP_WITHIN_S) -> tuple[float, float]:
    temps = [c for at_s, c in track.earlier if t_s - at_s <= back_s + 1e-9]
    return (min(temps), max(temps)) if temps else (track.value_c or 0.0, track.value_c or 0.0)


def still_moving(track: Track, t_s: float) -> bool:
    """True while the value is in the middle of a step or a fast fall."""
    low, high = _span(track, t_s)
    return high - low > KNOCKED_OFF_DC


def _jump_dc(state: State, track: Track) -> float:
    if state.sensor.period_s < COARSE_S or not says_the_same(track):
        return JUMP_DC
    span_dc = state.job.band.ceiling_c - state.job.cooldown.ambient_c
    return max(JUMP_DC, COARSE_SHARE * span_dc)


def says_the_same(track: Track) -> bool:
    """True for a source that mostly repeats its last value, or has said too little to tell."""
    repeats = track.repeats
    if repeats is None:
        return True
    return repeats.seen < LEAST_SEEN or repeats.repeated >= SAME_AGAIN_SHARE * repeats.seen


def _just_heated(state: State, t_s: float) -> bool:
    """True so soon after a flame that it may still be what is seen."""
    heated_s = state.work.heated_s
    gone_s = FLAME_GONE_S - STEP_WITHIN_S + looks_back_s(state.sensor.period_s)
    return heated_s is not None and t_s - heated_s < gone_s


def _stays(state: State, track: Track) -> bool:
    """True where the step isn't two spikes of a slow source."""
    if state.sensor.period_s < COARSE_S or track.value_c is None:
        return True
    return all(abs(c - track.value_c) <= AGREE_DC for c in track.window)


def _after_blows(state: State, t_s: float) -> bool:
    if state.phase in _PEENED:
        return True
    peened_s = state.work.peened_s
    return peened_s is not None and t_s - peened_s <= KNOCKED_OFF_S


def _doubt(kind: CueKind, because: str, was_c: float, track: Track) -> Doubt:
    assert track.value_c is not None
    assert track.at_s is not None
    values = {"was_c": round(was_c, 1), "now_c": round(track.value_c, 1)}
    clean_s = None if kind is CueKind.WHICH_UNIT else track.at_s
    return Doubt(kind, track.at_s, because, values, was_c=was_c, clean_s=clean_s)


def _switched(state: State, old: Track, new: Track, t_s: float) -> Doubt | None:
    """Return the doubt that a meter was switched from °C to °F, or the other way round.

    Between two neighbouring values: a flame takes longer to get there.
    """
    if old.value_c is None or old.at_s is None or state.phase is Phase.DONE:
        return None
    if t_s - old.at_s > STEP_WITHIN_S or new.value_c is None or state.cold_yet:
        return None
    if abs(new.value_c - old.value_c) <= UNIT_STEP_DC or still_moving(old, t_s):
        return None
    # The median just before and after a step is the outermost value of its side: take the sides'.
    sides: tuple[list[float], list[float]] = ([], [])
    for c in new.window:
        sides[abs(c - new.value_c) <= abs(c - old.value_c)].append(c)
    was_c = statistics.median_low(sides[0]) if sides[0] else old.value_c
    now_c = statistics.median_low(sides[1])
    if abs(now_c - (1.8 * was_c + 32.0)) <= UNIT_FITS_DC:
        because = "from {was_c} to {now_c}: as if it now sent °F"
    elif abs(now_c - (was_c - 32.0) / 1.8) <= UNIT_FITS_DC:
        because = "from {was_c} to {now_c}: as if °F had turned to °C"
    else:
        return None
    return _doubt(CueKind.WHICH_UNIT, because, was_c, new)


def over(track: Track, doubt: Doubt) -> bool:
    """True once the value is back where it was before the step."""
    if track.value_c is None or doubt.was_c is None:
        return False
    return abs(track.value_c - doubt.was_c) <= BACK_DC


def is_back(track: Track) -> bool:
    """True where a reading taken by default is again what it was before."""
    if track.taken_c is None or track.value_c is None:
        return False
    return abs(track.value_c - track.taken_c) <= BACK_DC


def gone_back(track: Track, t_s: float) -> bool:
    """True where it has just stepped back: no new step."""
    return track.at_s == t_s and is_back(track) and still_moving(track, t_s)


def falls_back(state: State, now: Believed | None) -> bool:
    """True while a value that reached a target may be a flame's that licks the probe.

    It has come too fast a moment ago, or the newest values are far below it: the median
    still has the lick when it is over.
    """
    control = state.control
    if now is None or now.typed or control is None or len(control.window) < 3:
        return False
    newest = control.window[-2:] if len(control.window) > 3 else control.window[-1:]
    if all(now.temp_c - c > AGREE_DC for c in newest):
        return True
    low, _ = _span(control, now.at_s)
    return now.temp_c - low > FAST_DC_S * STEP_WITHIN_S and not says_the_same(control)


def clean_s(track: Track, doubt: Doubt) -> float:
    """Return how long a value must stay clean before it is taken by default, s."""
    if track.value_c is None or doubt.was_c is None or doubt.was_c - track.value_c <= JUMP_DC:
        return CLEAN_S
    return CLEAN_DEEP_S


def only_an_answer_ends(state: State, track: Track, doubt: Doubt) -> bool:
    """True for a fall so deep that no part made it."""
    if track.value_c is None or doubt.was_c is None:
        return True
    excess_dc = doubt.was_c - state.job.cooldown.ambient_c
    return doubt.was_c - track.value_c > MOST_SHARE * max(excess_dc, 0.0)
