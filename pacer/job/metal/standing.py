"""What the answers of shop tests say about each metal.

Elimination, without probabilities. "Two tests must agree" is common practice, so:

- one answer against a metal makes it *doubted*; answers of two tests rule it out. One test
  alone never rules anything out, so it never leaves one metal.
- of those two each must be by a look that a text was seen for, or that is from memory with
  high or medium confidence. A look of common practice, without a source, only doubts,
  however many there are; one from memory with low confidence speaks for its metal only.
- an answer for a metal rules nothing out and makes nothing certain.
- what isn't a test or an answer of one says nothing; the magnet parts none of the metals.
- white iron asks for better (row W08: not to be welded). While two signs speak for it, or one
  that a text was seen for, it is only doubted until a look of its own that a text was seen for
  speaks against it, and more speaks against it than for it: our choice.

More answers can only rule out more, never bring a metal back, but white iron where they are
signs of it; their order says nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

import msgspec

from pacer.job.job import Metal
from pacer.job.metal.shop_tests import METALS, look_of, shop_test, shop_tests

State = Literal["open", "doubted", "ruled out"]
WHITE: Metal = "white iron"
_AGREE = 2
"So many tests must speak against a metal: common practice, no source."
_SEEN = ("seen in the primary text", "seen in a secondary page")


class Evidence(msgspec.Struct, frozen=True):
    """One answer for or against one metal."""

    test: str
    answer: str
    source: str
    "Of the metal's own look in this test."
    status: str
    look: str
    "How the metal looks in this test, by that source."

    @property
    def seen(self) -> bool:
        """Whether a text was seen for it, so that it isn't only somebody's memory or custom."""
        return self.status in _SEEN


class Standing(msgspec.Struct, frozen=True):
    """One metal and all that speaks for and against it."""

    metal: Metal
    for_: tuple[Evidence, ...]
    against: tuple[Evidence, ...]
    state: State


def standings(answers: Mapping[str, str]) -> tuple[Standing, ...]:
    """Return each metal with its evidence, metals in the order of `METALS`.

    >>> [s.state for s in standings({"ring": "dull thud"})][:2]
    ['open', 'doubted']
    """
    found = tuple(_standing(metal, answers) for metal in METALS)
    return tuple(_asked_better(one, found) if one.metal == WHITE else one for one in found)


def white_signs(found: tuple[Standing, ...]) -> tuple[Evidence, ...]:
    """Return answers for white iron that fit no other metal which nothing speaks against.

    >>> white_signs(standings({"rub": "no mark"}))
    ()
    >>> [one.answer for one in white_signs(standings({"file": "slides"}))]
    ['slides']
    """
    others = {one.metal for one in found if one.state == "open" and one.metal != WHITE}
    white = next(one for one in found if one.metal == WHITE)
    return tuple(one for one in white.for_ if not others & set(_fits(one)))


def weighing(against: Iterable[Evidence], metal: Metal) -> tuple[Evidence, ...]:
    """Return those that can help to rule the metal out, without those that only doubt."""
    return tuple(
        one
        for one in against
        if (look := look_of(metal, one.test)) is not None and look.weight == "full"
    )


def left_of(found: Iterable[Standing]) -> tuple[Metal, ...]:
    """Return the metals not ruled out."""
    return tuple(standing.metal for standing in found if standing.state != "ruled out")


def answers_told(evidence: Iterable[Evidence]) -> str:
    """Return tests and answers in a row.

    >>> answers_told([Evidence("file_after_tack", "hard everywhere", "", "", "")])
    'file after tack "hard everywhere"'
    """
    return ", ".join(f'{one.test.replace("_", " ")} "{one.answer}"' for one in evidence)


def _standing(metal: Metal, answers: Mapping[str, str]) -> Standing:
    for_, against = list[Evidence](), list[Evidence]()
    for test in shop_tests():
        word, look = answers.get(test.name), look_of(metal, test.name)
        if word is None or look is None or test.answer(word) is None:
            continue
        says = look.says(word)
        if says is None:
            continue
        (for_ if says else against).append(
            Evidence(test.name, word, look.source, look.status, look.about)
        )
    agree = len(weighing(against, metal)) >= _AGREE
    state: State = "ruled out" if agree else "doubted" if against else "open"
    return Standing(metal, tuple(for_), tuple(against), state)


def _asked_better(white: Standing, found: tuple[Standing, ...]) -> Standing:
    """Return white iron's standing: not ruled out by less than what speaks for it."""
    signs, against = white_signs(found), weighing(white.against, WHITE)
    likely = len(signs) >= _AGREE or any(one.seen for one in signs)
    enough = any(one.seen for one in against) and len(against) > len(signs)
    if white.state != "ruled out" or not likely or enough:
        return white
    return Standing(white.metal, white.for_, white.against, "doubted")


def _fits(one: Evidence) -> tuple[Metal, ...]:
    test = shop_test(one.test)
    answer = test.answer(one.answer) if test is not None else None
    return answer.fits if answer is not None else ()
