"""Steps that no part makes: JUMPED, PROBE ON?, and a meter switched to another unit.

Iron of some kilograms moves by a few kelvin a second at most, and only under a flame. Where
one is meant to burn a step is nothing strange: it may lie on the probe.
"""

from __future__ import annotations

import statistics

from pacer.session.celsius import MARKS, OTHERS, read_as, sent_as
from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt
from pacer.session.guard.stuck import LEAST_SEEN
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

COOLED_S = 60.0
"""Later the part itself may have cooled to what it read before. Judgement."""

CLEAN_S = 10.0
"""After so long without anything odd a value has proved itself (reliability.md section 4,
SUSPECT); nobody asked then, for the welder may be away."""

CLEAN_DEEP_S = 30.0
"""After a step that no part makes the question stands for so long: taken by default a fall may call
for a reheat of a part that is hotter than it reads. Judgement."""

MOST_SHARE = 0.5
"""A fall by more of the way to the room's temperature than this never proves itself: no part
falls so. Judgement."""

UNIT_FITS_DC = 2.0
UNIT_STEP_DC = 25.0
"""A step that fits °C to °F or K, or back, so well, and is larger than this (reliability.md T-27)."""

SWITCHED_DC = 12.0
"""A switch is over between two lines; the flame's values go on rising. Judgement."""

MOVES_DC, ARC_MOVES_DC = 1.5, 4.0
"""So much of the misfit at most is the part's own movement in a second of heating, or during an arc.
Judgement: with more a flame that licks the probe was taken for °F."""

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


def raised(state: State, old: Track, new: Track, t_s: float) -> Doubt | None:
    """Return the doubt that a step in the last two seconds raises, or None."""
    if new.at_s != t_s or new.value_c is None or not new.earlier:
        return None
    value_c = new.value_c
    low, high = span_c(new, t_s, looks_back_s(state.sensor.period_s))
    fell, rose = high - value_c, value_c - low
    if max(fell, rose) <= KNOCKED_OFF_DC:
        return None
    if not new.marked and (doubt := _switched(state, old, new, t_s)):
        return doubt
    was_c = high if fell >= rose else low
    if _nowhere_odd(state, fell, value_c) or _just_heated(state, t_s):
        return None
    if not _stays(state, new, was_c):
        return None
    if fell > KNOCKED_OFF_DC and _after_blows(state, t_s):
        return stepped(CueKind.PROBE_OFF, "fell from {was_c} to {now_c} after the blows", high, new)
    jump_dc = _jump_dc(state, old)
    if fell > jump_dc:
        return stepped(CueKind.JUMPED, "fell from {was_c} to {now_c} at once", high, new)
    if rose > jump_dc:
        return stepped(CueKind.JUMPED, "rose from {was_c} to {now_c} at once", low, new)
    return None


def stands_still(track: Track) -> bool:
    """True if the medians of the last seconds all lie near the present one: no step to ask about.

    Asked of every value of every channel: most lines end here.
    """
    value_c = track.value_c
    if value_c is None:
        return True
    for _, c in track.earlier:  # noqa: SIM110 - a generator costs three times as much
        if not -KNOCKED_OFF_DC <= c - value_c <= KNOCKED_OFF_DC:
            return False
    return True


def span_c(track: Track, t_s: float, back_s: float = STEP_WITHIN_S) -> tuple[float, float]:
    """Return lowest and highest median of the last seconds, °C."""
    temps = [c for at_s, c in track.earlier if t_s - at_s <= back_s + 1e-9]
    return (min(temps), max(temps)) if temps else (track.value_c or 0.0, track.value_c or 0.0)


def still_moving(track: Track, t_s: float) -> bool:
    """True while the value is in the middle of a step or a fast fall."""
    low, high = span_c(track, t_s)
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


def _nowhere_odd(state: State, fell_dc: float, value_c: float) -> bool:
    """True where a flame, a hand or a cover may have made the step.

    Not while a post-heat holds: there a flame may lick the probe, but no lick ends under the floor.
    """
    if state.phase is Phase.POST_HEAT and state.work.since_s is not None and fell_dc > 0.0:
        floor_c = state.job.band.floor_c
        return floor_c is None or value_c >= floor_c
    return state.phase in _NOWHERE_ODD


def _stays(state: State, track: Track, was_c: float) -> bool:
    """True where the step isn't two spikes of a slow source: it stays, or goes on one way."""
    if state.sensor.period_s < COARSE_S or track.value_c is None:
        return True
    window = list(track.window)
    if all(abs(c - track.value_c) <= AGREE_DC for c in window):
        return True
    one_way = sorted(window, reverse=track.value_c < was_c) == window
    return one_way and abs(window[0] - was_c) > AGREE_DC and not says_the_same(track)


def _after_blows(state: State, t_s: float) -> bool:
    work = state.work
    if work.phase is Phase.PEEN or (work.phase is Phase.LOOK and not work.unpeened):
        return True
    return work.peened_s is not None and t_s - work.peened_s <= KNOCKED_OFF_S


def stepped(kind: CueKind, because: str, was_c: float, track: Track) -> Doubt:
    """Return the doubt about a step from `was_c` to what the track reads now."""
    assert track.value_c is not None
    assert track.at_s is not None
    values = {"was_c": round(was_c, 1), "now_c": round(track.value_c, 1)}
    clean_s = None if kind is CueKind.WHICH_UNIT else track.at_s
    return Doubt(kind, track.at_s, because, values, was_c=was_c, clean_s=clean_s)


def _switched(state: State, old: Track, new: Track, t_s: float) -> Doubt | None:
    """Return the doubt that a meter was switched from °C to °F or K, or back.

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
    if max(_width_dc(sides[0]), _width_dc(sides[1])) > SWITCHED_DC:
        return None
    was_c = statistics.median_low(sides[0]) if sides[0] else old.value_c
    now_c = statistics.median_low(sides[1])
    # And the part has moved on meanwhile, between two lines or during an arc.
    low, high = span_c(old, old.at_s)
    moved_dc = ARC_MOVES_DC if old.arc is not None else min(MOVES_DC, (high - low) / 2.0)
    because = _another_unit(was_c, now_c, moved_dc)
    return stepped(CueKind.WHICH_UNIT, because, was_c, new) if because else None


def _width_dc(side: list[float]) -> float:
    """Return how wide the values lie, K; the outermost of many may be spikes."""
    ordered = sorted(side)[1:-1] if len(side) > 3 else side
    return max(ordered) - min(ordered) if ordered else 0.0


def _another_unit(was_c: float, now_c: float, moved_dc: float) -> str:
    """Return what would explain the step by a meter's switch, or nothing."""
    for unit, name in OTHERS.items():
        # The part's own movement came in that unit's degrees.
        if abs(now_c - sent_as(unit, was_c)) <= UNIT_FITS_DC + moved_dc / MARKS[unit][0]:
            return f"from {{was_c}} to {{now_c}}: as if it now sent {name}"
        if abs(now_c - read_as(unit, was_c)) <= UNIT_FITS_DC + moved_dc:
            return f"from {{was_c}} to {{now_c}}: as if {name} had turned to °C"
    return ""


def over(track: Track, doubt: Doubt, t_s: float) -> bool:
    """True once the value is back where it was before the step.

    A part that cools brings a number that is too high there, too: that is no way back.
    """
    if track.value_c is None or doubt.was_c is None:
        return False
    if abs(track.value_c - doubt.was_c) > BACK_DC:
        return False
    rose = doubt.values.get("now_c", doubt.was_c) > doubt.was_c
    return not rose or t_s - doubt.since_s < COOLED_S or still_moving(track, t_s)


def is_back(state: State, track: Track) -> bool:
    """True where a reading taken for right is again what it was before.

    Not where that was near the room's: put on a hot part a probe jumps, and comes off it again.
    """
    if track.taken_c is None or track.value_c is None:
        return False
    floor_c, room_c = state.job.band.floor_c, state.job.cooldown.ambient_c
    if floor_c is not None and track.taken_c - room_c < MOST_SHARE * (floor_c - room_c):
        return False
    return abs(track.value_c - track.taken_c) <= BACK_DC


def gone_back(state: State, track: Track, t_s: float) -> bool:
    """True where it has just stepped back: no new step."""
    return track.at_s == t_s and is_back(state, track) and still_moving(track, t_s)


def falls_back(state: State, now: Believed | None) -> bool:
    """True while a value that reached a target may be a flame's that licks the probe.

    It has come too fast a moment ago, falls already, or the newest values are far below it:
    the median still has the lick when it is over.
    """
    control = state.control
    if now is None or now.typed or control is None or len(control.window) < 3:
        return False
    newest = control.window[-2:] if len(control.window) > 3 else control.window[-1:]
    if all(now.temp_c - c > AGREE_DC for c in newest):
        return True
    low, high = span_c(control, now.at_s)
    moves = now.temp_c - low > FAST_DC_S * STEP_WITHIN_S or high - now.temp_c > BACK_DC
    return moves and not says_the_same(control)


def clean_s(track: Track, doubt: Doubt) -> float:
    """Return how long a value must stay clean before it is taken by default, s."""
    if track.value_c is None or doubt.was_c is None:
        return CLEAN_S
    return CLEAN_DEEP_S if abs(doubt.was_c - track.value_c) > JUMP_DC else CLEAN_S


def only_an_answer_ends(state: State, track: Track, doubt: Doubt) -> bool:
    """True for a fall so deep that no part made it, or under a cover; for a rise over the floor."""
    if track.value_c is None or doubt.was_c is None:
        return True
    if state.phase is Phase.COOL_DOWN and track.value_c < doubt.was_c:
        # Nobody stands by a covered part, and the end of the cool-down hangs on it.
        return True
    floor_c = state.job.band.floor_c
    if floor_c is not None and doubt.was_c < floor_c <= track.value_c:
        # Taken by default it would call a bead on a part that may be cold.
        return True
    excess_dc = doubt.was_c - state.job.cooldown.ambient_c
    return doubt.was_c - track.value_c > MOST_SHARE * max(excess_dc, 0.0)
