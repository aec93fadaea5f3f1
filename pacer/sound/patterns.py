"""The seven sounds: what each means, its rhythm, and which cue has which. Pure.

They are told apart by rhythm first and pitch second: behind ear defenders a pitch is lost
sooner than a rhythm. So no two may have the same rhythm, not even at another speed.
Urgency is how often a sound is repeated, never how loud it is or how fast its own beats go.

Sources, as kept with the trade's facts: NUREG-0700 rev. 2, 4.2.6.3-16, seen (1-8 pulses a
second; the same rhythm at another speed is confusable); IEC 60601-1-8, a national adoption
seen (band 500-3000 Hz preferred, urgency rises with repetition). What a rhythm shall stand
for is our own. These are prompts, not danger signals: no conformity is claimed. Three equal
pulses are left out, they are the evacuation signal of ISO 8201 (from memory).
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.session.cues import CueKind, Urgency


class Beat(NamedTuple):
    """One pulse and the silence after it."""

    on_s: float
    off_s: float
    pitch_hz: float
    "The fundamental; its harmonics follow in `tones.py`."


class Pattern(NamedTuple):
    """One of the seven sounds; the last beat's silence is 0."""

    name: str
    meaning: str
    beats: tuple[Beat, ...]

    @property
    def length_s(self) -> float:
        """From the first onset to the last end, s."""
        return sum(beat.on_s + beat.off_s for beat in self.beats)


class Repeats(NamedTuple):
    """How often a pattern is played for one cue, and the silence between."""

    times: int
    gap_s: float


def _pattern(name: str, pitch_hz: float, meaning: str, *rhythm: tuple[float, float]) -> Pattern:
    return Pattern(name, meaning, tuple(Beat(on_s, off_s, pitch_hz) for on_s, off_s in rhythm))


# FINISH and STOP are the two told while the arc burns: two slow pips say "soon", a burst "now".
# One pitch throughout each: a changing pitch would sound like more danger (D.Lgs. 493/96, seen).
PATTERNS: dict[str, Pattern] = {
    pattern.name: pattern
    for pattern in (
        _pattern(
            "ready",
            950,
            "your turn: the next step, when you are",
            (0.12, 0.10),
            (0.12, 0.30),
            (0.60, 0),
        ),
        _pattern("finish", 1200, "soon: fill the crater", (0.15, 0.55), (0.15, 0)),
        _pattern("stop", 1450, "now: stop the arc", *[(0.08, 0.08)] * 5, (0.08, 0)),
        _pattern(
            "peen",
            1300,
            "peen at once",
            *[(0.10, 0.08), (0.10, 0.25)] * 2,
            (0.10, 0.08),
            (0.10, 0),
        ),
        _pattern("reheat", 1100, "bring heat to the part", (0.15, 0.25), (0.50, 0.25), (0.15, 0)),
        _pattern("wait", 800, "wait: heat away, leave it alone", (1.20, 0)),
        _pattern(
            "look",
            880,
            "look: at the part, or at the screen",
            (0.50, 0.25),
            (0.12, 0.12),
            (0.12, 0),
        ),
    )
}

_OF: dict[CueKind, str] = {
    CueKind.PREPARE: "ready",
    CueKind.TACK: "ready",
    CueKind.PREHEAT: "reheat",
    CueKind.SOAK: "wait",
    CueKind.LOOK_AT_TACKS: "look",
    CueKind.READY: "ready",
    CueKind.ALL_LAID: "ready",
    CueKind.FINISH: "finish",
    CueKind.STOP: "stop",
    CueKind.ARC_LOST: "look",
    CueKind.SHORT_BEAD: "look",
    CueKind.PEEN: "peen",
    CueKind.LOOK_AT_BEAD: "look",
    CueKind.LOOK_UNPEENED: "look",
    CueKind.PAUSED: "wait",
    CueKind.LEAVE_IT: "wait",
    CueKind.WAIT: "wait",
    CueKind.SETTLING: "wait",
    CueKind.REHEAT: "reheat",
    CueKind.PUT_BACK: "reheat",
    CueKind.HOLD: "wait",
    CueKind.LOOK_FOR_CRACKS: "look",
    CueKind.TYPE_A_READING: "look",
    CueKind.POST_HEAT: "reheat",
    CueKind.BURY: "ready",
    CueKind.COVERED: "wait",
    CueKind.UNCOVER: "ready",
    CueKind.DONE: "ready",
    CueKind.GAP: "look",
    CueKind.UNTIMED_GAP: "look",
    CueKind.CANNOT: "look",
    CueKind.READING_BACK: "look",
    CueKind.TOO_HOT: "wait",
    CueKind.TOO_COLD: "reheat",
    CueKind.UNCOVERED_EARLY: "look",
    CueKind.COOLING_FAST: "look",
    CueKind.COOLING_SLOWLY: "look",
    CueKind.PROBE_MOVED: "look",
    CueKind.NOISY: "look",
    CueKind.ARC_IN_READING: "look",
    CueKind.STUCK: "look",
    CueKind.WHICH_UNIT: "look",
    CueKind.PROBE_OFF: "look",
    CueKind.JUMPED: "look",
    CueKind.REVERSED: "look",
    CueKind.WIRE_TYPE: "look",
    CueKind.APART: "look",
    CueKind.NO_READING: "look",
    CueKind.LOG_MOVED: "look",
    CueKind.LOG_NOT_SAVED: "look",
}

# Four rounds above two above one: IEC 60601-1-8 as above. Never three rounds.
_REPEATS = {
    Urgency.STEP: Repeats(1, 0.0),
    Urgency.WARN: Repeats(2, 0.8),
    Urgency.FAULT: Repeats(4, 0.4),
}

_MARK_S = 0.1


def pattern_of(kind: CueKind) -> Pattern:
    """Return the sound of a cue."""
    return PATTERNS[_OF[kind]]


def rhythm(kind: CueKind) -> tuple[tuple[float, float], ...]:
    """Return (on, off) of each beat of a cue in s, once through; the last off is 0."""
    return tuple((beat.on_s, beat.off_s) for beat in pattern_of(kind).beats)


def repeats(urgency: Urgency) -> Repeats:
    """Return how often a cue of this urgency is played each time it is told."""
    return _REPEATS[urgency]


def sounding_s(pattern: Pattern, urgency: Urgency) -> float:
    """Return how long a pattern takes with all its repeats, s."""
    times, gap_s = repeats(urgency)
    return times * pattern.length_s + (times - 1) * gap_s


def drawing(pattern: Pattern) -> str:
    """Return the rhythm in marks of a tenth of a second, such as `- -   ------`."""
    marks = ""
    for beat in pattern.beats:
        marks += "-" * max(1, round(beat.on_s / _MARK_S))
        marks += " " * (max(1, round(beat.off_s / _MARK_S)) if beat.off_s else 0)
    return marks
