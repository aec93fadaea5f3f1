"""The JSON Schema of a recording's line, made from the structs that read and write it.

    python -m pacer.recording.schema > pacer/recording/schema.json

`schema.json` is shipped with the package; a test holds it to what this module makes.
Descriptions are the structs' own docstrings, so that the two can't drift apart.

Later minor versions stay legal: no object forbids members it doesn't list, and a line
whose `k` is none of these kinds is held to the envelope only. What a schema can't say
(member order, line length, what the checksum is of) stands in the guide's `recording`.
"""

from __future__ import annotations

import ast
import inspect
import json
import re
from types import ModuleType
from typing import Any, get_args

import msgspec

from pacer.job import job
from pacer.recording.codec import MAX_LINE, VERSION
from pacer.session import events, inspection
from pacer.session.events import AnyEvent, Opened

Schema = dict[str, Any]

KINDS: tuple[type[msgspec.Struct], ...] = (Opened, *get_args(AnyEvent))
"""The head and every event."""

_ENVELOPE: Schema = {
    "q": {
        "type": "integer",
        "minimum": 0,
        "maximum": 10**15 - 1,
        "description": "Sequence number, the line's first member: 0 for the head, then 1, 2, 3, …",
    },
    "k": {
        "type": "string",
        "pattern": "^[a-z]{1,20}$",
        "description": "Kind. A reader keeps and counts kinds it does not know.",
    },
    "c": {
        "type": "string",
        "pattern": "^[0-9a-f]{8}$",
        "description": (
            'CRC-32 of the line\'s bytes before `,"c":"`, the line\'s last member; seeded with '
            "the CRC-32 of `sid` (the head: 0). It shows accidents, not forgery."
        ),
    },
}

_SAID_HERE = {
    "Opened.format": "Always `pacer recording`.",
    "Opened.b": "Always 0.",
    "Act.e": "What the welder did or said; the same words a script writes after `!`.",
    "Correction.scale": "Corrected °C = scale * °C + offset_dc.",
    "Channel.offset_c": "°C = scale * raw + offset_c.",
    "Thermocouple.letter": "Type letter of IEC 60584-1.",
    "SensorChanged.period_s": "With `paced`: seconds between readings from now on.",
    "ClockGap.why": "Cleaned cause.",
    "Resumed.source": "The sensor's URL now used, cleaned.",
    "Trouble.what": "Which part: sound, screen, log, …",
    "Trouble.why": "Cleaned cause.",
    "Mark.n": "How many records stand before this one.",
    "Mark.sha": "SHA-256 of every byte of the file before this record, hex.",
    "Ended.why": "Why it was closed.",
    "Ended.n": "How many records stand before this one.",
    "Ended.sha": "SHA-256 of every byte of the file before this record, hex.",
    "Recovered.missing": "Copied: records whose sequence number never came.",
    "Recovered.repeated": "Copied: records that came again, left out.",
    "Outcome.found": "What a look found; neither word is a verdict on the part.",
    "Outcome.when": "When it was found.",
    "Outcome.where": "Where it is.",
    "Outcome.at": "What it starts from, where that is known.",
    "Inspection.look": "Which way of looking.",
    "Inspection.result": "What the look came to; no word of it is a verdict on the part.",
    "CueTold.kind": "Which cue: READY, STOP, …",
    "CueTold.urgency": "STEP, WARN or FAULT.",
    "CueTold.values": "Numbers the words were made with: s, °C and counts.",
    "CueTold.words": "As they were shown.",
    "CueTold.because": "The reason as it was shown.",
}
"""Members whose struct says nothing of them, because there the name is enough."""

_UNITS = (
    ("_c", "°C"),
    ("_dc", "K"),
    ("_s", "s"),
    ("_ms", "ms"),
    ("_m", "m"),
    ("_m3", "m³"),
    ("_kg", "kg"),
    ("_m_s", "m/s"),
    ("_c_h", "K/h"),
    ("_deg", "°"),
    ("_a", "A"),
    ("_v", "V"),
    ("_n", "N"),
)
"Suffix of a member's name and its unit; the longest that fits."


def unit_of(member: str) -> str:
    """Return the unit that a member's name ends in, or nothing.

    >>> unit_of("travel_m_s"), unit_of("temp_c"), unit_of("words")
    ('m/s', '°C', '')
    """
    fitting = [(suffix, unit) for suffix, unit in _UNITS if member.endswith(suffix)]
    return max(fitting, key=lambda pair: len(pair[0]))[1] if fitting else ""


def descriptions() -> dict[str, str]:
    """Return what each member means, by `Struct.member` with its name on disk."""
    found: dict[str, str] = {}
    for module in (job, inspection, events):
        found |= _documented(module)
    wall, t_ms = "UTC wall time, ISO 8601.", found["Event.b"]
    for kind in KINDS:
        for field in msgspec.structs.fields(kind):
            if field.encode_name in ("b", "w"):
                said = t_ms if field.encode_name == "b" else wall
                found.setdefault(f"{kind.__name__}.{field.encode_name}", said)
    return found | _SAID_HERE


def _documented(module: ModuleType) -> dict[str, str]:
    """Return the string below each annotated member of a module's classes."""
    found: dict[str, str] = {}
    for node in ast.parse(inspect.getsource(module)).body:
        if not isinstance(node, ast.ClassDef):
            continue
        on_disk = {
            f.name: f.encode_name for f in msgspec.structs.fields(getattr(module, node.name))
        }
        for member, below in zip(node.body, node.body[1:], strict=False):
            match member, below:
                case (
                    ast.AnnAssign(target=ast.Name(id=name)),
                    ast.Expr(value=ast.Constant(value=str(text))),
                ):
                    found[f"{node.name}.{on_disk[name]}"] = re.sub(r"\s+", " ", text).strip()
    return found


def schema() -> Schema:
    """Return the schema of any line of a recording."""
    _, parts = msgspec.json.schema_components(KINDS, ref_template="#/$defs/{name}")
    said = descriptions()
    for name, part in parts.items():
        for member, shape in part["properties"].items():
            if text := said.get(f"{name}.{member}", ""):
                shape["description"] = text
            if unit := unit_of(member) or ("ms" if member in ("b", "to") else ""):
                shape["x-unit"] = unit
    parts["Opened"]["properties"]["format"] = {
        "const": "pacer recording",
        "description": said["Opened.format"],
    }
    parts["Opened"]["properties"]["sid"]["pattern"] = "^[0-9a-f]{16}$"
    major, minor = VERSION
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:pacer:recording:{major}.{minor}",
        "title": f"A line of a pacer recording, format {major}.{minor}",
        "description": (
            f"A recording is UTF-8 JSON Lines; a line has at most {MAX_LINE} bytes, its end "
            "included. The first is the head, and since 1.3 the next two are the same bytes. "
            "Members and kinds that are not listed here are legal: a later minor version has "
            "them. Members left out have their default."
        ),
        "type": "object",
        "required": list(_ENVELOPE),
        "properties": _ENVELOPE,
        "allOf": [
            {
                "if": {"properties": {"k": {"const": _tag(kind)}}},
                "then": {"$ref": f"#/$defs/{kind.__name__}"},
            }
            for kind in KINDS
        ],
        "$defs": parts,
    }


def _tag(kind: type[msgspec.Struct]) -> str:
    return str(kind.__struct_config__.tag)


if __name__ == "__main__":
    print(json.dumps(schema(), indent=1, ensure_ascii=False))
