"""What a job file's values must be together: faults that stop it.

Each check yields a `Fault` with the keys it rests on; the reader leaves it out when one
of them is already known to be wrong. Only checks about the trade and the geometry are
here, ranges of single keys are in the table of keys; what only deserves a word is in
`warn.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pacer.heat.part import RHO_KG_M3
from pacer.job.file.fill import THIN_BEAD_M, THIN_WALL_M, THIN_WALL_WORDS, Filled
from pacer.job.file.keys import keys
from pacer.job.file.values import Fault
from pacer.job.groove import bead_section_m2, groove_area_m2, runs_for
from pacer.job.stops import FACTS, stops

NARROWEST_BAND_DC = 5.0
"Twice the tolerance of a type K sensor, class 2 (row K2, from memory)."
COLD_MARGIN_DC = 10.0
SHORTEST_BEAD_S = 5.0
MOST_BEADS = 1000
_SLACK_M = 0.00005
_ANGLES = {"single-V": (20, 120), "double-V": (20, 120), "U": (0, 60), "fillet weld": (60, 120)}

Check = Callable[[Filled], Iterator[Fault]]


def faults(filled: Filled, given: frozenset[str], *, stopping: bool = True) -> list[Fault]:
    """Return every fault of the values together, `given` being the keys in the file.

    Without `stopping` what stops a plan (`job/stops.py`) is no fault: its page shows it.
    """
    found = list(_mass(filled, given))
    if stopping:
        found += _stops(filled)
    if filled["job.method"] == "cold":
        found += _cold_keys(filled, given)
    found += [fault for check in _CHECKS for fault in check(filled)]
    # Without a known method it can't be said which limits there should be.
    for method_check in (_hot_band, _cold_band, _cooldown):
        found += [Fault((*f.keys, "job.method"), f.text) for f in method_check(filled)]
    return found


def _mass(filled: Filled, given: frozenset[str]) -> Iterator[Fault]:
    if "part.mass" in given:
        return
    wall = "part.wall" in given or filled.origin["part.wall"].startswith("computed")
    if "part.size" not in given or not wall:
        keys_ = ("part.mass", "part.size", "part.wall")
        text = 'missing; write mass = "3.2 kg", or give size and wall'
        yield Fault(keys_, text, missing=True)


def _cold_keys(filled: Filled, given: frozenset[str]) -> Iterator[Fault]:
    for name, key in keys().items():
        if key.hot_only and name in given:
            text = (
                "the cold method has a ceiling only, no preheat, floor, soak or post-heat; "
                'take the line out, or write method = "hot"'
            )
            yield Fault((name, "job.method"), text)


def _stops(filled: Filled) -> Iterator[Fault]:
    names = (name for name in keys() if name in FACTS or name.startswith("tests."))
    facts = {name: filled[name] for name in names if filled.has(name)}
    method = filled["job.method"]
    for stop in stops(filled["part.metal"], filled["part.service"], method, facts):
        # Whether uneven heat stops it is known only where the method is.
        keys_ = (stop.key, "job.method") if stop.key == "heating.even" else (stop.key,)
        yield Fault(keys_, stop.line, stop=True)


def _hot_band(filled: Filled) -> Iterator[Fault]:
    if filled["job.method"] != "hot":
        return
    floor_c, preheat_c = filled["band.floor"], filled["band.preheat"]
    ceiling_c, deadband_dc = filled["band.ceiling"], filled["band.deadband"]
    band = ("band.floor", "band.preheat", "band.ceiling")
    if floor_c >= preheat_c:
        text = f"the floor must be below the preheat target; write less than {preheat_c:g} degC"
        yield Fault(("band.floor", "band.preheat"), text)
    if preheat_c >= ceiling_c:
        text = f"the ceiling must be above the preheat target; write more than {preheat_c:g} degC"
        yield Fault(("band.ceiling", "band.preheat"), text)
    width_dc = ceiling_c - floor_c
    if floor_c < preheat_c < ceiling_c and width_dc < NARROWEST_BAND_DC:
        text = (
            f"a band of {width_dc:g} K is narrower than ±2.5 K, the tolerance of a type K sensor "
            "(class 2, row K2, from memory): in and out of it can't be told apart; "
            f"write at least {floor_c + NARROWEST_BAND_DC:g} degC"
        )
        yield Fault(("band.ceiling", "band.floor"), text)
    most_dc = min(width_dc / 2.0, preheat_c - floor_c)
    if width_dc >= NARROWEST_BAND_DC and 0.0 < most_dc < deadband_dc:
        text = f"too wide for this band; write at most {most_dc:g} delta_degC"
        yield Fault(("band.deadband", *band), text)
    hold_c = filled["postheat.temperature"]
    if floor_c < preheat_c < ceiling_c and not floor_c <= hold_c <= ceiling_c:
        text = f"outside the band; write {floor_c:g} to {ceiling_c:g} degC"
        yield Fault(("postheat.temperature", *band), text)
    yield from _nothing_to_cool(filled)


def _nothing_to_cool(filled: Filled) -> Iterator[Fault]:
    """Yield a fault where the cool-down would end above the floor: of the band, if it is low."""
    floor_c, until_c = filled["band.floor"], filled["cooldown.until"]
    if until_c < floor_c:
        return
    # The floor follows the first of them that is given.
    band = ("band.floor", "band.preheat", "band.ceiling")
    given = next((name for name in band if filled.origin.get(name) == "given"), None)
    below = floor_c > filled["cooldown.ambient"] and filled.origin["cooldown.until"] == "given"
    if given is None or below:
        text = f"not below the floor, so no cool-down; write less than {floor_c:g} degC"
        yield Fault(("cooldown.until", "band.floor", "band.preheat"), text)
        return
    what = (
        "not above" if given == "band.floor" else f"puts the floor at {floor_c:g} degC, not above"
    )
    text = (
        f"{what} the {until_c:g} degC at which the cool-down ends, so there would be none; "
        f"write more than {filled[given] + until_c - floor_c:g} degC"
    )
    if given != "band.floor":
        text += ", or give the floor too"
    yield Fault((given, "cooldown.until", *band), text)


def _cold_band(filled: Filled) -> Iterator[Fault]:
    if filled["job.method"] != "cold":
        return
    least_c = filled["cooldown.ambient"] + COLD_MARGIN_DC
    span = ("band.ceiling", "cooldown.ambient")
    if filled["band.ceiling"] < least_c:
        text = (
            f"less than {COLD_MARGIN_DC:g} K above the shop, where iron hardly cools any more: "
            f"the waits would not end; write at least {least_c:g} degC"
        )
        yield Fault(span, text)
    elif filled["band.deadband"] > (most_dc := (least_c - filled["cooldown.ambient"]) / 2.0):
        yield Fault(("band.deadband", *span), f"too wide; write at most {most_dc:g} delta_degC")


def _cooldown(filled: Filled) -> Iterator[Fault]:
    ambient_c, cover = filled["cooldown.ambient"], filled["cooldown.cover"]
    if filled["cooldown.until"] <= ambient_c:
        text = f"never reached in a shop at {ambient_c:g} degC; write more than that"
        yield Fault(("cooldown.until", "cooldown.ambient"), text)
    volume_m3, boxed = filled["cooldown.volume"], cover in ("dry sand", "vermiculite")
    if volume_m3 is not None and not boxed:
        text = f"{cover} has no box; take the line out, or change the cover"
        yield Fault(("cooldown.volume", "cooldown.cover"), text)
    size = filled["part.size"]
    part_m3 = filled["part.mass"] / RHO_KG_M3 if filled.has("part.mass") else 0.0
    least_m3 = max(part_m3, size[0] * size[1] * size[2] if size else 0.0)
    if boxed and volume_m3 is not None and volume_m3 <= least_m3:
        text = f"the part takes {least_m3 * 1e3:.3g} l itself; write more"
        yield Fault(("cooldown.volume", "part.size", "part.mass", "cooldown.cover"), text)
    if filled["cooldown.thickness"] is not None and cover != "ceramic blanket":
        text = f"{cover} has no blanket; take the line out, or change the cover"
        yield Fault(("cooldown.thickness", "cooldown.cover"), text)


def _part(filled: Filled) -> Iterator[Fault]:
    size, wall_m = filled["part.size"], filled["part.wall"]
    if size is None:
        return
    if wall_m > min(size) + _SLACK_M:
        text = f"thicker than the part; write at most {min(size) * 1e3:g} mm"
        yield Fault(("part.wall", "part.size"), text)
    solid_kg = 1.1 * RHO_KG_M3 * size[0] * size[1] * size[2]
    if filled.has("part.mass") and filled["part.mass"] > solid_kg:
        text = f"more than a solid block of these sizes; write at most {solid_kg:.3g} kg"
        yield Fault(("part.mass", "part.size", "part.wall"), text)
    around_m = 2.0 * sum(sorted(size)[1:])
    if filled["joint.crack_length"] > around_m:
        text = f"longer than the way round the part, {around_m * 1e3:.4g} mm"
        yield Fault(("joint.crack_length", "part.size"), text)


def _groove(filled: Filled) -> Iterator[Fault]:
    shape, angle_deg = filled["joint.preparation"], filled["joint.angle"]
    wall_m, depth_m = filled["part.wall"], filled["joint.depth"]
    geometry = ("joint.depth", "joint.root_face", "part.wall", "joint.preparation")
    if shape == "fillet weld":
        if filled["joint.root_face"] > 0.0:
            text = "a fillet weld has no root face; take the line out"
            yield Fault(("joint.root_face", "joint.preparation"), text)
    elif depth_m > wall_m + _SLACK_M:
        text = f"deeper than the wall of {wall_m * 1e3:g} mm; write that or less"
        yield Fault(("joint.depth", "part.wall", "joint.preparation"), text)
    elif abs(depth_m + filled["joint.root_face"] - wall_m) > _SLACK_M or depth_m <= _SLACK_M:
        text = (
            f"depth and root face must add up to the wall of {wall_m * 1e3:g} mm, "
            f"not {(depth_m + filled['joint.root_face']) * 1e3:g} mm; write one of them only"
        )
        yield Fault(geometry, text)
    if shape == "square" and angle_deg > 0.0:
        text = "a square preparation has no angle; take the line out"
        yield Fault(("joint.angle", "joint.preparation"), text)
    if shape in _ANGLES and not _ANGLES[shape][0] <= angle_deg <= _ANGLES[shape][1]:
        low, high = _ANGLES[shape]
        text = f"no angle for a {shape}; write {low} to {high} deg"
        yield Fault(("joint.angle", "joint.preparation"), text)
    if shape == "square" and filled["joint.gap"] <= 0.0:
        text = 'a square preparation without a gap has no groove; write "2 mm" or so'
        yield Fault(("joint.gap", "joint.preparation"), text)
    if shape == "double-V" and filled["joint.access"] != "both sides":
        text = 'a double-V is welded from both sides; write "single-V", or access = "both sides"'
        yield Fault(("joint.preparation", "joint.access"), text)


def _bead(filled: Filled) -> Iterator[Fault]:
    length_m, travel_m_s = filled["bead.length"], filled["bead.travel"]
    if filled["part.wall"] < THIN_WALL_M and length_m > THIN_BEAD_M:
        text = (
            f"very thin castings take beads of at most {THIN_BEAD_M * 1e3:g} mm (row B03, seen in a "
            f'secondary page; thin is {THIN_WALL_WORDS}); write "{THIN_BEAD_M * 1e3:g} mm"'
        )
        yield Fault(("bead.length", "part.wall"), text)
    if length_m > filled["joint.crack_length"]:
        text = f"longer than the joint; write at most {filled['joint.crack_length'] * 1e3:g} mm"
        yield Fault(("bead.length", "joint.crack_length"), text)
    if length_m / travel_m_s < SHORTEST_BEAD_S:
        least = length_m / SHORTEST_BEAD_S * 60e3
        text = (
            f"a bead of {length_m * 1e3:g} mm would last under {SHORTEST_BEAD_S:g} s, "
            f"and so short an arc is not counted as a bead; write at most {least:.3g} mm/min"
        )
        yield Fault(("bead.travel", "bead.length", "joint.crack_length"), text)
    area_m2 = groove_area_m2(
        filled["joint.preparation"],
        filled["joint.angle"],
        filled["joint.depth"],
        filled["joint.gap"],
    )
    section_m2 = bead_section_m2(filled["filler.diameter"], travel_m_s)
    beads = runs_for(area_m2, section_m2) * filled["joint.crack_length"] / length_m
    if beads > MOST_BEADS:
        text = f"this groove would need some {beads:.0f} beads; check length, depth and rod"
        yield Fault(("joint.crack_length", "joint.depth", "bead.length", "filler.diameter"), text)


_CHECKS: tuple[Check, ...] = (_part, _groove, _bead)
