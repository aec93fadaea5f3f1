"""What shop tests found, as a page of lines and as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pacer.job.columns import laid_out, row_of
from pacer.job.metal.identified import identified
from pacer.job.metal.parting import next_test
from pacer.job.metal.shop_tests import shop_tests
from pacer.job.metal.standing import Evidence, Standing, standings
from pacer.units import Shown

DO_NOT_WELD = "DO NOT WELD: "


def result_page(answers: Mapping[str, str], shown: Shown) -> list[str]:
    """Return the page for a terminal of 80 columns, in the user's units."""
    found = identified(answers, shown)
    lines = []
    if found.dont_weld:
        alone = found.left == ("white iron",)
        why = "white iron is what is left." if alone else "white iron is not ruled out."
        lines += [f"{DO_NOT_WELD}{why}", ""]
    lines += ["Answers", *_answers(answers), "", "What speaks for and against each metal"]
    for standing in standings(answers):
        lines += _standing(standing)
    for heading, sentences in (
        ("Contradictions", found.contradictions),
        ("What is left", found.told),
    ):
        if sentences:
            lines += ["", heading, *(part for line in sentences for part in laid_out(line))]
    return lines


def result_json(answers: Mapping[str, str]) -> dict[str, Any]:
    """Return the same for programs; the keys are in `pacer guide identify`."""
    found = identified(answers)
    return {
        "answers": dict(answers),
        "left": list(found.left),
        "metal": found.metal,
        "standings": [
            {
                "metal": standing.metal,
                "state": standing.state,
                "for": [_evidence(one) for one in standing.for_],
                "against": [_evidence(one) for one in standing.against],
            }
            for standing in standings(answers)
        ],
        "contradictions": list(found.contradictions),
        "do_not_weld": found.dont_weld,
        "next_test": next_test(answers),
    }


def _answers(answers: Mapping[str, str]) -> list[str]:
    lines = []
    for test in shop_tests():
        answer = test.answer(answers.get(test.name, ""))
        if answer is not None:
            lines += laid_out(row_of(test.title, answer.word, answer.looks))
    return lines or ["  none yet"]


def _standing(standing: Standing) -> list[str]:
    lines = [f"  {standing.metal}: {standing.state}"]
    for word, evidence in (("for", standing.for_), ("against", standing.against)):
        for one in evidence:
            test = one.test.replace("_", " ")
            text = f'{word}: {test} "{one.answer}". Known: {one.look} ({one.source}; {one.status})'
            lines += [f"  {part}" for part in laid_out(text, 78)]
    return lines


def _evidence(one: Evidence) -> dict[str, str]:
    return {
        "test": one.test,
        "answer": one.answer,
        "look": one.look,
        "source": one.source,
        "status": one.status,
    }
