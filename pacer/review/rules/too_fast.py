"""What heating and cooling too fast share: the time in which it was so, and its finding."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import NamedTuple

from pacer.heat.bins import Bin
from pacer.job.job import Job
from pacer.review.rules.rule import Step, of_job, was_given
from pacer.session.cooling import TYPED_SD_DC
from pacer.session.finding import Finding

_NOISE_BINS = 30
"So many of the latest tell how noisy the readings are."


class Rate(NamedTuple):
    """A mean rate."""

    rate_c_h: float
    mean_s: float
    "Over which it is a mean."
    temp_c: float
    "The temperature it led to."


@dataclass(slots=True)
class TooFast:
    """The time in which one heating or cool-down was faster than allowed."""

    from_s: float
    to_s: float
    record: int
    most: Rate


class Means:
    """Takes the means of one heating or cool-down as its bins come; one beyond the limit is noise."""

    def __init__(self) -> None:
        self.fast: TooFast | None = None
        self._before: Rate | None = None

    def take(self, step: Step, rate: Rate, at_s: float, most_c_h: float) -> None:
        """Take a mean up to `at_s`: beyond `most_c_h`, and the one before it too, it was too fast."""
        before, self._before = self._before, rate if rate.rate_c_h > most_c_h else None
        if before is None or self._before is None:
            return
        least = min(before, rate)
        if self.fast is None:
            self.fast = TooFast(step.t_s, step.t_s, step.record, least)
        self.fast.to_s = max(self.fast.to_s, round(at_s, 3))
        self.fast.most = max(self.fast.most, least)


def finding(job: Job, name: str, key: str, most_c_h: float, fast: TooFast, words: str) -> Finding:
    """Return the finding of a rate beyond the limit `key` of the job, with its greatest mean."""
    rate_c_h, mean_s, temp_c = fast.most
    return Finding(
        name=name,
        t_s=fast.from_s,
        to_s=fast.to_s,
        record=fast.record,
        words=f"{words}; at most {{max_rate_c_h}} was asked for",
        values={
            "rate_c_h": round(rate_c_h, 1),
            "max_rate_c_h": most_c_h,
            "mean_s": round(mean_s),
            "temp_c": round(temp_c, 1),
        },
        # A furnace's default is what is published of furnaces, not what he asked for.
        weight="finding" if was_given(job, key) else "note",
        limit=of_job(job, key, "max_rate_c_h"),
        times=round(rate_c_h / most_c_h, 2),
    )


def error_c_h(bins: Sequence[Bin], typed: bool, mean_s: float) -> float:
    """Return what the errors of its two ends can make of a mean rate, °C/h; two sd."""
    sd_dc = TYPED_SD_DC if typed else math.sqrt(2.0) * _noise_dc(bins[-_NOISE_BINS:])
    return 2.0 * sd_dc / mean_s * 3600.0


def _noise_dc(bins: Sequence[Bin]) -> float:
    """Return how far a bin typically lies off the line between its neighbours, as the sd of one, K."""
    off_dc = [
        abs(here[1] - 0.5 * (before[1] + after[1]))
        for before, here, after in zip(bins, bins[1:], bins[2:], strict=False)
    ]
    # Two neighbours' errors add to its own; 1.48 makes an sd of a median.
    return 1.48 * median(off_dc) / math.sqrt(1.5) if off_dc else 0.0
