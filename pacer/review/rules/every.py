"""Every rule there is."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.rules.beads import Beads
from pacer.review.rules.cover import Cover
from pacer.review.rules.limits import Limits
from pacer.review.rules.rule import Rule
from pacer.review.rules.watched import Watched


def rules(job: Job) -> list[Rule]:
    """Return the rules for one recording of a job."""
    return [Beads(job), Limits(job), Cover(job), Watched(job)]
