"""Every kind of finding that can be planted: how much is at its limit, in which job, what it entails.

The limits are typed here again, not taken from the rules.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import tomlkit

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.sensor.practice.planted.fault import Fault
from pacer.session.finding import Weight

JOB = Path(__file__).with_name("job.toml")

AT, NEAR = 1.3, 0.85
"How far a planted fault goes, as multiple of its limit, and a near miss."


@lru_cache(maxsize=64)
def job(*changes: tuple[str, Any]) -> Job:
    """Return the small job with some keys of it changed, such as ("bead.peen", "20 s")."""
    text = tomlkit.parse(JOB.read_text(encoding="utf-8"))
    for name, value in changes:
        table, key = name.split(".")
        if value is None:
            text[table].pop(key, None)
        else:
            text[table][key] = list(value) if isinstance(value, tuple) else value
    return job_from_text(tomlkit.dumps(text), JOB.name)


@dataclass(frozen=True)
class Kind:
    """One kind of finding."""

    name: str
    amount: Callable[[float], float | None]
    "Of how far a fault goes its amount; None: so far there is no fault to make."
    changes: tuple[tuple[str, Any], ...] = ()
    "Of the small job."
    entails: frozenset[str] = frozenset()
    "What else above a note is true of such a repair."
    bead: int | None = 2
    "Which it is of."
    near_entails: frozenset[str] = frozenset()
    "What is true of a near miss."
    weight: Weight = "finding"
    late_s: float = 10.0
    "How far from when it was made it may be told."

    @property
    def job(self) -> Job:
        """The job it is planted in."""
        return job(*self.changes)

    def fault(self, size: float) -> tuple[Fault, ...]:
        """Return the fault that goes so far."""
        amount = self.amount(size)
        return () if amount is None else (Fault(self.name, amount, self.bead or 2),)


def _only(size: float) -> float | None:
    """A thing that was done or not: nearly done is not done."""
    return 0.0 if size > 1.0 else None


PLANNED_S = 15.0
"25 mm at 100 mm/min."
SOAK_S = HOLD_S = 240.0
PREHEAT_C, FLOOR_C, CEILING_C, UNTIL_C = 260.0, 200.0, 300.0, 110.0
MOST_STOP_S = 2.25
"0.15 of the planned arc time."
LOST_S = 0.375 * PLANNED_S
CRATER_S = 2.5
"FINISH is told 3.5 s before the planned end; a second is left to hear it."
LATE_PEEN_S = 10.0
LEFT_AFTER_S = 20.0
"5 s to begin in, and 15 s of peening."
TOO_HOT_S, COOLED_S = 60.0, 120.0
EVEN_DC = SPREAD_DC = 50.0
DAMP_SD = 4.4
"""So many standard deviations above its published median (0.068 W/mK, 30 %) the medium of this
casting begins to be told: its other properties are as the seed draws them."""
DROP_OUT_S = 5.5
"5 s without a reading, and half a second since the last one."
SAID_LATE_S = 60.0
UNREAD_S = UNWATCHED_S = 120.0
RATE_C_H = 800.0
FURNACE_C_H = 60.0

_RATE = (("heating.max_rate", f"{RATE_C_H:.0f} K/h"),)
_FURNACE = (
    ("cooldown.cover", "furnace"),
    ("cooldown.volume", None),
    ("cooldown.max_rate", f"{FURNACE_C_H:.0f} K/h"),
)
_SLOW = (
    ("cooldown.cover", "vermiculite"),
    ("cooldown.volume", "15 l"),
    ("part.mass", "2.1 kg"),
    ("part.size", ("200 mm", "150 mm", "10 mm")),
    ("cooldown.until", "60 degC"),
)


def _first_rate_c_h(size: float) -> float:
    """Return the rate a furnace begins with where its first judged 30 minutes have `size` limits.

    They begin 15 min after it was closed, so their middle is at half an hour; it loses its heat
    above the room's, some 240 K, exponentially.
    """
    rate_c_h = mean_c_h = size * FURNACE_C_H
    for _ in range(20):
        rate_c_h = mean_c_h * math.exp(0.5 * rate_c_h / 240.0)
    return rate_c_h


KINDS: tuple[Kind, ...] = (
    Kind("bead too long", lambda size: PLANNED_S + size * MOST_STOP_S),
    Kind(
        "arc lost",
        lambda size: PLANNED_S - size * LOST_S,
        near_entails=frozenset({"crater not filled"}),
    ),
    Kind("crater not filled", lambda size: PLANNED_S - size * CRATER_S),
    Kind("bead above the ceiling", lambda size: PREHEAT_C + size * (CEILING_C - PREHEAT_C)),
    Kind("bead below the floor", lambda size: PREHEAT_C - size * (PREHEAT_C - FLOOR_C)),
    Kind("late peen", lambda size: size * LATE_PEEN_S),
    Kind("not peened", lambda size: size * LEFT_AFTER_S),
    Kind("peens not confirmed", _only, bead=None, weight="note"),
    Kind("fewer beads than planned", lambda size: 3.0 if size > 1.0 else 4.0, bead=None),
    Kind("post-heat cut short", lambda size: HOLD_S - size * 0.1 * HOLD_S, bead=None),
    Kind("above the ceiling", lambda size: size * TOO_HOT_S, bead=None),
    Kind("cooled through", lambda size: size * COOLED_S, bead=None),
    Kind(
        "reheat missed",
        lambda size: size * COOLED_S,
        entails=frozenset({"bead below the floor"}),
        near_entails=frozenset({"bead below the floor", "cooled through"}),
    ),
    Kind("soak cut short", lambda size: SOAK_S / size if size > 1.0 else None, bead=None),
    Kind("uneven at the first bead", lambda size: size * EVEN_DC, bead=None),
    Kind("heated too fast", lambda size: size * RATE_C_H, changes=_RATE, bead=None),
    Kind("cooled too fast", _first_rate_c_h, changes=_FURNACE, bead=None),
    Kind("channels apart", lambda size: size * SPREAD_DC, changes=_SLOW, bead=None),
    Kind("uncovered early", lambda size: size * UNTIL_C if size > 1.0 else None, bead=None),
    Kind(
        "cooled faster than its cover",
        lambda size: 0.068 * math.exp(0.30 * DAMP_SD * size),
        changes=_SLOW,
        bead=None,
    ),
    Kind("probe knocked off", lambda size: size * 20.0, bead=None),
    Kind("welded without a trusted reading", lambda size: size * DROP_OUT_S),
    Kind("nothing read", lambda size: size * UNREAD_S, bead=None),
    Kind("turned, probe not fixed anew", lambda size: 0.0 if size > 1.0 else 20.0, bead=None),
    Kind("tack cracked", _only, bead=None),
    Kind("clamps left on", lambda size: size * SAID_LATE_S, bead=None),
    Kind("clamps not confirmed loose", _only, bead=None, weight="note"),
    Kind("cautions not confirmed", _only, bead=None, weight="note"),
    Kind("crack reported", _only, bead=None),
    Kind("tink heard", _only, bead=None),
    Kind("nobody watched", lambda size: size * UNWATCHED_S, bead=None),
)
