"""The sheet as text and as JSON: order of sections, numbered steps, marks, origins."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from varied import PHASES, jobs

from pacer.job.file.read import job_from_text, read_job
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.forms.as_json import page_json
from pacer.job.sheet.forms.footnotes import LEGEND
from pacer.job.sheet.forms.text import text_lines
from pacer.job.sheet.records import Drawing, Entry, Section, Source, Step
from pacer.job.sheet.whole import title, whole
from pacer.units import Shown, System

EXAMPLE = Path(__file__).parents[3] / "configs" / "pump-foot-hot-sand.toml"
PRACTICE = Source("common practice, no source")
SMALL = (
    Section(
        "small",
        "A heading",
        (
            Entry("wall", "12 mm", "given", key="part.wall"),
            Entry("soak", "20 min", "default", "common practice, no source", "band.soak"),
            Step("Clean it.", mark="do"),
            Step("That is a note.", (Source("from memory", "a page", "X99"), PRACTICE)),
            Step("Shops say so.", (PRACTICE,)),
            Step("Dry it.", mark="do"),
            Step("No weld.", mark="stop"),
            Step("Choose.", mark="decide"),
            Step("Braze it.", mark="not paced"),
            Drawing("Groove", ("  \\  /", "   \\/"), "section"),
        ),
    ),
)
"Invented."


def test_text_numbers_the_steps_and_marks_what_stands_out() -> None:
    """Only things to do are numbered; stops and decisions stand out by a word."""
    assert text_lines(SMALL) == [
        "",
        "A heading",
        "  wall                 12 mm            given",
        "  soak                 20 min           default: common practice, no source",
        "  1. Clean it.",
        "  That is a note. (from memory [1]; common practice)",
        "  Shops say so. (common practice)",
        "  2. Dry it.",
        "  STOP: No weld.",
        "  DECIDE: Choose.",
        "  NOT PACED: Braze it.",
        "  Groove",
        "    \\  /",
        "     \\/",
        "",
        "Sources",
        "  From memory: [1] a page (X99).",
        f"  {LEGEND}",
    ]


def test_a_value_wider_than_its_column_is_broken_and_its_remark_stands_below() -> None:
    """No line of a terminal is overrun by a long answer."""
    long = (Section("s", "H", (Entry("oil", "wiped and heated again " * 4, "given"),)),)

    lines = text_lines(long)
    assert all(len(line) <= 80 for line in lines)
    assert lines[2].startswith("  oil                  wiped and")
    assert lines[3].startswith(" " * 25)
    assert " ".join(lines[2:]).split()[-1] == "given"


def test_json_says_of_each_line_what_it_is() -> None:
    """The members of the three kinds are a contract."""
    (section,) = json.loads(json.dumps(page_json(SMALL)))

    assert (section["name"], section["heading"]) == ("small", "A heading")
    first, *_, last = section["lines"]
    assert first == {
        "kind": "entry",
        "label": "wall",
        "value": "12 mm",
        "origin": "given",
        "why": "",
        "key": "part.wall",
    }
    assert section["lines"][2] == {"kind": "step", "text": "Clean it.", "source": "", "mark": "do"}
    # In full, wherever it is used: an object has no list at its end.
    assert section["lines"][3]["source"] == (
        "row X99: a page; from memory; common practice, no source"
    )
    assert last == {
        "kind": "drawing",
        "title": "Groove",
        "lines": ["  \\  /", "   \\/"],
        "name": "section",
    }


def test_the_sections_stand_in_the_order_of_the_bench() -> None:
    """First whether to weld at all, last what only the record needs."""
    job = read_job(EXAMPLE)
    names = [section.name for section in whole(plan(job), job, Shown())]

    assert names == [
        "gate", "short", "method", "part", "repair", "preparation", "joint", "filler", "temperatures",
        "beads", "forecasts", "afterwards", "at hand", "cautions", "specification", "record",
    ]  # fmt: skip


def test_what_is_to_be_decided_has_a_section_where_there_is_something() -> None:
    """A torch is worth a word; the example job needs none."""
    text = EXAMPLE.read_text("utf-8").replace('with = "gas grill"', 'with = "torch"')
    job = job_from_text(text, "x")
    sections = {section.name: section for section in whole(plan(job), job, Shown())}

    (line,) = sections["decide"].lines
    assert isinstance(line, Step)
    assert line.mark == "decide"
    assert "worst spread" in line.text


@pytest.mark.parametrize(
    "hostile", ["\\u001b]0;x\\u0007", "\\u202eevil", "<script>alert(1)</script>"]
)
def test_no_foreign_text_steers_the_terminal(hostile: str) -> None:
    """Title and facts: printable, on one line each."""
    text = EXAMPLE.read_text("utf-8").replace("Pump casing", f"Pump {hostile}")
    text = text.replace('cause = "frost"', f'cause = "{hostile}"')
    job = job_from_text(text, "x")

    lines = [title(job), *text_lines(whole(plan(job), job, Shown()))]
    assert all(line.isprintable() for line in lines)


@pytest.mark.slow
@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(jobs(), st.sampled_from(["metric", "us"]))
def test_every_plan_fits_a_terminal(job: Job, system: System) -> None:
    """80 columns of printable signs, drawings too."""
    lines = [title(job), *text_lines(whole(plan(job), job, Shown(system)))]

    assert [line for line in lines if len(line) > 80 or not line.isprintable()] == []
