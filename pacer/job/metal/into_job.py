"""What shop tests found, written into the text of a job file.

`[tests]` holds each answer with its evidence in a comment, and what is left. A comment of
ours begins with a mark and is written anew; the user's own stay, before it. A metal that the
welder wrote is never changed unless one was chosen; one that the tests wrote follows them.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from pacer.errors import UserInputError
from pacer.job.file.toml_tables import before_next_table
from pacer.job.file.toml_text import ended, with_line_ends_of
from pacer.job.file.values import shown
from pacer.job.job import Metal
from pacer.job.metal.answers import LEFT
from pacer.job.metal.identified import Identified
from pacer.job.metal.shop_tests import METALS, Answer, shop_tests
from pacer.text import clean

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

_OPENING = """\
# A job file of pacer, begun by its shop tests. pacer new asks the rest.

"""
NONE_LEFT = "none, the answers contradict each other"
_MARK = "pacer: "
"So a comment of ours begins, or the part of one behind the user's own."
_OURS = re.compile(r"\s*#\s*(pacer: .*)$")
_BY_TESTS = "by shop tests, see [tests]"


def metal_for(
    has: str | None, found: Identified, chosen: Metal | None, *, by_tests: bool = False
) -> Metal | None:
    """Return the metal to write over what the file has; None: what it has stays.

    `by_tests`: the tests wrote what it has, so it goes when they settle it no longer.

    >>> from pacer.job.metal.identified import identified
    >>> metal_for("grey iron", identified({}), None) is None
    True
    >>> metal_for("grey iron", identified({}), None, by_tests=True)
    'unknown'
    """
    if chosen is not None:
        return chosen
    if has in (None, "unknown") or by_tests:
        return found.metal
    return None


def metal_in(text: str) -> str | None:
    """Return `part.metal` of a job file's text, cleaned; None where it has none."""
    part = tomllib.loads(text).get("part")
    metal = part.get("metal") if isinstance(part, dict) else None
    return clean(metal, 40) if isinstance(metal, str) else None


def metal_told(text: str, found: Identified, chosen: Metal | None) -> str | None:
    """Return the line about a metal of the file that isn't what the tests settle, or was theirs.

    `text` is the file's before it was `written`.
    """
    has = metal_in(text)
    if has in (None, "unknown", found.metal) or chosen is not None:
        return None
    left = ", ".join(found.left) or NONE_LEFT
    if not _by_tests(text):
        return f'part.metal stays "{has}"; shop tests leave: {left}. --metal NAME changes it.'
    return f'part.metal: "{found.metal}", no more "{has}" as by earlier tests; left: {left}.'


def _by_tests(text: str) -> bool:
    """Return whether the tests wrote the file's metal: our comment names the same one."""
    import tomlkit

    has = metal_in(text)
    if has is None:
        return False
    # Both readers took it for a table; a metal in braces has no comment.
    part: Any = tomlkit.parse(text)["part"]
    ours = _OURS.search(part["metal"].trivia.comment)
    return ours is not None and ours[1] == f"{_MARK}{has} {_BY_TESTS}"


def written(
    text: str,
    answers: Mapping[str, str],
    found: Identified,
    chosen: Metal | None = None,
    name: str = "job file",
) -> str:
    """Return the job file's text with answers, what is left, and the metal where it is settled.

    An empty text makes a new, minimal file. Raises UserInputError, one line, where the text
    can't be changed without changing more than was meant.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    before = tomllib.loads(text)
    for table in ("part", "tests"):
        if not isinstance(before.get(table, {}), dict):
            raise UserInputError(
                f"{name}: {table} = {shown(before[table])}: expected a table, [{table}]"
            )
    try:
        expected = _expected(before, answers, found, chosen, by_tests=_by_tests(text))
        document = tomlkit.parse(ended(text) or _OPENING)
        if chosen is not None or expected["part"] != before.get("part"):
            _set_metal(document, expected["part"]["metal"], chosen is not None)
        _set_tests(document, answers, expected["tests"][LEFT])
        made = with_line_ends_of(text, tomlkit.dumps(document))
        sound = tomllib.loads(made) == expected
    except (TOMLKitError, tomllib.TOMLDecodeError, KeyError, TypeError, ValueError) as error:
        # The two TOML readers do not agree about every corner; the file is left alone.
        raise UserInputError(f"{name}: can't be rewritten: {clean(str(error), 200)}") from None
    if not sound:
        raise UserInputError(
            f"{name}: can't be rewritten without changing more than [tests] and part.metal; "
            "write plain [part] and [tests] tables"
        )
    return made


def _expected(
    before: dict[str, Any],
    answers: Mapping[str, str],
    found: Identified,
    chosen: Metal | None,
    *,
    by_tests: bool,
) -> dict[str, Any]:
    """Return what the new file must read as: nothing else may change."""
    part = before.get("part", {})
    has = part.get("metal")
    metal = metal_for(has if isinstance(has, str) else None, found, chosen, by_tests=by_tests)
    tests = {name: answers[name] for name in (t.name for t in shop_tests()) if name in answers}
    tests[LEFT] = ", ".join(found.left) or NONE_LEFT
    return {**before, "part": {**part, "metal": metal or has}, "tests": tests}


def _set_metal(document: TOMLDocument, metal: str, chosen: bool) -> None:
    import tomlkit

    if "part" not in document:
        document.add("part", tomlkit.table())
    how = "chosen by the welder; what shop tests found is in [tests]" if chosen else _BY_TESTS
    with before_next_table(document, "part") as part:
        _set(part, "metal", metal, f"{metal} {how}")


def _set_tests(document: TOMLDocument, answers: Mapping[str, str], left: str) -> None:
    import tomlkit

    if "tests" not in document:
        document.add("tests", tomlkit.table())
    with before_next_table(document, "tests") as tests:
        for key in [key for key in tests if key not in answers and key != LEFT]:
            tests.remove(key)
        for test in shop_tests():
            word = answers.get(test.name)
            answer = test.answer(word) if word is not None else None
            if answer is not None:
                _set(tests, test.name, answer.word, evidence_told(answer))
        _set(tests, LEFT, left, "what these leave of the six metals, by pacer identify")


def _set(table: Any, key: str, value: str, comment: str) -> None:
    """Set a value and our comment behind it; a comment of the user's stays before ours."""
    from tomlkit.items import InlineTable

    had = table[key].trivia.comment if key in table else ""
    said = f"{_OURS.sub('', had)} # {_MARK}{clean(comment)}".lstrip()
    if key not in table or table[key] != value:
        table[key] = value
    # Inside braces a comment would swallow the rest of the line.
    if said != had and not isinstance(table, InlineTable):
        table[key].comment(said)


def evidence_told(answer: Answer) -> str:
    """Return what an answer speaks for, else against, with source and status, in one line.

    >>> from pacer.job.metal.shop_tests import shop_test
    >>> test = shop_test("ring")
    >>> test and evidence_told(test.answers[0])
    'for grey iron; a page on car parts; a foundry trade page; seen in a secondary page'
    """
    if answer.fits:
        return f"for {', '.join(answer.fits)}; {answer.source}; {answer.status}"
    if answer.against:
        return f"against {', '.join(answer.against)}; {answer.source}; {answer.status}"
    return "says nothing"


def metal_named(text: str, where: str) -> Metal:
    """Return the metal of a name; raises UserInputError, one line, naming all of them."""
    folded = " ".join(text.split()).casefold()
    for metal in (*METALS, "unknown"):
        if metal == folded:
            return metal
    raise UserInputError(
        f'{where} "{clean(text, 40)}": expected one of {", ".join(METALS)}, unknown'
    )
