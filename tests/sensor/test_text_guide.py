"""The page `lines` of the guide says what the decoder does: its own examples are read."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest
from lines_in import numbers, one

PAGE = files("pacer.guide").joinpath("lines.md").read_text(encoding="utf-8")


def rows(heading: str) -> list[tuple[str, str]]:
    """Return both columns of the table under a heading; the page's first has none."""
    table = PAGE.partition(heading)[2].partition("|---|---|\n")[2].partition("\n\n")[0]
    cells = (line.strip("|").split(" | ") for line in table.splitlines())
    return [(left.strip(), right.strip()) for left, right in cells]


SENT = [code for left, _ in rows("# Lines") for code in re.findall("`([^`]+)`", left)]


@pytest.mark.parametrize("line", SENT)
def test_every_line_of_the_first_table_is_read(line: str) -> None:
    """With the names and units that it shows."""
    reading = one(line.encode())

    assert reading.status == "ok"
    assert len(numbers(reading)) == len(re.findall(r"(?<![a-zA-Z])[0-9.]+", line))


def test_every_fault_word_of_the_page_is_told_as_the_page_says() -> None:
    """Two rows of words and one of errors."""
    codes = {"open circuit": "open", "short circuit": "short"}
    told = {right: left for left, right in rows("## No reading")}

    for meaning, code in codes.items():
        words = [word for word in told[meaning].split(", ") if word.isupper() or word[0] == "-"]
        assert words
        assert {code} == {one(word.encode()).status for word in words}
    (errors,) = (left for right, left in told.items() if "of what" in right)
    assert {"unparsable"} == {one(word.encode()).status for word in errors.split(", ")}


def test_what_the_page_refuses_is_refused() -> None:
    """Sentences of the page, in its order."""
    for line in ("300F", "12C", "65 A", "45 %", "3.7 V", "3,5", "1234,300.5"):
        assert f"`{line}`" in PAGE
        assert numbers(one(line.encode())) == []
