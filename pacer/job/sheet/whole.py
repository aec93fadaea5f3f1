"""The whole plan as a sheet: every section in the order in which a bench needs it."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.records import Drawing, Line, Section, Step
from pacer.job.sheet.sections import (
    afterwards,
    arc,
    at_hand,
    beads,
    cautions,
    filler,
    for_the_record,
    forecasts,
    gate,
    joint,
    method,
    part,
    preparation,
    repair,
    short,
    specification,
    temperatures,
)
from pacer.job.warn import warnings
from pacer.text import clean
from pacer.trade.wording import reworded
from pacer.units import Shown

Maker = Callable[[Plan, Job, Shown], tuple[Line, ...]]
_LONGEST = 4000
"A step is a few sentences; foreign text in it was cut when the job was read."


def _decide(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    return tuple(Step(reworded(text, shown), mark="decide") for text in warnings(job))


_SECTIONS: tuple[tuple[str, str, tuple[Maker, ...]], ...] = (
    ("gate", "Weld, braze, stitch, bolt or replace?", (gate.lines,)),
    ("short", "In short", (short.lines,)),
    ("decide", "To decide or mend first", (_decide,)),
    ("method", "Hot or cold", (method.lines,)),
    ("part", "The part", (part.lines,)),
    ("repair", "The repair, tacks and clamps", (repair.lines,)),
    ("preparation", "Preparation, in this order", (preparation.lines,)),
    ("joint", "The joint", (joint.lines,)),
    ("filler", "Filler and arc", (filler.lines, arc.lines)),
    ("temperatures", "Temperatures", (temperatures.lines,)),
    ("beads", "Beads", (beads.lines,)),
    ("forecasts", "Forecasts", (forecasts.lines,)),
    ("afterwards", "Afterwards", (afterwards.lines,)),
    ("at hand", "At hand before you begin", (at_hand.lines,)),
    ("cautions", "Cautions", (cautions.lines,)),
    ("specification", "Items of a welding procedure specification", (specification.lines,)),
    ("record", "For the record only", (for_the_record.lines,)),
)


def whole(made: Plan, job: Job, shown: Shown) -> tuple[Section, ...]:
    """Return every section that has something to say, its text cleaned, in the plan's order."""
    made_sections = (_section(made, job, shown, *row) for row in _SECTIONS)
    return tuple(section for section in made_sections if section.lines)


def headings() -> dict[str, str]:
    """Return name -> heading of every section, in the plan's order."""
    return {name: heading for name, heading, _ in _SECTIONS}


def gate_only(made: Plan, job: Job, shown: Shown) -> tuple[Section, ...]:
    """Return the first section alone: all there is of a plan that has a stop."""
    return (_section(made, job, shown, *_SECTIONS[0]),)


def title(job: Job) -> str:
    """Return the one line that stands over the plan."""
    return f"{clean(job.title)}: {job.method} method, {job.part.metal}"


def _section(
    made: Plan, job: Job, shown: Shown, name: str, heading: str, makers: tuple[Maker, ...]
) -> Section:
    return Section(
        name, heading, tuple(_cleaned(line) for lines in makers for line in lines(made, job, shown))
    )


def _cleaned(line: Line) -> Line:
    if isinstance(line, Drawing):
        # A sign in front keeps the blanks a drawing begins with.
        drawn = tuple(clean(f"|{text}", _LONGEST)[1:] for text in line.lines)
        return msgspec.structs.replace(line, title=clean(line.title), lines=drawn)
    if isinstance(line, Step):
        return msgspec.structs.replace(line, text=clean(line.text, _LONGEST))
    return msgspec.structs.replace(
        line,
        label=clean(line.label),
        value=clean(line.value, _LONGEST),
        note=clean(line.note, _LONGEST),
    )
