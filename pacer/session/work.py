"""What a press changes and an undo puts back: the phase, the beads, what was told.

Sensor, tracks, conditions and clock are the rest of the state (`state.py`) and stay.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

import msgspec


class Phase(StrEnum):
    """Where the repair stands."""

    PREPARE = "prepare"
    TACK = "tack"
    PREHEAT = "preheat"
    SOAK = "soak"
    READY = "ready"
    BEAD = "bead"
    PEEN = "peen"
    LOOK = "look"
    WAIT = "wait"
    REHEAT = "reheat"
    HOLD = "hold"
    INSPECT = "inspect"
    POST_HEAT = "post-heat"
    BURY = "bury"
    COOL_DOWN = "cool-down"
    DONE = "done"


LAYING = frozenset(
    {
        *(Phase.READY, Phase.BEAD, Phase.PEEN, Phase.LOOK),
        *(Phase.WAIT, Phase.REHEAT, Phase.HOLD, Phase.INSPECT),
    }
)
"""Beads are being laid: from the first READY to the last bead, breaks included."""

KEPT_HOT = frozenset({Phase.PREHEAT, Phase.SOAK, Phase.HOLD, Phase.INSPECT, Phase.POST_HEAT})
"""The part is in its heat: where too hot means too much flame."""

HEATING = frozenset({Phase.PREHEAT, Phase.REHEAT, Phase.POST_HEAT})
"""The flame is meant to raise the part, or the probe, at any rate."""

StartedBy = Literal["press", "arc", "inferred"]
"""`inferred`: by a burst of noise in the readings, a high-frequency arc start."""

EndedBy = Literal["press", "arc", "assumed"]
Peened = Literal["not confirmed", "ended by press", "left alone", "not planned", "begun"]
"""`begun`: he said that he began; `left alone`: too late to peen it; `not planned`: of a run that the job leaves unpeened."""


class Bead(msgspec.Struct, frozen=True):
    """One bead, running or laid."""

    number: int
    "1-based; uncounted beads share the number of the one that replaces them."
    place: int
    "0-based from the joint's left end."
    started_s: float
    start_c: float | None
    "Part temperature just before the arc, where trusted."
    started_by: StartedBy
    ended_s: float | None = None
    ended_by: EndedBy | None = None
    length_m: float | None = None
    "Planned share of the length until corrected with `!bead`."
    counted: bool = True
    "False for an arc too short to be a bead."
    lost: bool = False
    "The arc went out well before the planned end; its place is still to be finished."
    broken_s: float = 0.0
    "Time without arc inside the bead, short breaks that were struck again."
    early: bool = False
    "Started before READY was called."
    struck_in: Phase = Phase.READY
    "Phase the arc broke into: one that was no bead leads back there."
    peened: Peened = "not confirmed"

    @property
    def unpeened(self) -> bool:
        """True for a bead of a run that the job leaves unpeened: it is only looked at."""
        return self.peened == "not planned"

    def arc_s(self, now_s: float) -> float:
        """Return arc time so far, or in all, s."""
        end_s = self.ended_s if self.ended_s is not None else now_s
        return end_s - self.started_s - self.broken_s


class Work(msgspec.Struct, frozen=True):
    """What a press changes and an undo puts back."""

    phase: Phase
    entered_s: float
    by_itself: bool = False
    "True if the phase was entered without a press; guards against a late press."
    beads: tuple[Bead, ...] = ()
    told: frozenset[str] = frozenset()
    "Names of one-time timers of this phase that have fired."
    since_s: float | None = None
    "When soak or post-heat hold began to count, where it has."
    tacked: bool = False
    covered_s: float | None = None
    "When the last cool-down began."
    cover: str | None = None
    "Cover in force: the job's, or still air after an early uncovering."
    finished: bool = False
    "The welder said: no more beads."
    peened_s: float | None = None
    "When the last peen, or the look after it, ended; not a look that took a peen's place."
    heated_s: float | None = None
    "When the last preheat, reheat or post-heat ended."
    inspect_first: bool = False
    "After a long stop: new cracks are looked for before the next bead is called."
    paused_s: float | None = None
    "Since when the rhythm of bead, peen and look stands still; the next press lets it go on."

    @property
    def bead(self) -> Bead | None:
        """The running or last bead."""
        return self.beads[-1] if self.beads else None

    @property
    def unpeened(self) -> bool:
        """True if the running or last bead is of a run that the job leaves unpeened."""
        return bool(self.beads) and self.beads[-1].unpeened

    def with_bead(self, bead: Bead) -> Work:
        """Return the work with `bead` in place of the running or last one."""
        return msgspec.structs.replace(self, beads=(*self.beads[:-1], bead))

    @property
    def laid(self) -> int:
        """How many beads of the plan are laid; one that lost its arc is finished by the next."""
        return sum(1 for b in self.beads if b.counted and not b.lost and b.ended_s is not None)
