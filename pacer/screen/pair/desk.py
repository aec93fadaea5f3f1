"""`PairDesk`: what the screen of two recordings needs of whoever plays them.

Both stand on one axis: seconds since the moment they are aligned at, negative before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from pacer.screen.desk import Pace, Snapshot
from pacer.screen.pair.lane import Stretch
from pacer.session.work import Bead, Phase

Letter = Literal["A", "B"]

Aligned = Phase | Literal["start"]
"""The first entry into a phase, or the beginning of the recordings."""

Points = tuple[tuple[float, float | None], ...]
"""(time on the common axis s, °C or None for a gap), ascending."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """What a whole recording holds; times are its own session time, s."""

    letter: Letter
    name: str
    "File name, cleaned."
    invented: str
    "Not empty: simulated, and how; cleaned."
    damaged: bool
    "Some of it was lost: what is shown are its sound records."
    start_s: float
    end_s: float
    beads: tuple[Bead, ...]
    lane: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two at the present moment."""

    recorded: Recorded
    zero_s: float
    "Session time of the aligned moment."
    snapshot: Snapshot
    "At its first or last moment where the present one lies outside the recording."
    points: Points
    "Its temperatures in the stretch of time drawn."

    @property
    def last_s(self) -> float:
        """Where it ends on the common axis."""
        return self.recorded.end_s - self.zero_s

    @property
    def first_s(self) -> float:
        """Where it begins on the common axis."""
        return self.recorded.start_s - self.zero_s


@dataclass(frozen=True, slots=True)
class PairSnapshot:
    """One moment of both."""

    at_s: float
    "On the common axis, as everything here."
    sides: tuple[Side, Side]
    aligned: Aligned
    from_s: float
    to_s: float
    "The stretch of time drawn."
    speed: float
    paused: bool
    backwards: bool
    over: bool
    "It can go no further this way."


class PairDesk(Protocol):
    """Whoever plays two recordings; nothing here changes either of them."""

    def snapshot(self) -> PairSnapshot:
        """Return the present moment; cheap, called several times a second."""

    def pace(self, word: Pace) -> None:
        """Pause, change the pace, turn round, jump."""

    def align(self) -> None:
        """Align at the next phase that both have entered; A stays at its moment."""

    def zoom(self) -> None:
        """Draw a shorter stretch of time around the present moment; after the shortest all."""
