"""What an event tells by itself: a crack, a tink, time nobody watched."""

from __future__ import annotations

from typing import NamedTuple

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.laid_before import laid_before, numbered
from pacer.review.rules.rule import Step, ours
from pacer.review.rules.tacks import at_tacks
from pacer.session.events import Act, ClockGap, GapBy
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.watch import SHORT_GAP_S, UNTOLD_GAP_S
from pacer.session.work import LAYING, Bead, Phase

KNOWN_BY: dict[GapBy, str] = {
    "steady": "",
    "wall": ", by the wall clock",
    "said": ", by the welder's word",
    "unknown": "",
}

JUST_BEFORE_S = 300.0
"""Beads of so long before a crack or a tink are named with it. Our choice, no source."""

MOST_NAMED = 5

_DURING: dict[Phase, str] = {
    **dict.fromkeys(LAYING, "while beads were due"),
    Phase.BEAD: "while bead {bead} was laid",
    Phase.PEEN: "while bead {bead} was to be peened",
    Phase.PREHEAT: "in the preheat",
    Phase.SOAK: "in the soak",
    Phase.TACK: "while tacking",
    Phase.POST_HEAT: "in the post-heat, before the cover",
    Phase.BURY: "with the cover due",
    Phase.COOL_DOWN: "under the cover",
    Phase.PREPARE: "before any heat",
    Phase.DONE: "after the cool-down",
}

_NOT_HOT = frozenset({Phase.COOL_DOWN, Phase.DONE})


class _Heard(NamedTuple):
    """A crack or a tink as it was said."""

    t_s: float
    record: int
    name: str
    text: str
    temp_c: float | None
    covered_s: float | None
    "How long ago the cool-down had begun; None: it hadn't."


class Watched:
    """Takes what was said and missed, as it comes."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._before: State | None = None
        "Before the event: what a gap found."
        self._heard: Capped[_Heard] = Capped()
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take cracks, tinks and gaps."""
        event = step.event
        if isinstance(event, Act):
            if event.deed in {"crack", "tink"} and not at_tacks(step):
                self._heard.add(_said(step, event))
        elif isinstance(event, ClockGap):
            self._gap(step, event)
        self._before = step.state

    def _gap(self, step: Step, gap: ClockGap) -> None:
        before = self._before or step.state
        gap_s = round(max(gap.to_s, gap.t_s) - gap.t_s, 3)
        if gap.by == "steady" and gap_s < UNTOLD_GAP_S:
            return
        untimed = gap.by == "unknown"
        length = f"{{gap_s}} without a record{KNOWN_BY[gap.by]}"
        values = {"gap_s": gap_s, "allowed_s": SHORT_GAP_S}
        if untimed:
            length = "for how long is not known"
        bead, last = before.work.bead, believed(before, gap.t_s)
        if bead is not None and before.phase in {Phase.BEAD, Phase.PEEN}:
            values["bead"] = bead.number
        at = ""
        if last is not None:
            values["last_c"] = round(last.temp_c, 1)
            at = ", {last_c} before it"
        long = untimed or gap_s > SHORT_GAP_S
        mattered = long and self._is_hot(before, None if last is None else last.temp_c)
        self._found.add(
            Finding(
                name="nobody watched",
                t_s=gap.t_s,
                to_s=max(gap.to_s, gap.t_s),
                record=step.record,
                words=f"{length}: {as_is(gap.why)}; {_DURING[before.phase]}{at}",
                values=values,
                weight="finding" if mattered else "note",
                limit=ours("a short gap, hot and uncovered", "allowed_s") if mattered else None,
            )
        )

    def _is_hot(self, state: State, temp_c: float | None) -> bool:
        """True where the part is hot and uncovered: covered it goes on cooling, whoever watches."""
        if self._job.method == "cold" or state.cold_yet or state.phase in _NOT_HOT:
            return False
        return temp_c is None or temp_c > self._job.cooldown.until_c

    def found(self, state: State) -> Capped[Finding]:
        """Return them, cracks and tinks with the beads of the minutes before."""
        found: Capped[Finding] = Capped()
        found.extend(_with_beads(state, heard) for heard in self._heard)
        found.extend(self._found)
        found.more += self._heard.more + self._found.more
        return found


def _said(step: Step, act: Act) -> _Heard:
    state, now = step.state, believed(step.state, step.t_s)
    covered_s = state.work.covered_s if state.phase is Phase.COOL_DOWN else None
    return _Heard(
        act.t_s,
        step.record,
        "crack reported" if act.deed == "crack" else "tink heard",
        act.text or "",
        None if now is None else round(now.temp_c, 1),
        None if covered_s is None else round(act.t_s - covered_s, 3),
    )


def _with_beads(state: State, heard: _Heard) -> Finding:
    values: dict[str, float] = {}
    parts = [as_is(heard.text)] if heard.text else []
    if heard.temp_c is not None:
        values["temp_c"] = heard.temp_c
        parts.append("at {temp_c}")
    if heard.covered_s is not None:
        values["covered_s"] = heard.covered_s
        parts.append("{covered_s} into the cool-down")
    beads = laid_before(state.work.beads, heard.t_s)
    just = [bead for bead in beads[-MOST_NAMED:] if _ago_s(bead, heard.t_s) <= JUST_BEFORE_S]
    if beads:
        values["bead"], values["since_s"] = beads[-1].number, _ago_s(beads[-1], heard.t_s)
        burning = values["since_s"] == 0.0
        parts.append(f"{'while' if burning else '{since_s} after'} bead {{bead}} was laid")
    else:
        parts.append("no bead before it")
    if len(just) > 1:
        values["within_s"] = JUST_BEFORE_S
        numbers = numbered([bead.number for bead in just])
        places = ", ".join(str(bead.place + 1) for bead in just)
        parts.append(f"in the {{within_s}} before it beads {numbers}, at places {places}")
    return Finding(
        name=heard.name,
        t_s=heard.t_s,
        words="; ".join(parts),
        values=values,
        record=heard.record,
        bead=just[-1].number if just else None,
        place=just[-1].place if just else None,
    )


def _ago_s(bead: Bead, t_s: float) -> float:
    """Return how long ago a bead's arc went out, s; 0 while it burns."""
    return 0.0 if bead.ended_s is None else round(max(0.0, t_s - bead.ended_s), 3)
