"""Noise on readings: what a loose plug, an arc and a cheap meter do to a true temperature.

Kinds and sizes are those of reliability.md T-29 and T-33, invented there: no recording of a
real arc was at hand. Rates in time (`drop_every_s`, `frozen_every_s`) are ours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pacer.session.events import Reading

SPIKE_DC = (100.0, 800.0)
DROP_S = (0.5, 5.0)
FROZEN_S = (10.0, 60.0)
RESOLUTION_DC = 0.25
GARBAGE = ("3\ufffd7.", "2 6 1", "\u00fe\u00fe", "t1=", "#\ufffd8")


@dataclass(frozen=True)
class Kind:
    """How bad it is."""

    sigma_dc: float = 0.5
    "White noise of every reading."
    spikes: float = 0.0
    "Share of single readings that are off by 100-800 K, up or down."
    burst: int = 0
    "At each arc start up to so many readings in a row are off."
    garbled: float = 0.0
    "Share of lines that can't be read."
    drop_every_s: float = 0.0
    "Mean time between drop-outs of 0.5-5 s; 0: none."
    plug_every_s: float = 0.0
    "Mean time between minutes with a loose plug: six drop-outs of 2-4 s; 0: none."
    frozen_every_s: float = 0.0
    "Mean time between stretches of 10-60 s in which the same value is sent again; 0: none."


class Noise:
    """Makes the reading that is sent from the true one; the same seed gives the same noise."""

    def __init__(self, kind: Kind, seed: int) -> None:
        self._kind = kind
        self._chance = np.random.default_rng(seed)
        self._burst = 0
        self._arc = False
        self._gone: list[tuple[float, float]] = []
        self._frozen: tuple[float, float] = (-1.0, 0.0)
        self._next_drop_s = self._wait(0.0, kind.drop_every_s)
        self._next_plug_s = self._wait(0.0, kind.plug_every_s)
        self._next_frozen_s = self._wait(0.0, kind.frozen_every_s)

    def _wait(self, t_s: float, mean_s: float) -> float:
        return t_s + float(self._chance.exponential(mean_s)) if mean_s else float("inf")

    def sent(self, t_s: float, true_c: float, *, arc: bool) -> Reading | None:
        """Return the reading that arrives at `t_s`, or None where nothing does."""
        kind, chance = self._kind, self._chance
        if arc and not self._arc and kind.burst:
            self._burst = int(chance.integers(1, kind.burst + 1))
        self._arc = arc
        if self._silent(t_s):
            return None
        t_ms = round(t_s * 1000)
        if chance.random() < kind.garbled:
            text = GARBAGE[int(chance.integers(len(GARBAGE)))]
            return Reading(t_ms=t_ms, raw=(text,), status="unparsable", why="no number")
        shown_c = self._held(t_s, true_c + kind.sigma_dc * float(chance.standard_normal()))
        spiked = chance.random() < kind.spikes
        if self._burst:
            self._burst -= 1
            spiked = True
        if spiked:
            shown_c += float(chance.choice((-1.0, 1.0)) * chance.uniform(*SPIKE_DC))
        raw = round(shown_c / RESOLUTION_DC) * RESOLUTION_DC
        return Reading(t_ms=t_ms, raw=(raw,), status="ok")

    def _silent(self, t_s: float) -> bool:
        kind, chance = self._kind, self._chance
        if t_s >= self._next_drop_s:
            self._gone.append((t_s, t_s + float(chance.uniform(*DROP_S))))
            self._next_drop_s = self._wait(t_s, kind.drop_every_s)
        if t_s >= self._next_plug_s:
            starts = [t_s + 10.0 * i for i in range(6)]
            self._gone += [(s, s + float(chance.uniform(2.0, 4.0))) for s in starts]
            self._next_plug_s = self._wait(t_s + 60.0, kind.plug_every_s)
        self._gone = [span for span in self._gone if span[1] > t_s]
        return any(start <= t_s for start, _ in self._gone)

    def _held(self, t_s: float, shown_c: float) -> float:
        """Return the value, or the one at which the meter has got stuck."""
        if t_s >= self._next_frozen_s:
            self._frozen = (t_s + float(self._chance.uniform(*FROZEN_S)), shown_c)
            self._next_frozen_s = self._wait(t_s, self._kind.frozen_every_s)
        until_s, stuck_c = self._frozen
        return stuck_c if t_s < until_s else shown_c
