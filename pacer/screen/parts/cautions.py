"""The one caution that matters in a phase, short enough for a line.

The full texts with their sources are the rows of `trade/cautions.toml`; the figures used
here: fire watch at least 30 min after the last arc (29 CFR 1910.252(a)(2)(iii)(B), seen in
a secondary page), never quench (row "quench", seen in a secondary page), sand and fibre
dust (from memory), the rest common practice.
"""

from __future__ import annotations

import math

from pacer.session.phases.cooldown import TOLD_COOL
from pacer.session.state import State
from pacer.session.work import Phase

FIRE_WATCH_S = 1800.0

_FUME = "Fume: draw it off at the arc"
_NICKEL = "Nickel fume: draw it off at the arc"

_HEATING = {
    "gas grill": "Burning gas makes carbon monoxide: open doors. Hot metal: mark it HOT",
    "torch": "Burning gas makes carbon monoxide: open doors. Keep the flame moving",
    "oven": "Hot metal looks like cold metal: gloves, tongs, a clear way",
    "hot plate": "Hot metal looks like cold metal: gloves, tongs, a clear way",
}
_COVER = {
    "dry sand": "Sand dust harms lungs: pour it, respirator on. Damp sand makes steam",
    "vermiculite": "Dust: pour gently, wear a respirator. Only fresh, named vermiculite, dry",
    "ceramic blanket": "Fibre dust harms lungs: don't shake it dry, wear a respirator",
    "still air": "No draught, no water: never quench, never blow on it",
    "furnace": "Hot doorway: face shield and gloves; let the furnace do the cooling",
}
_PHASE = {
    Phase.PREPARE: "Vent closed hollows before any heat. No solvent near arc or flame",
    Phase.SOAK: "Hot metal looks like cold metal: gloves, tongs, a clear way",
    Phase.READY: "Flame off and away before the arc. Hot metal",
    Phase.PEEN: "Eyes and ears: slag flies, blows are loud",
    Phase.LOOK: "Eyes: slag can still fly off as it cools. Hot metal: look, don't touch",
    Phase.WAIT: "Never quench, never blow on it: no water, no air blast",
    Phase.REHEAT: "Keep the flame moving, away from the weld. Carbon monoxide: open doors",
    Phase.HOLD: "Hot metal left alone: mark it HOT, keep draughts and water away",
    Phase.INSPECT: "Hot metal looks like cold metal: flame down while you lean over it",
    Phase.POST_HEAT: "Cover, gloves and a clear way ready before you move it",
    Phase.DONE: "Sand and thick parts can be hotter than the probe. Look again after a day",
}


def caution(state: State, t_s: float) -> str:
    """Return the caution for this phase."""
    job, phase = state.job, state.phase
    if phase in {Phase.TACK, Phase.BEAD}:
        return _NICKEL if "NI" in job.filler.designation.upper() else _FUME
    if phase is Phase.PREHEAT:
        return _HEATING[job.heating.source]
    if phase is Phase.BURY:
        return _COVER[job.cooldown.cover]
    if phase is Phase.COOL_DOWN and TOLD_COOL in state.work.told:
        return _PHASE[Phase.DONE]
    if phase is Phase.COOL_DOWN and state.work.cover == "still air":
        return f"HOT: do not touch it. {_COVER['still air']}"
    if phase is Phase.COOL_DOWN:
        return f"HOT: do not touch or move it. {_fire_watch(state, t_s)}"
    return _PHASE[phase]


def _fire_watch(state: State, t_s: float) -> str:
    last_s = max((b.ended_s for b in state.work.beads if b.ended_s is not None), default=None)
    if last_s is not None and t_s < last_s + FIRE_WATCH_S:
        return f"Fire watch: at least {math.ceil((last_s + FIRE_WATCH_S - t_s) / 60)} min more"
    return "A hot box can set things on fire for hours"
