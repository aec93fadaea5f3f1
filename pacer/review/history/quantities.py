"""What sessions are compared by: words they fall into groups by, and numbers.

A number's name ends in its unit; what it is taken from is said in its row and shown in the
guide and in a Parquet export. A new one is a row here and a line in `numbers.py`.
"""

from __future__ import annotations

from typing import Literal, NamedTuple


class Group(NamedTuple):
    """Something a session has one word for."""

    name: str
    doc: str


class Number(NamedTuple):
    """Something a session has one number for."""

    name: str
    label: str
    "As a table shows it, at most 26 characters."
    kind: Literal["planned", "measured"]
    doc: str


GROUPS: tuple[Group, ...] = (
    Group("method", "hot or cold"),
    Group("metal", "the part's, as the job says it"),
    Group("cover", "what the job has it cool in"),
    Group("heat", "what the job has it heated with"),
    Group("filler", "its designation in the job"),
)

NUMBERS: tuple[Number, ...] = (
    Number("mass_kg", "mass", "planned", "the part's mass"),
    Number("wall_m", "wall", "planned", "thickness at the joint"),
    Number("crack_length_m", "crack length", "planned", "length of the crack or break"),
    Number("groove_depth_m", "groove depth", "planned", "depth of the groove"),
    Number("planned_preheat_c", "planned preheat", "planned", "preheat target"),
    Number("planned_floor_c", "planned floor", "planned", "minimum preheat and interpass"),
    Number("planned_ceiling_c", "planned ceiling", "planned", "maximum interpass"),
    Number("planned_soak_s", "planned soak", "planned", "soak before the first bead"),
    Number("planned_bead_m", "planned bead", "planned", "length of a bead"),
    Number("planned_peen_s", "planned peen", "planned", "time of a peen"),
    Number("planned_beads_n", "planned beads", "planned", "beads the groove needs"),
    Number("planned_hold_s", "planned post-heat", "planned", "equalising hold after the last bead"),
    Number("planned_until_c", "planned uncovering", "planned", "not to be uncovered above"),
    Number("current_a", "current", "planned", "welding current in the job"),
    Number("preheat_reached_c", "preheat reached", "measured", "most read before the first bead"),
    Number("soak_held_s", "soak held", "measured", "counted time of the soak before it"),
    Number("start_median_c", "bead start, median", "measured", "temperature just before the arcs"),
    Number("start_least_c", "bead start, coldest", "measured", "the same, least"),
    Number("start_most_c", "bead start, hottest", "measured", "the same, most"),
    Number("beads_n", "beads laid", "measured", "beads of the plan laid"),
    Number("bead_m", "bead length, median", "measured", "the planned share until corrected"),
    Number("bead_arc_s", "arc time, median", "measured", "arc time of a bead"),
    Number("pause_s", "between beads, median", "measured", "from a bead's end to the next arc"),
    Number("waited_s", "waited in all", "measured", "time in WAIT"),
    Number("reheats_n", "reheats", "measured", "stays in REHEAT"),
    Number("below_floor_s", "below the floor", "measured", "time below it while welding"),
    Number("above_ceiling_s", "above the ceiling", "measured", "time above it in the flame"),
    Number("peened_share", "peens told", "measured", "share of the peens due that were told"),
    Number("welding_s", "first to last arc", "measured", "from the first arc to the last one's end"),
    Number("hold_s", "post-heat held", "measured", "counted time of the equalising hold"),
    Number("bare_s", "last bead to cover", "measured", "from the last arc's end to the cover"),
    Number("covered_c", "covered at", "measured", "temperature when it was covered"),
    Number("cooling_c_h", "fastest cooling", "measured", "greatest 30-minute mean after the first 15 min of the cool-down"),
    Number("covered_s", "time covered", "measured", "until it was first uncovered"),
    Number("uncovered_c", "uncovered at", "measured", "temperature when it was first uncovered"),
    Number("unwatched_s", "time nobody watched", "measured", "gaps of the record in all"),
)  # fmt: skip
