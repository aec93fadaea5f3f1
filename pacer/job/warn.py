"""What is worth a word before a job starts, though nothing stops it.

In full for the plan, one line each; what changes the day also in a few words, for the card.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from pacer.job.cover import small_box
from pacer.job.file.fill import current_range_a
from pacer.job.job import Job
from pacer.job.layers import coated, runs_to_coat
from pacer.job.metal.doubts import contradicts, in_few_words
from pacer.trade.fillers import kind, symbol
from pacer.trade.rows import Row, row

BARE_HANDS_C = 43.0
"Bare metal held for 8 h (row T03)."
_FAR_SENSOR_M = 0.047
"Beyond it a bead hardly shows: rises under 0.1 K for each kJ (simulated)."
_NEAR_AMBIENT_DC = 8.0
_METALS = {
    "malleable iron": ("W11",),
    # The first asks for less than any other: alone it would read as if it were all there is.
    "ductile iron": ("W04", "W05", "W06"),
}
_STEELS = ("cast steel", "mild steel")
_DULL_RED = "W03"


class Brief(NamedTuple):
    """What changes the day, in a few words without a figure."""

    text: str
    row: Row | None = None
    "Who says so; None: only the job's own values and tests."


def warnings(job: Job) -> list[str]:
    """Return one line for each thing the welder should know or decide."""
    return [
        *_metal(job),
        *contradicts(job),
        *_hollow(job),
        *_butter(job),
        *_filler(job),
        *_band(job),
        *_estimates(job),
        *_cooldown(job),
    ]


def briefs(job: Job) -> list[Brief]:
    """Return those of the warnings that change the day, the most dangerous first."""
    found, metal = list[Brief](), job.part.metal
    if _hollow(job):
        text = "Closed hollow spaces: vent them before any heat."
        found.append(Brief(text, row("cautions", "hollow")))
    found += [Brief(f"{words}.") for words in in_few_words(job)]
    if _nickel_too_hot(job):
        found.append(Brief("Ceiling too hot for nickel-iron.", row("preheat", "W19")))
    if too_hot := _too_hot(job):
        found.append(Brief("Ceiling too hot for iron.", too_hot[0]))
    if small_box(job) is not None:
        found.append(Brief("Box too small: a larger one.", row("covers", "depth")))
    if _misfit(job):
        found.append(Brief("Filler and process don't go together."))
    if metal in _STEELS:
        found.append(Brief(f"{metal.capitalize()}: facts and defaults here are grey iron's."))
    if metal == "ductile iron":
        found.append(Brief("Ductile iron has preheats of its own.", row("preheat", "W05")))
    return found


def _metal(job: Job) -> list[str]:
    metal = job.part.metal
    if metal == "unknown":
        return ["part.metal: unknown; find out first by shop tests"]
    if metal in _METALS:
        return [f"part.metal: {row('preheat', name).told}" for name in _METALS[metal]]
    if metal in _STEELS:
        return [f"part.metal: {metal}: the facts and defaults here are those of grey iron"]
    return []


def _hollow(job: Job) -> list[str]:
    if job.facts.get("part.hollow") != "closed":
        return []
    return [f"part.hollow: closed: {row('cautions', 'hollow').told}"]


def _butter(job: Job) -> list[str]:
    if not job.joint.butter or coated(job):
        return []
    enough = runs_to_coat(job)
    do = "" if enough is None else f"; {enough} would do (a thinner rod, a quicker travel)"
    return [
        f"joint.butter: yes, but {job.plan.runs} run{'s' * (job.plan.runs != 1)} leave no root and "
        f"cap then, so the faces are not coated{do}"
    ]


def form_of(designation: str) -> str | None:
    """Return whether a filler is a "covered" electrode or a "bare" rod or wire, if known.

    Classifications begin with ER or R, in ISO 1071 with S, R or T, for what is bare
    or cored, with E for covered electrodes (from memory).

    >>> form_of("ENiFe-CI"), form_of("AWS A5.14 ERNi-1"), form_of("ISO 1071: S C NiFe-1")
    ('covered', 'bare', 'bare')
    """
    word = symbol(designation)
    if re.match(r"ER|R[A-Z]|[SRT][ -]?C[ -]", word):
        return "bare"
    return "covered" if re.match(r"E[A-Z]|E[ -]C[ -]", word) else None


def _misfit(job: Job) -> list[str]:
    filler, process = job.filler, row("processes", job.filler.process).values
    form, needed, name = form_of(filler.designation), process["form"], process["names"][0]
    if form is None or form == needed:
        return []
    text = (
        f"filler.designation: {filler.designation} is a {form} filler, {name} needs a {needed} one"
    )
    if needed == "bare":
        text += " (ERNi-1 or the like, from memory)"
    # A wire is fed from a spool: only a rod in the hand can be an electrode's core.
    if filler.process == "141":
        text += (
            ", or an electrode's core with its coating "
            "knocked off wet, so that nobody breathes the dust (common practice)"
        )
    return [text]


def _filler(job: Job) -> list[str]:
    filler, found = job.filler, _misfit(job)
    usual = current_range_a(filler.diameter_m) if filler.process == "111" else None
    if usual and not usual[0] <= filler.current_a <= usual[1]:
        found.append(
            f"filler.current: {filler.current_a:g} A is outside the customary {usual[0]:g}-{usual[1]:g} A "
            f"for {filler.diameter_m * 1e3:g} mm (row F06, common practice; the box of rods knows better)"
        )
    return found


def _band(job: Job) -> list[str]:
    at = f"band.ceiling: {job.band.ceiling_c:g} °C"
    return [*_nickel_too_hot(job), *(f"{at}: {known.told}" for known in _too_hot(job))]


def _nickel_too_hot(job: Job) -> list[str]:
    ceiling_c, limit = job.band.ceiling_c, row("preheat", "W19")
    known = kind(job.filler.designation)
    nickel_iron = known is not None and known.values["kind"] == "nickel-iron"
    if not nickel_iron or ceiling_c <= limit.values["interpass_max_c"]:
        return []
    return [f"band.ceiling: {ceiling_c:g} °C with {job.filler.designation}: {limit.told}"]


def _too_hot(job: Job) -> list[Row]:
    """Who speaks against iron as hot as the ceiling; the post-heat lies below it."""
    ceiling_c, metal = job.band.ceiling_c, job.part.metal
    if metal in _STEELS:
        return []
    loses, red, found = row("stress_relief", "S06"), _DULL_RED, list[Row]()
    if metal in ("grey iron", "unknown") and ceiling_c > loses.values["relief_c"][1]:
        found.append(loses)
    # Row W02 has no number; what dull red is stands in row W03.
    if ceiling_c > row("preheat", red).values["preheat_c"][1]:
        found += [row("preheat", name) for name in ("W02", red, "W12")]
    return found


def _estimates(job: Job) -> list[str]:
    found = []
    if job.origin.get("part.mass", "").startswith("computed"):
        found.append(
            f"part.mass: {job.part.mass_kg:.2g} kg is estimated within a factor of two; weigh the part"
        )
    if job.origin.get("joint.crack_length", "").startswith("default"):
        found.append("joint.crack_length: not given, so the number of beads is a guess; measure it")
    if job.sensor.distance_m > _FAR_SENSOR_M:
        found.append(
            f"sensor.distance: at {job.sensor.distance_m * 1e3:g} mm the beads hardly show; "
            "25-35 mm is best (calculated)"
        )
    if job.method == "hot" and job.heating.source == "torch":
        found.append(
            "heating.with: a torch leaves the worst spread; soak, and measure thick, far and back"
        )
    return found


def _cooldown(job: Job) -> list[str]:
    found, until_c = [], job.cooldown.until_c
    if until_c > BARE_HANDS_C:
        found.append(
            f"cooldown.until: {until_c:g} °C is too hot for bare hands; {row('burns', 'T03').told}"
        )
    if until_c - job.cooldown.ambient_c < _NEAR_AMBIENT_DC:
        found.append(
            "cooldown.until: so near the shop's temperature that no latest time can be forecast"
        )
    if (small := small_box(job)) is not None:
        found.append(small)
    return found
