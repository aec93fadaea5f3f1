"""Beads: how hot the part was when each was struck, how long its arc burnt, how it went out."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.bead_marks import BeadMarks, Mark
from pacer.review.rules.often import folded
from pacer.review.rules.rule import Step, meant_c, multiple, of_job, ours
from pacer.session.finding import Finding, Limit
from pacer.session.phases.bead import FINISH_LEAD_S, LOST_SHARE
from pacer.session.state import State
from pacer.session.work import Bead

replace = msgspec.structs.replace

SAME_DC = 0.5
"""Closer to a limit than this a part is at it: on a display both are the same number."""

TO_STOP_S = 2.0
"""From STOP, told at the planned end, until the arc is out: a hand takes some tenths, and the
run-back over the crater may not be over. Common practice, no source."""

TO_STOP_SHARE = 0.15
"""Or this share of the planned arc time, in a long bead. Common practice, no source."""

TO_FILL_S = 1.0
"""The least a crater takes once FINISH is told: some tenths until the hand slows, and a dwell.
Common practice, no source."""


class Beads:
    """What the beads' starts and ends show; an undone one is none."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._marks = BeadMarks()

    def see(self, step: Step) -> None:
        """Note where a bead starts and ends."""
        self._marks.see(step)

    def found(self, state: State) -> Capped[Finding]:
        """Return what each bead shows."""
        found: Capped[Finding] = Capped()
        found.extend(folded(self._all(state.work.beads)))
        return found

    def _all(self, beads: tuple[Bead, ...]) -> Iterator[Finding]:
        for index, bead in enumerate(beads):
            mark = self._marks[index]
            yield from self._struck(bead, mark)
            yield from self._too_long(bead, mark)
            yield from self._went_out(bead, mark, beads[index + 1 : index + 2])

    def _struck(self, bead: Bead, mark: Mark) -> Iterator[Finding]:
        """Yield what a bead's start shows; an arc too short to be a bead has none."""
        if not bead.counted:
            return
        if bead.early:
            yield Finding(
                name="bead before its time",
                t_s=bead.started_s,
                record=mark.started,
                words=f"bead {{bead}} was started in {bead.struck_in}, before it was called",
                values={"bead": bead.number},
                weight="note",
                bead=bead.number,
                place=bead.place,
            )
        if bead.start_c is not None:
            yield from self._outside(bead, bead.start_c, mark)

    def _outside(self, bead: Bead, start_c: float, mark: Mark) -> Iterator[Finding]:
        """Yield where a bead was struck outside the band, and how far from what is meant."""
        band, now, middle_c = self._job.band, mark.start, meant_c(self._job)
        side = now.side if now is not None and now.temp_c == start_c else 0
        struck = Finding(
            name="",
            t_s=bead.started_s,
            record=mark.started,
            words="",
            values={"bead": bead.number, "start_c": round(start_c, 1)},
            bead=bead.number,
            place=bead.place,
        )
        if now is not None and now.typed:
            old_s = max(0.0, bead.started_s - now.at_s)
            struck = replace(
                struck,
                values={**struck.values, "old_s": round(old_s, 1)},
                against=("the temperature was typed {old_s} before it",),
            )
        if side >= 0 and start_c > band.ceiling_c + SAME_DC:
            yield replace(
                struck,
                name="bead above the ceiling",
                words="bead {bead} was started at {start_c}, above the ceiling {ceiling_c}",
                values={**struck.values, "ceiling_c": band.ceiling_c},
                limit=of_job(self._job, "band.ceiling", "ceiling_c"),
                times=multiple(start_c - middle_c, band.ceiling_c - middle_c),
            )
        if band.floor_c is not None and side <= 0 and start_c < band.floor_c - SAME_DC:
            yield replace(
                struck,
                name="bead below the floor",
                words="bead {bead} was started at {start_c}, below the floor {floor_c}",
                values={**struck.values, "floor_c": band.floor_c},
                limit=of_job(self._job, "band.floor", "floor_c"),
                times=multiple(middle_c - start_c, middle_c - band.floor_c),
            )

    def _too_long(self, bead: Bead, mark: Mark) -> Iterator[Finding]:
        """Yield a bead longer than planned: by its length where that was said, else by its arc."""
        if bead.ended_s is None or bead.length_m is None:
            return
        rules = self._job.bead
        stopped_s = max(TO_STOP_S, TO_STOP_SHARE * rules.planned_s)
        most_m = rules.length_m + rules.travel_m_s * stopped_s
        long = Finding(
            name="bead too long",
            t_s=bead.started_s,
            to_s=bead.ended_s,
            record=mark.ended,
            words="bead {bead}: the arc burnt for {arc_s}, planned {planned_arc_s}",
            values={"bead": bead.number},
            bead=bead.number,
            place=bead.place,
        )
        if mark.said is not None and bead.length_m > most_m:
            yield replace(
                long,
                record=mark.said,
                words="bead {bead} was said to be {length_m} long, planned {planned_m}",
                values={
                    **long.values,
                    "length_m": bead.length_m,
                    "planned_m": rules.length_m,
                    "most_m": round(most_m, 5),
                },
                limit=self._longest("a bead is at most", "most_m"),
                times=multiple(bead.length_m, most_m),
            )
            return
        # Who presses has raised the hood first.
        hood_s = rules.hood_up_s if bead.ended_by == "press" else 0.0
        arc_s, most_s = bead.arc_s(bead.ended_s), rules.planned_s + stopped_s + hood_s
        if bead.ended_by != "assumed" and arc_s > most_s:
            yield replace(
                long,
                values={
                    **long.values,
                    "arc_s": round(arc_s, 1),
                    "planned_arc_s": rules.planned_s,
                    "most_arc_s": round(most_s, 1),
                },
                limit=self._longest("an arc lasts at most", "most_arc_s"),
                times=multiple(arc_s, most_s),
                against=_pressed(bead),
            )

    def _longest(self, words: str, value: str) -> Limit:
        given = self._job.origin.get("bead.length", "")
        return ours(
            f"with the time to stop {words}",
            value,
            f"bead.length {given}; the time to stop: common practice, no source",
        )

    def _went_out(self, bead: Bead, mark: Mark, after: tuple[Bead, ...]) -> Iterator[Finding]:
        """Yield a bead broken off, as far as its end was seen."""
        if bead.ended_s is None or bead.ended_by == "assumed":
            return
        planned_s, arc_s = self._job.bead.planned_s, bead.arc_s(bead.ended_s)
        lost_s = LOST_SHARE * planned_s
        finish_s = planned_s - min(FINISH_LEAD_S, planned_s / 2)
        filled_s = finish_s + TO_FILL_S
        if not bead.lost and arc_s >= min(filled_s, planned_s):
            return
        least_s = lost_s if bead.lost else filled_s
        values = {
            "bead": bead.number,
            "arc_s": round(arc_s, 1),
            "planned_arc_s": planned_s,
            "least_arc_s": round(least_s, 1),
        }
        words, against = "bead {bead}: the arc went out after {arc_s} of {planned_arc_s}", []
        if not bead.lost:
            values["finish_arc_s"] = finish_s
            words += (
                ", before FINISH was due at {finish_arc_s}: no time was left to fill the crater"
                if arc_s < finish_s
                else ", too soon after FINISH, due at {finish_arc_s}, to fill the crater"
            )
            against.append("nobody said whether the crater was filled unasked")
        if bead.lost and after and after[0].place == bead.place:
            values["again_s"] = round(max(0.0, after[0].started_s - bead.ended_s), 1)
            against.append("it was struck again there after {again_s}")
        yield Finding(
            name="arc lost" if bead.lost else "crater not filled",
            t_s=bead.ended_s,
            record=mark.ended,
            words=words,
            values=values,
            # Too short an arc is no bead: a rod that stuck, a slip.
            weight="finding" if bead.counted else "note",
            limit=ours(
                "an arc is lost if it is out before"
                if bead.lost
                else "a crater takes an arc of at least",
                "least_arc_s",
            ),
            times=multiple(planned_s - arc_s, planned_s - least_s),
            bead=bead.number,
            place=bead.place,
            against=tuple(against),
        )


def _pressed(bead: Bead) -> tuple[str, ...]:
    if bead.ended_by != "press":
        return ()
    return ("its end is a press: the arc may have gone out before it",)
