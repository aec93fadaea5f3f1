"""A job file written from answers: read back as typed, defaults shown as they are taken."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer import units
from pacer.errors import UserInputError
from pacer.job.file.draft import completed, drafted, given_in
from pacer.job.file.keys import Key, keys
from pacer.job.file.mistakes import JobFileError
from pacer.job.file.read import job_from_text
from pacer.job.file.typed import Given, typed
from pacer.job.file.values import ValueFault
from pacer.units import System

LEAST: dict[str, Given] = {
    "job.method": "hot",
    "part.metal": "grey iron",
    "part.mass": "3 kg",
}
SYSTEMS: tuple[System, ...] = ("metric", "us")


def sectioned(answers: dict[str, Given]) -> dict[str, dict[str, Any]]:
    """Return answers as TOML's own reader gives them."""
    tables: dict[str, dict[str, Any]] = {}
    for name, value in answers.items():
        section, word = name.split(".")
        tables.setdefault(section, {})[word] = list(value) if isinstance(value, tuple) else value
    return tables


def held(text: str) -> dict[str, dict[str, Any]]:
    """Return what a file's text gives, by TOML's own reader; tables of comments only left out."""
    return {name: table for name, table in tomllib.loads(text).items() if table}


def test_a_welders_own_words_stay_in_the_file_and_a_bare_number_gets_his_unit() -> None:
    """Fractions and Fahrenheit as typed; 1/2 by a welder with US settings is half an inch."""
    wall, preheat, mass = (keys()[name] for name in ("part.wall", "band.preheat", "part.mass"))

    assert typed(wall, "1-1/2 in", "metric").value == "1-1/2 in"
    assert typed(preheat, " 500 degF ", "metric").value == "500 degF"
    assert typed(wall, "1/2", "us") == ("1/2 in", "taken as 1/2 in")
    assert typed(preheat, "500", "us").value == "500 degF"
    assert typed(mass, "3.2", "metric") == ("3.2 kg", "taken as 3.2 kg")
    assert typed(keys()["heating.points"], "4").value == 4
    assert typed(keys()["filler.process"], "TIG").value == "TIG"


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("260 mm x 180 mm x 40 mm", ("260 mm", "180 mm", "40 mm")),
        ("260x180x40", ("260 mm", "180 mm", "40 mm")),
        ("14 × 10 × 1-1/2 in", ("14 in", "10 in", "1-1/2 in")),
        ("26 cm by 180 mm by 40", ("26 cm", "180 mm", "40 mm")),
        ("260 mm, 180 mm, 40 mm", ("260 mm", "180 mm", "40 mm")),
    ],
)
def test_three_sizes_may_be_typed_in_a_row(text: str, sizes: tuple[str, ...]) -> None:
    """One unit at the end holds for all; without any it is the settings' unit."""
    assert typed(keys()["part.size"], text).value == sizes


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("part.wall", "12,5 mm", "decimal comma"),
        ("part.wall", "12 kg", "kg is for a mass"),
        ("part.wall", "thick", "expected a length"),
        ("part.wall", "400", "out of range; write 1 mm to 300 mm"),
        ("part.wall", "1/0", "division by zero"),
        ("band.preheat", "600 F", "F is farad"),
        ("part.metal", "gray iron", 'write "grey iron"'),
        ("part.size", "260 x 180", "expected three lengths"),
        ("part.size", "", "expected three lengths"),
        ("heating.points", "many", "write 1 to 12"),
        ("sensor.url", "/dev/ttyUSB0", "no sensor address"),
        ("filler.process", "glue", "unknown process"),
    ],
)
def test_an_answer_that_cannot_stand_says_what_to_write(name: str, text: str, words: str) -> None:
    """One line, without the value found, which whoever asked puts before it."""
    with pytest.raises(ValueFault, match=re.escape(words)) as caught:
        typed(keys()[name], text)
    assert len(str(caught.value).splitlines()) == 1


def test_a_hostile_title_is_harmless_in_the_file_and_read_back() -> None:
    """Quotes, line ends, escape sequences: a file that a terminal may show as it is (T-18)."""
    title = typed(keys()["job.title"], 'a"\\ \x1b[2J\n[part]\nmetal = "x" # \u202e€').value
    text = drafted({**LEAST, "job.title": title})

    assert all(line.isprintable() for line in text.splitlines())
    assert job_from_text(text, "x").title == title


def values(key: Key) -> st.SearchStrategy[Given]:
    """Return what could be typed for a key, most of it fit for it."""
    if key.kind == "choice":
        return st.sampled_from(key.choices)
    if key.kind == "count":
        return st.integers(1, 12)
    if key.kind == "process":
        return st.sampled_from(["111", "TIG", "stick", "135", "mig"])
    if key.kind == "url":
        return st.sampled_from(["hand:", "practice:", "serial:///dev/ttyUSB0?baud=9600&type=K"])
    if key.kind == "text":
        return st.text(max_size=30).map(str.strip).filter(lambda text: text.isprintable() and text)
    number = st.one_of(
        st.integers(1, 400).map(str),
        st.decimals(0, 400, places=2).map(str),
        st.sampled_from(["1/2", "3/8", "1-1/2", "2 3/4"]),
    )
    kind: Any = "length" if key.kind == "sizes" else key.kind
    unit = st.sampled_from(units.spellings(kind))
    one = st.tuples(number, unit).map(" ".join)
    return st.tuples(one, one, one) if key.kind == "sizes" else one


@pytest.mark.slow
@settings(max_examples=60)
@given(st.data(), st.sampled_from(SYSTEMS))
def test_any_answers_are_read_back_exactly_as_they_were_typed(
    data: st.DataObject, system: System
) -> None:
    """What was answered is given, all else is not; TOML's own reader finds nothing else."""
    names = data.draw(st.lists(st.sampled_from(sorted(keys())), unique=True, max_size=12))
    answers = dict(LEAST)
    for name in names:
        value = data.draw(values(keys()[name]))
        try:
            shown = " x ".join(value) if isinstance(value, tuple) else str(value)
            answers[name] = typed(keys()[name], shown, system).value
        except ValueFault:
            continue
    text = drafted(answers, system)

    assert held(text) == sectioned(answers)
    try:
        job = job_from_text(text, "x", stops=False)
    except JobFileError as error:
        # Values that can't stand together; none that can't be read.
        assert all(len(mistake.keys) > 1 for mistake in error.mistakes), str(error)  # noqa: PT017
        return
    facts = {name: value for name, value in answers.items() if keys()[name].fact}
    assert job.facts == facts
    given_ = {name for name, origin in job.origin.items() if origin == "given"}
    assert given_ == set(answers) - set(facts)


def uncommented(text: str) -> str:
    """Return a file with every default written out: the # before each known value taken away."""
    return re.sub(r'(?m)^# (?=\w+ = (?!.*"…"))', "", text)


def same(left: Any, right: Any, rel: float) -> bool:
    """Compare two jobs as plain data, numbers within `rel`."""
    if isinstance(left, float | int) and isinstance(right, float | int):
        return left == pytest.approx(right, rel=rel, abs=2e-6)
    if isinstance(left, dict):
        return left.keys() == right.keys() and all(same(left[k], right[k], rel) for k in left)
    if isinstance(left, list | tuple):
        return len(left) == len(right) and all(map(lambda a, b: same(a, b, rel), left, right))
    return bool(left == right)


VARIED: list[dict[str, Given]] = [
    {},
    {"job.method": "cold"},
    {"joint.repair": "break", "part.size": ("300 mm", "200 mm", "50 mm"), "part.wall": "1/2 in"},
    {"joint.preparation": "fillet weld", "cooldown.cover": "ceramic blanket"},
    {"joint.preparation": "square", "cooldown.cover": "furnace"},
    {"filler.process": "TIG", "part.wall": "4 mm", "cooldown.cover": "vermiculite"},
    {"joint.preparation": "U", "band.floor": "500 degF", "cooldown.cover": "still air"},
]


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("answers", VARIED, ids=str)
def test_the_defaults_shown_behind_a_mark_are_those_that_are_taken(
    answers: dict[str, Given], system: System
) -> None:
    """Take every # away: the same job, now all of it given, but for rounding in inches."""
    text = drafted({**LEAST, **answers}, system)
    job, spelled = (job_from_text(t, "x") for t in (text, uncommented(text)))
    left, right = (
        msgspec.to_builtins(msgspec.structs.replace(each, origin={})) for each in (job, spelled)
    )

    assert same(left, right, 1e-5 if system == "metric" else 2e-3)
    shown = {name for name, origin in spelled.origin.items() if origin == "given"}
    # Left out of the file is only what has no value, or isn't used.
    for name in set(job.origin) - shown:
        without = ("part.size", "heating.max_rate", "cooldown.max_rate")
        assert name in without or "not used" in job.origin[name], name


def test_every_left_out_line_says_what_is_taken_and_why() -> None:
    """The words of the table of keys, its source too; choices are all named."""
    text = " ".join(drafted(LEAST).replace("#", " ").split())

    assert 'floor = "200 degC"' in text
    assert "200 degC with a target of 260 degC" in text
    assert "row B09 (still red)" in text
    assert "both in the wall | one at an edge | through" in text
    assert "none seen | burns out | keeps coming" in text


def test_a_cold_job_shows_no_key_that_would_be_an_error_in_it() -> None:
    """Design: cold has a ceiling only."""
    text = drafted({**LEAST, "job.method": "cold"})
    assert not re.search(r"^# (preheat|floor|soak|hold) = ", text, re.MULTILINE)
    assert re.search(r'^# ceiling = "60 degC"', text, re.MULTILINE)


BEGUN = """\
# My pump.    Do not touch the spaces.

[part]
metal = 'grey iron'      # by the tests below

[tests]
spark = "few, dull red"  # seen twice
"""


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_completing_a_file_leaves_every_line_of_it_as_it_is(newline: str) -> None:
    """Comments, quotes, spaces, line ends; a value that it gives is not written over."""
    begun = BEGUN.replace("\n", newline)
    answers: dict[str, Given] = {**LEAST, "part.metal": "mild steel", "joint.repair": "patch"}
    text = completed(begun, "x", answers)

    assert f"below{newline}mass = " in text
    assert f"{newline}{newline}[tests]" in text
    rest = iter(text.split(newline))
    assert all(line in rest for line in begun.split(newline)[:-1])
    assert newline == "\n" or text.count("\n") == text.count("\r\n")
    assert held(text) == sectioned(
        {**answers, "part.metal": "grey iron", "tests.spark": "few, dull red"}
    )
    assert job_from_text(text, "x").joint.repair == "patch"
    assert 'wall = "12 mm"' in text
    # A second time there is nothing to say twice.
    again = completed(text, "x", {"sensor.url": "practice:"})
    assert again.count("# wall =") == 1
    assert len(again.splitlines()) <= len(text.splitlines()) + 1


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_new_keys_go_before_a_comment_of_the_next_table(newline: str) -> None:
    """Directly above its heading, a blank line between or none; what is behind a # is no such."""
    heading = "# About the joint,\n# in two lines\n[joint]\nangle = '60 deg'\n\n# Of the sensor\n"
    for own in ('# wall = "…"\n\n', '# wall = "…"\n', "\n", ""):
        begun = f"[part]\nmetal = 'grey iron'\n{own}{heading}[sensor]\nurl = 'practice:'\n"
        added = {**LEAST, "joint.crack_length": "75 mm"}
        made = completed(begun.replace("\n", newline), "x", added).replace(newline, "\n")

        assert held(made)["part"] == {"metal": "grey iron", "mass": "3 kg"}
        assert own.rstrip("\n") in made
        assert made.index("mass = ") < made.index("# About the joint")
        assert "# About the joint,\n# in two lines\n[joint]\n" in made
        assert made.index("crack_length") < made.index("# Of the sensor\n[sensor]\n")


@pytest.mark.slow
@settings(max_examples=10)
@given(st.sets(st.sampled_from(sorted(LEAST))), st.sets(st.sampled_from(sorted(LEAST))))
def test_a_file_completed_in_any_order_gives_the_same_values(
    first: set[str], second: set[str]
) -> None:
    """Begun with some answers, gone on with others, then with all."""
    text = drafted({name: LEAST[name] for name in first})
    for names in (second, set(LEAST)):
        text = completed(text, "x", {name: LEAST[name] for name in names})
    assert given_in(tomllib.loads(text)) == LEAST


@pytest.mark.parametrize(
    "begun", ['part = { metal = "grey iron" }\n', 'part.metal = "grey iron"\n', "", "part = 3\n"]
)
def test_a_file_written_in_an_unusual_way_is_completed_or_left_alone(begun: str) -> None:
    """Inline and dotted tables: either all is right, or one line says what to write."""
    try:
        text = completed(begun, "my.toml", LEAST)
    except UserInputError as error:
        assert len(str(error).splitlines()) == 1  # noqa: PT017
        assert str(error).startswith("my.toml: can't be added to")  # noqa: PT017
    else:
        assert held(text) == sectioned(LEAST)
