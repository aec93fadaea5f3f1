"""Every item of ISO 15609-1 clause 4 is answered, or said not to apply and why."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from varied import PHASES, jobs

from pacer.job.file.read import job_from_text, read_job
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.records import Entry
from pacer.job.sheet.sections.specification import lines
from pacer.units import Shown

EXAMPLE = Path(__file__).parents[3] / "configs" / "pump-foot-hot-sand.toml"
ITEMS = [
    "manufacturer", "parent material type", "dimensions", "process", "joint design",
    "welding position", "joint preparation", "technique", "back gouging", "backing",
    "consumables", "electrical parameters", "mechanisation", "preheating",
    "interpass temperature", "preheat maintenance", "post-heating", "post-weld heat treatment",
    "shielding gas", "heat input",
]  # fmt: skip
"""ISO 15609-1:2019 clause 4, as a welding company's page lists it (row Q01, seen in a
secondary page; of the standard the contents page was seen)."""


def items(job: Job) -> dict[str, Entry]:
    """Return the table, item -> what the plan says."""
    found = lines(plan(job), job, Shown())
    return {line.label: line for line in found if isinstance(line, Entry)}


@pytest.mark.slow
@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(jobs())
def test_every_job_answers_every_item_in_the_standard_s_order(job: Job) -> None:
    """None is left out; what does not apply has a reason."""
    table = items(job)

    assert list(table) == ITEMS
    for entry in table.values():
        assert entry.why or entry.origin == "given", entry


def test_the_example_s_items_say_what_its_job_file_says() -> None:
    """The values of the file; what a repair by hand has not, with why."""
    table = {item: entry.value for item, entry in items(read_job(EXAMPLE)).items()}

    assert table["parent material type"] == "grey iron, EN-GJL-200"
    assert table["process"] == "111 (MMA)"
    assert table["consumables"] == "ENiFe-CI, 2.5 mm"
    assert table["electrical parameters"] == "65 A, 22 V, DC+"
    assert table["interpass temperature"] == "200 °C to 300 °C"
    assert table["preheat maintenance"] == "at least 200 °C"
    # H01-H03: 0.8 x 22 V x 65 A / 2 mm/s.
    assert table["heat input"] == "0.572 kJ/mm"
    none = {item for item, value in table.items() if value == "not applicable"}
    assert none == {
        "back gouging",
        "backing",
        "mechanisation",
        "post-heating",
        "post-weld heat treatment",
        "shielding gas",
    }


def test_the_cold_method_has_no_preheat_to_specify() -> None:
    """A ceiling only; gas where the process has one; the back where both sides are welded."""
    job = job_from_text(
        '[job]\nmethod = "cold"\n[part]\nmetal = "grey iron"\nmass = "3 kg"\n'
        '[joint]\naccess = "both sides"\n[filler]\nprocess = "TIG"\ngas = "argon"\ngas_flow = "8 l/min"\n',
        "x",
    )
    table = items(job)

    for item in ("preheating", "preheat maintenance"):
        assert table[item].value == "not applicable"
        assert "cold method" in table[item].why
    assert table["interpass temperature"].value == "at most 60 °C"
    assert table["shielding gas"].value == "argon, 8 l/min"
    assert table["back gouging"].value == "to sound metal"


@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("joint", "position"),
    [
        # ISO 6947, from memory: row Q06.
        ('position = "flat"', "flat (PA)"),
        ('position = "horizontal"', "horizontal (PC)"),
        ('position = "horizontal"\npreparation = "fillet weld"', "horizontal (PB)"),
        ('position = "vertical up"', "vertical up (PF)"),
        ('position = "vertical down"', "vertical down (PG)"),
        ('position = "overhead"', "overhead (PE)"),
        ('position = "overhead"\npreparation = "fillet weld"', "overhead (PD)"),
        ("", "not said"),
    ],
)
def test_the_position_has_the_standard_s_letters(joint: str, position: str) -> None:
    """The welder's word, and what a welding engineer reads."""
    job = job_from_text(
        '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "3 kg"\n[joint]\n' + joint, "x"
    )

    item = items(job)["welding position"]
    assert item.value == position
    assert [one.status.partition(",")[0] for one in item.sources] == ["from memory"] * bool(joint)


def test_the_manufacturer_is_the_shop_or_not_said() -> None:
    """A fact, so it paces nothing."""
    text = '[job]\nmethod = "hot"\n{}[part]\nmetal = "grey iron"\nmass = "3 kg"\n'
    named = items(job_from_text(text.format('shop = "the village forge"\n'), "x"))["manufacturer"]
    unnamed = items(job_from_text(text.format(""), "x"))["manufacturer"]

    assert (named.value, named.origin) == ("the village forge", "given")
    assert unnamed.value == "not said"
    assert "job.shop" in unnamed.note
