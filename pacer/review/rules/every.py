"""Every rule there is."""

from __future__ import annotations

from collections.abc import Callable

from pacer.job.job import Job
from pacer.review.rules.beads import Beads
from pacer.review.rules.blind import Blind
from pacer.review.rules.cautions import Cautions
from pacer.review.rules.clamps import Clamps
from pacer.review.rules.cooling_rate import CoolingRate
from pacer.review.rules.cover import Cover
from pacer.review.rules.heating_rate import HeatingRate
from pacer.review.rules.knocked_off import KnockedOff
from pacer.review.rules.limits import Limits
from pacer.review.rules.peens import Peens
from pacer.review.rules.plan import Plan
from pacer.review.rules.rule import Rule
from pacer.review.rules.soak import Soak
from pacer.review.rules.spread import Spread
from pacer.review.rules.tacks import Tacks
from pacer.review.rules.turned import Turned
from pacer.review.rules.watched import Watched

RULES: tuple[Callable[[Job], Rule], ...] = (
    *(Beads, Peens, Plan),
    *(Limits, Soak, HeatingRate, Spread, Cover, CoolingRate),
    *(KnockedOff, Blind, Turned, Tacks, Clamps, Cautions, Watched),
)


def rules(job: Job) -> list[Rule]:
    """Return the rules, made anew for one recording of a job."""
    return [rule(job) for rule in RULES]
