"""The seven patterns: every cue has one, and no two can be taken for each other."""

from __future__ import annotations

from importlib.resources import files
from itertools import combinations, pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from pacer.session.cues import CueKind, Urgency
from pacer.sound.patterns import (
    PATTERNS,
    Pattern,
    drawing,
    pattern_of,
    repeats,
    rhythm,
    sounding_s,
)
from pacer.sound.speech import WORDS

Rhythm = tuple[tuple[float, float], ...]

APART = 0.25
"""The least share of the time in which one rhythm sounds and another is silent. Our own figure."""


def _beats(pattern: Pattern) -> Rhythm:
    return tuple((beat.on_s, beat.off_s) for beat in pattern.beats)


def _faster(beats: Rhythm, by: float) -> Rhythm:
    return tuple((on_s / by, off_s / by) for on_s, off_s in beats)


def _length_s(beats: Rhythm) -> float:
    return sum(on_s + off_s for on_s, off_s in beats)


def _sounding(beats: Rhythm, over_s: float) -> NDArray[np.bool_]:
    at_s = (np.arange(2000) + 0.5) / 2000 * over_s
    sounding = np.zeros(2000, dtype=bool)
    begin_s = 0.0
    for on_s, off_s in beats:
        sounding |= (begin_s <= at_s) & (at_s < begin_s + on_s)
        begin_s += on_s + off_s
    return sounding


def apart(one: Rhythm, other: Rhythm) -> float:
    """Return the share of time in which they differ, begun together."""
    over_s = max(_length_s(one), _length_s(other))
    return float(np.mean(_sounding(one, over_s) ^ _sounding(other, over_s)))


def test_every_cue_has_a_pattern_and_words() -> None:
    """Total over the kinds; all seven are used."""
    assert {pattern_of(kind).name for kind in CueKind} == set(PATTERNS)
    assert len(PATTERNS) == 7
    assert set(WORDS) == set(CueKind)


def test_the_words_are_one_to_three_and_hold_nothing_but_letters() -> None:
    """They become part of a command: nothing in them may mean something there."""
    for words in WORDS.values():
        assert 1 <= len(words.split()) <= 3
        assert words.replace(" ", "").isalpha()
        assert words.isascii()
        assert not {"safe", "sound", "good"} & set(words.split())


@pytest.mark.parametrize(("one", "other"), list(combinations(PATTERNS, 2)))
def test_no_two_rhythms_are_alike_at_any_speed(one: str, other: str) -> None:
    """NUREG-0700 4.2.6.3-16: the same rhythm at another speed is confusable.

    Compared as they are and at half and double speed, and stretched to the same length.
    """
    a, b = _beats(PATTERNS[one]), _beats(PATTERNS[other])
    for by in (0.5, 1.0, 2.0, _length_s(b) / _length_s(a)):
        assert apart(a, _faster(b, by)) >= APART, by


def test_the_measure_of_likeness_sees_through_speed() -> None:
    """The test above can fail: a rhythm at double speed, stretched, is the same rhythm."""
    peen = _beats(PATTERNS["peen"])
    double = _faster(peen, 2.0)
    assert apart(peen, double) > APART
    assert apart(peen, _faster(double, _length_s(double) / _length_s(peen))) == 0.0


@pytest.mark.parametrize("pattern", PATTERNS.values(), ids=PATTERNS)
def test_a_pattern_keeps_to_what_the_ear_can_follow(pattern: Pattern) -> None:
    """At most 2 s; 1-8 pulses a second (NUREG-0700); fundamentals 0.8-3 kHz, one a pattern."""
    assert 0.5 <= pattern.length_s <= 2.0
    assert pattern.beats[-1].off_s == 0.0
    for beat, _ in pairwise(pattern.beats):
        assert 1.0 <= 1 / (beat.on_s + beat.off_s) <= 8.0
    assert {800 <= beat.pitch_hz <= 3000 for beat in pattern.beats} == {True}
    assert len({beat.pitch_hz for beat in pattern.beats}) == 1, "a sweep is for danger"


@pytest.mark.parametrize("pattern", PATTERNS.values(), ids=PATTERNS)
@pytest.mark.parametrize("urgency", Urgency)
def test_no_sound_is_the_evacuation_signal(pattern: Pattern, urgency: Urgency) -> None:
    """ISO 8201, from memory: three equal pulses, then a longer pause; here never three alike."""
    times = repeats(urgency).times
    groups = len(pattern.beats), times
    equal_pulses = len({beat.on_s for beat in pattern.beats}) == 1
    assert not (equal_pulses and groups[0] == 3)
    assert not (groups[0] == 1 and times == 3)


def test_urgency_is_repetition() -> None:
    """IEC 60601-1-8: more and closer rounds are more urgent."""
    step, warn, fault = (repeats(urgency) for urgency in Urgency)
    assert step.times == 1
    assert step.times < warn.times < fault.times
    assert warn.gap_s > fault.gap_s > 0
    look = PATTERNS["look"]
    assert sounding_s(look, Urgency.STEP) == pytest.approx(1.11)
    assert sounding_s(look, Urgency.FAULT) == pytest.approx(4 * 1.11 + 3 * 0.4)


def test_finish_is_slow_and_stop_is_fast() -> None:
    """The two while the arc burns: "soon" has the slowest pulses of all, "now" the fastest."""
    pulses = {
        name: (len(pattern.beats) - 1) / (pattern.length_s - pattern.beats[-1].on_s)
        for name, pattern in PATTERNS.items()
        if len(pattern.beats) > 1
    }
    assert min(pulses, key=lambda name: pulses[name]) == "finish"
    assert max(pulses, key=lambda name: pulses[name]) == "stop"
    assert pulses["stop"] > 4 * pulses["finish"]


def test_a_lamp_gets_the_rhythm_of_the_cue() -> None:
    """What `lamp.py` plays is what is heard."""
    assert rhythm(CueKind.FINISH) == ((0.15, 0.55), (0.15, 0.0))
    assert drawing(pattern_of(CueKind.READY)) == "- -   ------"
    assert len({drawing(pattern) for pattern in PATTERNS.values()}) == 7


def test_the_guide_draws_and_names_what_is_played() -> None:
    """A row of the guide's table for each of the seven, as it is."""
    guide = (files("pacer.guide") / "sounds.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1:4] for line in guide.splitlines() if line.startswith("| ")]
    drawn = {row[0].strip(): row[1].strip().strip("`") for row in rows[1:]}
    assert drawn == {name: drawing(pattern) for name, pattern in PATTERNS.items()}
