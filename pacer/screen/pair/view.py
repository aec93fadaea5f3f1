"""`pair_view`: what is seen of two recordings at a moment, as finished strings and numbers.

    shown = pair_view(desk.snapshot(), Shown("metric"))

No terminal library here, as in `screen/view.py`. Times on the axis are told with a sign, so
that they are not taken for session time. Every string is clean.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pacer.screen.pair.desk import PairSnapshot, Points, Side
from pacer.screen.pair.keys import BAR
from pacer.screen.pair.lane import Stretch
from pacer.screen.parts.ahead import Foreseen
from pacer.screen.parts.now import now
from pacer.screen.parts.scale import Mark, marks
from pacer.screen.parts.temperature import DASHES, Temperature, temperature, unit_of
from pacer.screen.view import session_time
from pacer.screen.words import words
from pacer.session.cues import Urgency
from pacer.session.work import Bead, Phase
from pacer.text import clean
from pacer.units import Shown

_NO_BEADS_YET = frozenset({Phase.PREPARE, Phase.TACK, Phase.PREHEAT, Phase.SOAK})


@dataclass(frozen=True, slots=True)
class SideView:
    """One recording at the present moment."""

    letter: str
    name: str
    marks: str
    "INVENTED, DAMAGED, or nothing."
    time: str
    "Its own session time."
    phase: str
    "The phase and the bead; before or after the recording that it is."
    alarm: str
    "The giant word of its own screen where that is no step of the work."
    temp: Temperature
    cue: str
    "The last cue told, with its session time and words."


@dataclass(frozen=True, slots=True)
class Axis:
    """The stretch of time drawn, and where the present moment is; s from the aligned moment."""

    from_s: float
    to_s: float
    now_s: float


@dataclass(frozen=True, slots=True)
class Plot:
    """Both curves with their limits."""

    axis: Axis
    curves: tuple[Points, Points]
    limits: tuple[Mark, ...]
    "Of both; those of one alone begin with its letter."


@dataclass(frozen=True, slots=True)
class LaneView:
    """One recording's signs under the plot."""

    letter: str
    stretches: tuple[Stretch, ...]
    zero_s: float


@dataclass(frozen=True, slots=True)
class BeadRow:
    """One bead number in both: part temperature just before the arc, and when."""

    number: int
    struck: tuple[str, str]
    present: bool
    "The last bead struck so far in either."


@dataclass(frozen=True, slots=True)
class PairView:
    """One moment, ready to be painted."""

    banner: str
    time: str
    "Time from the aligned moment, with its sign."
    sides: tuple[SideView, SideView]
    difference: str
    "How far B's number is from A's; empty where one has none."
    drawn: str
    "How much time is drawn."
    plot: Plot
    lanes: tuple[LaneView, LaneView]
    beads: tuple[BeadRow, ...]
    keys: tuple[tuple[str, str], ...]


def pair_view(snapshot: PairSnapshot, shown: Shown) -> PairView:
    """Return what is seen of a moment."""
    a, b = snapshot.sides
    sides = (_side(a, snapshot.at_s, shown), _side(b, snapshot.at_s, shown))
    axis = Axis(snapshot.from_s, snapshot.to_s, snapshot.at_s)
    return PairView(
        banner=_banner(snapshot),
        time=signed_time(snapshot.at_s),
        sides=sides,
        difference=_difference(sides, shown),
        drawn=f"{shown.duration(snapshot.to_s - snapshot.from_s)} drawn",
        plot=Plot(axis, (a.points, b.points), _limits(a, b, shown)),
        lanes=(_lane(a), _lane(b)),
        beads=_beads(snapshot, shown),
        keys=BAR,
    )


def signed_time(t_s: float) -> str:
    """Return a time from the aligned moment as ±h:mm:ss.

    >>> signed_time(75.9), signed_time(-75.2), signed_time(-0.4)
    ('+0:01:15', '-0:01:15', '+0:00:00')
    """
    # Toward the aligned moment on both sides of it, and no minus zero.
    return f"{'-' if t_s <= -1.0 else '+'}{session_time(abs(t_s))}"


def _banner(snapshot: PairSnapshot) -> str:
    """Say that nothing here is now, how it is aligned, and how it plays."""
    if snapshot.over:
        pace = "AT THE BEGINNING" if snapshot.backwards else "AT THE END"
    elif snapshot.paused:
        pace = "PAUSED"
    else:
        pace = f"×{snapshot.speed:g}"
    way = ", BACKWARDS" if snapshot.backwards else ""
    return f"TWO REPLAYS, ALIGNED at {snapshot.aligned}, {pace}{way}"


Where = Literal["before", "in", "after"]


def _where(side: Side, at_s: float) -> Where:
    if at_s < side.first_s:
        return "before"
    return "after" if at_s > side.last_s else "in"


def _side(side: Side, at_s: float, shown: Shown) -> SideView:
    snapshot, recorded = side.snapshot, side.recorded
    where = _where(side, at_s)
    said = now(snapshot, shown, Foreseen())
    temp = temperature(snapshot.state, snapshot.t_s, shown)
    if where != "in":
        # A number from outside the recording would be an invented one.
        temp = Temperature(DASHES, unit_of(shown), "", "", "none", None, sure=False)
    invented = "INVENTED" if recorded.invented else ""
    damaged = "DAMAGED" if recorded.damaged else ""
    last = snapshot.cues[-1] if snapshot.cues and where != "before" else None
    return SideView(
        letter=recorded.letter,
        name=clean(recorded.name, 60),
        marks=" · ".join(part for part in (invented, damaged) if part),
        time=session_time(snapshot.t_s),
        phase=_phase(side, at_s, where),
        alarm=said.word if said.urgency is not Urgency.STEP and where == "in" else "",
        temp=temp,
        cue="" if last is None else f"{session_time(last.t_s)} {last.word}: {words(last, shown)}",
    )


def _phase(side: Side, at_s: float, where: Where) -> str:
    state = side.snapshot.state
    phase = str(state.phase).upper()
    if where == "before":
        return f"BEGINS in {session_time(side.first_s - at_s)}"
    if where == "after":
        return f"ENDED {session_time(at_s - side.last_s)} before, in {phase}"
    bead, planned = state.work.bead, state.job.plan.beads
    if bead is None:
        return phase if state.phase in _NO_BEADS_YET else f"{phase} · no bead of {planned} yet"
    return f"{phase} · bead {bead.number} of {planned}"


def _difference(sides: tuple[SideView, SideView], shown: Shown) -> str:
    """Return how far B's number is from A's, of the rounded numbers that stand there."""
    a_c, b_c = sides[0].temp.temp_c, sides[1].temp.temp_c
    if a_c is None or b_c is None:
        return ""
    whole = round(shown.temp_number(b_c)) - round(shown.temp_number(a_c))
    if whole == 0:
        return "A and B read the same"
    return f"B is {abs(whole)} {unit_of(shown)} {'hotter' if whole > 0 else 'colder'} than A"


def _limits(a: Side, b: Side, shown: Shown) -> tuple[Mark, ...]:
    """Return the limits of the present phases; where they differ, with their letter."""
    of_a, of_b = (marks(side.snapshot.state, shown) for side in (a, b))
    both = [mark for mark in of_a if mark in of_b]
    alone = [("A", mark) for mark in of_a if mark not in both]
    alone += [("B", mark) for mark in of_b if mark not in both]
    named = [Mark(mark.temp_c, f"{letter} {mark.name}", mark.shown) for letter, mark in alone]
    return tuple(sorted((*both, *named), key=lambda mark: mark.temp_c))


def _lane(side: Side) -> LaneView:
    return LaneView(side.recorded.letter, side.recorded.lane, side.zero_s)


def _beads(snapshot: PairSnapshot, shown: Shown) -> tuple[BeadRow, ...]:
    """Return a row for each bead number either has; of one struck again the last counts."""
    struck = [{bead.number: bead for bead in side.recorded.beads} for side in snapshot.sides]
    begun = [
        number
        for side, beads in zip(snapshot.sides, struck, strict=True)
        for number, bead in beads.items()
        if bead.started_s - side.zero_s <= snapshot.at_s
    ]
    present = max(begun, default=0)
    return tuple(
        BeadRow(
            number,
            (
                _struck(struck[0].get(number), snapshot.sides[0], shown),
                _struck(struck[1].get(number), snapshot.sides[1], shown),
            ),
            number == present,
        )
        for number in sorted(struck[0].keys() | struck[1].keys())
    )


def _struck(bead: Bead | None, side: Side, shown: Shown) -> str:
    if bead is None:
        return ""
    temp = "unknown" if bead.start_c is None else shown.temp_c(bead.start_c)
    return f"{temp} {signed_time(bead.started_s - side.zero_s)}"
