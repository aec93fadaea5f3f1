"""Jobs for tests of the sheet's words, and all that a section says as one text."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.job.plan import Plan, plan
from pacer.job.sheet.records import Drawing, Entry, Line, Step
from pacer.units import Shown, System

Maker = Callable[[Plan, Job, Shown], tuple[Line, ...]]


def job(method: str = "hot", metal: str = "grey iron", stops: bool = False, **tables: str) -> Job:
    """Return a small job, its further tables given as `joint='repair = "patch"'`."""
    part = tables.pop("part", "")
    text = (
        f'[job]\nmethod = "{method}"\n[part]\nmetal = "{metal}"\nmass = "3.2 kg"\n{part}\n'
        + "".join(f"[{name}]\n{lines}\n" for name, lines in tables.items())
    )
    return job_from_text(text, "my.toml", stops=stops)


def lines_of(maker: Maker, made: Job, system: System = "metric") -> tuple[Line, ...]:
    """Return a section's lines."""
    return maker(plan(made), made, Shown(system))


def text_of(lines: Sequence[Line]) -> str:
    """Return what the lines say, label and value of an entry with one space between."""
    said = []
    for line in lines:
        if isinstance(line, Entry):
            said.append(f"{line.label} {line.value} {line.why}")
        elif isinstance(line, Step):
            said.append(line.text)
        elif isinstance(line, Drawing):
            said += [line.title, *line.lines]
    return "\n".join(said)


def said(maker: Maker, made: Job, system: System = "metric") -> str:
    """Return a section's text."""
    return text_of(lines_of(maker, made, system))


def steps(lines: Sequence[Line], mark: str) -> list[Step]:
    """Return the steps of one mark."""
    return [line for line in lines if isinstance(line, Step) and line.mark == mark]


def value(lines: Sequence[Line], label: str) -> str:
    """Return the value of the one entry with this label."""
    (found,) = [line.value for line in lines if isinstance(line, Entry) and line.label == label]
    return found
