"""What became of a repair, a line each: outcomes, cracks that a look found, one that was reported."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.became import OUTCOME, REPORTED, became
from pacer.review.inspections import imperfection_words
from pacer.review.moments import clock, utc
from pacer.review.outcomes import dated
from pacer.review.ranking.numbers import crack_of
from pacer.review.table import Table
from pacer.units import Shown

_NOT_YET = "nothing is recorded yet; pacer outcome RECORDING writes it down"
_SEES_NONE = "the look on record says nothing of cracks; pacer outcome RECORDING writes it down"


def became_lines(out: Table, shown: Shown) -> Iterator[str]:
    """Yield the words, each with its date or its session time."""
    yield from (dated(outcome, shown) for outcome in out.outcomes)
    known = became(out.outcomes, out.inspections, out.findings)
    if known.found == "crack" and known.by not in {OUTCOME, REPORTED}:
        yield from _by_looks(out, shown)
    elif known.by == REPORTED:
        last_s = max(f.t_s for f in out.findings if f.name == REPORTED)
        yield (
            f"a crack was reported in the session, by {clock(last_s)}; pacer outcome RECORDING takes "
            "where it was, or what a later look found"
        )
    elif known.found == "no crack found" and not out.outcomes:
        yield f"no crack found by a look ({known.by})"
    elif not known.found:
        yield _SEES_NONE if out.inspections else _NOT_YET


def _by_looks(out: Table, shown: Shown) -> Iterator[str]:
    for look in out.inspections:
        for found in look.imperfections:
            if crack_of(found.number) is not None:
                words = imperfection_words(found, shown)
                yield f"{utc(look.wall or '')}  crack, by a look ({look.look}): {words}"
