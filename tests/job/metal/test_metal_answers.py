"""Answers out of files and options; each mistake is one line with what is expected."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import HOT

from pacer.errors import UserInputError
from pacer.job.metal.answers import answer_given, answers_in_job, read_answers


def _file(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "a.toml"
    path.write_text(text)
    return path


@pytest.mark.parametrize(
    "text",
    [
        'ring = "dull thud"\nfile = "slides"\n',
        '[tests]\nring = "dull thud"\nfile = "slides"\nleft = "anything"\n',
        f'{HOT}[tests]\nfile = "Slides"\nring = " dull  THUD "\n',
    ],
)
def test_a_bare_table_and_a_job_file_are_read_alike(tmp_path: Path, text: str) -> None:
    """In the order of the tests, in their own spelling; what was left earlier is passed over."""
    assert list(read_answers(_file(tmp_path, text)).items()) == [
        ("file", "slides"),
        ("ring", "dull thud"),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('\nring = "dul thud"\n', 'a.toml:2: ring = "dul thud": no answer of this test; did you'),
        ("[tests]\nfile = 3\n", 'a.toml:2: tests.file = 3: expected one of "cuts easily", "cuts'),
        ('rnig = "dull thud"\n', 'a.toml:1: rnig = "dull thud": no such test; did you mean ring?'),
        ('x = "y"\n', 'a.toml:1: x = "y": no such test; tests are marking, surface, '),
        ("tests = 4\n", "a.toml: tests = 4: expected a table, [tests]"),
        ('[part]\nmetal = "unknown"\n', "a.toml: no [tests] table; expected the answers under"),
        ("ring = dull\n", "a.toml:1: not TOML"),
        ('left = "grey iron"\n', 'a.toml:1: left = "grey iron": no such test'),
    ],
)
def test_a_mistake_is_one_line_with_what_is_expected(tmp_path: Path, text: str, said: str) -> None:
    """File, line, key, what was found, what is expected; the nearest is named."""
    with pytest.raises(UserInputError) as caught:
        read_answers(_file(tmp_path, text))

    lines = str(caught.value).splitlines()
    assert len(lines) == 1
    assert said in lines[0]


def test_all_mistakes_are_told_at_once(tmp_path: Path) -> None:
    """A line for each."""
    with pytest.raises(UserInputError) as caught:
        read_answers(_file(tmp_path, 'ring = "x"\nrub = "\\u001b[2J"\nchip = true\n'))

    assert [line.split(": ")[1].split(" =")[0] for line in str(caught.value).splitlines()] == [
        "ring",
        "rub",
        "chip",
    ]
    assert "\x1b" not in str(caught.value)


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    """And what one looks like."""
    with pytest.raises(UserInputError, match=r"none.toml: no such file; expected answers such as"):
        read_answers(tmp_path / "none.toml")


def test_a_job_without_tests_has_no_answers() -> None:
    """Nothing was tested yet."""
    assert answers_in_job(HOT, "hot.toml") == {}


def test_an_option_names_test_and_answer() -> None:
    """`--set ring=…`, with or without the table's name."""
    assert answer_given("ring=dull thud") == ("ring", "dull thud")
    assert answer_given("tests.rub = No Mark") == ("rub", "no mark")
    for text in ("ring", "ring=", "bell=dull thud", "ring=\x1b[2J"):
        with pytest.raises(UserInputError, match=r"^--set ") as caught:
            answer_given(text)
        assert "\x1b" not in str(caught.value)
