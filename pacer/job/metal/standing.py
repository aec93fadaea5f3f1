"""What the answers of shop tests say about each metal.

Elimination, without probabilities. "Two tests must agree" is common practice, so:

- one answer against a metal makes it *doubted*; answers of two tests rule it out. One test
  alone never rules anything out, so it never leaves one metal.
- of those two each must be by a look that a text was seen for, or that is from memory with
  high or medium confidence. A look of common practice, without a source, only doubts,
  however many there are; one from memory with low confidence speaks for its metal only.
- an answer for a metal rules nothing out and makes nothing certain.
- what isn't a test or an answer of one says nothing; the magnet parts none of the metals.

More answers can only rule out more, never bring a metal back, and their order says nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

import msgspec

from pacer.job.job import Metal
from pacer.job.metal.shop_tests import METALS, look_of, shop_tests

State = Literal["open", "doubted", "ruled out"]
_AGREE = 2
"So many tests must speak against a metal: common practice, no source."


class Evidence(msgspec.Struct, frozen=True):
    """One answer for or against one metal."""

    test: str
    answer: str
    source: str
    "Of the metal's own look in this test."
    status: str
    look: str
    "How the metal looks in this test, by that source."


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
    return tuple(_standing(metal, answers) for metal in METALS)


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
    for_, against, full = [], [], 0
    for test in shop_tests():
        word, look = answers.get(test.name), look_of(metal, test.name)
        if word is None or look is None or test.answer(word) is None:
            continue
        says = look.says(word)
        if says is None:
            continue
        found = Evidence(test.name, word, look.source, look.status, look.about)
        if says:
            for_.append(found)
        else:
            against.append(found)
            full += look.weight == "full"
    state: State = "ruled out" if full >= _AGREE else "doubted" if against else "open"
    return Standing(metal, tuple(for_), tuple(against), state)
