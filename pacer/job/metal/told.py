"""What the answers leave, in lines: for the page, and the end of the screen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pacer.job.job import Metal
from pacer.job.metal.parting import inseparable, next_test
from pacer.job.metal.standing import Evidence, Standing, left_of
from pacer.job.metal.tests import METALS, shop_test
from pacer.trade.rows import row

NO_PROOF = "Shop tests prove no metal; a laboratory can tell (common practice)."
WHITE_LIKELY = "Something speaks for white iron, and it is not ruled out: do not weld before it is."
_FEW = 3
"With more metals left than these, what each would mean only hides what to do next."


def result_lines(answers: Mapping[str, str], found: tuple[Standing, ...]) -> tuple[str, ...]:
    """Return what is left, what it means, what to do next."""
    left = left_of(found)
    if not answers:
        return ("No test done: every metal is left.", *_next(answers))
    means = meanings(left) if len(left) <= _FEW else ()
    return (*_left(found), *means, *_white(found), *_next(answers), NO_PROOF)


def meanings(metals: Iterable[Metal]) -> tuple[str, ...]:
    """Return what each metal means for the repair, with the facts it rests on."""
    lines = []
    for metal in metals:
        means = row("metals", metal)
        rests_on = [name.split(":") for name in means.values["rows"]]
        # Where other facts say who says so, they do.
        lines.append(f"{means.about}." if rests_on else means.told)
        lines += [f"{row_id}: {row(table, row_id).told}" for table, row_id in rests_on]
    return tuple(lines)


def contradiction_lines(found: tuple[Standing, ...]) -> tuple[str, ...]:
    """Return lines where no metal fits all answers: something was misread, or mixed."""
    if any(standing.state == "open" for standing in found):
        return ()
    left = [standing for standing in found if standing.state != "ruled out"]
    head = "No metal fits all answers: some of them contradict each other."
    if not left:
        head = "These answers leave no metal: they contradict each other."
        # Those with the least against them show best where the contradiction lies.
        fewest = min(len(standing.against) for standing in found)
        left = [standing for standing in found if len(standing.against) == fewest]
    return (head, *(_both_sides(standing) for standing in left))


def answers_told(evidence: Iterable[Evidence]) -> str:
    """Return tests and answers in a row.

    >>> answers_told([Evidence("file_after_tack", "hard everywhere", "", "", "")])
    'file after tack "hard everywhere"'
    """
    return ", ".join(f'{one.test.replace("_", " ")} "{one.answer}"' for one in evidence)


def _both_sides(standing: Standing) -> str:
    against = f"{answers_told(standing.against)} against it"
    if not standing.for_:
        return f"{standing.metal}: {against}"
    return f"{standing.metal}: {answers_told(standing.for_)} for it, {against}"


def _left(found: tuple[Standing, ...]) -> tuple[str, ...]:
    left = left_of(found)
    if not left:
        return (
            "No metal is left. Do the tests again at a clean, bare place, beside samples that "
            "are known; until then the metal is unknown.",
        )
    doubted = [standing.metal for standing in found if standing.state == "doubted"]
    if len(left) == 1 and doubted:
        return (f"One metal is left, {left[0]}, but it is doubted too: the metal is unknown.",)
    if len(left) == 1:
        return (f"One metal is left: {left[0]}. At least two tests speak against each other one.",)
    if len(left) == len(METALS):
        return ("Every metal is left: two tests must speak against one to rule it out.",)
    open_ = [metal for metal in left if metal not in doubted]
    words = [", ".join(open_), f"doubted: {', '.join(doubted)}" if doubted else ""]
    return (f"Left: {'; '.join(word for word in words if word)}.",)


def _white(found: tuple[Standing, ...]) -> tuple[str, ...]:
    white = next(standing for standing in found if standing.metal == "white iron")
    several = len(left_of(found)) > 1
    return (WHITE_LIKELY,) if white.state != "ruled out" and white.for_ and several else ()


def _next(answers: Mapping[str, str]) -> tuple[str, ...]:
    lines = []
    name = next_test(answers)
    test = shop_test(name) if name else None
    if test is not None:
        lines.append(f"Next: {test.title.lower()} ({test.name}), it tells most of these apart.")
    for one, other in inseparable(answers):
        lines.append(
            f"No shop test left tells {one} from {other}: ask a laboratory, or go by the one "
            "that asks for more care."
        )
    return tuple(lines)
