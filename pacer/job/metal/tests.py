"""The shop tests: how each is done, its answers, and what every answer says about each metal.

The words are data: `trade/shop_tests.toml` (steps and answers) and `trade/shop_looks.toml`
(what each metal looks like in each test, with source and status). An answer speaks for
the metals whose look it is, and against those whose look is known to be another one.
A look from memory with low confidence speaks for its metal, never against it: a wrong
"it isn't" can lead to a weld that should not be, a wrong "it may be" costs one test more.
"""

from __future__ import annotations

import functools
from typing import get_args

import msgspec

from pacer.job.job import Metal
from pacer.trade.rows import Row, load

CANT_TELL = "can't tell"
"An answer of every test: it was done, or can't be, and says nothing."

METALS: tuple[Metal, ...] = tuple(metal for metal in get_args(Metal) if metal != "unknown")
"The metals told apart, in the order of every table here."


class Look(msgspec.Struct, frozen=True):
    """What one metal looks like in one test: a cell of the published table."""

    metal: Metal
    test: str
    answers: tuple[str, ...]
    "Answers that are this look."
    may: tuple[str, ...]
    "Answers that happen with it as well, or about which sources disagree: they say nothing."
    weak: bool
    "From memory with low confidence: speaks for the metal, never against it."
    about: str
    "The look in words."
    source: str
    status: str
    "How far the source was seen; of a memory, how sure it is."

    def says(self, answer: str) -> bool | None:
        """True: the answer speaks for the metal, False: against it, None: it says nothing."""
        if answer in self.answers:
            return True
        return None if self.weak or answer in self.may or answer == CANT_TELL else False


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
    "Of the look it is; where it is nobody's look, of the test."
    status: str


class ShopTest(msgspec.Struct, frozen=True):
    """One shop test."""

    name: str
    "The key under `[tests]` of a job file."
    title: str
    kin: str
    "Tests of one kin look at the same thing: against a metal they count once."
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
        weak=row.status == "from memory" and row.confidence == "low",
        about=row.about,
        source=row.source,
        status=row.seen,
    )


def _test(row: Row) -> ShopTest:
    values = row.values
    words = [(raw["word"], raw["looks"]) for raw in values["answer"]]
    words.append((CANT_TELL, "Not clear, or the test can't be done here: it says nothing."))
    return ShopTest(
        name=row.id,
        title=values["title"],
        kin=values["kin"],
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
    own = next((look for look in cells if look.says(word)), None)
    return Answer(
        word=word,
        looks=sentence,
        fits=tuple(look.metal for look in cells if look.says(word)),
        against=tuple(look.metal for look in cells if look.says(word) is False),
        source=own.source if own else row.source,
        status=own.status if own else row.seen,
    )
