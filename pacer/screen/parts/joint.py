"""The crack map: runs laid on each place, the next place and its direction, the one after."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.job.layers import draw_toward
from pacer.session.state import State
from pacer.session.work import Phase


@dataclass(frozen=True, slots=True)
class CrackMap:
    """The joint from its left end to its right."""

    laid: tuple[int, ...]
    "Runs laid on each place."
    runs: int
    "Runs planned on each place."
    place: int | None
    "0-based place of the running or next bead; None when no more are laid."
    arrow: str
    'Which way to draw it: "←", "→" or "".'
    running: bool
    words: str
    count: str
    "Beads laid of beads planned."
    after: int | None = None
    "0-based place of the bead after that one; None where the plan ends."


def crack_map(state: State) -> CrackMap:
    """Return the map; uncounted beads are not on it."""
    plan, work = state.job.plan, state.work
    laid = [0] * plan.places
    for bead in work.beads:
        if (
            bead.counted
            and not bead.lost
            and bead.ended_s is not None
            and 0 <= bead.place < plan.places
        ):
            laid[bead.place] += 1
    count = f"{work.laid} of {plan.beads} laid"
    over = work.finished or work.phase in {Phase.BURY, Phase.COOL_DOWN, Phase.DONE}
    if over:
        rest = 0 < work.laid < plan.beads and not work.finished
        words = f"not finished: {count}" if rest else f"no more beads: {count}"
        return CrackMap(tuple(laid), plan.runs, None, "", False, words, "")
    running = work.phase is Phase.BEAD and work.bead is not None
    number = work.bead.number if running and work.bead else work.laid + 1
    place = work.bead.place if running and work.bead else plan.place_of(number)
    arrow = draw_toward(number, plan.order)
    what = f"bead {number}" if running else f"next: bead {number}"
    words = f"{what}, place {place + 1}, run {plan.run_of(number)}/{plan.runs}"
    if number > plan.beads:
        words = f"{what}, beyond the plan"
    after = plan.place_of(number + 1) if number < plan.beads else None
    return CrackMap(tuple(laid), plan.runs, place, arrow, running, words, count, after)
