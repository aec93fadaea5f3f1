"""Every trade row has a source, a status and numbers that can be."""

from __future__ import annotations

from typing import Any

import pytest

from pacer.heat.arc import efficiency
from pacer.trade.rows import TABLES, Row, load, row

ALL_ROWS = [(table, found) for table in TABLES for found in load(table)]
# Suffix of a value's name -> what a number of that unit can be in this trade.
PLAUSIBLE = {
    "_c": (10.0, 800.0),
    "_a": (10.0, 600.0),
    "_v": (6.0, 50.0),
    "_mm": (0.5, 1100.0),
    "_mm2": (1.0, 50.0),
    "_s": (1.0, 30000.0),
    "_dc": (0.5, 100.0),
    "_c_h": (5.0, 500.0),
    "_w_mk": (0.02, 3.0),
    "_kg_m3": (50.0, 9000.0),
    "_percent": (0.0, 100.0),
    "_mg_m3": (0.001, 100.0),
    "_m3_min": (1.0, 1000.0),
    "_m3": (1.0, 1000.0),
    "_mm_min": (10.0, 2000.0),
    "_s_per_mm": (0.1, 60.0),
}
BARE = {"k": (0.3, 1.0), "yield": (0.5, 1.0), "factor": (1.0, 10.0), "emissivity": (0.05, 1.0)}


def _numbers(value: Any) -> list[float]:
    items = value if isinstance(value, list) else [value]
    return [float(item) for item in items if isinstance(item, int | float)]


def _range_of(name: str) -> tuple[float, float]:
    if name in BARE:
        return BARE[name]
    suffix = max((s for s in PLAUSIBLE if name.endswith(s)), key=len)
    return PLAUSIBLE[suffix]


@pytest.mark.parametrize(
    ("table", "found"), ALL_ROWS, ids=[f"{table}-{found.id}" for table, found in ALL_ROWS]
)
def test_every_row_says_where_it_is_from_and_its_numbers_can_be(table: str, found: Row) -> None:
    """Ranges are bounds of the possible for a unit, not of the advisable (our choice)."""
    assert len(found.source) > 5
    assert len(found.about) > 10
    assert row(table, found.id) is found
    for name, value in found.values.items():
        for number in _numbers(value):
            low, high = _range_of(name)
            assert low <= number <= high, name
        if len(_numbers(value)) == 2:
            assert _numbers(value) == sorted(_numbers(value))


def test_ids_are_unique_within_a_table() -> None:
    """A row is named by its id in plans, reviews and `pacer sources`."""
    for table in TABLES:
        ids = [found.id for found in load(table)]
        assert len(ids) == len(set(ids))


@pytest.mark.parametrize(("process", "k"), [("111", 0.8), ("135", 0.8), ("141", 0.6)])
def test_the_process_factor_is_the_published_one_and_the_one_computed_with(
    process: str, k: float
) -> None:
    """Trade row H03: a steel maker's heat-input page (seen in a secondary page)."""
    assert row("processes", process).values["k"] == k
    assert efficiency(process) == k


def test_what_was_not_seen_is_marked_so() -> None:
    """Preheats of a table known to exist but not read, and the sensor class: from memory."""
    for table, name in (("preheat", "W30"), ("preheat", "W33"), ("limits", "K2")):
        assert row(table, name).status == "from memory"
