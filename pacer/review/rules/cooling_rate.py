"""Cooled faster than the job's limit, or a furnace's: only where there is one.

The 30-minute mean that the screen shows too, of what it fell above 150 °C; nothing of the first
quarter of an hour counts, which belongs to the start gradient and the contact with the cover
(procedure.md section 9). What is down to 150 °C too soon for such a mean can't be judged: a note
says how fast it went. A part out of its cover is `cover.py`'s, which says how fast it cooled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from pacer.heat.bins import Bins, reached_s
from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, of_job, was_given
from pacer.review.rules.too_fast import Means, Rate, TooFast, error_c_h, finding
from pacer.session.cooling import FIRST_LOOK_S
from pacer.session.finding import Finding
from pacer.session.state import Cooling, State
from pacer.session.work import Phase

COOLED_ABOVE_C = 150.0
"Below it no rate is judged (rows S04 and D07: a furnace's rates are given down to there)."

MEAN_S = 1800.0
"As `heat/cooldown/rate.py` takes it, which costs too much to import for a number."

KEY = "cooldown.max_rate"
NAME = "cooled too fast"


@dataclass(slots=True)
class _CoolDown:
    """One cool-down under its cover."""

    start_s: float
    bins: int = 0
    "How many there were at the last look."
    means: Means = field(default_factory=Means)
    short: TooFast | None = None
    "Down to where no rate is judged before one could be: the mean of all of it."
    judged: bool = False


class CoolingRate:
    """Judges each cool-down by its bins; one finding of each at most."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._now: _CoolDown | None = None
        self._all: Capped[_CoolDown] = Capped()

    def see(self, step: Step) -> None:
        """Judge a cool-down once another of its bins is whole."""
        limit_c_h, cooling = self._job.cooldown.max_rate_c_h, step.state.cooling
        if limit_c_h is None or step.state.phase is not Phase.COOL_DOWN or cooling is None:
            return
        if cooling.cover != self._job.cooldown.cover:
            return
        now = self._now
        if now is None or now.start_s != cooling.start_s:
            now = self._now = _CoolDown(cooling.start_s)
            self._all.add(now)
        if len(cooling.bins) != now.bins:
            now.bins = len(cooling.bins)
            self._judge(step, now, cooling, limit_c_h)
            self._too_short(step, now, cooling, limit_c_h)

    def _judge(self, step: Step, now: _CoolDown, cooling: Cooling, limit_c_h: float) -> None:
        from pacer.heat.cooldown.rate import rate_c_h

        # A mean over a gap would be one over a time that nobody measured.
        known_s = max(FIRST_LOOK_S, 0.0 if cooling.gap is None else cooling.gap.from_s)
        whole = _above(tuple(row for row in cooling.bins[:-1] if row[0] >= known_s))
        if not whole or whole[0][1] <= COOLED_ABOVE_C or whole[-1][0] - whole[0][0] < MEAN_S:
            return
        now.judged = True
        rate = rate_c_h(whole, whole[-1][0])
        if rate is not None:
            most_c_h = limit_c_h + error_c_h(cooling.bins[:-1], cooling.typed, MEAN_S)
            mean = Rate(rate, MEAN_S, whole[-1][1])
            now.means.take(step, mean, cooling.start_s + whole[-1][0], most_c_h)

    def _too_short(self, step: Step, now: _CoolDown, cooling: Cooling, limit_c_h: float) -> None:
        """Keep how fast it was down to where no rate is judged, if no mean will tell."""
        if now.short is not None or cooling.gap is not None or len(cooling.bins) < 2:
            return
        bins, began_c = cooling.bins[:-1], cooling.start_c
        if began_c is None or bins[-1][1] > COOLED_ABOVE_C:
            return
        took_s = reached_s(((0.0, began_c, 1), *bins), COOLED_ABOVE_C)
        if not took_s:
            return
        rate = (began_c - COOLED_ABOVE_C) / took_s * 3600.0
        if rate > limit_c_h + error_c_h(bins, cooling.typed, took_s):
            most = Rate(rate, took_s, COOLED_ABOVE_C)
            now.short = TooFast(cooling.start_s, cooling.start_s + took_s, step.record, most)

    def found(self, state: State) -> Capped[Finding]:
        """Return each cool-down that was too fast, with its greatest rate."""
        found: Capped[Finding] = Capped()
        found.more = self._all.more
        for one in self._all:
            if one.means.fast is not None:
                found.add(self._fast(one.means.fast))
            elif one.short is not None and not one.judged:
                found.extend(self._short(one.short))
        return found

    def _fast(self, fast: TooFast) -> Finding:
        # Of what it fell in the half hour only what is above counts.
        least = " or more" if fast.most.temp_c <= COOLED_ABOVE_C else ""
        words = f"cooled by {{rate_c_h}}{least} over {{mean_s}}, down to {{temp_c}}"
        return finding(self._job, NAME, KEY, self._limit_c_h(), fast, words)

    def _short(self, short: TooFast) -> Iterator[Finding]:
        """Yield a note, where he set a limit, that it can't be judged by it."""
        job, (rate_c_h, took_s, temp_c) = self._job, short.most
        if not was_given(job, KEY):
            return
        yield Finding(
            name=NAME,
            t_s=short.from_s,
            to_s=round(short.to_s, 3),
            record=short.record,
            words="down to {temp_c} in {took_s}, by {rate_c_h}; at most {max_rate_c_h} was asked "
            "for, but a rate is judged above {temp_c} alone, by means of {mean_s}, from {first_s} "
            "after the cover",
            values={
                "rate_c_h": round(rate_c_h, 1),
                "max_rate_c_h": self._limit_c_h(),
                "took_s": round(took_s),
                "temp_c": temp_c,
                "mean_s": MEAN_S,
                "first_s": FIRST_LOOK_S,
            },
            weight="note",
            limit=of_job(job, KEY, "max_rate_c_h"),
        )

    def _limit_c_h(self) -> float:
        assert self._job.cooldown.max_rate_c_h is not None
        return self._job.cooldown.max_rate_c_h


def _above(bins: Bins) -> Bins:
    """Return the bins without what the part fell below where no rate is judged."""
    return tuple((t_s, max(temp_c, COOLED_ABOVE_C), n) for t_s, temp_c, n in bins)
