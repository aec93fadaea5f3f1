"""Which questions `pacer new` asks, and in what words: only what no default can know."""

from __future__ import annotations

from typing import NamedTuple

from pacer.job.file.keys import keys
from pacer.job.file.values import ValueFault
from pacer.job.stops import questions
from pacer.trade.rows import load, row

PROCESS = "filler.process"
HOLLOW = "part.hollow"
_HOLLOW = "Hollow spaces: cores, jackets, blind holes? Closed ones are vented before heat"
VENT = "before any heat: vent every closed hollow space; heated shut it can burst"
_YES_OR_NO = {
    "part.iron": {"no": "sound"},
    "part.oil": {"yes": "keeps coming"},
    "part.service": {"no": "none"},
    "history.load": {"yes": "will return", "no": "will be changed"},
    HOLLOW: {"no": "none"},
}
"""What yes and no say to a question. Not in a job file: there only the key stands beside the word.

Where one of them could say several things it is none: no oil that keeps coming may be oil that
burns out.
"""


class Question(NamedTuple):
    """One of them."""

    key: str
    text: str
    means: str = ""
    "What the answers mean, one or two lines."
    must: bool = False
    "Enter is no answer."


def _gate() -> tuple[Question, ...]:
    """Return what stops a plan, in the words of the page that shows it; the metal comes later.

    Closed hollow spaces stop none, but are vented before any heat: they are asked with the rest.
    """
    asked_first = [found for found in questions() if found.key != "part.metal"]
    # Whether people can be hurt is answered, never passed over with Enter.
    stopping = [
        Question(found.key, found.asks, must=found.key == "part.service") for found in asked_first
    ]
    return (*stopping, Question(HOLLOW, _HOLLOW))


TITLE = Question("job.title", "What is mended? A few words")
GATE = _gate()
REST = (
    Question(
        "part.metal",
        "Which metal?",
        "unknown: pacer identify finds out by shop tests what it can still be",
        must=True,
    ),
    Question(
        "job.method",
        "Hot or cold?",
        "hot: all of the part is preheated, kept in a band and cooled slowly; "
        "cold: no preheat, short beads and a wait after each, which takes most of the time",
        must=True,
    ),
    Question("part.mass", "What does it weigh? Weigh it: the forecasts follow it"),
    Question("part.size", "Overall length, width and height? Such as 260 x 180 x 40 mm", must=True),
    Question("part.wall", "How thick is it at the joint?"),
    Question(
        "joint.repair",
        "What kind of repair?",
        "break: a piece broken off; patch: a piece is missing, another one is welded in",
    ),
    Question(
        "joint.crack_length",
        "How long is the joint?",
        "a crack: between its true ends, found with penetrant",
    ),
    Question("joint.ends", "Where does the crack end?", "through: from edge to edge"),
    Question("joint.access", "From which sides can it be welded?"),
    Question("filler.process", "Which process?"),
    Question("filler.machined_after", "Is the weld to be machined?"),
    Question("filler.designation", "Which filler? As its packet names it"),
    Question("filler.diameter", "Which diameter?", "of the core, rod or wire"),
    Question("heating.with", "What heats the part?"),
    Question("cooldown.cover", "What does it cool in?"),
    Question(
        "sensor.url",
        "Where do readings come from?",
        "pacer sensors finds what is plugged in and proposes this line; "
        "hand: they are typed in, crayons too",
    ),
)
QUESTIONS = (TITLE, *GATE, *REST)


def process_names(process: str) -> tuple[str, ...]:
    """Return what a process is called, the commonest name first."""
    return tuple(row("processes", process).values["names"])


def words_of(name: str) -> tuple[str, ...]:
    """Return the words that a question's numbers stand for."""
    if name == PROCESS:
        return tuple(process_names(found.id)[0] for found in load("processes"))
    return keys()[name].choices


def said_yes_or_no(name: str, text: str) -> str | None:
    """Return the word that a yes or no says to a question; None where it is neither.

    Raises ValueFault, whose message follows what was found, where it could say several.

    >>> said_yes_or_no("history.load", "No"), said_yes_or_no("history.load", "will return")
    ('will be changed', None)
    """
    said = text.strip().casefold()
    said = {"y": "yes", "n": "no"}.get(said, said)
    if said not in ("yes", "no") or name not in _YES_OR_NO:
        return None
    if said not in _YES_OR_NO[name]:
        raise ValueFault(f"says too little here; write one of: {', '.join(keys()[name].choices)}")
    return _YES_OR_NO[name][said]
