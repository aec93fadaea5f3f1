"""The phase graph: which module answers for a phase, and which phase can follow which.

A test walks it (every phase reachable, every phase can end) and compares the diagram in
DEVELOPERS.md with `diagram()`.
"""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType
from typing import NamedTuple

from pacer.session.events import AnyEvent
from pacer.session.phases import after, bead, before, cooldown, heating, pause, peen, ready
from pacer.session.phases.moves import Outcome
from pacer.session.state import State
from pacer.session.timers import Timer
from pacer.session.work import Phase


class Rules(NamedTuple):
    """The three functions a phase module offers."""

    timers: Callable[[State], list[Timer]]
    on_event: Callable[[State, AnyEvent], Outcome]
    on_timer: Callable[[State, str, float], Outcome]


def _rules(module: ModuleType) -> Rules:
    return Rules(module.timers, module.on_event, module.on_timer)


RULES: dict[Phase, Rules] = {
    Phase.PREPARE: _rules(before),
    Phase.TACK: _rules(before),
    Phase.PREHEAT: _rules(heating),
    Phase.SOAK: _rules(heating),
    Phase.READY: _rules(ready),
    Phase.BEAD: _rules(bead),
    Phase.PEEN: _rules(peen),
    Phase.LOOK: _rules(peen),
    Phase.WAIT: _rules(pause),
    Phase.REHEAT: _rules(pause),
    Phase.HOLD: _rules(pause),
    Phase.INSPECT: _rules(pause),
    Phase.POST_HEAT: _rules(after),
    Phase.BURY: _rules(after),
    Phase.COOL_DOWN: _rules(cooldown),
    Phase.DONE: _rules(cooldown),
}

_P = Phase
_CHOSEN = frozenset({_P.READY, _P.INSPECT, _P.WAIT, _P.REHEAT})
_STOP = frozenset({_P.POST_HEAT, _P.BURY, _P.HOLD, _P.COOL_DOWN, _P.BEAD})
_AGAIN = frozenset({_P.PREPARE, _P.PREHEAT})

FOLLOWS: dict[Phase, frozenset[Phase]] = {
    _P.PREPARE: frozenset({_P.TACK, _P.PREHEAT}) | _CHOSEN,
    _P.TACK: frozenset({_P.HOLD, _P.COOL_DOWN}) | _CHOSEN | _AGAIN,
    _P.PREHEAT: frozenset({_P.SOAK, _P.BEAD, _P.COOL_DOWN}) | _AGAIN,
    _P.SOAK: _CHOSEN | _STOP | _AGAIN | {_P.TACK},
    _P.READY: _CHOSEN | _STOP | _AGAIN,
    _P.BEAD: frozenset({_P.PEEN, _P.LOOK, _P.WAIT}) | _AGAIN,
    _P.PEEN: _CHOSEN | _STOP | _AGAIN | {_P.LOOK, _P.SOAK},
    _P.LOOK: _CHOSEN | _STOP | _AGAIN | {_P.SOAK},
    _P.WAIT: _CHOSEN | _STOP | _AGAIN,
    _P.REHEAT: _CHOSEN | _STOP | _AGAIN,
    _P.HOLD: _CHOSEN | _STOP | _AGAIN,
    _P.INSPECT: _CHOSEN | _STOP | _AGAIN,
    _P.POST_HEAT: frozenset({_P.BURY, _P.BEAD, _P.COOL_DOWN}),
    _P.BURY: frozenset({_P.COOL_DOWN, _P.BEAD}),
    _P.COOL_DOWN: frozenset({_P.DONE, _P.COOL_DOWN}) | _AGAIN | _CHOSEN,
    # Covered half-way and cooled: the repair is not finished, and goes on another day.
    _P.DONE: _AGAIN | _CHOSEN,
}
"""Every change the rules can make, undo left aside."""


def diagram() -> str:
    """Return the graph as text, one phase a line."""
    return "\n".join(
        f"{phase:<10} -> {', '.join(sorted(FOLLOWS[phase])) or '(the end)'}" for phase in Phase
    )
