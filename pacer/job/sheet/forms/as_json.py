"""The sheet as plain objects, the member `page` of `pacer plan --json`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import msgspec

from pacer.job.sheet.records import Drawing, Entry, Line, Section


def page_json(sections: Iterable[Section]) -> list[dict[str, Any]]:
    """Return the sections as objects; names, kinds and members are a contract.

    Every value and step has its sources in full.
    """
    return [
        {
            "name": section.name,
            "heading": section.heading,
            "lines": [_line(line) for line in section.lines],
        }
        for section in sections
    ]


def _line(line: Line) -> dict[str, Any]:
    if isinstance(line, Drawing):
        return {"kind": "drawing", **msgspec.to_builtins(line)}
    if isinstance(line, Entry):
        said = {"label": line.label, "value": line.value, "origin": line.origin}
        return {"kind": "entry", **said, "why": line.why, "key": line.key}
    return {"kind": "step", "text": line.text, "source": line.source, "mark": line.mark}
