"""What an event tells by itself: a crack, a tink, time nobody watched."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.moments import KNOWN_BY
from pacer.review.rules.heard import Heard, heard, told
from pacer.review.rules.rule import Step, ours, to_the_second
from pacer.review.rules.tacks import at_tacks
from pacer.session.events import Act, ClockGap
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.watch import SHORT_GAP_S, UNTOLD_GAP_S
from pacer.session.work import LAYING, Phase

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


class Watched:
    """Takes what was said and missed, as it comes."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._before: State | None = None
        "Before the event: what a gap found."
        self._heard: Capped[Heard] = Capped()
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take cracks, tinks and gaps."""
        event = step.event
        if isinstance(event, Act):
            if event.deed in {"crack", "tink"} and not at_tacks(step):
                self._heard.add(heard(step, event))
        elif isinstance(event, ClockGap):
            self._gap(step, event)
        self._before = step.state

    def _gap(self, step: Step, gap: ClockGap) -> None:
        before = self._before or step.state
        gap_s = round(max(gap.to_s, gap.t_s) - gap.t_s, 3)
        if gap.by == "steady" and gap_s < UNTOLD_GAP_S:
            return
        untimed = gap.by == "unknown"
        length = f"{to_the_second(gap_s)} without a record{KNOWN_BY[gap.by]}"
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
                limit=ours("hot and uncovered, a gap is short up to", "allowed_s")
                if mattered
                else None,
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
        found.extend(told(state, tuple(self._heard)))
        found.more += self._heard.more
        found.take(self._found)
        return found
