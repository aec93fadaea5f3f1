"""Peens: begun late, left out because it was too late, against the plan, or nobody said."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.heat.arc import heat_input_kj_mm
from pacer.heat.behind_arc import Plate, end_c
from pacer.job.job import Job
from pacer.job.plan import laid_at_c
from pacer.review.capped import Capped
from pacer.review.rules.bead_marks import BeadMarks, Mark
from pacer.review.rules.often import folded
from pacer.review.rules.rule import Step, multiple, of_job, ours
from pacer.session.events import Act
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.work import Bead

LATE_S = 10.0
"""A peen begun later than this is a finding: the metal is no longer red, a place that the arc
passed 10 s ago has some 400 to 480 °C (calculated, procedure.md section 6). The limit itself
is common practice, no source."""

WARM_C = 66.0
"Weld metal as cold as this is still peened by one rule, for steel bridges (row B10)."


class Peens:
    """What was said of the peens; without a word a peen is not confirmed, never missing."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._marks = BeadMarks()

    def see(self, step: Step) -> None:
        """Note the beads, and when he said that he began to peen the last one."""
        self._marks.see(step)
        event, last = step.event, self._marks.last
        if not (isinstance(event, Act) and event.deed == "peen") or last is None:
            return
        if last.ended is not None and last.peen is None:
            last.peen = (step.record, event.t_s)

    def found(self, state: State) -> Capped[Finding]:
        """Return what each bead's peen shows, and one note for those that nobody confirmed."""
        single: list[Finding] = []
        silent: list[tuple[Bead, Mark]] = []
        for index, bead in enumerate(state.work.beads):
            mark = self._marks[index]
            if bead.ended_s is None or not bead.counted:
                continue
            if mark.peen is not None:
                single.extend(self._begun(bead, bead.ended_s, *mark.peen))
            elif bead.peened == "left alone" and mark.left is not None:
                single.append(self._left(bead, bead.ended_s, mark, *mark.left))
            elif bead.peened in {"not confirmed", "left alone"}:
                silent.append((bead, mark))
        found: Capped[Finding] = Capped()
        found.extend(folded(single))
        found.extend(_not_confirmed(silent, state))
        return found

    def _begun(self, bead: Bead, ended_s: float, record: int, at_s: float) -> Iterator[Finding]:
        """Yield a peen that was begun late, or on a bead that the plan leaves unpeened."""
        if bead.unpeened:
            yield Finding(
                name="peened against the plan",
                t_s=at_s,
                record=record,
                words="bead {bead}, of run {run}, was peened; the plan leaves that run unpeened",
                values={"bead": bead.number, "run": self._job.plan.run_of(bead.number)},
                weight="note",
                limit=ours(
                    "bead.peen_runs leaves unpeened run",
                    "run",
                    self._job.origin.get("bead.peen_runs", ""),
                ),
                bead=bead.number,
                place=bead.place,
            )
        within_s, after_s = self._job.bead.peen_within_s, at_s - ended_s
        if after_s <= within_s:
            return
        late_s = max(LATE_S, within_s)
        cold = after_s > late_s
        allowed_s = late_s if cold else within_s
        now_c = self._end_c(bead, ended_s, after_s)
        # Nobody saw the arc end: it may have burnt on until then.
        assumed = bead.ended_by == "assumed"
        ended = "the end taken for that of its arc" if assumed else "its arc"
        yield Finding(
            name="late peen",
            t_s=at_s,
            record=record,
            words=f"the peen of bead {{bead}} began {{after_arc_s}} after {ended}, planned within "
            "{within_s}; the bead's end had some {end_c} then (calculated)",
            values={
                "bead": bead.number,
                "after_arc_s": round(after_s, 1),
                "within_s": within_s,
                "late_s": late_s,
                "end_c": round(now_c),
            },
            weight="finding" if cold and not assumed else "note",
            limit=ours("a peen is late from", "late_s")
            if cold
            else of_job(self._job, "bead.peen_within", "within_s"),
            times=multiple(after_s, allowed_s),
            bead=bead.number,
            place=bead.place,
            against=tuple(_against_late(bead, now_c)),
        )

    def _end_c(self, bead: Bead, ended_s: float, after_s: float) -> float:
        """Return the calculated temperature at a bead's end, so long after its arc, °C."""
        filler, rules, part = self._job.filler, self._job.bead, self._job.part
        numbers = (filler.voltage_v, filler.current_a, rules.travel_m_s)
        heat_kj_mm = heat_input_kj_mm(*numbers, filler.process)
        part_c = bead.start_c if bead.start_c is not None else laid_at_c(self._job)
        plate = Plate(part_c, part.wall_m)
        return end_c(heat_kj_mm, plate, rules.travel_m_s, bead.arc_s(ended_s), after_s)

    def _left(self, bead: Bead, ended_s: float, mark: Mark, record: int, at_s: float) -> Finding:
        """Return that a bead was left; a finding where his own pause and press show it."""
        paused = "the peen was paused and gone on with too late for it: "
        return Finding(
            name="not peened",
            t_s=ended_s,
            to_s=at_s,
            record=record,
            words=f"bead {{bead}}: {paused if mark.left_by_press else ''}LEAVE IT was told "
            "{after_s} after its arc, planned within {within_s}; nobody said that it was peened",
            values={
                "bead": bead.number,
                "after_s": round(at_s - ended_s, 1),
                "within_s": self._job.bead.peen_within_s,
            },
            weight="finding" if mark.left_by_press else "note",
            limit=of_job(self._job, "bead.peen_within", "within_s"),
            bead=bead.number,
            place=bead.place,
            against=("it may have been peened unsaid",),
        )


def _against_late(bead: Bead, now_c: float) -> Iterator[str]:
    if bead.ended_by == "assumed":
        yield "when its arc went out was assumed, not seen"
    if now_c > WARM_C:
        yield "at {end_c} (calculated) it was warm, not cold; sources differ on peening warm (D05)"


def _not_confirmed(silent: list[tuple[Bead, Mark]], state: State) -> Iterator[Finding]:
    """Yield the one note for all peens that nobody confirmed."""
    if not silent:
        return
    (first, mark), (last, _) = silent[0], silent[-1]
    laid = [bead for bead in state.work.beads if bead.counted and bead.ended_s is not None]
    values: dict[str, float] = {"silent_n": len(silent), "laid_n": len(laid)}
    lost = ""
    if any(bead.lost for bead in laid):
        # The plan counts them with those laid in their place.
        values["lost_n"] = sum(bead.lost for bead in laid)
        lost = ", {lost_n} of them with a lost arc"
    yield Finding(
        name="peens not confirmed",
        t_s=first.ended_s or first.started_s,
        to_s=last.ended_s,
        record=mark.ended,
        words=f"{{silent_n}} of {{laid_n}} beads{lost}: nobody said that they were peened",
        values=values,
        weight="note",
        bead=first.number if len(silent) == 1 else None,
        place=first.place if len(silent) == 1 else None,
    )
