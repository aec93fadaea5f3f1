"""`Job`: one repair as the rest of the program sees it, in SI units and °C.

`job/file/read.py` makes it from a job file and fills every default; the recording's head
stores it whole, so a replay needs no job file and no trade table.
Names end in their unit; a name without a suffix is a count, a word or a ratio.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Method = Literal["hot", "cold"]
Metal = Literal[
    "grey iron",
    "ductile iron",
    "malleable iron",
    "white iron",
    "cast steel",
    "mild steel",
    "unknown",
]
Service = Literal[
    "none", "pressure", "lifting", "fuel", "brake or steering", "at speed", "overhead"
]
Repair = Literal["crack", "break", "patch"]
Access = Literal["one side", "both sides"]
Tack = Literal["none", "cold", "hot"]
Ends = Literal["both in the wall", "one at an edge", "through"]
PeenRuns = Literal["all", "not root", "not root nor last"]
Preparation = Literal["square", "single-V", "double-V", "U", "fillet weld"]
HeatSource = Literal["gas grill", "oven", "torch", "hot plate"]
CoverName = Literal["dry sand", "vermiculite", "ceramic blanket", "still air", "furnace"]


class Part(msgspec.Struct, frozen=True):
    """The casting."""

    metal: Metal
    mass_kg: float
    "Given, or estimated from size and wall (the origin says which)."
    size_m: tuple[float, float, float] | None
    "Overall length, width, height; None where only the mass is known."
    wall_m: float
    "Thickness at the joint."
    service: Service


class Joint(msgspec.Struct, frozen=True):
    """The crack or break and how it is opened."""

    repair: Repair
    access: Access
    crack_length_m: float
    tack: Tack
    ends: Ends
    preparation: Preparation
    angle_deg: float
    root_face_m: float
    depth_m: float
    "Of the groove, both sides together; the leg of a fillet weld."
    gap_m: float = 0.0
    "Root opening."
    butter: bool = False
    "Whether each face is coated with weld metal first; recordings before 1.4: none."


class Filler(msgspec.Struct, frozen=True):
    """Filler metal and arc."""

    process: str
    "ISO 4063 number, such as 111 or 141."
    designation: str
    diameter_m: float
    current_a: float
    voltage_v: float


class Heating(msgspec.Struct, frozen=True):
    """How the part is preheated."""

    source: HeatSource
    points: int
    "Places where the temperature is checked before the first bead."
    max_rate_c_h: float | None = None
    "Only where the user set one; recordings before 1.5: none."


class Band(msgspec.Struct, frozen=True):
    """Temperature limits while welding, in the words of ISO 13916."""

    preheat_c: float | None
    "Preheat target; None in the cold method."
    floor_c: float | None
    "Minimum preheat and interpass; None in the cold method."
    ceiling_c: float
    "Maximum interpass."
    soak_s: float
    "0 in the cold method."
    deadband_dc: float
    "Hysteresis of every limit, as a temperature difference."


class BeadRules(msgspec.Struct, frozen=True):
    """One bead and its peening."""

    length_m: float
    travel_m_s: float
    peen_s: float
    peen_within_s: float
    hood_down_s: float = 0.0
    "From the press that starts a bead until its arc burns, where nothing tells of the arc."
    hood_up_s: float = 2.0
    "Without a signal the arc is taken to end so long after STOP: the cadence's beat."
    look_s: float = 0.0
    "How long the cadence leaves for a look at the bead after the peen; older recordings: none."
    peen_runs: PeenRuns = "all"
    "Which runs are peened; recordings before 1.4: all."

    @property
    def planned_s(self) -> float:
        """Arc time of one planned bead, s, to a whole millisecond."""
        return round(self.length_m / self.travel_m_s, 3)


class Postheat(msgspec.Struct, frozen=True):
    """The equalising hold after the last bead (not stress relief)."""

    temperature_c: float
    hold_s: float


class Cooldown(msgspec.Struct, frozen=True):
    """How the part is left to cool."""

    cover: CoverName
    volume_m3: float | None
    "Of the sand or vermiculite box."
    thickness_m: float | None
    "Of a blanket."
    ambient_c: float
    until_c: float
    max_rate_c_h: float | None
    "Only where the user set one, or for a furnace."
    max_spread_dc: float = 50.0
    "Between channels under the cover; in recordings before 1.5 the default there is now."


class BeadPlan(msgspec.Struct, frozen=True):
    """What the groove needs, computed once when the job is read."""

    runs: int
    "Runs on top of each other (all layers together)."
    places: int
    "Places of one bead length along the joint."
    order: tuple[int, ...]
    "Places, 0-based from the joint's left end, as they are visited: one run or several, then again."

    @property
    def beads(self) -> int:
        """How many beads the groove needs."""
        return self.runs * self.places

    def place_of(self, bead: int) -> int:
        """Return the place (0-based) of bead number `bead` (1-based).

        >>> BeadPlan(runs=2, places=3, order=(0, 2, 1)).place_of(5)
        2
        >>> BeadPlan(runs=2, places=3, order=(0, 2, 1, 2, 0, 1)).place_of(5)
        0
        """
        return self.order[(bead - 1) % len(self.order)]

    def run_of(self, bead: int) -> int:
        """Return the run (1-based) that bead number `bead` (1-based) belongs to."""
        return (bead - 1) // self.places + 1


class SensorPlace(msgspec.Struct, frozen=True):
    """Where readings come from."""

    url: str
    distance_m: float
    "From the joint's edge."


class Job(msgspec.Struct, frozen=True):
    """A checked job with every default filled in."""

    title: str
    method: Method
    part: Part
    joint: Joint
    filler: Filler
    heating: Heating
    band: Band
    bead: BeadRules
    postheat: Postheat
    cooldown: Cooldown
    sensor: SensorPlace
    plan: BeadPlan
    origin: dict[str, str]
    "Job-file key -> 'given', 'default: why and from where' or 'computed: how'."
    facts: dict[str, str] = {}
    "Job-file key -> text as given, cleaned: what only the record needs (filler batch, oil, …)."
