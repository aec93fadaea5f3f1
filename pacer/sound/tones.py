"""A pattern as samples: 16-bit, mono, 48 kHz. Pure.

Each pulse is a fundamental with those of its harmonics that lie below 2950 Hz, so that all of
it is inside 500-3000 Hz (`patterns.py` has the source) and partials that sound together are
far more than 20 % apart (NUREG-0700, seen). Pulses begin and end in a raised cosine of 10 ms:
a hard edge clicks, and a click is heard where no cue is.
"""

from __future__ import annotations

import io
import wave

import numpy as np
from numpy.typing import NDArray

from pacer.session.cues import Urgency
from pacer.sound.patterns import Beat, Pattern, repeats

Samples = NDArray[np.int16]

RATE_HZ = 48_000
EDGE_S = 0.010
PEAK = 0.9
"""Of full scale, at every urgency."""

_HIGHEST_HZ = 2950.0
_WEIGHTS = (1.0, 0.8, 0.6)


def partials_hz(pitch_hz: float) -> tuple[float, ...]:
    """Return the fundamental and its harmonics inside the band, Hz."""
    all_hz = (pitch_hz * n for n in range(1, len(_WEIGHTS) + 1))
    return tuple(hz for hz in all_hz if hz <= _HIGHEST_HZ)


def samples(pattern: Pattern, urgency: Urgency = Urgency.STEP) -> Samples:
    """Return a pattern with the repeats of its urgency, as int16 at `RATE_HZ`."""
    times, gap_s = repeats(urgency)
    once = np.concatenate([_beat(beat) for beat in pattern.beats])
    gap = np.zeros(round(gap_s * RATE_HZ))
    rounds = [once] + [part for _ in range(times - 1) for part in (gap, once)]
    wave_ = np.concatenate(rounds)
    full = PEAK * np.iinfo(np.int16).max / float(np.abs(wave_).max())
    out: Samples = np.round(wave_ * full).astype(np.int16)
    return out


def falling_edge() -> NDArray[np.float64]:
    """Return the raised cosine from 1 to 0 over `EDGE_S`."""
    count = round(EDGE_S * RATE_HZ)
    return 0.5 + 0.5 * np.cos(np.pi * (np.arange(count) + 0.5) / count)


def wav(sound: Samples) -> bytes:
    """Return the samples as a WAV file."""
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes(sound.astype("<i2").tobytes())
    return out.getvalue()


def _beat(beat: Beat) -> NDArray[np.float64]:
    t_s = np.arange(round(beat.on_s * RATE_HZ)) / RATE_HZ
    pulse = np.zeros(len(t_s))
    for weight, hz in zip(_WEIGHTS, partials_hz(beat.pitch_hz), strict=False):
        pulse += weight * np.sin(2 * np.pi * hz * t_s)
    edge = falling_edge()
    pulse[-len(edge) :] *= edge
    pulse[: len(edge)] *= edge[::-1]
    return np.concatenate([pulse, np.zeros(round(beat.off_s * RATE_HZ))])
