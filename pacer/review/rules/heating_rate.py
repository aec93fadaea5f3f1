"""Heated faster than the job's limit: preheats, up to the first bead; a reheat in the band is none.

A press to the soak ends no heating. Over ten minutes: a grill's whole preheat may take sixteen
(heat.md section 4.6), and a mean over thirty would be half soak. A rise in less counts as if it
had taken ten.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from pacer.heat.bins import WIDTH_S, Bin
from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step
from pacer.review.rules.too_fast import Means, Rate, error_c_h, finding
from pacer.session.events import Act, ClockGap, Reading
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase

HEATING_S, TYPED_HEATING_S = 600.0, 1800.0
"""Over which a heating rate is judged, by an instrument and by typed readings, whose errors weigh
less over a longer time. Our choice, no source."""

_BEGINS = frozenset({Phase.PREHEAT, Phase.SOAK})
_GOES_ON = _BEGINS | {Phase.TACK, Phase.READY, Phase.WAIT}

_KEPT = round(TYPED_HEATING_S / WIDTH_S) + 2


class HeatingRate:
    """Judges each heating by means of its readings; one finding of each at most."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._beads: int | None = None
        "How many were laid when the heating began; None: nothing is heated."
        self._bins: deque[Bin] = deque(maxlen=_KEPT)
        "Of the last half hour, in session time."
        self._typed = False
        self._means = Means()
        self._all: Capped[Means] = Capped()

    def see(self, step: Step) -> None:
        """Take a reading of a heating, and judge it by the bins that are whole."""
        if self._job.heating.max_rate_c_h is None:
            return
        state = step.state
        if self._beads is None:
            if state.phase not in _BEGINS:
                return
            self._begin(len(state.work.beads))
        elif state.phase not in _GOES_ON or len(state.work.beads) != self._beads:
            self._judge(step, tuple(self._bins))
            self._beads = None
            return
        if isinstance(step.event, ClockGap):
            # A mean over a gap would be one over a time that nobody measured.
            self._bins.clear()
        elif isinstance(step.event, Reading | Act):
            self._read(step, state)

    def _begin(self, beads: int) -> None:
        self._beads, self._typed = beads, False
        self._bins.clear()
        self._means = Means()
        self._all.add(self._means)

    def _read(self, step: Step, state: State) -> None:
        t_s, now = step.t_s, believed(state, step.t_s)
        # What was typed, or read last, may decide for long: it was so when it was read.
        if now is None or now.side or now.at_s != t_s:
            return
        self._typed = self._typed or now.typed
        if self._bins and t_s // WIDTH_S == self._bins[-1][0] // WIDTH_S:
            was_s, was_c, count = self._bins[-1]
            n = count + 1
            self._bins[-1] = was_s + (t_s - was_s) / n, was_c + (now.temp_c - was_c) / n, n
            return
        self._judge(step, tuple(self._bins))
        self._bins.append((t_s, now.temp_c, 1))

    def _judge(self, step: Step, bins: Sequence[Bin]) -> None:
        limit_c_h = self._job.heating.max_rate_c_h
        assert limit_c_h is not None
        if len(bins) < 2:
            return
        mean_s = TYPED_HEATING_S if self._typed else HEATING_S
        rate = Rate(_rise_dc(bins, mean_s) / mean_s * 3600.0, mean_s, bins[-1][1])
        most_c_h = limit_c_h + error_c_h(bins, self._typed, mean_s)
        self._means.take(step, rate, bins[-1][0], most_c_h)

    def found(self, state: State) -> Capped[Finding]:
        """Return each heating that was too fast, with its greatest rate."""
        found: Capped[Finding] = Capped()
        found.more = self._all.more
        limit_c_h, key = self._job.heating.max_rate_c_h, "heating.max_rate"
        words = "heated by {rate_c_h} over {mean_s}, up to {temp_c}"
        for means in self._all:
            if means.fast is not None and limit_c_h is not None:
                found.add(finding(self._job, "heated too fast", key, limit_c_h, means.fast, words))
        return found


def _rise_dc(bins: Sequence[Bin], mean_s: float) -> float:
    """Return the rise over the last `mean_s`, or since the first bin, K."""
    from_s = bins[-1][0] - mean_s
    if bins[0][0] >= from_s:
        return bins[-1][1] - bins[0][1]
    for (was_s, was_c, _), (next_s, next_c, _) in zip(bins[-2::-1], bins[:0:-1], strict=True):
        if was_s <= from_s:
            share = (from_s - was_s) / (next_s - was_s)
            return bins[-1][1] - (was_c + share * (next_c - was_c))
    return 0.0
