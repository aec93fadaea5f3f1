"""Findings of many beads told as one: what was so at nearly every bead is read once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from pacer.review.rules.laid_before import numbered
from pacer.session.finding import Finding, Weight

MOST_SINGLE = 5
"So many findings of one name stand by themselves. Our choice."


def folded(found: Iterable[Finding]) -> Iterator[Finding]:
    """Yield findings of single beads; more than a few of one name as one, with the worst of them.

    That one is of all their beads.
    """
    alike: dict[tuple[str, Weight], list[Finding]] = {}
    for finding in found:
        alike.setdefault((finding.name, finding.weight), []).append(finding)
    for some in alike.values():
        if len(some) > MOST_SINGLE:
            yield _as_one(some)
        else:
            yield from some


def _as_one(some: list[Finding]) -> Finding:
    worst = max(some, key=lambda finding: finding.times or 0.0)
    beads = sorted({finding.bead for finding in some if finding.bead is not None})
    which = "such as" if worst.times is None else "the farthest"
    return msgspec.structs.replace(
        worst,
        t_s=some[0].t_s,
        # From the first to the last is no time that it lasted.
        to_s=None,
        record=some[0].record,
        words=f"{{times_n}} times, at beads {numbered(beads)}; {which}: {worst.words}",
        values={**worst.values, "times_n": len(some)},
        bead=None,
        beads=tuple(beads),
        place=None,
        against=tuple(
            text for text in worst.against if all(text in finding.against for finding in some)
        ),
    )
