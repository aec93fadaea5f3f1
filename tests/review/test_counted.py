"""A quantity has one value of a recording, whichever page tells it."""

from __future__ import annotations

from written import head_of

from pacer.job.job import Job
from pacer.review.compare.course import Course
from pacer.review.compare.figures import figures
from pacer.review.compare.side import Side
from pacer.review.history.numbers import numbers
from pacer.review.reviewed import Reviewed
from pacer.review.table import PhaseRow, Table
from pacer.session.excursion import Excursion
from pacer.session.work import Bead, Phase


def test_a_comparison_and_a_history_tell_the_same_of_a_recording(hot_job: Job) -> None:
    """By hand: a peened bead, one that nobody told of, a tap of the arc, one that still burns."""
    out = Table(
        beads=(
            Bead(1, 0, 100.0, 250.0, "arc", 110.0, "arc", peened="ended by press"),
            Bead(2, 1, 140.0, 240.0, "arc", 148.0, "arc", lost=True),
            Bead(2, 1, 150.0, 190.0, "arc", 151.0, "arc", counted=False),
            Bead(2, 1, 160.0, 200.0, "arc"),
        )
    )
    out.phases.extend(
        [
            PhaseRow(Phase.PREHEAT, 0.0, 90.0, 20.0, 260.0),
            *(PhaseRow(Phase.WAIT, from_s, from_s + 5.0) for from_s in (120.0, 155.0)),
            PhaseRow(Phase.REHEAT, 130.0, 133.5),
        ]
    )
    out.excursions.extend([Excursion("below the floor", 147.0, 154.25, 190.0, over=True)])
    course = Course()
    told = numbers(hot_job, out, course.measured)
    of = figures(Side(Reviewed("a.jsonl", head_of(hot_job), out), course))
    assert (of.least_start_c, of.median_start_c, of.most_start_c) == (240.0, 245.0, 250.0)
    starts = ("start_least_c", "start_median_c", "start_most_c")
    assert [told[name] for name in starts] == [240.0, 245.0, 250.0]
    assert (of.peens_confirmed, of.peens_due, told["peened_share"]) == (1, 2, 0.5)
    assert (of.mean_arc_s, told["bead_arc_s"]) == (9.0, 9.0)
    assert (of.wait_s, told["waited_s"]) == (10.0, 10.0)
    assert (of.reheat_s, told["reheats_n"]) == (3.5, 1.0)
    assert of.below_floor_s == told["below_floor_s"] == 7.25
    assert (of.above_ceiling_s, told["above_ceiling_s"]) == (0.0, 0.0)
