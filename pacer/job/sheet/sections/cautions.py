"""The cautions of the trade tables that a job calls for, by the stage where they matter."""

from __future__ import annotations

from typing import Literal

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.shade import shade, shade_row
from pacer.job.sheet.making import by
from pacer.job.sheet.records import Line, Step
from pacer.job.warn import form_of
from pacer.trade.fillers import may_hold
from pacer.trade.rows import Row, load, row
from pacer.trade.wording import about
from pacer.units import Shown

Stage = Literal["prepare", "heat", "weld", "cool", "after"]
STAGES: dict[Stage, str] = {
    "prepare": "Before any heat",
    "heat": "While it is heated, and from then on",
    "weld": "While welding",
    "cool": "While it cools",
    "after": "After the last arc",
}
"Stage of a caution -> its words, in the order of the work."

_METALS = ("lead", "zinc", "cadmium", "chromium")
_GAS_SHIELDED = ("131", "135", "141")
_BOXED = ("dry sand", "vermiculite", "ceramic blanket")


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the cautions of this job, a heading a stage; quantities in the user's units."""
    told: list[Line] = []
    for stage, words in STAGES.items():
        found = cautions(job, stage)
        if found:
            told += [Step(f"{words.upper()}:"), *(_step(caution, job, shown) for caution in found)]
    return tuple(told)


def cautions(job: Job, stage: Stage | None = None) -> tuple[Row, ...]:
    """Return the rows that apply to a job: those of one stage, or all."""
    words = calls(job)
    return tuple(
        found
        for found in load("cautions")
        if found.values["when"] in words and stage in (None, found.values["stage"])
    )


def calls(job: Job) -> frozenset[str]:
    """Return the words by which a job calls for cautions (`when` of a row).

    What the job file does not say of hollow spaces and coatings counts as unknown, and an
    unknown filler as one that can hold nickel and chromium. Oil is burnt out with heat, so a
    part of the cold method is heated too, by the job's own source.
    """
    filler, hot = job.filler, job.method == "hot"
    burn_out = job.facts.get("part.oil") == "burns out"
    gas_heat = (hot or burn_out) and job.heating.source in ("gas grill", "torch")
    tungsten = filler.process.startswith("14")
    sensed = not job.sensor.url.startswith(("hand:", "practice:"))
    coating = job.facts.get("part.coating", "unknown")
    answers = {
        "always": True,
        "hot": hot,
        "heated": hot or burn_out,
        "burn-out": burn_out,
        "gas": gas_heat,
        "bottles": gas_heat or filler.process in _GAS_SHIELDED,
        "nickel": may_hold(filler.designation, "nickel"),
        "chromium filler": may_hold(filler.designation, "chromium"),
        "tungsten": tungsten,
        "sensor": sensed,
        "tungsten and sensor": tungsten and sensed,
        "core": tungsten and form_of(filler.designation) == "covered",
        "hollow": job.facts.get("part.hollow", "unknown") != "none",
        "coating": coating in (*_METALS, "unknown"),
        "paint": coating in ("paint", "unknown"),
        "peening": job.bead.peen_s > 0.0,
        "hot box": hot and job.cooldown.cover in _BOXED,
        job.cooldown.cover: True,
    }
    return frozenset(word for word, applies in answers.items() if applies)


def _step(caution: Row, job: Job, shown: Shown) -> Step:
    if caution.id == "shade":
        return _shade(job)
    return Step(f"{about(caution, shown)}.", by(caution))


def _shade(job: Job) -> Step:
    process, current_a = job.filler.process, job.filler.current_a
    name = row("processes", process).values["names"][0]
    try:
        least = shade(process, current_a)
    except ValueError as error:
        return Step(f"Filter shade: {error}; ask the helmet's maker.")
    text = (
        f"Filter shade at least {least} for {name} at {current_a:g} A; start darker, never below."
    )
    return Step(text, by(shade_row(process)))
