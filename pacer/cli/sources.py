"""`pacer sources`: every fact with its source and status, or those about one word."""

from __future__ import annotations

import argparse
import json
import sys
from typing import Any

from pacer.job.columns import laid_out
from pacer.settings import read_settings
from pacer.text import clean
from pacer.trade import wording
from pacer.trade.gaps import means, not_seen, sides
from pacer.trade.rows import STATUSES, TABLES, Row, Status, load
from pacer.units import Shown

NOT_SEEN = "not seen"
"Name, in JSON and for a search, of what nobody saw."
_NOT_SEEN_HEADING = "Not seen at all: what stands here in their place is from elsewhere"
_LEGEND: dict[Status, str] = {
    "seen in the primary text": "read in the text itself, in an identical national adoption of "
    "it, or in a government's text",
    "seen in a secondary page": "read in a page that states it: a maker, a trade page, a handbook, "
    "a forum; the standard it may name was not read",
    "calculated": "our arithmetic, from facts that were seen or by the program's own models",
    "from memory": "the source was not seen; nobody should take it for what a standard says",
    "common practice": "customary, or our own choice or reasoning; no source",
}
Group = tuple[str, list[Row]]


def sources(args: argparse.Namespace) -> int:
    """Print the facts that have a word, or all; 1 if none has it."""
    word = (args.word or "").strip().casefold()
    found = [(name, rows) for name in TABLES if (rows := _having(word, name))]
    unseen = [
        what for what in not_seen() if word in f"{NOT_SEEN} {_NOT_SEEN_HEADING} {what}".casefold()
    ]
    if not found and not unseen:
        print(f'pacer: sources: no fact has "{clean(args.word, 40)}"', file=sys.stderr)
        return 1
    if args.json:
        print(json.dumps(_objects(found, unseen), ensure_ascii=False))
        return 0
    for line in _page(found, unseen, Shown(read_settings().units)):
        print(line)
    return 0


def _having(word: str, name: str) -> list[Row]:
    """Return the rows of a table that have a word; all, where its name or heading has it."""
    rows = list(load(name))
    if word in f"{name} {name.replace('_', ' ')} {TABLES[name]}".casefold():
        return rows
    return [row for row in rows if word in _text(row).casefold()]


def _text(row: Row) -> str:
    said = [f"{side.says} {side.source}" for side in sides(row)] if "sides" in row.values else []
    return " ".join([row.id, row.told, *said])


def _page(found: list[Group], unseen: list[str], shown: Shown) -> list[str]:
    lines = ["What the words after a fact mean"]
    for status in STATUSES:
        lines += laid_out(f"{status}: {_LEGEND[status]}")
    for name, rows in found:
        lines += ["", f"{TABLES[name]} ({name})"]
        for row in rows:
            lines += [out for line in _fact(row, shown) for out in laid_out(line)]
    if unseen:
        lines += ["", _NOT_SEEN_HEADING]
        lines += [out for what in unseen for out in laid_out(what)]
    return lines


def _fact(row: Row, shown: Shown) -> list[str]:
    if "sides" not in row.values:
        return [f"{row.id}: {wording.told(row, shown)}"]
    told = [*(f"- {side.told}" for side in sides(row)), f"= {means(row)}"]
    said = [wording.reworded(line, shown, row.as_published) for line in told]
    return [f"{row.id}: {row.about}", *said]


def _objects(found: list[Group], unseen: list[str]) -> list[dict[str, Any]]:
    """Return the facts as `--json` prints them; the keys are a contract."""
    facts = [
        {
            "table": name,
            "id": row.id,
            "about": row.about,
            "source": row.source,
            "status": row.status,
            "confidence": row.confidence,
            "values": row.values,
        }
        for name, rows in found
        for row in rows
    ]
    return facts + [
        {
            "table": NOT_SEEN,
            "id": "",
            "about": what,
            "source": "",
            "status": NOT_SEEN,
            "confidence": "",
            "values": {},
        }
        for what in unseen
    ]
