"""`Fault`: one thing that goes wrong in a practice repair, how far, and at which bead.

Its name is that of the finding it deserves. What is planted knows nothing of the limits that
the review judges by: how much comes in seconds, kelvin or what `AMOUNTS` says, so that the
same fault can be made just beyond a limit and just short of it.
"""

from __future__ import annotations

from dataclasses import dataclass

AMOUNTS = {
    "bead too long": "arc time, s",
    "arc lost": "arc time, s",
    "crater not filled": "arc time, s",
    "bead above the ceiling": "temperature it is struck at, °C",
    "bead below the floor": "temperature it is struck at, °C",
    "late peen": "from the arc's end to the first blow, s",
    "not peened": "from the arc's end to the press that ends a pause in the peen, s",
    "peens not confirmed": "",
    "fewer beads than planned": "beads laid",
    "post-heat cut short": "time held, s",
    "above the ceiling": "time above it in the soak, s",
    "cooled through": "time below the floor before the bead, s",
    "reheat missed": "time below the floor before the bead is struck there, s",
    "soak cut short": "time held, s",
    "uneven at the first bead": "difference of a second channel, K",
    "heated too fast": "rate of the preheat, K/h",
    "cooled too fast": "rate at which the furnace begins to fall, K/h",
    "channels apart": "difference of a second channel under the cover, K",
    "uncovered early": "temperature at the probe, °C",
    "cooled faster than its cover": "conductivity of the cover at 25 °C, W/mK",
    "probe knocked off": "fall of the reading in the peen, K",
    "welded without a trusted reading": "open circuit before the bead is struck, s",
    "nothing read": "open circuit before the bead, s",
    "turned, probe not fixed anew": "open circuit after the part was turned, s; 0: it stayed on",
    "tack cracked": "",
    "clamps left on": "from covering to loosening, s",
    "clamps not confirmed loose": "",
    "cautions not confirmed": "",
    "crack reported": "",
    "tink heard": "",
    "nobody watched": "time nobody watched before the bead, s",
}
"""What a fault's `amount` is, by its name; empty: it has none."""

TWO_CHANNELS = frozenset({"uneven at the first bead", "channels apart"})


@dataclass(frozen=True)
class Fault:
    """One planted fault."""

    name: str
    amount: float = 0.0
    "How far: `AMOUNTS` says of what."
    bead: int = 2
    "At which bead, where it is of one."

    def __post_init__(self) -> None:
        if self.name not in AMOUNTS:
            raise ValueError(f'no fault is named "{self.name}"')

    @property
    def told(self) -> str:
        """What it is, for a recording's head."""
        return self.name + (f" {self.amount:g}" if AMOUNTS[self.name] else "")
