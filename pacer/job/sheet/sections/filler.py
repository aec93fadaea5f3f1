"""The filler: the questions that choose it, what was chosen, and what it is run with.

Two kinds of nickel are spoken for by different answers (rows F01); where the answers pull
both ways both are shown, and the choice is the welder's.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from pacer.job.file.fill import THIN_WALL_M
from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import MEMORY, PRACTICE, by, entry, fact, published, told
from pacer.job.sheet.records import Line, Source, Sources, Step
from pacer.job.warn import form_of
from pacer.text import clean
from pacer.trade.fillers import figures, kind, symbol
from pacer.trade.rows import Row, load, row
from pacer.units import Shown

Spoken = Literal["nickel", "nickel-iron", ""]

_GASES = {"131": "F11c", "135": "F11b", "141": "F11a"}


class Answer(NamedTuple):
    """One of the questions that choose a filler."""

    question: str
    found: str
    speaks_for: Spoken
    "Empty: the answer speaks for neither."
    why: str
    sources: Sources
    asked: bool = False
    "Nobody has answered it yet."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the questions, the choice, and current, polarity, gas, tungsten, drying, batch."""
    filler = job.filler
    name = row("processes", filler.process).values["names"][0]
    return (
        *(_asked(answer) for answer in answers(job, shown)),
        entry(job, "filler.process", "process", f"{filler.process} ({name})"),
        entry(job, "filler.designation", "filler", clean(filler.designation)),
        *_judged(job, shown),
        *_form(job),
        entry(job, "filler.diameter", "diameter", shown.stock_m(filler.diameter_m)),
        entry(job, "filler.current", "current", f"{filler.current_a:g} A"),
        *_current(job, shown),
        *_run_with(job),
        Step(
            "The hard line of a weld on iron is the iron's own edge, whatever the filler: "
            "low current, the arc held on the weld metal.",
            by(row("repair", "R25")),
            "do",
        ),
    )


def kind_of(designation: str) -> str:
    """Return of what kind a filler is by rows F10; empty if its very designation is in none.

    >>> kind_of("ENiFe-CI"), kind_of("AWS A5.14 ERNi-1"), kind_of("mystery NiFe 7")
    ('nickel-iron', 'nickel', '')
    """
    known = kind(designation)
    return str(known.values["kind"]) if known is not None else ""


def answers(job: Job, shown: Shown) -> tuple[Answer, ...]:
    """Return each question of the choice with what the job says to it."""
    return (
        _machined(job),
        _wall(job, shown),
        _runs(job),
        _phosphorus(job),
        _steel(job),
        _colour(job),
    )


def _machined(job: Job) -> Answer:
    said, known = job.facts.get("filler.machined_after", "unknown"), by(row("fillers", "F01a"))
    question = "To be machined?"
    if said == "yes":
        why = "nickel has the softest boundary; steel can't be machined"
        return Answer(question, said, "nickel", why, known)
    if said == "no":
        return Answer(question, said, "", "hardness at the boundary matters less", known)
    why = "a weld to be machined wants nickel, never steel (filler.machined_after)"
    return Answer(question, said, "", why, known, asked=True)


def _wall(job: Job, shown: Shown) -> Answer:
    wall = shown.length_m(job.part.wall_m)
    if job.part.wall_m < THIN_WALL_M:
        why = (
            "thin iron mixes much into the bead, and nickel stands that; thin is under "
            f"{shown.length_m(THIN_WALL_M)}, our choice"
        )
        return Answer("Thin?", f"wall {wall}", "nickel", why, by(row("fillers", "F01a")))
    why = "stronger, expands less"
    return Answer("Thin?", f"wall {wall}", "nickel-iron", why, by(row("fillers", "F01b")))


def _runs(job: Job) -> Answer:
    runs = job.plan.runs
    if runs == 1:
        why = "nickel is for a single run"
        return Answer("How many runs?", "1 run", "nickel", why, by(row("fillers", "F01a")))
    why = "nickel is for a single run; nickel-iron cracks less at the fusion line"
    return Answer("How many runs?", f"{runs} runs", "nickel-iron", why, by(row("fillers", "F01b")))


def _phosphorus(job: Job) -> Answer:
    said, known = job.facts.get("part.phosphorus", "unknown"), by(row("fillers", "F01b"))
    grade = job.facts.get("part.grade")
    question = "Rich in phosphorus?"
    found = f"{said}, grade {clean(grade)}" if grade else said
    if said == "yes":
        return Answer(question, found, "nickel-iron", "it stands phosphorus better", known)
    if said == "no":
        return Answer(question, found, "", "either kind", known)
    why = "such iron wants nickel-iron; ask for the grade (part.phosphorus, part.grade)"
    return Answer(question, found, "", why, known, asked=True)


def _steel(job: Job) -> Answer:
    said = job.facts.get("filler.joined_to_steel", "unknown")
    question = "Joined to steel?"
    if said == "yes":
        why = (
            "nickel-iron is used for iron to steel; EN 1011-8 does not cover joining iron to "
            "other materials"
        )
        scope = Source("seen in a secondary page", "EN 1011-8:2018, its scope in a catalogue entry")
        return Answer(question, said, "nickel-iron", why, (*MEMORY, scope))
    if said == "no":
        return Answer(question, said, "", "either kind", MEMORY)
    why = "iron to steel wants nickel-iron (filler.joined_to_steel)"
    return Answer(question, said, "", why, MEMORY, asked=True)


def _colour(job: Job) -> Answer:
    said = job.facts.get("filler.colour_matters", "unknown")
    question = "Colour matters?"
    if said == "no":
        return Answer(question, said, "", "braze welding is open too (gate)", PRACTICE)
    # Two sides, and no middle: what is remembered, and what a seller of such rods says.
    sides = "a nickel weld stays lighter than iron, as some remember it; an electrode maker says it has iron's colour"
    sources = MEMORY + by(row("fillers", "F12"))
    if said == "yes":
        return Answer(question, said, "", f"{sides}. Try one on a scrap of it", sources)
    return Answer(question, said, "", f"{sides} (filler.colour_matters)", sources, asked=True)


def _asked(answer: Answer) -> Step:
    if answer.asked:
        why = f"{answer.why[0].upper()}{answer.why[1:]}"
        return Step(f"{answer.question} Not known: ask. {why}.", answer.sources, "decide")
    speaks = f"speaks for {answer.speaks_for}: " if answer.speaks_for else ""
    return Step(f"{answer.question} {answer.found}: {speaks}{answer.why}.", answer.sources)


def _judged(job: Job, shown: Shown) -> Iterator[Line]:
    """What the chosen designation is, and which answers speak against it."""
    designation = clean(job.filler.designation)
    known = kind(job.filler.designation)
    if known is None:
        yield Step(
            f"{designation} is none of the fillers known here (pacer sources fillers), so nothing "
            "is said of it: ask its maker what it is and whether it is for this iron.",
            mark="decide",
        )
        return
    own = kind_of(job.filler.designation)
    yield Step(f"{clean(symbol(job.filler.designation))} is a {own} filler.", by(known))
    for found in figures(job.filler.designation):
        yield told(found)
    against = [one for one in answers(job, shown) if one.speaks_for not in ("", own)]
    if against:
        reasons = "; ".join(f"{one.question} {one.found}" for one in against)
        other = " or ".join(dict.fromkeys(one.speaks_for for one in against))
        yield Step(
            f"{designation} is {own}; for {other} speaks: {reasons}. The choice is yours.",
            by(known),
            "decide",
        )


def _form(job: Job) -> Iterator[Step]:
    """A designation must fit its process: a covered electrode is not a bare rod."""
    filler = job.filler
    form, process = form_of(filler.designation), row("processes", filler.process)
    needed, name = process.values["form"], process.values["names"][0]
    if form is None or form == needed:
        return
    core = row("repair", "R20")
    text = f"{clean(filler.designation)} is a {form} filler, {name} needs a {needed} one."
    if needed == "bare":
        text += (
            " ERNi-1 or the like (from memory); or the core of a covered electrode, its coating "
            "knocked off while it is kept wet, so that nobody breathes its dust."
        )
    yield Step(text, by(core) if needed == "bare" else by(process), "decide")


def _current(job: Job, shown: Shown) -> Iterator[Line]:
    filler = job.filler
    usual = _usual(filler.diameter_m) if filler.process == "111" else None
    if usual is None:
        yield Step(
            "No usual range is known here for this process and diameter: as the packet says, "
            "and as low as it burns well.",
            PRACTICE,
        )
        return
    low_a, high_a = usual.values["current_a"]
    yield published(usual, "usual current", f"{low_a:g} to {high_a:g} A")
    beyond = row("fillers", "F07")
    if abs(beyond.values["rod_diameter_mm"] - filler.diameter_m * 1e3) < 0.05:
        low, high = beyond.values["shop_current_a"]
        yield published(beyond, "one shop, AC", f"{low:g} to {high:g} A")
    if not low_a <= filler.current_a <= high_a:
        yield Step(
            f"{filler.current_a:g} A is outside the usual {low_a:g} to {high_a:g} A for "
            f"{shown.stock_m(filler.diameter_m)}; the packet knows better.",
            by(usual),
            "decide",
        )


def _usual(diameter_m: float) -> Row | None:
    for found in load("fillers"):
        if found.id.startswith("F06"):
            low_mm, high_mm = found.values["diameter_mm"]
            if low_mm - 0.05 <= diameter_m * 1e3 <= high_mm + 0.05:
                return found
    return None


def usual_gas(process: str) -> Row:
    """Return the row with the shielding gas usual for a process that needs one; else KeyError."""
    return row("fillers", _GASES[process])


def _run_with(job: Job) -> Iterator[Line]:
    """Polarity, gas, tungsten, drying, batch: given, or asked for where the process has it."""
    covered, tungsten = job.filler.process == "111", job.filler.process == "141"
    wanted = [
        ("filler.polarity", "polarity", True, "as the packet says"),
        ("filler.drying", "dried", covered, "as the packet says; damp rods make pores"),
        ("filler.gas", "gas", False, ""),
        ("filler.gas_flow", "gas flow", not covered, "and no draught at the arc"),
        ("filler.tungsten", "tungsten", tungsten, "kind and diameter for the current"),
        ("filler.batch", "batch", True, "from the packet, for the record"),
    ]
    if not covered and "filler.gas" not in job.facts:
        usual = usual_gas(job.filler.process)
        gas = f"Gas not said (filler.gas): {usual.values['gas']}, or as the filler's maker says."
        yield Step(gas, by(usual), "decide")
    for key, label, applies, hint in wanted:
        given = fact(job, key, label)
        if given is not None:
            yield given
        elif applies:
            yield Step(f"{label.capitalize()} not said ({key}): {hint}.", PRACTICE, "decide")
