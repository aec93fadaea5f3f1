"""Defaults of a job file, and for every key where its value comes from.

Fixed defaults are texts in the table of keys and pass the parser like the user's own.
Those that follow from other keys are worked out here, in an order in which each needs
only what stands above it.
"""

from __future__ import annotations

from typing import Any

from pacer.heat.part import RHO_KG_M3
from pacer.job.cover import least_box_m3, plate_m
from pacer.job.file.keys import keys
from pacer.job.file.values import convert
from pacer.trade.rows import Row, load, row

ANGLES_DEG = {"single-V": 60.0, "double-V": 60.0, "U": 20.0, "fillet weld": 90.0, "square": 0.0}
DESIGNATIONS = {"111": "ENiFe-CI", "141": "ERNi-1", "135": "ERNi-CI", "131": "ERNi-CI"}
_DESIGNATION_WHY = {"111": "row F01b for the choice of nickel-iron, seen in a secondary page"}
_BARE_WHY = "bare nickel: common practice, no source; its name from memory"
THIN_WALL_M = 0.005
'A thinner wall is thin. Our choice: no source gives a number, row B03 says "very thin".'
THIN_WALL_WORDS = f"a wall under {THIN_WALL_M * 1e3:g} mm, our choice"
BEAD_M, THIN_BEAD_M = (row("beads", name).values["length_mm"] / 1e3 for name in ("B02", "B03"))
_USUAL_A_MM, _LEAST_A_MM = 26.0, 20.0
COLD_CEILING_C = 60.0
_COLD_CEILING_WHY = "row B13, common practice; against it: row W18, a cooler one"


class Filled:
    """Values by key name, growing, and the origin of each."""

    def __init__(self, given: dict[str, Any]) -> None:
        """Start from what the file gives."""
        self.values: dict[str, Any] = dict(given)
        # Facts have no default, so there is no origin to tell.
        decides = (name for name in given if not keys()[name].fact)
        self.origin: dict[str, str] = dict.fromkeys(decides, "given")
        for key in keys().values():
            if key.default is not None and key.name not in given:
                text = int(key.default) if key.kind == "count" else key.default
                self.put(key.name, convert(key, text), f"default: {key.why}")

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def has(self, name: str) -> bool:
        """Tell whether the key has a value by now."""
        return name in self.values

    def put(self, name: str, value: Any, origin: str) -> None:
        """Set a key that has no value yet; a given one stays."""
        if name not in self.values:
            self.values[name] = value
            self.origin[name] = origin

    def default(self, name: str, value: Any, why: str = "") -> None:
        """Set a default; words and reason are the table's, or `why` where the case decides it."""
        key = keys()[name]
        why = why or "; ".join(text for text in (key.default_words, key.why) if text)
        self.put(name, value, f"default: {why}")


def fill(given: dict[str, Any]) -> Filled:
    """Return every key's value and origin; nothing is judged here (`checks.py` does)."""
    filled = Filled(given)
    # Stand-ins where a required key is missing: the reader has told that already.
    filled.put("job.method", "hot", "")
    filled.put("part.metal", "unknown", "")
    _part(filled)
    _joint(filled)
    _filler(filled)
    (_hot_band if filled["job.method"] == "hot" else _cold_band)(filled)
    _cooldown(filled)
    _bead_length(filled)
    return filled


def _bead_length(filled: Filled) -> None:
    thin, joint_m = filled["part.wall"] < THIN_WALL_M, filled["joint.crack_length"]
    most_m, known = (THIN_BEAD_M, "B03") if thin else (BEAD_M, "B02")
    if joint_m < most_m:
        filled.default("bead.length", joint_m, f"the whole joint, within row {known}")
    else:
        wall = f"; thin is {THIN_WALL_WORDS}" if thin else ""
        why = f"row {known}, seen in a secondary page{wall}"
        filled.default("bead.length", most_m, why)


def _part(filled: Filled) -> None:
    filled.default("part.size", None)
    size = filled["part.size"]
    groove = ("joint.depth", "joint.root_face")
    if all(filled.has(name) for name in groove) and filled["joint.preparation"] != "fillet weld":
        total = round(filled["joint.depth"] + filled["joint.root_face"], 9)
        filled.put("part.wall", total, "computed: depth plus root face")
    filled.default("part.wall", min([0.012, *(size or ())]))
    if size:
        a, b, c = size
        shell = (a * b + a * c + b * c) * filled["part.wall"]
        mass_kg = round(RHO_KG_M3 * min(shell, a * b * c), 3)
        words = keys()["part.mass"]
        filled.put("part.mass", mass_kg, f"computed: {words.default_words}; {words.why}")


def _joint(filled: Filled) -> None:
    crack = filled["joint.repair"] == "crack"
    filled.default("joint.tack", "none" if crack else "cold")
    broken = filled["joint.repair"] == "break"
    filled.default("joint.ends", "through" if broken else "both in the wall")
    preparation, wall_m = filled["joint.preparation"], filled["part.wall"]
    filled.default("joint.angle", ANGLES_DEG[preparation])
    filled.default("joint.gap", 0.002 if preparation == "square" else 0.0)
    if preparation == "fillet weld":
        filled.put("joint.root_face", 0.0, "default: a fillet weld has none")
        filled.default("joint.depth", round(0.7 * wall_m, 6))
        return
    if filled.has("joint.depth"):
        rest_m = round(wall_m - filled["joint.depth"], 9)
        filled.put("joint.root_face", rest_m, "computed: wall less depth")
    face_m = 0.0 if preparation == "square" else min(0.002, round(wall_m / 5.0, 6))
    filled.default("joint.root_face", face_m)
    depth_m = round(wall_m - filled["joint.root_face"], 9)
    filled.put("joint.depth", depth_m, "computed: wall less root face")


def _filler(filled: Filled) -> None:
    process = row("processes", filled["filler.process"])
    why = _DESIGNATION_WHY.get(process.id, _BARE_WHY)
    filled.default("filler.designation", DESIGNATIONS[process.id], why)
    filled.default("filler.diameter", process.values["diameter_mm"] / 1000.0)
    filled.default("filler.voltage", process.values["volts_v"])
    amps_a, why = _current_a(filled, process)
    filled.put("filler.current", amps_a, f"default: {why}")


def current_range_a(diameter_m: float) -> tuple[float, float] | None:
    """Return the customary current of a nickel-core electrode, A, if row F06 has its size."""
    for found in load("fillers"):
        if found.id.startswith("F06"):
            low_mm, high_mm = found.values["diameter_mm"]
            if low_mm - 0.05 <= diameter_m * 1000.0 <= high_mm + 0.05:
                low_a, high_a = found.values["current_a"]
                return low_a, high_a
    return None


def _current_a(filled: Filled, process: Row) -> tuple[float, str]:
    """Return a customary current, A, and who says so: row F06 knows covered electrodes only."""
    if "amps_a" in process.values:
        name = process.values["names"][0]
        return process.values["amps_a"], f"customary for {name}; common practice, no source"
    diameter_m: float = filled["filler.diameter"]
    known, cold = current_range_a(diameter_m), filled["job.method"] == "cold"
    asks = "; the cold method asks for the least" if cold else ""
    if known:
        amps_a, where = (known[0], "lower end") if cold else (sum(known) / 2.0, "middle")
        return amps_a, (
            f"{where} of trade row F06 for the diameter{asks}; common practice (each maker differs)"
        )
    # They pass through the lower end and the middle of the first row.
    a_mm = _LEAST_A_MM if cold else _USUAL_A_MM
    return float(round(a_mm * diameter_m * 1000.0)), (
        f"{a_mm:g} A for each mm of diameter, which row F06 does not have{asks}; "
        "our choice, no source"
    )


def _hot_band(filled: Filled) -> None:
    """Place whatever is missing 60 K below and 40 K above the preheat target."""
    floor_c, ceiling_c = filled.values.get("band.floor"), filled.values.get("band.ceiling")
    if floor_c is not None and ceiling_c is not None:
        preheat_c = round(floor_c + 0.6 * (ceiling_c - floor_c), 1)
        filled.put("band.preheat", preheat_c, "computed: at three fifths of the band given")
    elif floor_c is not None:
        filled.put("band.preheat", floor_c + 60.0, "computed: 60 K above the floor given")
    elif ceiling_c is not None:
        filled.put("band.preheat", ceiling_c - 40.0, "computed: 40 K below the ceiling given")
    filled.default("band.preheat", 260.0)
    filled.default("band.floor", filled["band.preheat"] - 60.0)
    above = "40 K above the preheat target; common practice, no source"
    filled.default("band.ceiling", filled["band.preheat"] + 40.0, above)
    filled.default("postheat.temperature", filled["band.preheat"])
    widths = (filled["band.ceiling"] - filled["band.floor"]) / 5.0
    below = (filled["band.preheat"] - filled["band.floor"]) / 2.0
    _deadband(filled, min(widths, below))


def _cold_band(filled: Filled) -> None:
    unused = "default: not used in the cold method"
    for name in ("band.preheat", "band.floor"):
        filled.put(name, None, unused)
    for name in ("band.soak", "postheat.hold"):
        if filled.origin.get(name) != "given":
            filled.values[name], filled.origin[name] = 0.0, unused
    filled.default("band.ceiling", COLD_CEILING_C, _COLD_CEILING_WHY)
    filled.put("postheat.temperature", filled["cooldown.ambient"], unused)
    _deadband(filled, (filled["band.ceiling"] - filled["cooldown.ambient"]) / 5.0)


def _deadband(filled: Filled, most_dc: float) -> None:
    filled.default("band.deadband", min(5.0, max(0.5, round(most_dc, 1))))


def _cooldown(filled: Filled) -> None:
    hot = filled["job.method"] == "hot"
    if hot:
        filled.default("cooldown.cover", "dry sand", "row S09, seen in secondary pages")
    else:
        filled.default("cooldown.cover", "still air", "cold method; common practice, no source")
    cover, size = filled["cooldown.cover"], filled["part.size"]
    if cover in ("dry sand", "vermiculite"):
        # Without any mass, which is told as missing, the sizes stand in for nothing.
        mass_kg = filled["part.mass"] if filled.has("part.mass") else 0.0
        sizes = size or plate_m(mass_kg, filled["part.wall"])
        filled.default("cooldown.volume", least_box_m3(sizes))
    if cover == "ceramic blanket":
        filled.default("cooldown.thickness", 0.050)
    if cover == "furnace":
        filled.default("cooldown.max_rate", 40.0)
    for name in ("cooldown.volume", "cooldown.thickness"):
        filled.put(name, None, f"default: not used with {cover}")
    filled.put("cooldown.max_rate", None, "default: none, the limit belongs to the furnace")
    filled.put("heating.max_rate", None, "default: none: published rates are a furnace's (row S03)")
