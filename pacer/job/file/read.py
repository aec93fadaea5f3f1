"""A job file to a checked `Job`; every mistake in it is told at once, one a line.

Form of a line: ``file:line: table.key = "found": what is wrong; write …``.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

from pacer.job.file.build import build
from pacer.job.file.checks import faults
from pacer.job.file.fill import fill
from pacer.job.file.keys import keys, sections
from pacer.job.file.mistakes import JobFileError, Mistake
from pacer.job.file.toml_text import lines_of, parse_table, read_text
from pacer.job.file.values import Fault, ValueFault, closest, convert, shown
from pacer.job.job import Job
from pacer.text import clean

_FIRST_PAGE = ("job.title", "job.method", "part.metal", "part.service")
"What is no fact and asked there all the same."


@dataclasses.dataclass
class _Reading:
    """A file being read: its raw values, what could be used, and what is wrong."""

    name: str
    lines: dict[str, int]
    raw: dict[str, Any] = dataclasses.field(default_factory=dict)
    given: dict[str, Any] = dataclasses.field(default_factory=dict)
    bad: set[str] = dataclasses.field(default_factory=set)
    mistakes: list[Mistake] = dataclasses.field(default_factory=list)

    def tell(
        self,
        name: str,
        text: str,
        rests_on: tuple[str, ...] = (),
        *,
        missing: bool = False,
        stop: bool = False,
    ) -> None:
        """Add a mistake at the line of a key or table, with the value found, if any."""
        line = self.lines.get(name, self.lines.get(name.split(".")[0], 0))
        found = f" = {shown(self.raw[name])}" if name in self.raw else ""
        on = (name, *(other for other in rests_on if other != name))
        said = f"{clean(name, 80)}{found}: {text}"
        self.mistakes.append(Mistake(line, on, said, missing, stop))


def read_job(path: str | Path, *, stops: bool = True) -> Job:
    """Return the job of a file with every default filled in.

    What stops a plan (`job/stops.py`) is a mistake like others; without `stops` the job is
    read all the same, for the page that shows them.
    Raises JobFileError whose message has one line for each mistake.
    """
    return job_from_text(read_text(path), str(path), stops=stops)


def job_from_text(text: str, name: str, *, stops: bool = True) -> Job:
    """Return the job of a file's text; `name` stands before each line of a complaint.

    Raises JobFileError, or UserInputError for a text that is no TOML.
    """
    reading = _values(text, name)
    for key in keys().values():
        if key.required and key.name not in reading.raw:
            _missing(reading, key.name)
    filled = fill(reading.given)
    for fault in faults(filled, frozenset(reading.raw), stopping=stops):
        # An answer that stops a plan was read; white iron stands in the tests, metal or no metal.
        rests_on = fault.keys[1:] if fault.stop else fault.keys
        if not reading.bad.intersection(rests_on):
            _tell_fault(reading, fault, filled.origin)
    if reading.mistakes:
        raise JobFileError(reading.name, reading.mistakes)
    return build(filled)


def first_page_job(path: str | Path) -> Job:
    """Return a job with only what a file answers to the first page's questions.

    For a file that has mistakes: what stops a plan is asked before everything else. The rest
    is made up and no plan. Without a method it is cold, which heat that isn't even doesn't stop.
    Raises UserInputError for a file that can't be read or is no TOML.
    """
    given = _values(read_text(path), str(path)).given
    asked = {name: value for name, value in given.items() if keys()[name].fact}
    asked |= {name: given[name] for name in _FIRST_PAGE if name in given}
    return build(fill({"job.method": "cold", "part.mass": 1.0, **asked}))


def _values(text: str, name: str) -> _Reading:
    reading = _Reading(clean(name), lines_of(text))
    for table, content in parse_table(text, reading.name).items():
        _read_table(reading, table, content)
    return reading


def _read_table(reading: _Reading, table: str, content: object) -> None:
    if table not in sections():
        _unknown_table(reading, table, content)
        return
    if not isinstance(content, dict):
        reading.raw[table] = content
        reading.bad.update(name for name in keys() if name.startswith(f"{table}."))
        reading.tell(table, f"expected a table; write [{table}] on a line of its own")
        return
    for word, value in content.items():
        _read_value(reading, f"{table}.{word}", value)


def _read_value(reading: _Reading, name: str, value: object) -> None:
    reading.raw[name] = value
    key = keys().get(name)
    if key is None:
        reading.tell(name, f"unknown key{_near_key(name)}")
        return
    try:
        reading.given[name] = convert(key, value)
    except ValueFault as fault:
        reading.bad.add(name)
        reading.tell(name, str(fault))


def _unknown_table(reading: _Reading, table: str, content: object) -> None:
    if isinstance(content, dict):
        close = closest(table, list(sections()))
        near = f"did you mean [{close}]?" if close else f"there are {', '.join(sections())}"
        reading.tell(table, f"unknown table; {near}")
        return
    reading.raw[table] = content
    close = closest(table, [key.word for key in keys().values()])
    owner = next((key for key in keys().values() if key.word == close), None)
    near = f"; did you mean {owner.word} under [{owner.section}]?" if owner else ""
    reading.tell(table, f"outside a table{near}")


def _near_key(name: str) -> str:
    """Name the nearest key, in the same table first, then anywhere."""
    table, _, word = name.partition(".")
    same = [key.word for key in keys().values() if key.section == table]
    if close := closest(word, same):
        return f"; did you mean {close}?"
    elsewhere = [key.name for key in keys().values() if key.word == word.casefold()]
    if elsewhere:
        return f"; did you mean {' or '.join(elsewhere)}?"
    return f"; [{table}] has {', '.join(same)}"


def _missing(reading: _Reading, name: str) -> None:
    key = keys()[name]
    reading.bad.add(name)
    choices = " or ".join(f'"{choice}"' for choice in key.choices)
    reading.tell(name, f"missing; write {key.word} = {choices}", missing=True)


def _tell_fault(reading: _Reading, fault: Fault, origin: dict[str, str]) -> None:
    """Report at the fault's own key, or at the first of its keys that the file gives."""
    here = next((name for name in fault.keys if name in reading.given), fault.keys[0])
    if fault.missing or here == fault.keys[0]:
        missing, stop = fault.missing, fault.stop
        reading.tell(fault.keys[0], fault.text, fault.keys, missing=missing, stop=stop)
    else:
        default = origin.get(fault.keys[0], "default").split(":")[0]
        text = f"{fault.keys[0]} ({default}) doesn't fit it: {fault.text}"
        reading.tell(here, text, fault.keys)
