"""What lies ready: short lines that fit the job, the filler counted, the shade by the current."""

from __future__ import annotations

from pathlib import Path

import pytest
from words import job, lines_of, said, steps

from pacer.job.file.read import read_job
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.sections import at_hand, beads
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
    assert has(cold, "Gloves, dry")
    assert not has(cold, "tongs")


def test_a_cold_job_s_sand_needs_no_warming() -> None:
    """Row R21 (common practice) is of a hot part."""
    sand = 'cover = "dry sand"'

    assert has(at_hand.items(job("hot", cooldown=sand)), "better warm")
    cold = at_hand.items(job("cold", cooldown=sand))
    assert has(cold, "of dry sand")
    assert not has(cold, "warm")


def test_an_oven_needs_no_monoxide_alarm() -> None:
    """Row X12 (common practice) is about gas flames."""
    assert not has(at_hand.items(job(heating='with = "oven"')), "monoxide")


def test_tig_has_gas_and_tungsten_ready() -> None:
    """And no rods to dry."""
    items = at_hand.items(job(filler='process = "TIG"'))

    assert has(items, "Shielding gas")
    assert has(items, "Tungsten")
    assert not has(items, "dried")


@pytest.mark.parametrize("repair", ["crack", "break", "patch"])
def test_a_patch_s_corners_are_rounded_before_it_is_grooved(repair: str) -> None:
    """Row R12 (common practice): a patch has rounded corners."""
    done = at_hand.prepared(job(joint=f'repair = "{repair}"'))
    corners = "Sharp corners of the patch rounded"

    assert (corners in done) == (repair == "patch")
    if repair == "patch":
        assert done.index(corners) < next(i for i, text in enumerate(done) if "Grooved" in text)


def source_of(made: Job, words: str) -> str:
    """Return the source in full of the one item with these words."""
    (found,) = [step for step in steps(lines_of(at_hand.lines, made), "do") if words in step.text]
    return found.source


@pytest.mark.parametrize(
    ("words", "source"),
    [
        # The regulation on burns has temperatures, the one on fires a watch, the code on peening
        # a tool's radius: none of them speaks of gloves, extinguishers or ears.
        ("Gloves", "common practice, no source"),
        ("Eye and ear protection", "common practice, no source"),
        # WAC 296-307-49503(2), read on the legislature's pages: ready for instant use.
        ("Fire extinguisher", "WAC 296-307-49503(2); seen in the primary text"),
        ("fire watch", "1910.252(a)(2)(iii)(B)"),
        ("rounded tool", "AWS D1.5-95 clause 3.8"),
    ],
)
def test_each_item_s_source_is_of_that_item(words: str, source: str) -> None:
    """A page is not made to say what it does not."""
    assert source in source_of(job(bead='peen = "15 s"'), words)


@pytest.mark.parametrize(
    ("designation", "nickel"), [("ENiFe-CI", True), ("ESt", False), ("X", True)]
)
def test_fume_is_drawn_off_for_any_filler_and_nickel_is_named_where_it_may_be(
    designation: str, nickel: bool
) -> None:
    """Row X07 (secondary page): local exhaust indoors for nickel; else common practice."""
    found = source_of(job(filler=f'designation = "{designation}"'), "Fume drawn off")

    assert "common practice" in found
    assert ("EM 385-1-1" in found) == nickel
    assert "nickel" in found or not nickel
    assert "NIOSH" not in found


def test_the_section_has_the_same_items_each_with_a_source() -> None:
    """As steps to be ticked off."""
    made = job(joint=EVERYTHING)
    told = steps(lines_of(at_hand.lines, made), "do")

    assert tuple(step.text for step in told) == at_hand.items(made)
    assert all(step.source for step in told)


@pytest.mark.parametrize(("process", "slag"), [("MMA", True), ("TIG", False), ("MAG", False)])
def test_a_slag_hammer_is_for_the_process_that_leaves_slag(process: str, slag: bool) -> None:
    """Common knowledge of the processes: bare rods and solid wires leave none."""
    made = job(filler=f'process = "{process}"')

    assert has(at_hand.items(made), "slag hammer") is slag
    assert has(at_hand.items(made), "Wire brush")
    assert ("Slag off" in said(beads.lines, made)) is slag
