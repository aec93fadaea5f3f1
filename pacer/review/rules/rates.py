"""Heated or cooled faster than a limit of the job: only where one was set, or for a furnace.

Both look at the bins that the fold keeps of a heating and of a cool-down, once for each bin.

Cooling: the 30-minute mean that the screen shows too, above 150 °C; nothing of the first quarter
of an hour counts, which belongs to the start gradient and the contact with the cover
(procedure.md section 9). A part out of its cover is `cover.py`'s, which says how fast it cooled.

Heating: preheats, which a limit is meant for; a reheat in the band is none. Over ten minutes: a
grill's whole preheat may take sixteen (heat.md section 4.6), and a mean over thirty would be half
soak. A rise in less counts as if it had taken ten.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pacer.heat.bins import Bins
from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, of_job
from pacer.session.cooling import FIRST_LOOK_S, TYPED_SD_DC
from pacer.session.finding import Finding
from pacer.session.state import Cooling, State, Warming
from pacer.session.work import Phase

HEATING_S, TYPED_HEATING_S = 600.0, 1800.0
"""Over which a heating rate is judged, by an instrument and by typed readings, whose errors weigh
less over a longer time. Our choice, no source."""

COOLED_ABOVE_C = 150.0
"Below it no rate is judged (rows S04 and D07: a furnace's rates are given down to there)."

Kind = Literal["heated too fast", "cooled too fast"]


@dataclass(slots=True)
class _Fast:
    """The time in which one heating or cool-down was faster than allowed."""

    kind: Kind
    from_s: float
    to_s: float
    record: int
    most: tuple[float, float, float]
    "The greatest rate, °C/h, the time it is a mean of, s, and the temperature it led to, °C."


class Rates:
    """Judges each heating and each cool-down by its bins; one finding of each at most."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._found: Capped[_Fast] = Capped()
        self._begun: tuple[str, float] = ("", 0.0)
        "Which heating or cool-down is looked at: what, and when it began."
        self._bins = 0
        self._fast: _Fast | None = None

    def see(self, step: Step) -> None:
        """Judge a heating or a cool-down once another of its bins is whole."""
        state, (what, began_s) = step.state, self._begun
        if state.phase is Phase.PREHEAT and state.warming is not None:
            self._heating(step, state.warming)
        elif state.phase is Phase.COOL_DOWN and state.cooling is not None:
            self._cooling(step, state.cooling)
        elif what == "heating":
            if state.warming is not None and state.warming.start_s == began_s:
                # The last bin of a preheat is over with it.
                self._heating(step, state.warming, over=True)
            self._begun = ("", 0.0)

    def _heating(self, step: Step, warming: Warming, *, over: bool = False) -> None:
        limit_c_h = self._job.heating.max_rate_c_h
        if limit_c_h is None or not self._another("heating", warming.start_s, warming.bins, over):
            return
        whole = warming.bins if over else warming.bins[:-1]
        if len(whole) < 2:
            return
        mean_s = TYPED_HEATING_S if warming.typed else HEATING_S
        rate_c_h = _rise_dc(whole, mean_s) / mean_s * 3600.0
        if rate_c_h > limit_c_h + _error_c_h(warming.typed, mean_s):
            now_s = warming.start_s + whole[-1][0]
            self._was_fast(step, "heated too fast", now_s, (rate_c_h, mean_s, whole[-1][1]))

    def _cooling(self, step: Step, cooling: Cooling) -> None:
        limit_c_h = self._job.cooldown.max_rate_c_h
        if limit_c_h is None or cooling.cover != self._job.cooldown.cover:
            return
        if not self._another("cooling", cooling.start_s, cooling.bins):
            return
        from pacer.heat.cooldown.rate import MEAN_S, rate_c_h

        # A mean over a gap would be one over a time that nobody measured.
        known_s = max(FIRST_LOOK_S, 0.0 if cooling.gap is None else cooling.gap.from_s)
        whole = tuple(row for row in cooling.bins[:-1] if row[0] >= known_s)
        if not whole or whole[-1][1] < COOLED_ABOVE_C:
            return
        if whole[-1][0] - whole[0][0] < MEAN_S:
            return
        rate = rate_c_h(whole, whole[-1][0])
        if rate is not None and rate > limit_c_h + _error_c_h(cooling.typed, MEAN_S):
            now_s = cooling.start_s + whole[-1][0]
            self._was_fast(step, "cooled too fast", now_s, (rate, MEAN_S, whole[-1][1]))

    def _another(self, what: str, start_s: float, bins: Bins, over: bool = False) -> bool:
        """True if there is a bin more than at the last look; a new run begins anew."""
        if self._begun != (what, start_s):
            self._begun, self._bins, self._fast = (what, start_s), 0, None
        more = len(bins) != self._bins or over
        self._bins = len(bins)
        return more

    def _was_fast(
        self, step: Step, kind: Kind, at_s: float, seen: tuple[float, float, float]
    ) -> None:
        """Begin or widen the finding; `seen` is the rate, its time and the temperature it led to."""
        if self._fast is None:
            self._fast = _Fast(kind, step.t_s, step.t_s, step.record, seen)
            self._found.add(self._fast)
        self._fast.to_s = max(self._fast.to_s, round(at_s, 3))
        self._fast.most = max(self._fast.most, seen)

    def found(self, state: State) -> Capped[Finding]:
        """Return each heating and cool-down that was too fast, with its greatest rate."""
        found: Capped[Finding] = Capped()
        found.more = self._found.more
        found.extend(self._of(row) for row in self._found)
        return found

    def _of(self, row: _Fast) -> Finding:
        job = self._job
        most_c_h, key, verb, to = (
            job.cooldown.max_rate_c_h,
            "cooldown.max_rate",
            "cooled",
            "down to",
        )
        if row.kind == "heated too fast":
            most_c_h, key, verb, to = (
                job.heating.max_rate_c_h,
                "heating.max_rate",
                "heated",
                "up to",
            )
        assert most_c_h is not None
        rate_c_h, mean_s, temp_c = row.most
        return Finding(
            name=row.kind,
            t_s=row.from_s,
            to_s=row.to_s,
            record=row.record,
            words=f"{verb} by {{rate_c_h}} over {{mean_s}}, {to} {{temp_c}}; "
            "at most {max_rate_c_h} was asked for",
            values={
                "rate_c_h": round(rate_c_h, 1),
                "max_rate_c_h": most_c_h,
                "mean_s": round(mean_s),
                "temp_c": round(temp_c, 1),
            },
            # A furnace's default is what is published of furnaces, not what he asked for.
            weight="finding" if job.origin.get(key) == "given" else "note",
            limit=of_job(job, key, "max_rate_c_h"),
            times=round(rate_c_h / most_c_h, 2),
        )


def _rise_dc(bins: Bins, mean_s: float) -> float:
    """Return the rise over the last `mean_s`, or since the first bin, K."""
    from_s = bins[-1][0] - mean_s
    if bins[0][0] >= from_s:
        return bins[-1][1] - bins[0][1]
    for (was_s, was_c, _), (next_s, next_c, _) in zip(bins[-2::-1], bins[:0:-1], strict=True):
        if was_s <= from_s:
            share = (from_s - was_s) / (next_s - was_s)
            return bins[-1][1] - (was_c + share * (next_c - was_c))
    return 0.0


def _error_c_h(typed: bool, mean_s: float) -> float:
    """Return what the errors of two typed readings can make of a rate, °C/h."""
    return 2.0 * TYPED_SD_DC / mean_s * 3600.0 if typed else 0.0
