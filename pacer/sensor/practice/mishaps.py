"""What goes wrong in every practice session, once each, and at which bead.

One bead is told by a press alone, so that the cadence runs it to the look at its end.
The arc is lost in mid-bead; the welder is away at READY until the part has sunk below the
floor, then leaves the flame on until it is above the ceiling; later he takes a break.
"""

from __future__ import annotations

from dataclasses import dataclass

from pacer.job.job import Job


@dataclass
class Mishaps:
    """What is still to come; a bead number of None: not in this session."""

    lose_arc_at: int | None
    dawdle_at: int | None
    break_at: int | None
    press_at: int | None = None
    uncovers_early: bool = False
    "The session that fails: the cover comes off after half an hour."
    away: bool = False
    flame_left_on: bool = False
    noted: bool = False

    @classmethod
    def of(cls, job: Job) -> Mishaps:
        """Return what happens in a session of this job: without heat nothing sinks or soaks."""
        beads, hot = job.plan.beads, job.method == "hot"
        return cls(
            press_at=min(2, beads),
            lose_arc_at=min(3, beads),
            dawdle_at=min(5, beads) if hot else None,
            break_at=min(8, beads) if hot else None,
        )

    def loses_arc(self, bead: int) -> bool:
        """True, once, where the arc of this bead will go out."""
        if self.lose_arc_at is None or bead < self.lose_arc_at:
            return False
        self.lose_arc_at = None
        return True

    def only_presses(self, bead: int) -> bool:
        """True, once, for the bead whose arc nobody tells of."""
        if self.press_at is None or bead < self.press_at:
            return False
        self.press_at = None
        return True

    def dawdles(self, bead: int) -> bool:
        """True while he is away instead of striking."""
        if self.dawdle_at is not None and bead >= self.dawdle_at:
            self.dawdle_at, self.away = None, True
        return self.away

    def comes_back(self) -> bool:
        """True, once, where the call to reheat finds him away; this flame will stay on."""
        if not self.away:
            return False
        self.away, self.flame_left_on = False, True
        return True

    def takes_flame_away(self) -> None:
        """The call to wait ends a flame left on."""
        self.flame_left_on = False

    def breaks_off(self, bead: int) -> bool:
        """True until the break has begun, where it is time for one."""
        return self.break_at is not None and bead >= self.break_at

    def broke_off(self) -> None:
        """The break has begun."""
        self.break_at = None

    def notes(self) -> bool:
        """True the first time."""
        first, self.noted = not self.noted, True
        return first
