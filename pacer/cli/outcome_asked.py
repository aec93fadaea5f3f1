"""The questions of `pacer outcome` on a terminal, one after the other; Enter: not known."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any, NamedTuple

from pacer.cli.outcome_answers import WORDS, member
from pacer.errors import PacerError
from pacer.job.columns import WIDTH, laid_out
from pacer.recording.reader import Recording
from pacer.review.outcomes import outcome_words
from pacer.session.events import Outcome
from pacer.text import clean
from pacer.units import Shown


class Question(NamedTuple):
    """One of them."""

    name: str
    text: str
    means: str = ""
    "What the answers mean, one line."
    crack: bool = False
    "Only where a crack was found."


QUESTIONS = (
    Question("found", "What did the look find?", "neither is a verdict on the part"),
    Question("when", "When?", "at proving: in a trial before it goes back to work"),
    Question("service", "After how long in service? such as 400 h"),
    Question(
        "where",
        "Where?",
        "boundary: where weld and iron meet; heat-affected zone: the iron beside it",
        crack=True,
    ),
    Question("runs", "Which way, seen along the weld?", crack=True),
    Question("at", "At one of these?", "crater: the end of a bead", crack=True),
    Question("bead", "At which bead? its number in pacer review", crack=True),
    Question("photo", "A photo? its file; the name and a checksum are kept"),
    Question("text", "Anything else, in words?"),
)


def asked(recording: Recording, shown: Shown) -> dict[str, Any] | None:
    """Ask, show what would be written, ask once more; None if it is not to be written.

    A wrong answer is told in a line and asked again; the end of input (Ctrl+D) gives up.
    """
    print(f"{recording.name}: {clean(recording.head.job.title)}")
    print("What became of the repair? Enter: not known. Ctrl+D: leave, write nothing.\n")
    made: dict[str, Any] = {}
    try:
        for question in QUESTIONS:
            if _applies(question, made):
                made.update(_ask(question, recording))
        print()
        for line in laid_out(outcome_words(Outcome(t_ms=0, **made), shown)):
            print(line)
        answer = input(f"Write this into {recording.name}? It can't be changed later. [y/N] ")
    except EOFError:
        print()
        return None
    return made if answer.strip().casefold() in {"y", "yes"} else None


def _applies(question: Question, made: Mapping[str, Any]) -> bool:
    if question.name == "service":
        return made.get("when") == "in service"
    return not question.crack or made.get("found") == "crack"


def _ask(question: Question, recording: Recording) -> dict[str, Any]:
    words = WORDS.get(question.name, ())
    print(question.text)
    for line in laid_out(f"({question.means})") if question.means else ():
        print(line)
    if words:
        choices = [f"{n} {word}" for n, word in enumerate(words, start=1)]
        row = "  " + "   ".join(choices)
        print(row if len(row) <= WIDTH else "  " + "\n  ".join(choices))
    while True:
        text = input("> ").strip()
        if not text and question.name == "found":
            print("  one of the two is needed; Ctrl+D leaves")
            continue
        if not text:
            return {}
        if words and text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= len(words):
            text = words[int(text) - 1]
        if question.name == "photo":
            # A file dragged into the terminal comes in quotes.
            text = os.path.expanduser(text.strip("'\""))
        try:
            return member(question.name, text, "found", recording)
        except PacerError as error:
            print(f"  {error}")
