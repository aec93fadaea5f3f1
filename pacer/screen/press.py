"""One press, one action: a bump, a bouncing contact or a held key moves on once.

The terminal tells no key release (ecosystem.md section 0, finding 3). A repeat within
`DEAD_S` of the press before it, counted or not, is ignored. A keyboard begins to repeat a
held key some 0.25-1 s after the press (from memory), so a press in that stretch waits
`PROOF_S`: another one within it shows that the key is held.
A glove or an elbow lands on several keys: of keys within `AT_ONCE_S` only the first counts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

DEAD_S = 0.3
REPEAT_TO_S = 1.05
PROOF_S = 0.12
"""Held keys repeat some 10 to 40 times a second (from memory)."""

AT_ONCE_S = 0.05
"""Five keys hit at once arrive within 0-10 ms of each other (reliability.md T-37)."""

Verdict = Literal["act", "wait", "ignore"]
Later = Callable[[float, Callable[[], object]], object]


@dataclass(slots=True)
class OnePress:
    """Judges presses of one key by their times, s on any steady clock."""

    dead_s: float = DEAD_S
    last_s: float | None = None
    waiting_s: float | None = None

    def press(self, t_s: float) -> Verdict:
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


@dataclass(slots=True)
class Presses:
    """Judges all keys of a keyboard: each as `OnePress` does, several at once as one press."""

    keys: dict[str, OnePress] = field(default_factory=dict)
    struck_s: float | None = None
    "When a key was last struck, its own repeats aside."

    def press(self, key: str, t_s: float) -> Verdict:
        """Judge a press of a key; "wait" as in `OnePress`."""
        one = self.keys.setdefault(key, OnePress())
        repeats = one.last_s is not None and t_s - one.last_s <= REPEAT_TO_S
        verdict = one.press(t_s)
        if repeats:
            return verdict
        at_once = self.struck_s is not None and t_s - self.struck_s < AT_ONCE_S
        self.struck_s = t_s
        return "ignore" if at_once else verdict

    def judge(self, key: str, t_s: float, act: Callable[[], object], later: Later) -> None:
        """Do `act` once a press; `later` calls back after so many seconds."""
        verdict = self.press(key, t_s)
        if verdict == "act":
            act()
        elif verdict == "wait":
            later(PROOF_S, lambda: act() if self.keys[key].due() else None)
