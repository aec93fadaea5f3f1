"""What shop tests found, written into the text of a job file; and what a job says against it.

`[tests]` holds each answer with its evidence in a comment, and what is left. Comments of
the user's own stay. A metal the file already has is never changed unless it was chosen.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from pacer.errors import UserInputError
from pacer.job.file.values import shown
from pacer.job.job import Job, Metal
from pacer.job.metal.answers import LEFT
from pacer.job.metal.evidence import Identified
from pacer.job.metal.standing import standings
from pacer.job.metal.tests import METALS, Answer, ShopTest, shop_test, shop_tests
from pacer.job.metal.told import answers_told
from pacer.text import clean

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

_OPENING = """\
# A job file of pacer, begun by its shop tests. pacer new asks the rest.

"""
NONE_LEFT = "none, the answers contradict each other"


def metal_for(has: str | None, found: Identified, chosen: Metal | None) -> Metal | None:
    """Return the metal to write over what the file has; None: what it has stays.

    >>> from pacer.job.metal.evidence import identified
    >>> metal_for("grey iron", identified({}), None) is None
    True
    """
    if chosen is not None:
        return chosen
    if has in (None, "unknown"):
        return found.metal
    return None


def metal_in(text: str) -> str | None:
    """Return `part.metal` of a job file's text, cleaned; None where it has none."""
    part = tomllib.loads(text).get("part")
    metal = part.get("metal") if isinstance(part, dict) else None
    return clean(metal, 40) if isinstance(metal, str) else None


def kept(text: str, found: Identified, chosen: Metal | None) -> str | None:
    """Return the line about a metal of the file that stays though the tests rule it out."""
    has = metal_in(text)
    if has is None or has == "unknown" or chosen is not None or has in found.left:
        return None
    left = ", ".join(found.left) or NONE_LEFT
    return f'part.metal stays "{has}"; shop tests leave: {left}. --metal NAME changes it.'


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
    expected = _expected(before, answers, found, chosen)
    if text and not text.endswith("\n"):
        text += "\n"
    try:
        document = tomlkit.parse(text or _OPENING)
        if expected["part"] != before.get("part"):
            _set_metal(document, expected["part"]["metal"], chosen is not None)
        _set_tests(document, answers, expected["tests"][LEFT])
        made = tomlkit.dumps(document)
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


def contradicts(job: Job) -> list[str]:
    """Return lines where the shop tests in a job file speak against its metal, or aren't known.

    For `pacer plan`; the tests in the file stop nothing by themselves.
    """
    given = {
        key.removeprefix("tests."): word
        for key, word in job.facts.items()
        if key.startswith("tests.") and key != f"tests.{LEFT}"
    }
    lines, answers = [], {}
    for name, word in given.items():
        test = shop_test(name)
        answer = meant(test, word) if test else None
        if answer is None:
            lines.append(
                f'tests.{name}: "{word}" is no answer of this test and says nothing; '
                "pacer identify asks them"
            )
        else:
            answers[name] = answer.word
    for standing in standings(answers):
        against = answers_told(standing.against)
        if standing.metal == job.part.metal and standing.state == "ruled out":
            lines.append(f"part.metal: {standing.metal}, but shop tests rule it out: {against}")
        elif standing.metal == job.part.metal and standing.state == "doubted":
            lines.append(f"part.metal: {standing.metal}, but a shop test doubts it: {against}")
        elif standing.metal == "white iron" and standing.state != "ruled out" and standing.for_:
            for_ = answers_told(standing.for_)
            lines.append(f"tests: {for_} speaks for white iron, not ruled out: do not weld yet")
    return lines


def meant(test: ShopTest, word: str) -> Answer | None:
    """Return the answer that a typed word is, blanks and capitals aside."""
    folded = " ".join(word.split()).casefold()
    return next((one for one in test.answers if one.word.casefold() == folded), None)


def _expected(
    before: dict[str, Any], answers: Mapping[str, str], found: Identified, chosen: Metal | None
) -> dict[str, Any]:
    """Return what the new file must read as: nothing else may change."""
    part = before.get("part", {})
    has = part.get("metal")
    metal = metal_for(has if isinstance(has, str) else None, found, chosen)
    tests = {name: answers[name] for name in (t.name for t in shop_tests()) if name in answers}
    tests[LEFT] = ", ".join(found.left) or NONE_LEFT
    return {**before, "part": {**part, "metal": metal or has}, "tests": tests}


def _set_metal(document: TOMLDocument, metal: str, chosen: bool) -> None:
    import tomlkit

    if "part" not in document:
        document.add("part", tomlkit.table())
    how = "chosen; what shop tests found is in [tests]" if chosen else "by shop tests, see [tests]"
    _set(document["part"], "metal", metal, how, frozenset())


def _set_tests(document: TOMLDocument, answers: Mapping[str, str], left: str) -> None:
    import tomlkit

    if "tests" not in document:
        document.add("tests", tomlkit.table())
    tests: Any = document["tests"]
    for key in [key for key in tests if key not in answers and key != LEFT]:
        tests.remove(key)
    for test in shop_tests():
        word = answers.get(test.name)
        answer = test.answer(word) if word is not None else None
        if answer is not None:
            _set(tests, test.name, answer.word, evidence_told(answer), _own(test))
    _set(tests, LEFT, left, "what these leave of the six metals, by pacer identify", frozenset())


def _set(tests: Any, key: str, value: str, comment: str, own: frozenset[str]) -> None:
    """Set a value; a comment of the user's behind it stays."""
    had = tests[key].trivia.comment.lstrip("# ") if key in tests else ""
    theirs = bool(had) and had not in own
    if theirs and tests[key] == value:
        return
    tests[key] = value
    _comment(tests, key, had if theirs else comment)


def _comment(table: Any, key: str, comment: str) -> None:
    from tomlkit.items import InlineTable

    # Inside braces a comment would swallow the rest of the line.
    if not isinstance(table, InlineTable):
        table[key].comment(clean(comment))


def _own(test: ShopTest) -> frozenset[str]:
    return frozenset(evidence_told(answer) for answer in test.answers)


def evidence_told(answer: Answer) -> str:
    """Return what an answer speaks for, else against, with source and status, in one line.

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
