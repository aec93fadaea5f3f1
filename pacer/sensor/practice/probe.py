"""The thermocouple on the part: it lags, it is noisy, and the arc gets into it.

Lag 3 s as the shared notes on heat use it; noise some 0.5 °C, steps of 0.25 °C. Bursts at
each arc start and single spikes while it burns are invented in kind and size: no recording
of a real arc start was at hand.
"""

from __future__ import annotations

import math

from pacer.sensor.practice.truth import normal, stream

LAG_S = 3.0
_NOISE_DC = 0.45
_STEP_DC = 0.25
_GAIN_SD = 0.003
"A class 2 type K is allowed 0.75 % (IEC 60584, from memory)."
_SINGLES = 0.03
"Share of readings that an established arc throws off."
_READS_C = (-200.0, 1372.0)
"Type K (IEC 60584, from memory)."


class Probe:
    """What the instrument shows of a true temperature."""

    def __init__(self, seed: int, start_c: float) -> None:
        self._chance = stream(seed, "probe")
        self._gain = normal(self._chance, 1.0, _GAIN_SD)
        self._lagged_c = start_c
        self._burst = 0

    def follow(self, true_c: float, step_s: float) -> None:
        """Let the probe come nearer to a temperature that held for `step_s`."""
        self._lagged_c += (true_c - self._lagged_c) * -math.expm1(-step_s / LAG_S)

    def arc_started(self) -> None:
        """Disturb the next readings: under a second of them at 4 Hz."""
        self._burst = self._chance.randint(1, 3)

    def shown_c(self, *, arc: bool) -> float:
        """Return the next reading, °C."""
        shown = self._lagged_c * self._gain + self._chance.gauss(0.0, _NOISE_DC)
        disturbed = self._burst > 0 or (arc and self._chance.random() < _SINGLES)
        self._burst = max(0, self._burst - 1)
        if disturbed:
            shown += self._chance.choice((-1.0, 1.0)) * self._chance.uniform(150.0, 800.0)
        shown = min(max(shown, _READS_C[0]), _READS_C[1])
        return round(shown / _STEP_DC) * _STEP_DC
