"""What a sheet is made of: entries with a value, steps in words, drawings, in sections.

Every number of an entry has its unit in `value` and an origin. The makers of sections
(`joint.py`, `preparation.py`, …) give the words; `whole.py` puts them in order; `text.py`,
`as_json.py` and `page.py` show them.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Origin = Literal["given", "default", "computed", "published", "common practice", "from memory"]
"""`given`: in the job file; `default`: where the job file is silent; `computed`: from those;
the last three: a fact of the trade tables by how far its source was seen."""

Mark = Literal["do", "decide", "stop", "not paced", "say"]
"`do` steps are numbered in their section; a `stop` means: no plan."


class Entry(msgspec.Struct, frozen=True):
    """One value of the plan."""

    label: str
    value: str
    "With its unit, in the user's units."
    origin: Origin
    why: str = ""
    "Where a default comes from, how a value is computed, or who published it: never empty for these."
    key: str = ""
    "The job-file key that changes it, if any."


class Step(msgspec.Struct, frozen=True):
    """Something to do, to know or to decide, in words."""

    text: str
    source: str = ""
    "Who says so, with how far it was seen; empty: it only tells what the job file or the program says."
    mark: Mark = "say"


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
