"""Every number on a plan has a unit, an origin, and if it is a default its source."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from varied import PHASES, jobs

from pacer.job.file.keys import keys
from pacer.job.file.read import read_job
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.forms.page import page
from pacer.job.sheet.forms.text import text_lines
from pacer.job.sheet.records import Entry, Section
from pacer.job.sheet.whole import whole
from pacer.units import Shown, System

CONFIGS = sorted((Path(__file__).parents[3] / "configs").glob("*.toml"))

QUANTITIES = (
    "°C", "°F", "K", "K/h", "°F/h", "mm", "m", "in", "mm²", "in²", "cm³", "in³", "m²", "ft²",
    "kg", "g", "lb", "oz", "l", "gal", "l/min", "ft³/h", "s", "min", "h", "A", "V", "kJ/mm", "kJ/in",
    "kWh", "BTU", "%", "deg", "mm/min", "in/min", "lx", "foot-candles", "kg/m³", "m³", "m³/min", "ft³/min",
)  # fmt: skip
COUNTS = (
    "rod",
    "rods",
    "times",
    "place",
    "places",
    "bead",
    "beads",
    "run",
    "runs",
    "layer",
    "layers",
)
"What is counted says what it is right behind its number."
COUNT_LABELS = frozenset({"beads"})
"Labels that say themselves what is counted."
NAMES = frozenset({"filler.process", "filler.designation", "sensor.url", "part.metal"})
"Keys whose digits belong to a name: ISO 4063 number, designation, address, grade."
NUMBER = r"\d[\d,]*(?:\.\d+|/\d+)?(?:e[+-]?\d+)?"
UNIT = "|".join(re.escape(unit) for unit in sorted((*QUANTITIES, *COUNTS), key=len, reverse=True))
MEASURED = re.compile(
    # "12 to 14 mm" and "2 h 10 min" share or follow on; a count's range stands in brackets.
    rf"(?:runs? {NUMBER}(?: to {NUMBER})?)|"  # by number, of a layer
    rf"(?<![\w.]){NUMBER}(?: (?:to|and) {NUMBER})? ?(?:{UNIT})(?![\w/²³])(?: \({NUMBER} to {NUMBER}\))?"
)
SOURCES = (
    "row",
    "common practice",
    "our choice",
    "from memory",
    "calculat",
    "no source",
    "has none",
)


def unmeasured(value: str) -> str:
    """Return what is left of a value when every number with its unit is taken out."""
    return MEASURED.sub("", value)


def entries(sections: tuple[Section, ...]) -> list[Entry]:
    """Return every value of a plan."""
    return [line for section in sections for line in section.lines if isinstance(line, Entry)]


def wrong(entry: Entry, text: str, html: str) -> list[str]:
    """Return what is wrong with one value of a plan, as printed in text and on the page."""
    sources = [source.text for source in entry.sources]
    key, numbers = keys().get(entry.key), re.search(r"\d", entry.value)
    named = entry.key in NAMES or entry.label in COUNT_LABELS or (key is not None and key.fact)
    faults = {
        "no label": not entry.label,
        "no value": not entry.value.strip(),
        "a number without unit": not named and re.search(r"\d", unmeasured(entry.value)),
        "no origin's reason": entry.origin != "given" and not entry.why,
        "a default without source": entry.origin == "default"
        and numbers
        and not any(word in entry.why for word in SOURCES),
        "unknown key": entry.key and key is None,
        "not in the text": not re.search(
            rf"{re.escape(entry.label)}:? {re.escape(' '.join(entry.value.split()))}", text
        ),
        "not on the page": any(part not in html for part in (entry.label, entry.value, entry.note)),
        "a source that is not in the lists": any(
            words not in there for words in sources for there in (text, html)
        ),
    }
    return [f"{fault}: {entry!r}" for fault, found in faults.items() if found]


def held(job: Job, system: System) -> None:
    """Hold one job's plan, text and page to the rule."""
    shown, made = Shown(system), plan(job)
    sections = whole(made, job, shown)
    text = " ".join(" ".join(text_lines(sections)).split())
    html = unescape(page(job, shown, sections))

    assert [fault for entry in entries(sections) for fault in wrong(entry, text, html)] == []


@pytest.mark.slow
@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("path", CONFIGS, ids=lambda path: path.stem)
def test_every_number_of_a_job_that_comes_along_has_unit_origin_and_source(
    path: Path, system: System
) -> None:
    """The issue's check, over every job file of `configs/`."""
    held(read_job(path), system)


@pytest.mark.slow
@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(jobs(), st.sampled_from(["metric", "us"]))
def test_every_number_of_any_plan_has_unit_origin_and_source(job: Job, system: System) -> None:
    """The same over jobs that vary in what changes a plan."""
    held(job, system)


@pytest.mark.parametrize(
    ("value", "left"),
    [
        ("2 h 10 min (40 min to 3 h)", "  ( to )"),
        ("7 rods (7 to 9)", ""),
        ("260 mm x 180 mm", " x "),
        ("204 to 371 °C", ""),
        ("0.572 kJ/mm", ""),
        ("12", "12"),
        ("12 m2", "12 m2"),
        ("50 beads, 5", ", 5"),
    ],
)
def test_the_rule_itself_can_fail(value: str, left: str) -> None:
    """A number without a unit is left over, one with it is not."""
    assert unmeasured(value) == left
