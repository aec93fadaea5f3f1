"""What the answers leave, in lines: for the page, and the end of the screen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pacer.job.job import Metal
from pacer.job.metal.parting import inseparable, next_test
from pacer.job.metal.shop_tests import METALS, shop_test
from pacer.job.metal.standing import Standing, answers_told, left_of
from pacer.job.metal.white import rim_told, white_likely, white_told
from pacer.trade.rows import row
from pacer.trade.wording import told
from pacer.units import Shown

NO_PROOF = "Shop tests prove no metal; a laboratory can tell (common practice)."
_FEW = 3
"More metals, or pairs of them, than these only hide what to do next."


def result_lines(
    answers: Mapping[str, str], found: tuple[Standing, ...], shown: Shown
) -> tuple[str, ...]:
    """Return what is left, what it means, what to do next."""
    left = left_of(found)
    if not answers:
        return ("No test done: every metal is left.", *_next(answers, found))
    means = meanings(left, shown) if len(left) <= _FEW else ()
    white = [_sentence(said) for said in (white_told(found), rim_told(answers)) if said]
    return (*_left(found), *_by_memory(found), *white, *means, *_next(answers, found), NO_PROOF)


def meanings(metals: Iterable[Metal], shown: Shown) -> tuple[str, ...]:
    """Return what each metal means for the repair, with the facts it rests on."""
    lines = []
    for metal in metals:
        means = row("metals", metal)
        rests_on = [name.split(":") for name in means.values["rows"]]
        # Where other facts say who says so, they do.
        lines.append(f"{means.about}." if rests_on else told(means, shown))
        lines += [f"{row_id}: {told(row(table, row_id), shown)}" for table, row_id in rests_on]
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


def _by_memory(found: tuple[Standing, ...]) -> tuple[str, ...]:
    """Return the line about metals that no text speaks against, only what somebody remembers."""
    metals = [
        one.metal
        for one in found
        if one.state == "ruled out" and not any(against.seen for against in one.against)
    ]
    return (f"Ruled out from memory only, no text seen: {', '.join(metals)}.",) if metals else ()


def _sentence(said: str) -> str:
    return f"{said[0].upper()}{said[1:]}."


def _next(answers: Mapping[str, str], found: tuple[Standing, ...]) -> tuple[str, ...]:
    lines, likely = [], white_likely(found)
    name = next_test(answers)
    test = shop_test(name) if name else None
    if test is not None:
        why = "it can speak against white iron" if likely else "it tells most of these apart"
        lines.append(f"Next: {test.title.lower()} ({test.name}), {why}.")
    cold = " without heat" if likely else ""
    pairs = [f"{one} from {other}" for one, other in inseparable(answers)]
    if len(pairs) > _FEW:
        pairs = ["all of these apart"]
    for pair in pairs:
        lines.append(
            f"No shop test left{cold} tells {pair}: ask a laboratory, or go by the one that asks "
            "for more care."
        )
    return tuple(lines)
