"""What the welder wrote down during the session, where no finding tells it in the same words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from pacer.review.table import Table
from pacer.text import clean
from pacer.units import Shown


def noted(out: Table, shown: Shown) -> Iterator[tuple[float, str]]:
    """Yield when and what; words of a tink or a crack stand in its finding already."""
    told: defaultdict[float, list[str]] = defaultdict(list)
    for finding in out.findings:
        told[finding.t_s].append(clean(finding.said(shown)))
    for t_s, text in out.notes:
        words = clean(text)
        if not any(words in said for said in told[t_s]):
            yield t_s, words
