"""The sheet as plain objects, the member `page` of `pacer plan --json`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import msgspec

from pacer.job.sheet.records import Drawing, Entry, Line, Section

_KINDS = {Entry: "entry", Drawing: "drawing"}


def page_json(sections: Iterable[Section]) -> list[dict[str, Any]]:
    """Return the sections as objects; names, kinds and members are a contract."""
    return [
        {
            "name": section.name,
            "heading": section.heading,
            "lines": [_line(line) for line in section.lines],
        }
        for section in sections
    ]


def _line(line: Line) -> dict[str, Any]:
    return {"kind": _KINDS.get(type(line), "step"), **msgspec.to_builtins(line)}
