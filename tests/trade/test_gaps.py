"""Where sources disagree all sides are kept, and what nobody saw is said."""

from __future__ import annotations

import re

import pytest

from pacer.trade.gaps import means, not_seen, sides
from pacer.trade.rows import STATUSES, TABLES, Row, load, row

DISAGREEMENTS = load("disagreements")
each = pytest.mark.parametrize("found", DISAGREEMENTS, ids=[found.id for found in DISAGREEMENTS])


def test_all_nineteen_are_kept() -> None:
    """trade.md section 0: D01 to D19."""
    assert [found.id for found in DISAGREEMENTS] == [f"D{n:02}" for n in range(1, 20)]


@each
def test_every_side_has_its_own_source_and_the_row_its_weakest_status(found: Row) -> None:
    """At least two sides that say different things; what follows is said too."""
    kept = sides(found)

    assert len({side.says for side in kept}) == len(kept) >= 2
    assert all(len(side.source) > 5 for side in kept)
    assert found.status == max((side.status for side in kept), key=STATUSES.index)
    assert means(found).endswith(".")
    for side in kept:
        assert side.source in side.told
        assert side.status in side.told


def test_sides_whose_status_nobody_wrote_down_are_not_told_as_seen() -> None:
    """trade.md section 0 gives no status to these five: they stand as from memory."""
    unknown = {
        (found.id, side.status)
        for found in DISAGREEMENTS
        for side in sides(found)
        if "how far it was seen is not noted" in side.source
    }

    assert unknown == {(name, "from memory") for name in ("D07", "D08", "D09", "D11", "D15")}


@each
def test_a_side_that_names_a_row_has_the_rows_status(found: Row) -> None:
    """The same fact must not be seen in one table and remembered in another."""
    rows = {(row.id): row for table in TABLES if table != "disagreements" for row in load(table)}
    for side in sides(found):
        for name in re.findall(r"\b[A-Z]\d\d\b", side.source.split(":")[0]):
            named = rows.get(name) or rows[f"{name}a"]
            assert named.status == side.status, (name, side.says)


def test_the_program_never_takes_the_middle() -> None:
    """D01: six preheats stand side by side, each with who says so, and no mean of them."""
    kept = sides(row("disagreements", "D01"))

    assert len(kept) == 6
    assert "yours to set" in means(DISAGREEMENTS[0])


@pytest.mark.parametrize(
    "document",
    ["EN 1011-8", "AWS D11.2", "ISO 13732-1", "IEC 60073", "ISO 11429", "ISO 7731", "AWS A5.15",
     "ISO 1071", "EN 1561", "contact thermometers", "t8/5"],
)  # fmt: skip
def test_what_was_not_seen_is_listed(document: str) -> None:
    """trade.md, "Not seen at all", and rows M09 and H08."""
    assert any(document in what for what in not_seen())
