"""What stops a plan before it begins: parts and irons that are not to be welded by it.

Asked first, before anything is heated. Each stop says who is to be asked and what else
could be done; welding with an arc is the only one of those ways that the program paces.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from pacer.job.metal.shop_tests import answers_of
from pacer.job.metal.standing import standings
from pacer.job.metal.white import white_likely, white_told
from pacer.trade.rows import row

NOT_PACED = "not paced by this program"


class Ruling(NamedTuple):
    """Why one answer stops the plan, and where to go from there."""

    why: str
    ask: str
    instead: str
    source: str


class Question(NamedTuple):
    """One question that comes before the plan."""

    key: str
    label: str
    asks: str
    find_out: str
    "What to do as long as nobody has said."
    stops: dict[str, Ruling]
    "Answer -> why it stops the plan; every other answer lets it go on."
    hot_only: bool = False


class Stop(NamedTuple):
    """One reason not to go on."""

    key: str
    found: str
    "The answer as the job file has it."
    why: str
    ask: str
    "Who is to be asked."
    instead: str
    "What else could be done, and that the program can't pace it."
    source: str

    @property
    def line(self) -> str:
        """What follows `key = "found": ` in the one line about it."""
        return f"{self.why}; ask {self.ask}; instead: {self.instead}"


_OWN_LIMIT = "the program's own limit: it paces no part whose failure can hurt someone"
_HURTS = "out of scope: the program paces no part whose failure can hurt someone"
_REPLACE = f"replace it ({NOT_PACED})"
_PRACTICE = "common practice, no source"


def _hurts(what: str, ask: str, instead: str = _REPLACE) -> Ruling:
    return Ruling(f"{_HURTS}, and {what}", ask, instead, _OWN_LIMIT)


_SERVICE = {
    "pressure": _hurts(
        "pressure or steam lets it fly apart",
        "a qualified welding engineer, the part's maker and the licensed inspector of such parts",
    ),
    "fuel": _hurts(
        "a leak or a remnant of fuel or gas burns",
        "the part's maker or a licensed gas or fuel fitter",
        f"replace it ({NOT_PACED}); a container that held fuel is not welded at all",
    ),
    "lifting": _hurts(
        "a load would fall",
        "a qualified welding engineer and the maker of the lifting gear",
    ),
    "brake or steering": _hurts(
        "brakes or steering would fail on the way",
        "the vehicle's maker or a licensed workshop",
    ),
    "at speed": _hurts(
        "a flywheel, pulley or guard at speed throws its pieces",
        "a qualified welding engineer and the machine's maker",
    ),
    "overhead": _hurts(
        "it can fall on someone",
        "a qualified welding engineer",
        f"a bolted support that an engineer has designed, or replace it (both {NOT_PACED})",
    ),
}


def _white_iron() -> Ruling:
    known = row("preheat", "W08")
    return Ruling(
        f"{known.about} (row W08, {known.seen})",
        "a qualified welding engineer or the foundry",
        f"bolt a plate over it or replace it (both {NOT_PACED})",
        f"row W08: {known.source}; {known.seen}",
    )


def _white_by_tests(facts: Mapping[str, str]) -> Ruling | None:
    """What the file's own shop tests say of white iron, whatever metal it names."""
    answers = answers_of(facts)
    found = standings(answers) if answers else ()
    if not found or not white_likely(found):
        return None
    said, known = white_told(found), _white_iron()
    return Ruling(
        f"under [tests] {said}",
        known.ask,
        f"more shop tests, until it is ruled out or sure (pacer identify); else {known.instead}",
        f"{known.source}; that two tests must rule it out: {_PRACTICE}",
    )


def questions() -> tuple[Question, ...]:
    """Return the questions in the order of the page."""
    spoilt = f"cut it out to sound iron and bolt a plate on, or replace it (both {NOT_PACED})"
    return (
        Question(
            "part.metal",
            "metal",
            "Is it white iron?",
            "find out by shop tests: pacer identify",
            {"white iron": _white_iron()},
        ),
        Question(
            "part.iron",
            "iron",
            "Is the iron burnt or grown?",
            "look at the fracture and at what the part went through: fire, or red heat again and again",
            {
                "burnt": Ruling(
                    "burnt iron has scale between its grains and doesn't join",
                    "a foundry or the part's maker",
                    spoilt,
                    _PRACTICE,
                ),
                "grown": Ruling(
                    "grown iron is cracked and scaled inside from being red-hot often",
                    "a foundry or the part's maker",
                    spoilt,
                    _PRACTICE,
                ),
            },
        ),
        Question(
            "part.oil",
            "oil",
            "Does oil keep coming?",
            "heat the spot slowly and see whether the smoke ends",
            {
                "keeps coming": Ruling(
                    "oil that keeps coming makes pores, and no weld bonds through it",
                    "a qualified welding engineer",
                    f"stitch it cold, bolt a plate over it, or replace it (all {NOT_PACED})",
                    _PRACTICE,
                )
            },
        ),
        Question(
            "part.service",
            "hangs on it",
            "Pressure, steam, fuel, gas, lifting, brakes, steering, speed, or over people's heads?",
            "say what hangs on the part",
            _SERVICE,
        ),
        Question(
            "history.load",
            "load that broke it",
            "Will the load that broke it return?",
            "find out why it broke, and what will be changed",
            {
                "will return": Ruling(
                    "the load that broke sound iron breaks mended iron too",
                    "the machine's maker or a qualified engineer",
                    f"take the overload away first; or a stronger part in its place ({NOT_PACED})",
                    _PRACTICE,
                )
            },
        ),
        Question(
            "heating.even",
            "heated evenly",
            "Can the whole part be heated evenly?",
            "try what there is, and measure thick, far and back",
            {
                "no": Ruling(
                    "uneven heat strains the part and breaks it beside the weld or far from it",
                    "a shop with a furnace",
                    'the cold method (method = "cold"); '
                    f"or stitch it cold, or bolt a plate over it (both {NOT_PACED})",
                    _PRACTICE,
                )
            },
            hot_only=True,
        ),
    )


FACTS = ("part.iron", "part.oil", "history.load", "heating.even")
"The keys of the questions whose answers are facts of the job file; `tests.` keys count too."


def stops(metal: str, service: str, method: str, facts: Mapping[str, str]) -> tuple[Stop, ...]:
    """Return every reason not to go on, in the order of the questions; none: the plan goes on.

    `facts` holds the job file's answers by key; what it doesn't hold stops nothing.

    >>> [stop.key for stop in stops("white iron", "lifting", "hot", {"heating.even": "yes"})]
    ['part.metal', 'part.service']
    """
    answers = {**facts, "part.metal": metal, "part.service": service}
    found = []
    for question in questions():
        answer = answers.get(question.key, "")
        ruling = question.stops.get(answer)
        if ruling is None and question.key == "part.metal":
            ruling = _white_by_tests(facts)
        if ruling is not None and not (question.hot_only and method == "cold"):
            found.append(Stop(question.key, answer, *ruling))
    return tuple(found)
