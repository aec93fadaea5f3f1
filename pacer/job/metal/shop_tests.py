"""The shop tests: how each is done, its answers, and what every answer says about each metal.

The words are data: `trade/shop_tests.toml` (steps and answers) and `trade/shop_looks.toml`
(what each metal looks like in each test, with source and status). An answer speaks for
the metals whose look it is, and against those whose look is known to be another one.
How much a look weighs against its metal hangs on how far its source was seen: a wrong
"it isn't" can lead to a weld that should not be, a wrong "it may be" costs one test more.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Literal, get_args

import msgspec

from pacer.job.job import Metal
from pacer.trade.rows import Row, load

CANT_TELL = "can't tell"
"An answer of every test: it was done, or can't be, and says nothing."

METALS: tuple[Metal, ...] = tuple(metal for metal in get_args(Metal) if metal != "unknown")
"The metals told apart, in the order of every table here."


Weight = Literal["full", "doubt", "none"]
"Against its metal a look can help to rule it out, or only make it doubted, or says nothing."


class Look(msgspec.Struct, frozen=True):
    """What one metal looks like in one test: a cell of the published table."""

    metal: Metal
    test: str
    answers: tuple[str, ...]
    "Answers that are this look."
    may: tuple[str, ...]
    "Answers that happen with it as well, or about which sources disagree: they say nothing."
    weight: Weight
    "Of common practice: a doubt at most. From memory with low confidence: never against."
    about: str
    "The look in words."
    source: str
    status: str
    "How far the source was seen; of a memory, how sure it is."

    def says(self, answer: str) -> bool | None:
        """True: the answer speaks for the metal, False: against it, None: it says nothing."""
        if answer in self.answers:
            return True
        if self.weight == "none" or answer in self.may or answer == CANT_TELL:
            return None
        return False


class Answer(msgspec.Struct, frozen=True):
    """One of a test's answers."""

    word: str
    "Short, unique in its test: what a job file holds."
    looks: str
    "What it looks like, a sentence."
    fits: tuple[Metal, ...]
    "Metals it speaks for."
    against: tuple[Metal, ...]
    "Metals it speaks against."
    source: str
    "Of the look it is; where it is nobody's, of the first look it speaks against; else of the test."
    status: str


class ShopTest(msgspec.Struct, frozen=True):
    """One shop test."""

    name: str
    "The key under `[tests]` of a job file."
    title: str
    hot: bool
    "It heats a place of the part until it melts: not while white iron is likely."
    do: tuple[str, ...]
    "Steps."
    look_for: str
    drawing: tuple[str, ...]
    "At most 12 lines of at most 60 plain characters."
    cautions: tuple[str, ...]
    answers: tuple[Answer, ...]
    "The last one is `CANT_TELL`."
    note: str
    "What the test can't do."
    source: str
    status: str

    def answer(self, word: str) -> Answer | None:
        """Return the answer of that word, if the test has it."""
        return next((found for found in self.answers if found.word == word), None)


@functools.cache
def looks() -> tuple[Look, ...]:
    """Return the published table, cell by cell."""
    return tuple(_look(row) for row in load("shop_looks"))


@functools.cache
def shop_tests() -> tuple[ShopTest, ...]:
    """Return the tests in the order they are best done: marks and looks first, heat last.

    >>> [test.name for test in shop_tests()][:3]
    ['marking', 'surface', 'fracture']
    """
    return tuple(_test(row) for row in load("shop_tests"))


def shop_test(name: str) -> ShopTest | None:
    """Return one test by its key."""
    return next((test for test in shop_tests() if test.name == name), None)


def meant(test: ShopTest, word: str) -> Answer | None:
    """Return the answer that a typed word is, blanks and capitals aside."""
    folded = " ".join(word.split()).casefold()
    return next((one for one in test.answers if one.word.casefold() == folded), None)


def answers_of(facts: Mapping[str, str]) -> dict[str, str]:
    """Return the answers among a job file's facts; what is no answer of its test is left out.

    >>> answers_of({"tests.ring": "Dull thud", "tests.rub": "soot", "part.oil": "no"})
    {'ring': 'dull thud'}
    """
    # Most jobs have none, and then the tables need not be read.
    if not any(key.startswith("tests.") for key in facts):
        return {}
    found = {test.name: meant(test, facts.get(f"tests.{test.name}", "")) for test in shop_tests()}
    return {name: answer.word for name, answer in found.items() if answer is not None}


@functools.cache
def look_of(metal: Metal, test: str) -> Look | None:
    """Return the cell of a metal in a test; None: nothing is known, or the test parts nothing."""
    return next((look for look in looks() if (look.metal, look.test) == (metal, test)), None)


def _look(row: Row) -> Look:
    values = row.values
    return Look(
        metal=values["metal"],
        test=values["test"],
        answers=tuple(values["answers"]),
        may=tuple(values.get("may", ())),
        weight=_weight(row),
        about=row.about,
        source=row.source,
        status=row.seen,
    )


def _weight(row: Row) -> Weight:
    if row.status == "common practice":
        return "doubt"
    return "none" if row.status == "from memory" and row.confidence == "low" else "full"


def _test(row: Row) -> ShopTest:
    values = row.values
    words = [(raw["word"], raw["looks"]) for raw in values["answer"]]
    words.append((CANT_TELL, "Not clear, or the test can't be done here: it says nothing."))
    return ShopTest(
        name=row.id,
        title=values["title"],
        hot=values.get("hot", False),
        do=tuple(values["do"]),
        look_for=values["look_for"],
        drawing=tuple(values["drawing"].strip("\n").split("\n")),
        cautions=tuple(values["cautions"]),
        answers=tuple(_answer(row, word, sentence) for word, sentence in words),
        note=values["note"],
        source=row.source,
        status=row.seen,
    )


def _answer(row: Row, word: str, sentence: str) -> Answer:
    cells = [look for look in looks() if look.test == row.id]
    speaks = {
        says: next((look for look in cells if look.says(word) is says), None)
        for says in (True, False)
    }
    own = speaks[True] or speaks[False]
    return Answer(
        word=word,
        looks=sentence,
        fits=tuple(look.metal for look in cells if look.says(word)),
        against=tuple(look.metal for look in cells if look.says(word) is False),
        source=own.source if own else row.source,
        status=own.status if own else row.seen,
    )
