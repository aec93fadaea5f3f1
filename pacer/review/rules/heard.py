"""Cracks and tinks as they were said: how hot the part was, under its cover or out of it, which beads.

Of many tinks one finding is made: what stands before each of them is told once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pacer.review.rules.laid_before import laid_before, numbered
from pacer.review.rules.often import MOST_SINGLE
from pacer.review.rules.rule import Step
from pacer.session.events import Act
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Bead, Phase

JUST_BEFORE_S = 300.0
"""Beads of so long before a crack or a tink are named with it. Our choice, no source."""

MOST_NAMED = 5


class Heard(NamedTuple):
    """A crack or a tink as it was said."""

    t_s: float
    record: int
    name: str
    text: str
    temp_c: float | None
    covered_s: float | None
    "How long ago the cool-down had begun; None: it hadn't, or it is out of its cover."
    uncovered: tuple[float, float | None] | None
    "How long ago its cover was taken off, s, and how hot it was then, °C."


def heard(step: Step, act: Act) -> Heard:
    """Return what was known of the part as a crack or a tink was said."""
    state, now = step.state, believed(step.state, step.t_s)
    covered_s, uncovered = None, None
    if state.phase is Phase.COOL_DOWN:
        cooling, began_s = state.cooling, state.work.covered_s
        if cooling is not None and cooling.cover != state.job.cooldown.cover:
            uncovered = round(act.t_s - cooling.start_s, 3), cooling.start_c
        elif began_s is not None:
            covered_s = round(act.t_s - began_s, 3)
    return Heard(
        act.t_s,
        step.record,
        "crack reported" if act.deed == "crack" else "tink heard",
        act.text or "",
        None if now is None else round(now.temp_c, 1),
        covered_s,
        uncovered,
    )


def told(state: State, said: Sequence[Heard]) -> Iterator[Finding]:
    """Yield the findings: each crack, and the tinks, more than a few of them as one."""
    tinks = [one for one in said if one.name == "tink heard"]
    folded = len(tinks) > MOST_SINGLE
    for one in said:
        if not folded or one.name != "tink heard":
            yield _single(state, one)
    if folded:
        yield _many(state, tinks)


def _single(state: State, one: Heard) -> Finding:
    values: dict[str, float] = {}
    parts = [as_is(one.text)] if one.text else []
    if one.temp_c is not None:
        values["temp_c"] = one.temp_c
        parts.append("at {temp_c}")
    if one.covered_s is not None:
        values["covered_s"] = one.covered_s
        parts.append("{covered_s} into the cool-down")
    if one.uncovered is not None:
        parts.append("{uncovered_s} after " + _uncovered(one, values))
    beads = laid_before(state.work.beads, one.t_s)
    just = [bead for bead in beads[-MOST_NAMED:] if _ago_s(bead, one.t_s) <= JUST_BEFORE_S]
    in_the_open = one.covered_s is None and one.uncovered is None
    if not beads:
        parts.append("no bead before it")
    elif just or in_the_open:
        values["bead"], values["since_s"] = beads[-1].number, _ago_s(beads[-1], one.t_s)
        burning = values["since_s"] == 0.0
        parts.append(f"{'while' if burning else '{since_s} after'} bead {{bead}} was laid")
    if len(just) > 1:
        values["within_s"] = JUST_BEFORE_S
        # One that was struck again has its number twice.
        numbers = numbered(sorted({bead.number for bead in just}))
        places = ", ".join(dict.fromkeys(str(bead.place + 1) for bead in just))
        parts.append(f"in the {{within_s}} before it beads {numbers}, at places {places}")
    return Finding(
        name=one.name,
        t_s=one.t_s,
        words="; ".join(parts),
        values=values,
        record=one.record,
        bead=just[-1].number if just else None,
        place=just[-1].place if just else None,
    )


def _many(state: State, tinks: Sequence[Heard]) -> Finding:
    """Return one finding for all tinks; what of the part stands out most comes first."""
    values: dict[str, float] = {"tinks_n": len(tinks)}
    parts = ["{tinks_n} times"]
    temps_c = [one.temp_c for one in tinks if one.temp_c is not None]
    if temps_c:
        values |= {"hottest_c": max(temps_c), "coldest_c": min(temps_c)}
        parts[0] += ", at {hottest_c} to {coldest_c}"
    bare = [one for one in tinks if one.uncovered is not None]
    if bare:
        values["uncovered_n"] = len(bare)
        after = _uncovered(bare[0], values)
        parts.append(f"{{uncovered_n}} of them after {after}, the first {{uncovered_s}} after it")
    just = Counter(number for one in tinks if (number := _bead_before(state, one)) is not None)
    if just:
        values |= {"just_n": just.total(), "within_s": JUST_BEFORE_S}
        values["bead"], values["most_n"] = just.most_common(1)[0]
        parts.append(
            "{just_n} within {within_s} of the bead before, the most, {most_n}, after bead {bead}"
        )
    covered_s = [one.covered_s for one in tinks if one.covered_s is not None]
    if covered_s:
        values |= {"covered_n": len(covered_s), "covered_s": covered_s[0]}
        parts.append("{covered_n} under the cover, the first {covered_s} into the cool-down")
    return Finding(
        name=tinks[0].name,
        t_s=tinks[0].t_s,
        words="; ".join(parts),
        values=values,
        record=tinks[0].record,
    )


def _uncovered(one: Heard, values: dict[str, float]) -> str:
    """Return what came before a tink out of the cover, in words, and add their values."""
    assert one.uncovered is not None
    values["uncovered_s"], temp_c = one.uncovered
    if temp_c is None:
        return "it was uncovered"
    values["uncovered_c"] = round(temp_c, 1)
    return "it was uncovered at {uncovered_c}"


def _bead_before(state: State, one: Heard) -> int | None:
    """Return the number of the bead that was laid just before, or burns; None: long before."""
    beads = laid_before(state.work.beads, one.t_s)
    return beads[-1].number if beads and _ago_s(beads[-1], one.t_s) <= JUST_BEFORE_S else None


def _ago_s(bead: Bead, t_s: float) -> float:
    """Return how long ago a bead's arc went out, s; 0 while it burns."""
    return 0.0 if bead.ended_s is None else round(max(0.0, t_s - bead.ended_s), 3)
