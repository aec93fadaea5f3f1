"""Every trade row has a source, a status and numbers that can be, and says what it holds."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from pacer.trade.rows import STATUSES, TABLES, Row, load, row
from pacer.trade.wording import reworded
from pacer.units import Shown, parse

each_table = pytest.mark.parametrize("table", TABLES)
# Suffix of a value's name -> what a number of that unit can be in this trade (our choice:
# bounds of the possible, not of the advisable).
PLAUSIBLE = {
    "_c": (0.0, 1400.0),
    "_a": (0.0, 600.0),
    "_v": (6.0, 50.0),
    "_mm": (0.5, 1100.0),
    "_m": (1.0, 20.0),
    "_mm2": (1.0, 50.0),
    "_kg": (0.1, 1000.0),
    "_s": (0.01, 90000.0),
    "_dc": (0.5, 100.0),
    "_c_h": (5.0, 500.0),
    "_w_mk": (0.02, 60.0),
    "_kg_m3": (40.0, 9000.0),
    "_j_kgk": (400.0, 1500.0),
    "_kj_kg": (100.0, 400.0),
    "_um_mk": (5.0, 20.0),
    "_percent": (0.0, 100.0),
    "_mg_m3": (0.001, 100.0),
    "_ppm": (1.0, 2000.0),
    "_m3_min": (1.0, 1000.0),
    "_m3": (1.0, 1000.0),
    "_m_min": (1.0, 200.0),
    "_mm_min": (10.0, 2000.0),
    "_s_per_mm": (0.1, 200.0),
    "_mpa": (50.0, 500.0),
    "_lx": (100.0, 5000.0),
    "_dba": (40.0, 120.0),
    "_db": (5.0, 30.0),
    "_hz": (0.1, 20000.0),
}
BARE = {
    "k": (0.3, 1.0),
    "yield": (0.5, 1.0),
    "factor": (0.5, 10.0),
    "times": (1.0, 10.0),
    "rates": (1.0, 5.0),
    "emissivity": (0.05, 1.0),
    "class": (20.0, 60.0),
    "a48": (100.0, 400.0),
    "mpa": (50.0, 500.0),
    "shade": (5.0, 14.0),
    "f2": (0.4, 1.0),
    "f3": (0.4, 1.0),
}
# What `about` puts into words instead of figures.
IN_WORDS = {
    ("preheat", "W31"): {20.0},  # room temperature
    ("burns", "T10"): {105.0},  # the middle of 1.5 to 2 min
    ("shades", "X10a"): {0.0},  # "below 60 A"
    ("shades", "X10b"): {0.0},
    ("shades", "X10c"): {0.0},
    ("repair", "R24"): {86400.0},  # a day
    ("penetrant", "N04a"): {1.0},  # "as it is"
}


def _numbers(value: Any) -> Iterator[float]:
    """Every number in a value, but for what only counts (bool)."""
    if isinstance(value, bool | str):
        return
    if isinstance(value, int | float):
        yield float(value)
    elif isinstance(value, list):
        for item in value:
            yield from _numbers(item)
    elif isinstance(value, dict):
        for item in value.values():
            yield from _numbers(item)


def _range_of(name: str) -> tuple[float, float]:
    if name in BARE:
        return BARE[name]
    if name.endswith("emissivity"):
        return BARE["emissivity"]
    suffix = max((s for s in PLAUSIBLE if name.endswith(s)), key=len)
    return PLAUSIBLE[suffix]


@each_table
def test_every_row_says_where_it_is_from_and_its_numbers_can_be(table: str) -> None:
    """Ranges are bounds of the possible for a unit, not of the advisable (our choice)."""
    for found in load(table):
        assert len(found.source) > 5, found.id
        assert found.about.strip(), found.id
        assert found.status in STATUSES, found.id
        assert row(table, found.id) is found
        for name, value in found.values.items():
            low, high = _range_of(name) if list(_numbers(value)) else (0.0, 0.0)
            for number in _numbers(value):
                assert low <= number <= high, (found.id, name)


@each_table
def test_every_number_the_program_takes_from_a_row_stands_in_its_words(table: str) -> None:
    """Who reads a row is told what is computed with; seconds may be told as min or h."""
    for found in load(table):
        told = {float(number) for number in re.findall(r"\d+(?:\.\d+)?", found.about)}
        told |= IN_WORDS.get((table, found.id), set())
        if found.id in {"M07", "S08"}:  # so long for each 25 mm
            told |= {120.0 / 25.0, 3600.0 / 25.0}
        for name, value in found.values.items():
            scales = (1.0, 60.0, 3600.0) if name.endswith("_s") else (1.0,)
            for number in _numbers(value):
                assert any(round(number / scale, 6) in told for scale in scales), (found.id, name)


@each_table
def test_what_was_not_seen_is_never_told_as_what_a_standard_says(table: str) -> None:
    """Status codes of the project's list of facts: MEM and PRAC rows name no standard as seen."""
    for found in load(table):
        if found.status in ("from memory", "common practice"):
            if re.search(r"\b(ISO|EN|AWS|ASTM|ASME|IEC|CFR|NFPA|GOST|IARC)\b", found.source):
                unseen = r"not seen|from memory|seen in a|from a"
                assert re.search(unseen, found.source), (found.id, found.source)
            assert "standard says" not in found.told
        if found.confidence:
            assert found.status == "from memory", found.id


def test_ids_are_unique_within_a_table() -> None:
    """A row is named by its id in plans, reviews and `pacer sources`."""
    for table in TABLES:
        ids = [found.id for found in load(table)]
        assert len(ids) == len(set(ids)), table


def test_every_file_of_rows_is_a_table_and_every_table_a_file(root: Path) -> None:
    """No table is left out of `pacer sources`; `not_seen.toml` holds no rows."""
    files = {path.stem for path in (root / "pacer" / "trade").glob("*.toml")}

    assert files - {"not_seen"} == set(TABLES)


def test_every_row_that_the_code_reads_exists(root: Path) -> None:
    """A row is read by a literal table and id nearly everywhere; a typo must not wait for a user."""
    named = re.compile(r"""\brow\(\s*["'](\w+)["'],\s*["']([^"'{]+)["']\)""")
    read = {
        found
        for path in (root / "pacer").rglob("*.py")
        for found in named.findall(path.read_text("utf-8"))
    }

    assert len(read) > 20
    for table, row_id in read:
        assert row(table, row_id)


def _in_si(text: str) -> list[float]:
    """Quantities of a phrase such as "66 to 260 °C" or "3/4 in", in SI."""
    numbers, unit = re.fullmatch(r"([\d./]+(?: (?:to|and) [\d./]+)*) (.+)", text).groups()  # type: ignore[union-attr]
    found = []
    for number in re.split(r" to | and ", numbers):
        if unit.startswith("°"):
            found.append(parse(f"{number} deg{unit[1]}", "temperature"))
        elif unit in ("m³", "ft³"):
            found.append(parse(f"{number} {unit.replace('³', '3')}", "volume"))
        elif unit in ("m³/min", "ft³/min"):
            found.append(parse(f"{number} {unit.split('³')[0]}3", "volume"))
        elif unit in ("m/min", "ft/min"):
            found.append(parse(f"{number} {unit.split('/')[0]}", "length"))
        else:
            found.append(parse(f"{number} {unit}", "length"))
    return found


@pytest.mark.parametrize(
    ("found", "metric", "us"),
    [
        pytest.param(found, metric, us, id=f"{found.id}-{metric}")
        for table in TABLES
        for found in load(table)
        for metric, us in found.as_published.items()
    ],
)
def test_figures_as_a_source_printed_them_are_those_of_the_row(
    found: Row, metric: str, us: str
) -> None:
    """Ours is the printed one, rounded: within 1 °C (7 where it is told as "about"), else 6 %."""
    told = " ".join([found.about, *(side["says"] for side in found.values.get("sides", []))])
    assert metric in told
    for ours, printed in zip(_in_si(metric), _in_si(us), strict=True):
        if "°" in metric:
            degrees = 7.0 if f"about {metric}" in told else 1.01
            assert ours == pytest.approx(printed, abs=degrees, rel=0.0)
        else:
            assert ours == pytest.approx(printed, rel=0.06)


def test_a_printed_figure_is_shown_as_printed_and_any_other_is_converted() -> None:
    """600 to 1200 °F is what W13's page says, 601 is what arithmetic makes of our 316 °C."""
    us = Shown("us")

    assert reworded("at 316 °C", us, {"316 °C": "600 °F"}) == "at 600 °F"
    assert reworded("at 316 °C", us) == "at 601 °F"
    assert reworded("20 to 40 K/h to 150 °C, 46 W/mK, 7200 kg/m³, 5 min", us) == (
        "36 to 72 °F/h to 302 °F, 46 W/mK, 7200 kg/m³, 5 min"
    )
    assert reworded("at 316 °C", Shown("metric"), {"316 °C": "600 °F"}) == "at 316 °C"
    # A US gallon is 3.785411784 l by definition (NIST SP 811).
    assert reworded("a box of 30 l, 8 l/min", us) == "a box of 7.93 gal, 8 l/min"
