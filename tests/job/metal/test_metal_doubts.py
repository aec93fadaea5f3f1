"""What shop tests say against the job's metal is in sight where the day is decided."""

from __future__ import annotations

import pytest

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.job.metal.doubts import against_metal, contradicts, in_few_words
from pacer.job.metal.shop_tests import METALS
from pacer.screen.parts.preparation import begin
from pacer.units import Shown

CLEAR = {"ring": "clear, long", "chip": "long curl"}
"Neither is grey iron's: a page on car parts, and a table from memory (trade facts, section 9)."
MIXED = {"rub": "dark mark", "chip": "chips and strips", "ring": "dull thud"}
"Rub and ring speak against steel and ductile iron, the chip against the others."
WHITE = {"fracture": "silvery white, silky", "file": "slides"}
GREY = {"marking": "GJL, GG or class 20-60", "rub": "dark mark"}


def job(metal: str, answers: dict[str, str], *, stops: bool = False) -> Job:
    """Return a job of that metal with these answers of shop tests."""
    tests = "".join(f'{test} = "{word}"\n' for test, word in answers.items())
    text = f'[job]\nmethod = "hot"\n[part]\nmetal = "{metal}"\nmass = "3 kg"\n[tests]\n{tests}'
    return job_from_text(text, "my.toml", stops=stops)


@pytest.mark.parametrize(
    ("metal", "answers", "words"),
    [
        ("grey iron", {}, ()),
        ("grey iron", GREY, ()),
        ("ductile iron", {}, ()),
        ("unknown", {}, ("Metal unknown: find it out by shop tests",)),
        (
            "unknown",
            MIXED,
            (
                "Metal unknown: find it out by shop tests",
                "Shop tests contradict each other: settle it first",
            ),
        ),
        # Row W11 (secondary page).
        ("malleable iron", {}, ("Malleable iron: braze it (row W11)",)),
        ("grey iron", CLEAR, ("Metal: settle it, shop tests contradict 'grey iron'",)),
        ("grey iron", {"ring": "clear, long"}, ("Metal: settle it, shop tests contradict 'grey iron'",)),
        (
            "malleable iron",
            {"fracture": "coarse, grey-white"},
            (
                "Metal: settle it, shop tests contradict 'malleable iron'",
                "Malleable iron: braze it (row W11)",
            ),
        ),
        (
            "grey iron",
            {"fracture": "white rim, dark centre"},
            ("White rim: grind it away at the weld, test below it",),
        ),
        (
            "cast steel",
            {"ring": "high, sharp", "file": "cuts easily", "spark": "long, bright, few forks"},
            ("Signs of white iron: test below the skin at the weld",),
        ),
    ],
)  # fmt: skip
def test_what_is_to_be_settled_tops_the_list_before_the_first_flame(
    metal: str, answers: dict[str, str], words: tuple[str, ...]
) -> None:
    """Procedure notes sections 1 and 10; in the list that a run shows, above all else."""
    made = job(metal, answers, stops=True)
    heading, lines = begin(made, Shown(), 0.0).parts[0]

    assert in_few_words(made) == words
    assert heading == "To be done"
    assert lines[: len(words) + 1] == (*words, "Why it broke is known, and what will be changed")


@pytest.mark.parametrize("metal", [*METALS, "unknown"])
def test_every_word_can_be_read_at_arm_s_length(metal: str) -> None:
    """At most 60 characters, as all of that list."""
    for answers in (WHITE | GREY, MIXED, WHITE | CLEAR):
        words = in_few_words(job(metal, answers))
        assert words
        assert all(len(word) <= 60 for word in words)


def test_an_unknown_metal_s_contradictory_tests_are_told() -> None:
    """Not only those against a metal that somebody named."""
    (line,) = against_metal(job("unknown", MIXED))

    assert "no metal fits all answers" in line
    assert f"part.metal: {line}" in contradicts(job("unknown", MIXED))
    assert against_metal(job("unknown", GREY)) == ()
