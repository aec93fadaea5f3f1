"""The one caution that matters in a phase, short enough for a line.

Each is the short form of a row of `trade/cautions.toml`, which has the source; a row is
told only where the job calls for it, as the plan does (`job/sheet/sections/cautions.py`). What is
said first weighs most; a second is added where the line has room.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from pacer.job.sheet.sections.cautions import calls
from pacer.screen.parts.turning import to_turn
from pacer.session.phases.cooldown import TOLD_COOL
from pacer.session.state import State
from pacer.session.work import Phase
from pacer.trade.rows import row

LONGEST = 77
"Letters of a line of 80 less the mark before it."


class Short(NamedTuple):
    """A caution in few words."""

    id: str
    "Row that it is the short form of."
    words: str
    table: str = "cautions"


FIRE_WATCH_S = 1800.0
"""Row `fire watch` has it, with its source; here it is fixed, so that a replay counts down the
watch that was told, whatever the row says by then."""

_BURNS = Short("burns", "Hot iron looks like cold iron: gloves, tongs, a clear way")
_LEAVE = Short("burns", "Hot iron looks like cold iron: look, don't touch")
_TURNING = Short("burns", "Turning it over: dry gloves, tongs; hot iron looks like cold iron")
_BURNER = Short("burner", "Burner off and away before the arc")
_HOLLOW = Short("hollow", "Vent closed hollows before any heat")
_SOLVENT = Short("solvent", "No solvent near arc or flame")
_COATING = Short("coating", "Lead, zinc, cadmium, chromium come off first")
_PAINT = Short("paint", "Old paint counts as lead: off first")
_QUENCH = Short("quench", "Never quench, never blow on it: no water, no air blast")
_STILL = Short("quench", "No water, no air blast: never quench, never blow on it")
_GAS = Short("monoxide", "Burning gas makes carbon monoxide: open doors")
_NICKEL = Short("nickel fume", "Nickel fume: draw it off at the arc")
_FUME = Short("fume", "Fume: head out of the plume, skin covered")
_PEENING = Short("peening", "Eyes and ears covered: slag flies, blows are loud")
_SLAG = Short("peening", "Eyes covered: slag can still fly")
_HOT_BOX = Short("hot box", "A hot box can set things on fire for hours")
_HOTTER = Short("hotter inside", "Cover and thick parts can be hotter than the probe")
_FOOD = Short("nickel food", "Welded with nickel: no food on it")
_AFTER_A_DAY = Short("R24", "Look again after a day", "repair")
_COVER = {
    "dry sand": (
        Short("sand dust", "Sand dust harms lungs: pour it, wear a respirator"),
        Short("damp sand", "Damp sand makes steam"),
    ),
    "vermiculite": (
        Short("old vermiculite", "Only fresh, named vermiculite, dry; stir up no dust"),
    ),
    "ceramic blanket": (
        Short("fibre dust", "Fibre dust may cause cancer: don't shake it dry, wear a respirator"),
    ),
    "still air": (_STILL,),
    "furnace": (_BURNS,),
}
_PHASE: dict[Phase, tuple[Short, ...]] = {
    Phase.TACK: (_NICKEL, _FUME),
    Phase.PREHEAT: (_GAS, _BURNS),
    Phase.SOAK: (_BURNS,),
    Phase.READY: (_BURNER, _BURNS),
    Phase.BEAD: (_NICKEL, _FUME),
    Phase.PEEN: (_PEENING, _BURNS),
    Phase.LOOK: (_SLAG, _LEAVE),
    Phase.WAIT: (_QUENCH,),
    Phase.REHEAT: (_GAS, _BURNS),
    Phase.HOLD: (_BURNS,),
    Phase.INSPECT: (_LEAVE,),
    Phase.POST_HEAT: (
        Short("burns", "Dry gloves, tongs, a clear way and a place ready before you move it"),
    ),
    Phase.DONE: (_HOTTER, _AFTER_A_DAY, _FOOD),
}


def caution(state: State, t_s: float) -> str:
    """Return the caution for this moment, at most `LONGEST` letters."""
    return line(told(state, t_s))


def told(state: State, t_s: float) -> tuple[Short, ...]:
    """Return what the job calls for at this moment, the weightiest first."""
    words = calls(state.job)
    return tuple(
        short
        for short in _moment(state, t_s)
        if short.table != "cautions" or row(short.table, short.id).values["when"] in words
    )


def line(shorts: tuple[Short, ...]) -> str:
    """Return the first of them, and each other for which the line has room."""
    said = ""
    for short in shorts:
        more = f"{said}. {short.words}" if said else short.words
        if len(more) <= LONGEST:
            said = more
    return said


def _moment(state: State, t_s: float) -> Iterator[Short]:
    phase, over = state.phase, TOLD_COOL in state.work.told
    if to_turn(state):
        yield _TURNING
    if phase is Phase.PREPARE:
        yield from _before_heat(state)
    elif phase is Phase.BURY:
        yield from _COVER[state.job.cooldown.cover]
    elif phase is Phase.COOL_DOWN and not over:
        open_air = state.work.cover == "still air"
        hot = "HOT: do not touch it" if open_air else "HOT: do not touch or move it"
        yield Short("burns", hot)
        if open_air:
            yield _STILL
        yield from _fire(state, t_s)
    else:
        yield from _PHASE[Phase.DONE if phase is Phase.COOL_DOWN else phase]


def _before_heat(state: State) -> Iterator[Short]:
    """What the job's facts speak of comes first, then what nobody knows of."""
    coating = state.job.facts.get("part.coating", "unknown")
    if coating == "paint":
        yield _PAINT
    elif coating != "unknown":
        yield Short("coating", f"{coating.capitalize()} comes off before any heat")
    yield from (_HOLLOW, _SOLVENT)
    if coating == "unknown":
        yield _COATING
    yield _GAS


def _fire(state: State, t_s: float) -> Iterator[Short]:
    last_s = max((b.ended_s for b in state.work.beads if b.ended_s is not None), default=None)
    if last_s is not None and t_s < last_s + FIRE_WATCH_S:
        left_min = math.ceil((last_s + FIRE_WATCH_S - t_s) / 60)
        yield Short("fire watch", f"Fire watch: at least {left_min} min more")
    yield _HOT_BOX
