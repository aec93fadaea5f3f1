"""What shop tests found goes into a job file: answers with evidence, comments kept."""

from __future__ import annotations

import tomllib

import pytest
from conftest import HOT
from hypothesis import given
from hypothesis import strategies as st
from published import column

from pacer.errors import UserInputError
from pacer.job.file.read import job_from_text
from pacer.job.job import Metal
from pacer.job.metal.answers import answers_in_job
from pacer.job.metal.evidence import identified
from pacer.job.metal.into_job import contradicts, kept, metal_named, written
from pacer.job.metal.tests import METALS, shop_tests

WORDS = {test.name: [answer.word for answer in test.answers] for test in shop_tests()}
ANSWERS = st.fixed_dictionaries(
    {}, optional={name: st.sampled_from(words) for name, words in WORDS.items()}
)
GREY = {"ring": "dull thud", "chip": "small, crumbling", "rub": "dark mark"}
COMMENTS = ["# top", "# weighed twice", "# before the table", "# of the ring", "# end"]
COMMENTED = """\
# top
[part]
metal = "unknown"
mass = "3.2 kg"   # weighed twice

# before the table
[tests]
ring = "clear, long" # of the ring

[joint]
crack_length = "75 mm"
# end
"""


def _written(text: str, answers: dict[str, str], chosen: Metal | None = None) -> str:
    return written(text, answers, identified(answers), chosen)


@given(ANSWERS, ANSWERS, st.sampled_from([None, *METALS]))
def test_the_result_round_trips_and_comments_stay(
    first: dict[str, str], second: dict[str, str], chosen: Metal | None
) -> None:
    """Written twice over, the file holds the last answers, and every comment of the user."""
    once = _written(COMMENTED, first | {"ring": "dull thud"})
    twice = _written(once, second | {"ring": "dull thud"}, chosen)
    read = tomllib.loads(twice)

    assert answers_in_job(twice, "j") == second | {"ring": "dull thud"}
    assert read["part"]["mass"] == "3.2 kg"
    assert read["joint"] == {"crack_length": "75 mm"}
    assert all(comment in twice for comment in COMMENTS)
    assert twice == _written(twice, second | {"ring": "dull thud"}, chosen)


@given(ANSWERS)
def test_a_new_file_is_minimal_and_holds_the_evidence(answers: dict[str, str]) -> None:
    """One line a test, with who says so behind it."""
    made = _written("", answers)

    assert set(tomllib.loads(made)) == {"part", "tests"}
    assert answers_in_job(made, "j") == answers
    for name, word in answers.items():
        line = next(line for line in made.splitlines() if line.startswith(f"{name} = "))
        test = next(test for test in shop_tests() if test.name == name)
        answer = test.answer(word)
        assert answer is not None
        if answer.fits:
            assert answer.status in line
            assert all(metal in line for metal in answer.fits)


@pytest.mark.parametrize("metal", [metal for metal in METALS if metal != "white iron"])
def test_a_file_begun_by_the_tests_is_a_job_when_the_rest_is_there(metal: Metal) -> None:
    """The facts come back from the reader of job files, the metal too."""
    answers = column(metal, grade=True)
    job = job_from_text(_written(HOT.replace('metal = "grey iron"\n', ""), answers), "j.toml")

    assert job.part.metal == metal
    assert {key.removeprefix("tests."): word for key, word in job.facts.items()} == {
        **answers,
        "left": metal,
    }
    assert contradicts(job) == []


def test_a_metal_of_the_file_stays_and_that_is_told() -> None:
    """Never silently: only a chosen metal takes the place of one that was given."""
    found = identified(column("ductile iron"))

    assert '\nmetal = "grey iron"\n' in _written(HOT, column("ductile iron"))
    assert "ductile iron" in (kept(HOT, found, None) or "")
    assert kept(HOT, found, "ductile iron") is None
    assert kept(HOT, identified(column("grey iron")), None) is None
    assert kept(HOT, identified({"ring": "clear, long"}), None) is None
    chosen = _written(HOT, column("ductile iron"), "ductile iron")
    assert tomllib.loads(chosen)["part"]["metal"] == "ductile iron"


def test_unknown_is_written_over_when_one_metal_is_left_and_only_then() -> None:
    """Several left: the metal is unknown."""
    unknown = HOT.replace('"grey iron"', '"unknown"')
    one, several = column("grey iron"), {"ring": "dull thud"}

    assert tomllib.loads(_written(unknown, one))["part"]["metal"] == "grey iron"
    assert tomllib.loads(_written(unknown, several))["part"]["metal"] == "unknown"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("part = 3\n", "part = 3: expected a table, [part]"),
        ("tests = 'all'\n", 'tests = "all": expected a table, [tests]'),
    ],
)
def test_a_file_that_has_no_tables_is_left_alone(text: str, said: str) -> None:
    """One line, and nothing is written."""
    with pytest.raises(UserInputError, match=r"^job file: ") as caught:
        _written(text, GREY)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        'tests = {ring = "clear, long"}\n[part]\nmetal = "unknown"\n',
        'part.metal = "unknown"\ntests.ring = "clear, long"\n[joint]\nangle = "60 deg"\n',
        '[part]\r\nmetal = "unknown"\r\n[tests]\r\nring = "clear, long"\r\n',
        '[tests]\nring = "clear, long"',
        '[tests]\n[joint]\nangle = "60 deg"\n',
    ],
)
def test_other_ways_of_writing_the_same_are_read_back(text: str) -> None:
    """Inline, dotted, with other line ends, without the last one."""
    assert answers_in_job(_written(text, GREY), "j") == GREY


def test_a_plan_is_warned_where_its_tests_speak_against_its_metal() -> None:
    """Ruled out, doubted, not known, and white iron not excluded."""

    def said(answers: dict[str, str]) -> list[str]:
        lines = "".join(f'{name} = "{word}"\n' for name, word in answers.items())
        return contradicts(job_from_text(f"{HOT}[tests]\n{lines}", "j.toml"))

    assert said(GREY) == []
    assert "doubts it" in said({"ring": "clear, long"})[0]
    assert "rule it out" in said({"ring": "clear, long", "chip": "long curl"})[0]
    assert said({"ring": "like a bell"}) == [
        'tests.ring: "like a bell" is no answer of this test and says nothing; '
        "pacer identify asks them"
    ]
    assert "white iron" in said({"ring": "high, sharp"})[-1]


def test_a_metal_is_named_in_any_case_and_nothing_else_is_taken() -> None:
    """One line with all of them."""
    assert metal_named(" Grey  IRON ", "--metal") == "grey iron"
    with pytest.raises(UserInputError, match=r'^--metal "brass": expected one of grey iron, '):
        metal_named("brass", "--metal")
