"""What a sheet is made of: entries with a value, steps in words, drawings, in sections.

Every number of an entry has its unit in `value` and an origin. The makers of sections
(`sections/`) give the words; `whole.py` puts them in order; `forms/` shows them.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Origin = Literal["given", "default", "computed", "published", "common practice", "from memory"]
"""`given`: in the job file; `default`: where the job file is silent; `computed`: from those;
the last three: a fact of the trade tables by how far its source was seen."""

Mark = Literal["do", "decide", "stop", "not paced", "say"]
"`do` steps are numbered in their section; a `stop` means: no plan."


class Source(msgspec.Struct, frozen=True):
    """Who says something, and how far that was seen."""

    status: str
    "A status of the trade tables, with how sure a memory is; without `text` all there is to say."
    text: str = ""
    "Empty where nobody is known to say it."
    row: str = ""
    "Rows of the trade tables that it stands in."

    @property
    def told(self) -> str:
        """The source in full, in one line."""
        said = f"{self.text}; {self.status}" if self.text else self.status
        return f"row {self.row}: {said}" if self.row else said


Sources = tuple[Source, ...]


class Entry(msgspec.Struct, frozen=True):
    """One value of the plan."""

    label: str
    value: str
    "With its unit, in the user's units."
    origin: Origin
    note: str = ""
    "Where a default comes from, or how a value is computed, in our words."
    key: str = ""
    "The job-file key that changes it, if any."
    sources: Sources = ()

    @property
    def why(self) -> str:
        """The note and every source in full; empty for nothing but a value that was given."""
        return "; ".join((*([self.note] if self.note else []), *(by.told for by in self.sources)))


class Step(msgspec.Struct, frozen=True):
    """Something to do, to know or to decide, in words."""

    text: str
    sources: Sources = ()
    "None: it only tells what the job file or the program says."
    mark: Mark = "say"

    @property
    def source(self) -> str:
        """Every source in full."""
        return "; ".join(by.told for by in self.sources)


class Drawing(msgspec.Struct, frozen=True):
    """A drawing in text, for a terminal; the printed page draws the same thing in lines."""

    title: str
    lines: tuple[str, ...]
    name: Literal["section", "map", ""] = ""
    "What the page draws in its place; empty: the text as it is."


Line = Entry | Step | Drawing


class Section(msgspec.Struct, frozen=True):
    """One heading of the sheet."""

    name: str
    "Short and stable, for JSON: `joint`, `preparation`, …"
    heading: str
    lines: tuple[Line, ...]
