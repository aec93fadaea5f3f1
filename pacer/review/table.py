"""A recording as tables, gathered while it is folded: phases, beads, readings, findings.

Nothing is kept of an event but what the page shows, and of no kind more than `capped.MOST`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from pacer.review.capped import Capped
from pacer.review.ranked import ranked
from pacer.review.rules.every import rules
from pacer.review.rules.rule import Collector, Rule, Step
from pacer.session.cues import Cue, Urgency
from pacer.session.events import (
    Act,
    AnyEvent,
    ClockGap,
    Deed,
    Inspection,
    Outcome,
    Reading,
    Recovered,
    Resumed,
)
from pacer.session.excursion import Excursion, follow
from pacer.session.finding import Finding, Weight
from pacer.session.state import State
from pacer.session.stays import entered
from pacer.session.track import believed
from pacer.session.work import Bead, Phase

Between = ClockGap | Resumed | Recovered
"""Time nobody watched, who went on, and what was found damaged then."""

SAID: frozenset[Deed] = frozenset(
    {
        *("finish", "covered", "uncovered", "hold", "turned", "loosened"),
        *("out", "back", "wrap", "unwrap"),
    }
)
"""Deeds that the page lists: what was done to the part. Beads, readings and words have their
own tables; presses show in the phases."""


@dataclass(slots=True)
class PhaseRow:
    """One stay in a phase."""

    phase: Phase
    from_s: float
    to_s: float
    least_c: float | None = None
    most_c: float | None = None

    def saw(self, temp_c: float) -> None:
        """Widen the range of temperatures."""
        self.least_c = temp_c if self.least_c is None else min(self.least_c, temp_c)
        self.most_c = temp_c if self.most_c is None else max(self.most_c, temp_c)


@dataclass(slots=True)
class Table:
    """Everything the review prints."""

    phases: Capped[PhaseRow] = field(default_factory=Capped)
    beads: tuple[Bead, ...] = ()
    excursions: Capped[Excursion] = field(default_factory=Capped)
    findings: Capped[Finding] = field(default_factory=Capped)
    "Those first that could explain the most of what was found (`ranked`)."
    notes: Capped[tuple[float, str]] = field(default_factory=Capped)
    typed: Capped[Act] = field(default_factory=Capped)
    "Readings typed in, those of other places among them."
    said: Capped[Act] = field(default_factory=Capped)
    "What was done to the part, such as `covered`."
    between: Capped[Between] = field(default_factory=Capped)
    "What stands between two parts of a recording, in order."
    outcomes: Capped[Outcome] = field(default_factory=Capped)
    inspections: Capped[Inspection] = field(default_factory=Capped)
    prepared: Capped[Act] = field(default_factory=Capped)
    "The preparation list, confirmed or what of it was not."
    readings: int = 0
    "Of instruments and typed in, trusted or not."
    last: tuple[float, float] | None = None
    "When the temperature was last known, s, and how hot it was, °C."
    warned: Capped[Cue] = field(default_factory=Capped)
    "Warnings and faults, each when it was first told."
    cues: int = 0
    undone: int = 0
    ended: bool = False
    "It was closed on purpose, and not taken up again."
    phase: str = ""

    def of_weight(self, weight: Weight) -> tuple[Finding, ...]:
        """Return the findings above a note, or the notes of the rules."""
        return tuple(finding for finding in self.findings if finding.weight == weight)

    def not_shown(self) -> dict[str, int]:
        """Return how many rows of each kind were left out, where any were."""
        rows = {
            "phases": self.phases.more,
            "excursions": self.excursions.more,
            "findings": self.findings.more,
            "notes": self.notes.more,
            "typed_readings": self.typed.more,
            "said": self.said.more,
            "taken_up_again": self.between.more,
            "outcomes": self.outcomes.more,
            "inspections": self.inspections.more,
            "prepared": self.prepared.more,
        }
        return {name: more for name, more in rows.items() if more}


def table(steps: Iterable[Step], *others: Collector) -> Table:
    """Return the tables of a folded recording; `others` go along and see every step."""
    out = Table()
    state: State | None = None
    row: PhaseRow | None = None
    outside: list[Excursion] = []
    looking: list[Rule] = []
    for step in steps:
        event, state, t_s = step.event, step.state, step.t_s
        if row is None:
            looking = rules(state.job)
        row = _phase(out, row, state, t_s)
        follow(outside, state, t_s)
        while outside and outside[0].over:
            out.excursions.add(outside.pop(0))
        if step.cues:
            _told(out, step.cues)
        for rule in looking:
            rule.see(step)
        for other in others:
            other.see(step)
        if event is not None:
            _event(out, event)
    out.excursions.extend(outside)
    if state is not None:
        out.beads, out.undone = state.work.beads, state.undone
        out.phase, out.ended = str(state.phase), state.ended
        lists = [rule.found(state) for rule in looking]
        found = [finding for listed in lists for finding in listed]
        out.findings.extend(ranked(found, out.outcomes, out.inspections, state))
        out.findings.more += sum(listed.more for listed in lists)
    return out


def _phase(out: Table, last: PhaseRow | None, state: State, t_s: float) -> PhaseRow:
    before = None if last is None else (last.phase, last.from_s)
    stay = entered(state, t_s, before)
    if last is None or stay != before:
        if last is not None:
            last.to_s = stay[1]
        last = PhaseRow(*stay, to_s=t_s)
        out.phases.add(last)
    last.to_s = max(last.to_s, t_s)
    now = believed(state, t_s)
    if now is not None:
        out.last = (now.at_s, now.temp_c)
        last.saw(round(now.temp_c, 1))
    return last


def _told(out: Table, cues: tuple[Cue, ...]) -> None:
    out.cues += len(cues)
    out.warned.extend(cue for cue in cues if cue.urgency is not Urgency.STEP and not cue.again)


def _event(out: Table, event: AnyEvent) -> None:
    match event:
        case Reading():
            out.readings += 1
        case Act(deed="reading"):
            out.readings += 1
            out.typed.add(event)
        case Act(deed="prepared"):
            out.prepared.add(event)
        case Act():
            if event.deed in SAID:
                out.said.add(event)
            if event.text:
                out.notes.add((event.t_s, event.text))
        case ClockGap() | Resumed() | Recovered():
            out.between.add(event)
        case Outcome():
            out.outcomes.add(event)
        case Inspection():
            out.inspections.add(event)
