"""The least filter shade; its published figures are in tests/trade/test_published_facts.py."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pacer.job.shade import shade, shade_row
from pacer.trade.rows import load


@pytest.mark.parametrize("process", [found.id for found in load("processes")])
def test_every_process_a_job_may_have_has_a_shade_that_never_falls_with_current(
    process: str,
) -> None:
    """A job's currents go from 10 to 500 A; more light never asks for less shade."""
    found = [shade(process, float(current_a)) for current_a in range(10, 501)]

    assert all(before <= after for before, after in pairwise(found))
    assert process in shade_row(process).values["processes"]


@pytest.mark.parametrize(
    ("process", "current_a", "said"),
    [
        ("121", 400.0, "no published shade for process 121"),
        ("141", 501.0, "no published shade for process 141 at 501 A"),
        ("111", -1.0, "no published shade for process 111 at -1 A"),
    ],
)
def test_where_nothing_is_published_nothing_is_made_up(
    process: str, current_a: float, said: str
) -> None:
    """29 CFR 1910.133(a)(5) has no row for it (primary text)."""
    with pytest.raises(ValueError, match=said):
        shade(process, current_a)
