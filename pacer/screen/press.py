"""One press, one action: a bump, a bouncing contact or a held key moves on once.

The terminal tells no key release (ecosystem.md section 0, finding 3). A repeat within
`DEAD_S` of the press before it, counted or not, is ignored. A keyboard begins to repeat a
held key some 0.25-1 s after the press (from memory), so a press in that stretch waits
`PROOF_S`: another one within it shows that the key is held.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

DEAD_S = 0.3
REPEAT_TO_S = 1.05
PROOF_S = 0.12
"""Held keys repeat some 10 to 40 times a second (from memory)."""


@dataclass(slots=True)
class OnePress:
    """Judges presses of one key by their times, s on any steady clock."""

    dead_s: float = DEAD_S
    last_s: float | None = None
    waiting_s: float | None = None

    def press(self, t_s: float) -> Literal["act", "wait", "ignore"]:
        """Judge a press; after "wait" ask `due` once `PROOF_S` has passed."""
        gap_s = None if self.last_s is None else t_s - self.last_s
        self.last_s = t_s
        if gap_s is None or gap_s > REPEAT_TO_S:
            return "act"
        if gap_s < self.dead_s:
            self.waiting_s = None
            return "ignore"
        self.waiting_s = t_s
        return "wait"

    def due(self) -> bool:
        """True once, if the waiting press has stood alone; call it `PROOF_S` later."""
        alone, self.waiting_s = self.waiting_s is not None, None
        return alone
