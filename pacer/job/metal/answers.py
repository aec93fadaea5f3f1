"""Answers of shop tests out of a file or an option, each checked; complaints are one line each.

A file is a bare table of `ring = "dull thud"` lines, or has them under `[tests]`, as a
job file does. `tests.left`, what was found earlier, is passed over: it is found anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pacer.errors import UserInputError
from pacer.job.file.toml_text import lines_of, parse_table, read_text
from pacer.job.file.values import closest, shown
from pacer.job.metal.shop_tests import ShopTest, meant, shop_test, shop_tests
from pacer.text import clean

LEFT = "left"
"The key of `[tests]` that is no test but what was found."


def read_answers(path: str | Path) -> dict[str, str]:
    """Return the answers of a file, in the order of the tests.

    Raises UserInputError with a line for each mistake: file and line, what was found, what
    is expected.
    """
    name = clean(str(path))
    if not Path(path).exists():
        raise UserInputError(
            f'{name}: no such file; expected answers such as ring = "dull thud", a line each'
        )
    text = read_text(path)
    table = parse_table(text, name)
    in_tests = "tests" in table
    if not in_tests and any(isinstance(value, dict) for value in table.values()):
        raise UserInputError(f"{name}: no [tests] table; expected the answers under one")
    if in_tests:
        _none_outside(table, name, text)
    return _checked(table["tests"] if in_tests else table, name, text, in_tests=in_tests)


def _none_outside(table: Mapping[str, Any], name: str, text: str) -> None:
    """Raise for a line that stands above every table where there is a `[tests]`."""
    lines, tests, wrong = lines_of(text), table["tests"], []
    for key, value in table.items():
        if isinstance(value, dict | list) or key == "tests":
            continue
        at = f"{name}:{lines[key]}" if key in lines else name
        twice = isinstance(tests, dict) and key in tests
        why = "given twice, here and under [tests]" if twice else "expected under [tests]"
        wrong.append(f"{at}: {clean(key, 60)} = {shown(value)}: {why}")
    if wrong:
        raise UserInputError("\n".join(wrong))


def answers_in_job(text: str, name: str) -> dict[str, str]:
    """Return the answers in a job file's text; without a `[tests]` table there are none.

    Raises UserInputError as `read_answers` does.
    """
    return _checked(parse_table(text, name).get("tests", {}), name, text, in_tests=True)


def answer_given(text: str) -> tuple[str, str]:
    """Return test and answer of `ring=dull thud`.

    Raises UserInputError, one line.
    """
    name, sign, word = text.partition("=")
    if not sign:
        raise UserInputError(f'--set "{clean(text, 60)}": expected TEST=ANSWER, ring="dull thud"')
    name = name.strip().removeprefix("tests.")
    try:
        test = _test(name)
        return test.name, _word(test, word)
    except _Wrong as wrong:
        raise UserInputError(f'--set {clean(name, 40)}="{clean(word, 60)}": {wrong}') from None


class _Wrong(Exception):
    """What is wrong with one answer, and what is expected."""


def _checked(table: Any, name: str, text: str, *, in_tests: bool) -> dict[str, str]:
    if not isinstance(table, Mapping):
        raise UserInputError(f"{name}: tests = {shown(table)}: expected a table, [tests]")
    lines, found, wrong = lines_of(text), {}, []
    for key, value in table.items():
        if key == LEFT and in_tests:
            continue
        full = f"tests.{key}" if in_tests else key
        try:
            test = _test(key)
            found[test.name] = _word(test, value)
        except _Wrong as problem:
            at = f"{name}:{lines[full]}" if full in lines else name
            wrong.append(f"{at}: {clean(full, 60)} = {shown(value)}: {problem}")
    if wrong:
        raise UserInputError("\n".join(wrong))
    return {test.name: found[test.name] for test in shop_tests() if test.name in found}


def _test(name: str) -> ShopTest:
    test = shop_test(name)
    if test is None:
        known = [one.name for one in shop_tests()]
        near = closest(name, known)
        raise _Wrong(
            f"no such test; did you mean {near}?"
            if near
            else f"no such test; tests are {', '.join(known)}"
        )
    return test


def _word(test: ShopTest, value: object) -> str:
    known = [answer.word for answer in test.answers]
    if isinstance(value, str):
        if answer := meant(test, value):
            return answer.word
        if near := closest(value, known):
            raise _Wrong(f'no answer of this test; did you mean "{near}"?')
    words = ", ".join(f'"{word}"' for word in known)
    raise _Wrong(f"expected one of {words}; leave the line out if it was not done")
