"""What `pacer history --parquet` writes: a row a session, a row a finding."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from pacer.clock import moment
from pacer.recording.exchange.parquet import Folder
from pacer.recording.exchange.tables import Column, Kind, Value
from pacer.review.history.gathered import Gathered, Row
from pacer.review.history.quantities import GROUPS, NUMBERS, Number
from pacer.text import clean
from pacer.units import Shown

_UNITS = {"c_h": "K/h", "c": "°C", "s": "s", "m": "m", "kg": "kg", "a": "A", "n": "", "share": ""}
"Ending of a number's name -> unit, the longer ending first."


def _column(number: Number) -> Column:
    end = next(end for end in _UNITS if number.name.endswith(f"_{end}"))
    kind: Kind = "count" if end == "n" else "number"
    return Column(number.name, kind, _UNITS[end], f"{number.kind}: {number.doc}")


_SESSION = Column("session", "text", "", "the session's id, 16 hex digits")

TABLES: dict[str, tuple[Column, ...]] = {
    "summaries": (
        _SESSION,
        Column("recording", "text", "", "the file, from the folder on"),
        Column("opened", "moment", "", "wall time of session time 0"),
        Column("day", "text", "", "date then, on the clocks of that place"),
        Column("title", "text", "", "the job's title"),
        Column("invented", "text", "", "not empty: the session is simulated, and how"),
        *(Column(group.name, "text", "", group.doc) for group in GROUPS),
        Column("phase", "text", "", "last phase"),
        Column("closed", "yes or no", "", "it has an end record"),
        Column("sound", "yes or no", "", "false: something is damaged, missing or changed"),
        Column("outcome", "text", "", "crack, no crack found, unknown; not a verdict"),
        Column("outcome_by", "text", "", "outcome, crack reported, or the look that tells so"),
        Column("when", "text", "", "when that was found"),
        Column("where", "text", "", "weld, boundary, heat-affected zone, iron away from the weld"),
        Column("at", "text", "", "crater, stop hole or tack"),
        Column("service_s", "number", "s", "time in service until then, where it was said"),
        *(_column(number) for number in NUMBERS),
    ),
    "findings": (
        _SESSION,
        Column("name", "text", "", "as the guide lists them (pacer guide findings)"),
        Column("weight", "text", "", "finding, or note"),
        Column("t_s", "number", "s", "session time at which it began"),
        Column("to_s", "number", "s", "at which it ended, where it lasted"),
        Column("words", "text", "", "its evidence, metric"),
        Column("values", "numbers", "", "numbers of the words, in s, °C, m and counts"),
        Column("times", "number", "", "what was measured as multiple of what is allowed"),
        Column("limit", "text", "", "what it was judged by: a key of the job, or a rule in words"),
        Column("limit_from", "text", "", "where that limit is from"),
        Column("record", "count", "", "number of the recording's record at which it shows"),
        Column("bead", "count", "", "number of the bead it is of"),
        Column("place", "count", "", "1 at the joint's left end"),
    ),
}
"""Other names than `pacer export` has, so that both may stand in one folder."""


def write(found: Gathered, out: Path) -> None:
    """Write both tables; raises `UserInputError`."""
    with Folder(out, TABLES) as folder:
        for row in found.rows:
            folder.add("summaries", _summary(row))
            for finding in _findings(row):
                folder.add("findings", finding)
        folder.done()


def _summary(row: Row) -> tuple[Value, ...]:
    s, became = row.session, row.session.became
    numbers: list[Value] = []
    for number in NUMBERS:
        value = s.numbers.get(number.name)
        numbers.append(round(value) if value is not None and number.name.endswith("_n") else value)
    return (
        *(s.sid, row.path, moment(s.opened), s.day or None, s.title, s.invented),
        *(s.groups[group.name] for group in GROUPS),
        *(s.phase, s.closed, s.sound, became.word, became.by or None),
        *(became.when, became.where, became.at, s.service_s),
        *numbers,
    )


def _findings(row: Row) -> Iterator[tuple[Value, ...]]:
    shown = Shown()
    for f in row.session.findings:
        limit = (f.limit.name, f.limit.origin) if f.limit else (None, None)
        values = [(clean(name), value) for name, value in f.values.items()]
        place = None if f.place is None else f.place + 1
        yield (
            *(row.session.sid, f.name, f.weight, f.t_s, f.to_s, clean(f.said(shown)), values),
            *(f.times, *(clean(text) if text else None for text in limit)),
            *(f.record, f.bead, place),
        )
