"""The questions of `pacer outcome` on a terminal, one after the other; Enter: not known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from pacer.cli.asking import ask, ask_photo, may_write, noted, tell_commands
from pacer.cli.outcome_answers import WORDS, member
from pacer.job.columns import laid_out
from pacer.recording.reader import Recording
from pacer.review.outcomes import outcome_words
from pacer.session.events import Outcome
from pacer.text import clean
from pacer.units import Shown


class Asked(NamedTuple):
    """What was answered."""

    made: dict[str, Any]
    "The members of an `Outcome`."
    options: list[str]
    "The same as options of the command."


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


def asked(recording: Recording, shown: Shown) -> Asked | None:
    """Ask, show what would be written, ask once more; None if it is not to be written.

    A wrong answer is told in a line and asked again; the end of input (Ctrl+D) gives up. What
    was answered and is not to be written is printed as a command that would write it.
    """
    print(f"{recording.name}: {clean(recording.head.job.title)}")
    print("What became of the repair? Enter: not known. Ctrl+D: leave, write nothing.\n")
    made: dict[str, Any] = {}
    options: list[str] = []
    try:
        for question in QUESTIONS:
            if _applies(question, made):
                made.update(_ask(question, recording, options))
        print()
        for line in laid_out(outcome_words(Outcome(t_ms=0, **made), shown)):
            print(line)
        if may_write(recording.name):
            return Asked(made, options)
    except EOFError:
        print()
    if options:
        tell_commands("outcome", recording.path, [options])
    else:
        print("nothing written")
    return None


def _applies(question: Question, made: Mapping[str, Any]) -> bool:
    if question.name == "service":
        return made.get("when") == "in service"
    return not question.crack or made.get("found") == "crack"


def _ask(question: Question, recording: Recording, options: list[str]) -> dict[str, Any]:
    def member_of(answer: str) -> dict[str, Any]:
        return member(question.name, answer, "found", recording)

    take = noted(question.name, options, member_of)
    if question.name == "photo":
        return ask_photo(question.text, take) or {}
    made = ask(
        question.text,
        take,
        means=question.means,
        choices=WORDS.get(question.name, ()),
        needed="one of the two is needed; Ctrl+D leaves" if question.name == "found" else "",
    )
    return made or {}
