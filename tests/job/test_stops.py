"""What stops a plan: each answer, who is to be asked, and that a run refuses it in one line."""

from __future__ import annotations

from pathlib import Path

import pytest
from commands import run_script

from pacer.errors import UserInputError
from pacer.job.file.keys import keys
from pacer.job.file.read import job_from_text
from pacer.job.sheet.sections import gate
from pacer.job.stops import FACTS, questions, stops
from pacer.trade.rows import row

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


# What a file's own shop tests say, its metal being grey iron by its owner's word. Row W08.
LEFT_ALONE = {
    "fracture": "silvery white, silky",
    "file": "slides",
    "chip": "tiny, very hard to cut",
}


def told(answers: dict[str, str]) -> str:
    """Return the table of shop tests of a job file."""
    return "[tests]\n" + "".join(f'{test} = "{word}"\n' for test, word in answers.items())


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        (LEFT_ALONE, "white iron is all that the shop tests leave"),
        ({"file": "slides"}, "not ruled out: do not weld before it is"),
        ({"file": " Slides "}, "not ruled out: do not weld before it is"),
        ({"rub": "no mark", "chip": "small, crumbling"}, "not ruled out: do not weld before it is"),
        # A mark and a rub on paper, both from memory, don't outweigh fracture (a text) and file.
        (
            {
                "fracture": "silvery white, silky",
                "file": "slides",
                "marking": "GJL, GG or class 20-60",
                "rub": "dark mark",
            },
            'rub "dark mark" speak against it, from memory only',
        ),
    ],
)
@pytest.mark.parametrize("metal", ["grey iron", "unknown", "ductile iron"])
def test_white_iron_by_the_files_own_tests_stops_whatever_metal_it_names(
    metal: str, answers: dict[str, str], said: str
) -> None:
    """Once and in one line that names the tests, at the line of the metal."""
    with pytest.raises(UserInputError) as caught:
        job_from_text(text("", told(answers), metal), "my.toml")

    (line,) = str(caught.value).splitlines()
    assert line.startswith(f'my.toml:4: part.metal = "{metal}": under [tests] ')
    assert said in line
    assert all(test in line for test in answers if test != "chip" or answers is LEFT_ALONE)
    assert "pacer identify" in line
    job = job_from_text(text("", told(answers), metal), "my.toml", stops=False)
    assert [stop.key for stop in gate.stops_of(job)] == ["part.metal"]


@pytest.mark.parametrize(
    "answers",
    [
        {},
        {"rub": "no mark"},
        {"ring": "dull thud", "chip": "small, crumbling"},
        {"fracture": "white rim, dark centre"},
        {"ring": "high, sharp", "chip": "long curl", "fracture": "dark grey, porous"},
        {"file": "no answer of it"},
        {"left": "white iron"},
    ],
)
def test_tests_that_rule_white_iron_out_or_say_nothing_of_it_stop_nothing(
    answers: dict[str, str],
) -> None:
    """A stop for every job would soon be read by nobody."""
    assert job_from_text(text("", told(answers), "grey iron"), "my.toml").method == "hot"


def test_a_metal_said_to_be_white_iron_stops_once() -> None:
    """By the welder's word and by the tests alike: one line."""
    with pytest.raises(UserInputError) as caught:
        job_from_text(text("", told(LEFT_ALONE), "white iron"), "my.toml")

    assert len(str(caught.value).splitlines()) == 1


def test_white_iron_has_one_advice_everywhere() -> None:
    """W08 says unweldable, no more: bolt or replace is common practice, of brazing nothing was seen."""
    advice = row("metals", "white iron")
    (stop,) = stops("white iron", "none", "hot", {})

    assert (advice.status, "W08" in advice.source) == ("common practice", True)
    for words in (advice.about, stop.instead):
        assert "bolt a plate over it or replace it" in words
        assert "braz" not in words


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
@pytest.mark.parametrize(
    ("part", "rest", "said"),
    [
        ('service = "lifting"', "", 'part.service = "lifting": out of scope'),
        ("", told(LEFT_ALONE), 'part.metal = "grey iron": under [tests] white iron is all'),
    ],
)
def test_a_run_of_such_a_job_is_refused_before_anything_is_recorded(
    tmp_path: Path, part: str, rest: str, said: str
) -> None:
    """Exit 2 and the stop's line, no traceback, no recording."""
    job, out = tmp_path / "job.toml", tmp_path / "out.jsonl"
    job.write_text(text(part, rest, "grey iron"), "utf-8")
    done = run_script(job, out, "")

    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err
    assert not out.exists()
