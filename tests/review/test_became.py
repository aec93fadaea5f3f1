"""What became of a repair: a crack outweighs, a report counts until a later look, a tink never."""

from __future__ import annotations

import itertools

import msgspec
import pytest

from pacer.review.became import Became, became
from pacer.session.events import Inspection, Outcome
from pacer.session.finding import Finding
from pacer.session.inspection import Imperfection


def outcome(found: str, t_s: float = 0.0, **said: object) -> Outcome:
    """Words of `pacer outcome`, written down at this session time."""
    return msgspec.convert({"k": "outcome", "b": int(1000 * t_s), "found": found, **said}, Outcome)


def look(how: str, *numbers: int, t_s: float = 0.0, result: str = "nothing found") -> Inspection:
    """A look that found these imperfections, or what `result` says."""
    found = tuple(Imperfection(number=number, name="x") for number in numbers)
    fields = {"k": "inspect", "b": int(1000 * t_s), "look": how}
    said = msgspec.convert(
        {**fields, "result": "imperfections found" if found else result}, Inspection
    )
    return msgspec.structs.replace(said, imperfections=found)


def finding(name: str, t_s: float = 100.0) -> Finding:
    """A finding of the review."""
    return Finding(name=name, t_s=t_s, words="")


def test_nothing_said_is_unknown() -> None:
    """Whatever else the review found."""
    assert became([], [], [finding("uncovered early")]) == Became()
    assert became([], [], []).word == "unknown"


def test_a_crack_outweighs_every_look_that_found_none_whenever_it_was() -> None:
    """In any order; its place comes along; the outcome's words before a look's."""
    crack = outcome("crack", 10.0, when="in service", where="boundary", at="tack")
    looks = [look("visual", t_s=90.0), look("penetrant", 1013)]
    for outcomes in itertools.permutations([outcome("no crack found", 50.0), crack]):
        assert became(outcomes, looks, []) == Became(
            "crack", "outcome", "in service", "boundary", "tack"
        )
    by_look = became([outcome("no crack found")], looks, [])
    assert by_look == Became("crack", "penetrant", None, "heat-affected zone")
    assert by_look.word == "crack"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (look("visual"), "no crack found"),
        (look("penetrant", 2011, 2024), "no crack found"),
        (look("back side", 1046), "crack"),
        (look("leak", 100), "crack"),
        (look("visual", result="not judged"), "unknown"),
        (look("ring"), "unknown"),
        (look("leak"), "unknown"),
        (look("proof load"), "unknown"),
    ],
)
def test_a_look_says_no_crack_only_where_one_could_be_seen_by_it(
    said: Inspection, wanted: str
) -> None:
    """A clear ring or a tight seam says less; a crater pipe is no crack."""
    assert became([], [said], []).word == wanted


def test_a_crack_reported_in_the_session_counts_until_a_later_look_found_none() -> None:
    """A look at the same session time was written after it; a ring takes nothing back."""
    reported = [finding("crack reported", 100.0), finding("crack reported", 200.0)]

    assert became([], [], reported) == Became("crack", "crack reported")
    assert became([], [look("ring", t_s=300.0)], reported).word == "crack"
    assert became([outcome("no crack found", 150.0)], [], reported).word == "crack"
    assert became([outcome("no crack found", 200.0)], [], reported).word == "no crack found"
    assert became([], [look("penetrant", t_s=300.0)], reported) == Became(
        "no crack found", "penetrant"
    )


def test_a_tink_and_a_cracked_tack_say_nothing_of_the_repair() -> None:
    """Slag tinks too; a tack that cracked was welded over or laid again."""
    heard = [finding("tink heard"), finding("tack cracked")]

    assert became([], [], heard).word == "unknown"
    assert became([], [look("visual")], heard).word == "no crack found"
