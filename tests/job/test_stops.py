"""What stops a plan: each answer, who is to be asked, and that a run refuses it in one line."""

from __future__ import annotations

from pathlib import Path

import pytest
from commands import run_script

from pacer.errors import UserInputError
from pacer.job.file.keys import keys
from pacer.job.file.read import job_from_text
from pacer.job.sheet import gate
from pacer.job.stops import FACTS, questions, stops

LEAST = '[job]\nmethod = "{method}"\n[part]\nmetal = "{metal}"\nmass = "3 kg"\n{part}\n{rest}\n'

# Procedure notes section 10, one row for each stop it lists: lines of [part], other lines, metal,
# the key it is told at, and who is asked.
STOPS = [
    ("", "", "white iron", "part.metal", "foundry"),
    ('iron = "burnt"', "", "grey iron", "part.iron", "foundry"),
    ('iron = "grown"', "", "grey iron", "part.iron", "part's maker"),
    ('oil = "keeps coming"', "", "grey iron", "part.oil", "qualified welding engineer"),
    ('service = "pressure"', "", "grey iron", "part.service", "licensed inspector"),
    ('service = "fuel"', "", "grey iron", "part.service", "licensed gas or fuel fitter"),
    ('service = "lifting"', "", "grey iron", "part.service", "maker of the lifting gear"),
    ('service = "brake or steering"', "", "grey iron", "part.service", "licensed workshop"),
    ('service = "at speed"', "", "grey iron", "part.service", "machine's maker"),
    ('service = "overhead"', "", "grey iron", "part.service", "qualified welding engineer"),
    ("", '[history]\nload = "will return"', "grey iron", "history.load", "qualified engineer"),
    ("", '[heating]\neven = "no"', "grey iron", "heating.even", "a shop with a furnace"),
]  # fmt: skip
IDS = [f"{row[3]}-{(row[0] or row[1] or row[2]).split('=')[-1].strip()}" for row in STOPS]


def text(part: str, rest: str, metal: str, method: str = "hot") -> str:
    """Return a job file."""
    return LEAST.format(method=method, metal=metal, part=part, rest=rest)


@pytest.mark.parametrize(("part", "rest", "metal", "key", "asked"), STOPS, ids=IDS)
def test_each_stop_is_one_line_that_says_why_whom_to_ask_and_what_else(
    part: str, rest: str, metal: str, key: str, asked: str
) -> None:
    """Key and answer first; every way out but the cold method is said not to be paced."""
    with pytest.raises(UserInputError) as caught:
        job_from_text(text(part, rest, metal), "my.toml")

    (line,) = str(caught.value).splitlines()
    assert line.startswith("my.toml:")
    assert f": {key} = " in line
    assert asked in line.split("; ask ")[1]
    assert "not paced by this program" in line.split("; instead: ")[1]


@pytest.mark.parametrize(("part", "rest", "metal", "key", "asked"), STOPS, ids=IDS)
def test_a_job_with_a_stop_is_still_read_for_its_page(
    part: str, rest: str, metal: str, key: str, asked: str
) -> None:
    """The page needs the job; the stop found is the one of its key."""
    job = job_from_text(text(part, rest, metal), "my.toml", stops=False)

    assert [stop.key for stop in gate.stops_of(job)] == [key]


def test_a_page_for_stops_still_complains_of_other_mistakes() -> None:
    """Only what stops a plan is let through."""
    with pytest.raises(UserInputError, match="deeper than the wall"):
        job_from_text(
            text('service = "lifting"\nwall = "5 mm"', '[joint]\ndepth = "9 mm"', "grey iron"),
            "my.toml",
            stops=False,
        )


def test_uneven_heat_stops_the_hot_method_only() -> None:
    """The cold method needs no heat."""
    cold = text("", '[heating]\neven = "no"', "grey iron", method="cold")

    assert job_from_text(cold, "my.toml").method == "cold"
    assert stops("grey iron", "none", "hot", {"heating.even": "no"})
    assert not stops("grey iron", "none", "cold", {"heating.even": "no"})


def test_several_stops_are_all_told() -> None:
    """Each its line, so that none is met only after the first was mended."""
    with pytest.raises(UserInputError) as caught:
        job_from_text(text('service = "at speed"', '[heating]\neven = "no"', "white iron"), "x")

    assert len(str(caught.value).splitlines()) == 3


def test_every_question_is_about_a_key_and_answers_that_it_has() -> None:
    """A stop for an answer nobody can give would never stop anything."""
    for question in questions():
        key = keys()[question.key]
        assert set(question.stops) <= set(key.choices), question.key
        if key.fact:
            assert question.key in FACTS
    service = keys()["part.service"]
    (asked,) = [question for question in questions() if question.key == "part.service"]
    assert set(asked.stops) == set(service.choices) - {"none"}


@pytest.mark.slow
def test_a_run_of_such_a_job_is_refused_before_anything_is_recorded(tmp_path: Path) -> None:
    """Exit 2 and the stop's line, no traceback, no recording."""
    job, out = tmp_path / "job.toml", tmp_path / "out.jsonl"
    job.write_text(text('service = "lifting"', "", "grey iron"), "utf-8")
    done = run_script(job, out, "")

    assert done.code == 2
    assert 'part.service = "lifting": out of scope' in done.err
    assert "Traceback" not in done.err
    assert not out.exists()
