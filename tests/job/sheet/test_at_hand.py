"""What lies ready: short lines that fit the job, the filler counted, the shade by the current."""

from __future__ import annotations

from pathlib import Path

import pytest
from words import job, lines_of, steps

from pacer.job.file.read import read_job
from pacer.job.plan import plan
from pacer.job.sheet.sections import at_hand
from pacer.units import Shown

CONFIGS = sorted((Path(__file__).parents[3] / "configs").glob("*.toml"))
EVERYTHING = (
    'repair = "break"\naccess = "both sides"\npreparation = "double-V"\ncrack_length = "100 mm"'
)


def has(items: tuple[str, ...], words: str) -> bool:
    """Tell whether an item says these words."""
    return any(words in item for item in items)


@pytest.mark.parametrize("path", CONFIGS, ids=lambda path: path.stem)
def test_every_item_is_short_enough_to_be_read_at_arm_s_length(path: Path) -> None:
    """At most 60 characters in either units, none cut off, none twice."""
    made = read_job(path)
    for shown in (Shown(), Shown("us")):
        items = at_hand.items(made, shown)
        assert all(len(item) <= 60 and not item.endswith("…") for item in items)
        assert len(set(items)) == len(items)


def test_the_filler_is_counted_as_the_forecast_has_it_at_most() -> None:
    """The same count as the plan's, so that nobody runs out at the last run."""
    made = job(filler='designation = "ENiFe-CI"')
    most = plan(made).rods_range.high

    assert f"Filler: {most:.0f} rods of ENiFe-CI 2.5 mm" in at_hand.items(made)
    wire = at_hand.items(job(filler='process = "135"'))
    assert has(wire, "m of ERNi-CI 1 mm")


@pytest.mark.parametrize(
    ("method", "oil", "source", "alarm"),
    [
        ("hot", "none seen", "gas grill", True),
        ("hot", "none seen", "oven", False),
        ("cold", "burns out", "torch", True),
        ("cold", "none seen", "torch", False),
    ],
)
def test_the_alarm_is_at_hand_wherever_a_gas_flame_is(
    method: str, oil: str, source: str, alarm: bool
) -> None:
    """Oil is burnt out in a cold job too."""
    made = job(method, part=f'oil = "{oil}"', heating=f'with = "{source}"')

    assert has(at_hand.items(made), "Carbon monoxide alarm") == alarm


@pytest.mark.parametrize(
    ("lines", "shade"),
    [
        # 29 CFR 1910.133(a)(5), primary text: 60-160 A of a covered electrode 8, from 160 A 10;
        # below 60 A 7; TIG below 150 A 8. 160 A stands in both: the darker.
        ('current = "55 A"', 7),
        ('current = "65 A"', 8),
        ('diameter = "5 mm"\ncurrent = "160 A"', 10),
        ('process = "TIG"\ncurrent = "90 A"', 8),
    ],
)
def test_the_helmet_has_the_regulation_s_shade(lines: str, shade: int) -> None:
    """By process and current of the job."""
    assert f"Welding helmet, shade {shade} or darker" in at_hand.items(job(filler=lines))


def test_items_are_those_that_this_job_needs() -> None:
    """Procedure notes sections 2, 3, 5, 6, 9 and 12."""
    hot = at_hand.items(job(joint=EVERYTHING, sensor='url = "serial:///dev/ttyUSB0?type=K"'))
    cold = at_hand.items(job("cold", bead='peen = "0 s"'))

    for words in (
        "a spare for it",
        "Crayon or second thermometer",
        "Fire extinguisher",
        "Carbon monoxide alarm",
        "Clamps",
        "Grinder for tacks",
        "Stand for the part when it is turned over",
        "Wire brush",
        "Peening hammer with a rounded tool",
        "tongs",
        "l of dry sand",
        "Respirator",
        "Card HOT",
    ):
        assert has(hot, words), words
    for words in ("Carbon monoxide", "Clamps", "Stand for", "Peening", "Box", "Card HOT", "Heat:"):
        assert not has(cold, words), words
    assert has(cold, "No fan, no water")


def test_an_oven_needs_no_monoxide_alarm() -> None:
    """Row X12 (common practice) is about gas flames."""
    assert not has(at_hand.items(job(heating='with = "oven"')), "monoxide")


def test_tig_has_gas_and_tungsten_ready() -> None:
    """And no rods to dry."""
    items = at_hand.items(job(filler='process = "TIG"'))

    assert has(items, "Shielding gas")
    assert has(items, "Tungsten")
    assert not has(items, "dried")


def test_the_section_has_the_same_items_each_with_a_source() -> None:
    """As steps to be ticked off."""
    made = job(joint=EVERYTHING)
    told = steps(lines_of(at_hand.lines, made), "do")

    assert tuple(step.text for step in told) == at_hand.items(made)
    assert all(step.source for step in told)
