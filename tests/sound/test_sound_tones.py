"""The samples: in the band, bounded, without clicks, and in the rhythm of the table."""

from __future__ import annotations

import io
import wave
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from pacer.session.cues import Urgency
from pacer.sound.mixer import Mixer
from pacer.sound.patterns import PATTERNS, Pattern, sounding_s
from pacer.sound.tones import EDGE_S, RATE_HZ, partials_hz, samples, wav

each = pytest.mark.parametrize("pattern", PATTERNS.values(), ids=PATTERNS)


def _share(sound: NDArray[np.float64], low_hz: float, high_hz: float) -> float:
    """Return the share of the energy between two frequencies."""
    power = np.abs(np.fft.rfft(sound)) ** 2
    hz = np.fft.rfftfreq(len(sound), 1 / RATE_HZ)
    return float(power[(hz >= low_hz) & (hz <= high_hz)].sum() / power.sum())


def _edges_s(sound: NDArray[np.float64]) -> list[float]:
    """Return the times at which the envelope passes half its height, s: on, off, on, off ..."""
    window = RATE_HZ // 400
    blocks = np.abs(sound[: len(sound) // window * window]).reshape(-1, window)
    loud = np.concatenate([[False], blocks.max(axis=1) > 0.5 * np.abs(sound).max(), [False]])
    return [float(at) * window / RATE_HZ for at in np.flatnonzero(loud[1:] != loud[:-1])]


@each
def test_the_energy_lies_where_ears_and_small_loudspeakers_are_best(pattern: Pattern) -> None:
    """IEC 60601-1-8, seen: 500-3000 Hz preferred."""
    assert _share(samples(pattern).astype(float), 500, 3000) >= 0.99


@each
def test_partials_that_sound_together_are_apart(pattern: Pattern) -> None:
    """NUREG-0700, seen: at least 20 % in frequency; here with one harmonic at least."""
    for beat in pattern.beats:
        hz = partials_hz(beat.pitch_hz)
        assert len(hz) >= 2
        assert all(high / low >= 1.2 for low, high in pairwise(hz))


@each
@pytest.mark.parametrize("urgency", Urgency)
def test_no_urgency_is_louder(pattern: Pattern, urgency: Urgency) -> None:
    """The peak is 0.9 of full scale for all, so the level is the user's own choice."""
    sound = samples(pattern, urgency)
    assert np.abs(sound).max() == round(0.9 * 32767)
    assert len(sound) / RATE_HZ == pytest.approx(sounding_s(pattern, urgency), abs=1e-3)


@each
def test_edges_do_not_click(pattern: Pattern) -> None:
    """A pulse cut off hard has hundreds of times the energy above 4 kHz."""
    soft = samples(pattern).astype(float)
    cut = soft[: round(pattern.beats[0].on_s / 2 * RATE_HZ) + 7]
    hard = np.concatenate([cut, np.zeros(len(soft) - len(cut))])
    assert _share(soft, 4000, RATE_HZ / 2) < 1e-8
    assert _share(hard, 4000, RATE_HZ / 2) > 1e-6


@each
@pytest.mark.parametrize("urgency", Urgency)
def test_the_rhythm_heard_is_the_rhythm_of_the_table(pattern: Pattern, urgency: Urgency) -> None:
    """Found again in the envelope, to within an edge of 10 ms."""
    gap_s = {Urgency.STEP: 0.0, Urgency.WARN: 0.8, Urgency.FAULT: 0.4}[urgency]
    times = {Urgency.STEP: 1, Urgency.WARN: 2, Urgency.FAULT: 4}[urgency]
    expected, at_s = [], 0.0
    for _ in range(times):
        for beat in pattern.beats:
            expected += [at_s, at_s + beat.on_s]
            at_s += beat.on_s + beat.off_s
        at_s += gap_s
    assert _edges_s(samples(pattern, urgency).astype(float)) == pytest.approx(expected, abs=EDGE_S)


def test_a_wav_file_holds_the_samples() -> None:
    """Read back by the standard library."""
    sound = samples(PATTERNS["stop"])
    with wave.open(io.BytesIO(wav(sound))) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, RATE_HZ)
        assert np.array_equal(np.frombuffer(file.readframes(10**6), dtype="<i2"), sound)


def test_a_mixer_plays_a_sound_once_and_then_is_silent() -> None:
    """Whatever the size of the pieces it is asked for."""
    sound = samples(PATTERNS["finish"])
    mixer = Mixer()
    assert not mixer.frames(100).any()
    mixer.play(sound)
    parts = [mixer.frames(count) for count in (1, 479, 4800, 0, 48_000, 960)]
    heard = np.concatenate(parts)
    assert np.array_equal(heard[: len(sound)], sound)
    assert not heard[len(sound) :].any()
    assert mixer.fed == 100 + len(heard)


def test_a_new_sound_takes_the_place_of_the_old_one_without_a_click() -> None:
    """Never two at once: after the edge only the new one is there; the edge is soft."""
    old, new = samples(PATTERNS["wait"]), samples(PATTERNS["stop"])
    mixer = Mixer()
    mixer.play(old)
    before = mixer.frames(4801)
    mixer.play(new)
    heard = mixer.frames(len(new) + 480)
    assert np.array_equal(heard[480:], new)
    whole = np.concatenate([before, heard[:480], np.zeros(9600)]).astype(float)
    # The start of the old sound has its own edge, so what is left is the cut's.
    assert _share(whole, 4000, RATE_HZ / 2) < 1e-6
    mixer.play(old)
    mixer.frames(4801)
    mixer.hush()
    assert mixer.frames(480).any()
    assert not mixer.frames(48_000).any()
