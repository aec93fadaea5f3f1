"""Under the cover: taken off before its time, cooled faster than it explains, the probe moved.

A normal burial in any cover makes no finding. What departs from it the fold looks for, by its fit
(`heat/cooldown/watching.py`). Here the part must also be colder than its cover explains
(`explained.py`), for the quarter of an hour that procedure.md section 9 asks for; a shorter time
is a note.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.explained import Explained, explained
from pacer.review.rules.rule import Step, multiple, of_job, ours
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, ClockGap
from pacer.session.finding import Finding
from pacer.session.state import Cooling, State
from pacer.session.track import believed
from pacer.session.work import Phase

LASTING_S = 900.0
"Colder than the cover explains for so long it is a finding (procedure.md section 9)."

THEN_S = 900.0
"Over which it is said how fast an uncovered part cooled; less where no more is known."
_THEN_LEAST_S = 120.0

AIR_C = (150.0, 200.0)
"""Down to there a furnace's part is cooled slowly, then in air (row S04). What may be uncovered by
the job, from 40 °C, is a matter of burnt hands, and no measure of what it does to the iron."""
_IN_AIR = "published furnace schedules go on in air from {air_c} to {air_most_c} (S04)"

_MOST_FORECASTS = 20
"Forecasts cost a fit each; a log made to hurt uncovers a part at every line."


@dataclass(slots=True)
class _Uncovered:
    """The cover was taken off."""

    t_s: float
    record: int
    temp_c: float | None
    forecast: dict[str, float] = field(default_factory=dict)
    then: tuple[float, float] | None = None
    "(s, °C) of the last reading of the quarter of an hour after it."


@dataclass(slots=True)
class _Faster:
    """What departs in one cool-down from its cover's, from the look that saw it first."""

    from_s: float
    to_s: float
    record: int
    start_s: float
    "Of its cool-down."
    worst: Explained
    moved: bool
    "The probe had moved by then: it reads another place."
    unclocked_s: float = 0.0
    "Of its cool-down, what no steady clock counted."
    lasted_s: float = 0.0
    "For how long the last look said so, in all."
    looks: int = 0
    "How many said so: one is none."
    now: bool = True
    "The last one did."


class Cover:
    """Follows uncoverings and departures; an undone uncovering is none."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._last: State | None = None
        self._now: _Uncovered | None = None
        self._uncovered: Capped[_Uncovered] = Capped()
        self._looked: tuple[float, int] = (0.0, 0)
        "Start of the cool-down, and how many looks there were in it."
        self._fast: _Faster | None = None
        self._faster: Capped[_Faster] = Capped()
        self._moved: Capped[tuple[Cue, int]] = Capped()
        self._moved_in: float | None = None
        "Start of the cool-down in which the probe moved."
        self._forecasts = 0

    def see(self, step: Step) -> None:
        """Follow both; quick outside a cool-down."""
        state = step.state
        if state.phase is Phase.COOL_DOWN:
            self._departs(step)
            self._uncovers(step)
        elif self._fast is not None:
            self._end_fast()
        if self._now is not None:
            self._cools(state, step.t_s)
        self._last = state

    def _uncovers(self, step: Step) -> None:
        event, cooling, last = step.event, step.state.cooling, self._last
        deed = event.deed if isinstance(event, Act) else ""
        off_s = None if cooling is None else cooling.start_s
        if deed == "undo" and self._now is not None and off_s != self._now.t_s:
            # It was not taken off.
            self._now = None
        if deed != "uncovered" or last is None or off_s != step.t_s:
            return
        self._close()
        now = believed(last, step.t_s)
        temp_c = None if now is None or now.side else now.temp_c
        forecast = self._forecast(last, step.t_s)
        self._now = _Uncovered(step.t_s, step.record, temp_c, forecast)

    def _forecast(self, state: State, t_s: float) -> dict[str, float]:
        """Return how much longer it would have taken, as it was forecast at that moment."""
        if self._forecasts >= _MOST_FORECASTS:
            return {}
        self._forecasts += 1
        from pacer.session.forecast import cooldown

        found, began_s = cooldown(state, t_s), state.work.covered_s
        if found is None or began_s is None:
            return {}
        since_s = t_s - began_s
        ends_s = {"more_s": found.eta_s, "more_low_s": found.low_s, "more_high_s": found.high_s}
        return {
            name: round(max(0.0, end_s - since_s))
            for name, end_s in ends_s.items()
            if end_s is not None
        }

    def _cools(self, state: State, t_s: float) -> None:
        """Keep how cold it got in the quarter of an hour after it was uncovered."""
        row, cooling = self._now, state.cooling
        assert row is not None
        if cooling is None or cooling.start_s != row.t_s or t_s - row.t_s > THEN_S:
            return
        now = believed(state, t_s)
        if now is not None and not now.side and now.at_s > row.t_s:
            row.then = (now.at_s, now.temp_c)

    def _close(self) -> None:
        if self._now is not None:
            self._uncovered.add(self._now)
        self._now = None

    def _departs(self, step: Step) -> None:
        """Follow what the looks find, and take what was told of it."""
        cooling, last, t_s = step.state.cooling, self._last, step.t_s
        fast, watched = self._fast, not isinstance(step.event, ClockGap)
        if fast is not None and not (watched and cooling and cooling.start_s == fast.start_s):
            self._end_fast()
        if self._fast is not None and self._fast.now and last is not None:
            self._fast.lasted_s += t_s - last.t_s
            self._fast.to_s = t_s
        if cooling is None or cooling.cover != self._job.cooldown.cover:
            return
        for cue in step.cues:
            if cue.kind is CueKind.PROBE_MOVED and not cue.again:
                self._moved.add((cue, step.record))
                self._moved_in = cooling.start_s
        if self._looked != (cooling.start_s, cooling.looks):
            self._looked = (cooling.start_s, cooling.looks)
            self._look(step, cooling)

    def _look(self, step: Step, cooling: Cooling) -> None:
        """Take what a look found: how much colder the part is than its cover explains."""
        found = explained(self._job, cooling) if cooling.departs == "faster" else None
        fast = self._fast
        if found is None or found.times <= 1.0:
            if fast is not None:
                fast.now = False
            return
        if fast is None:
            t_s, moved = step.t_s, self._moved_in == cooling.start_s
            fast = self._fast = _Faster(t_s, t_s, step.record, cooling.start_s, found, moved)
        elif found.times > fast.worst.times:
            fast.worst = found
        fast.looks, fast.now = fast.looks + 1, True
        fast.unclocked_s = cooling.by_wall_s + cooling.by_word_s

    def _end_fast(self) -> None:
        if self._fast is not None and self._fast.looks > 1:
            self._faster.add(self._fast)
        self._fast = None

    def found(self, state: State) -> Capped[Finding]:
        """Return them, what still runs among them."""
        self._close()
        self._end_fast()
        found: Capped[Finding] = Capped()
        found.extend(self._all())
        found.more += self._uncovered.more + self._faster.more + self._moved.more
        return found

    def _all(self) -> Iterator[Finding]:
        for row in self._uncovered:
            yield self._early(row)
        for fast in self._faster:
            yield self._cooled(fast)
        for cue, record in self._moved:
            yield Finding(
                name="moved under the cover",
                t_s=cue.t_s,
                record=record,
                words="a step of {off_dc} at the probe, now {temp_c}: no cover makes one",
                values=dict(cue.values),
                weight="note",
            )

    def _early(self, row: _Uncovered) -> Finding:
        cooldown = self._job.cooldown
        values: dict[str, float] = {"until_c": cooldown.until_c, **row.forecast}
        words, times = "uncovered without a reading, planned not before {until_c}", None
        limit = of_job(self._job, "cooldown.until", "until_c")
        against: tuple[str, ...] = ()
        if row.temp_c is not None:
            values |= {"temp_c": round(row.temp_c, 1), "air_c": AIR_C[0], "air_most_c": AIR_C[1]}
            words = "uncovered at {temp_c} at the probe, planned not before {until_c}"
            if row.temp_c > max(AIR_C[0], cooldown.until_c):
                limit = ours(
                    "a part may go on in open air from", "air_c", "of a furnace's part, row S04"
                )
                times = multiple(row.temp_c - cooldown.ambient_c, AIR_C[0] - cooldown.ambient_c)
            if row.temp_c <= AIR_C[1]:
                against = (_IN_AIR,)
        if "more_s" in values:
            high = " to {more_high_s}" if "more_high_s" in values else " or more"
            words += "; it was forecast to take {more_s} more ({more_low_s}" + high + ")"
        if row.temp_c is not None and row.then is not None:
            at_s, then_c = row.then
            if at_s - row.t_s >= _THEN_LEAST_S:
                values["then_s"] = round(at_s - row.t_s, 3)
                values["then_c_h"] = round((row.temp_c - then_c) / (at_s - row.t_s) * 3600.0, 1)
                words += "; then it cooled by {then_c_h} for {then_s}"
        return Finding(
            name="uncovered early",
            t_s=row.t_s,
            record=row.record,
            words=words,
            values=values,
            weight="note" if row.temp_c is None else "finding",
            limit=limit,
            times=times,
            against=against,
        )

    def _cooled(self, fast: _Faster) -> Finding:
        lasted_s, worst = round(fast.lasted_s, 3), fast.worst
        values = {**worst._asdict(), "lasted_s": lasted_s, "allowed_s": LASTING_S}
        against = ["the probe had moved before: it reads another place"] if fast.moved else []
        if fast.unclocked_s:
            values["unclocked_s"] = round(fast.unclocked_s, 3)
            against.append("{unclocked_s} of it no steady clock counted")
        return Finding(
            name="cooled faster than its cover",
            t_s=fast.from_s,
            to_s=fast.to_s,
            record=fast.record,
            words="at {temp_c} {colder_dc} colder than its cover makes it; for {lasted_s} colder "
            "than it explains",
            values=values,
            weight="finding" if lasted_s > LASTING_S and not fast.moved else "note",
            limit=ours(
                "its cover explains a part that is colder by",
                "least_dc",
                "2.4 sd of what is believed of the cover, for 15 min: our choice from simulated "
                "burials, no real ones measured",
            ),
            times=multiple(worst.colder_dc, worst.least_dc),
            against=tuple(against),
        )
