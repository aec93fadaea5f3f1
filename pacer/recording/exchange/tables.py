"""What a Parquet export holds: its tables, their columns, and the rows a recording makes.

Names carry their unit, as everywhere; kind, unit and meaning go into the file beside them.
The guide's `exchange` lists every column; a test compares.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Literal, NamedTuple

import msgspec

from pacer.clock import moment
from pacer.recording.damage import Damage
from pacer.recording.exchange.readings import Converted
from pacer.session.events import Act, AnyEvent, CueTold, Inspection, Opened, Outcome, Reading
from pacer.session.inspection import Penetrant, Proof
from pacer.session.state import State
from pacer.session.work import Bead
from pacer.text import clean

Kind = Literal["text", "number", "count", "yes or no", "moment", "numbers"]
Value = str | float | int | bool | datetime | None | list[tuple[str, float]]
Rows = Iterator[tuple[str, tuple[Value, ...]]]
"(table, its row), in the order of the table's columns."


class Column(NamedTuple):
    """One column of a table."""

    name: str
    kind: Kind
    unit: str
    "Empty: a word, a count or a moment."
    doc: str


_SESSION = Column("session", "text", "", "the session's id, 16 hex digits")
_T_S = Column("t_s", "number", "s", "session time")
_TIME = Column("time", "moment", "", "wall time, as far as it is known")

TABLES: dict[str, tuple[Column, ...]] = {
    "sessions": (
        _SESSION,
        Column("recording", "text", "", "the file's name"),
        Column("opened", "moment", "", "wall time of session time 0"),
        Column("tz", "text", "", "local offset from UTC then"),
        Column("app", "text", "", "program and version that opened it"),
        Column("format", "text", "", "version of the recording's format"),
        Column("invented", "text", "", "not empty: the session is simulated, and how"),
        Column("title", "text", "", "the job's title"),
        Column("method", "text", "", "hot or cold"),
        Column("metal", "text", "", "the part's metal, as the job says it"),
        Column("mass_kg", "number", "kg", "the part's mass"),
        Column("wall_m", "number", "m", "thickness at the joint"),
        Column("preheat_c", "number", "°C", "preheat target; none in the cold method"),
        Column("floor_c", "number", "°C", "minimum preheat and interpass"),
        Column("ceiling_c", "number", "°C", "maximum interpass"),
        Column("cover", "text", "", "what it cools in"),
        Column("until_c", "number", "°C", "not to be uncovered above"),
        Column("job", "text", "", "the whole resolved job, JSON"),
        Column("sensor", "text", "", "the sensor's URL when it was opened"),
        Column("phase", "text", "", "last phase"),
        Column("closed", "yes or no", "", "it has an end record"),
        Column("lasted_s", "number", "s", "session time of its last record"),
        Column("sound", "yes or no", "", "false: something is damaged, missing or changed"),
        Column("damaged_lines", "count", "", "lines that were no sound records, left out here"),
        Column("missing_records", "count", "", "records whose number never came"),
    ),
    "readings": (
        _SESSION,
        _T_S,
        _TIME,
        Column("channel", "text", "", "name of the channel"),
        Column("temp_c", "number", "°C", "before guard and correction; none where not ok"),
        Column("status", "text", "", "the decoder's word: ok, open, short, unparsable"),
    ),
    "beads": (
        _SESSION,
        Column("bead", "count", "", "number; one not counted shares it with its successor"),
        Column("place", "count", "", "1 at the joint's left end"),
        Column("from_s", "number", "s", "session time when its arc was struck"),
        Column("to_s", "number", "s", "session time when its arc ended; none: still burning"),
        Column("arc_s", "number", "s", "arc time"),
        Column("length_m", "number", "m", "the planned share until corrected by the welder"),
        Column("start_c", "number", "°C", "temperature just before the arc, where trusted"),
        Column("counted", "yes or no", "", "false: too short to be a bead"),
        Column("arc_lost", "yes or no", "", "the arc went out well before the planned end"),
        Column("before_its_time", "yes or no", "", "started before READY"),
        Column("start_known_by", "text", "", "press, arc or inferred"),
        Column("end_known_by", "text", "", "press, arc or assumed"),
        Column("peen", "text", "", "not confirmed, begun, ended by press, left alone, not planned"),
    ),
    "cues": (
        _SESSION,
        _T_S,
        _TIME,
        Column("kind", "text", "", "READY, STOP, …"),
        Column("urgency", "text", "", "STEP, WARN, FAULT"),
        Column("again", "count", "", "0: the first time; 1, 2, 3: nobody had answered"),
        Column("words", "text", "", "as they were shown"),
        Column("because", "text", "", "the reason as it was shown"),
        Column("values", "numbers", "", "numbers of the words, in s, °C and counts"),
    ),
    "acts": (
        _SESSION,
        _T_S,
        _TIME,
        Column("deed", "text", "", "what the welder did or said"),
        Column("by", "text", "", "key, pedal, contact, signal, script, practice"),
        Column("temp_c", "number", "°C", "with reading: the typed temperature"),
        Column("side", "count", "", "with reading: 1 at least that, -1 below it"),
        Column("length_m", "number", "m", "with bead: the length really made"),
        Column("held_s", "number", "s", "with arc on by a contact: how long it was closed"),
        Column("text", "text", "", "with note, tink, crack: words; with reading: the place"),
    ),
    "outcomes": (
        _SESSION,
        _T_S,
        _TIME,
        Column("found", "text", "", "crack, or no crack found by that look"),
        Column("when", "text", "", "heard, at uncovering, …, in service"),
        Column("service_s", "number", "s", "time in service until then"),
        Column("where", "text", "", "weld, boundary, heat-affected zone, iron away from the weld"),
        Column("runs", "text", "", "along or across the weld"),
        Column("at", "text", "", "crater, stop hole or tack"),
        Column("bead", "count", "", "number of the bead it is at"),
        Column("text", "text", "", "words"),
        Column("photo", "text", "", "file name of a photo"),
        Column("photo_sha", "text", "", "its SHA-256, hex"),
    ),
    "inspections": (
        _SESSION,
        _T_S,
        _TIME,
        Column("inspection", "count", "", "number of the look in its recording, from 1"),
        Column("look", "text", "", "visual, penetrant, ring, …"),
        Column("result", "text", "", "nothing found by that look, or not; not a verdict"),
        Column("surface_c", "number", "°C", "penetrant: temperature of the surface"),
        Column("dwell_s", "number", "s", "penetrant: how long it stood"),
        Column("developer_s", "number", "s", "penetrant: from the developer dry to the look"),
        Column("maker_s", "number", "s", "penetrant: least dwell by its maker"),
        Column("product", "text", "", "penetrant: product family"),
        Column("from_service", "yes or no", "", "penetrant: looked for cracks from service"),
        Column("ring", "text", "", "clear or dull"),
        Column("leak_s", "number", "s", "leak: how long the liquid stood"),
        Column("liquid", "text", "", "leak: which"),
        Column("opened", "yes or no", "", "back side: ground open to sound metal"),
        Column("welded", "yes or no", "", "back side: welded from there too"),
        Column("load_n", "number", "N", "proof load: the load"),
        Column("arm_m", "number", "m", "proof load: from the load to the section"),
        Column("width_m", "number", "m", "proof load: of a rectangular section"),
        Column("height_m", "number", "m", "proof load: of a rectangular section, along the load"),
        Column("diameter_m", "number", "m", "proof load: of a round section"),
        Column("held_s", "number", "s", "proof load: how long it was held"),
        Column("grade", "text", "", "proof load: grade of the iron as it is known"),
        Column("text", "text", "", "words"),
        Column("by", "text", "", "who looked"),
        Column("photo", "text", "", "file name of a photo"),
        Column("photo_sha", "text", "", "its SHA-256, hex"),
    ),
    "imperfections": (
        _SESSION,
        Column("inspection", "count", "", "number of the look that found it"),
        Column("number", "count", "", "by ISO 6520-1"),
        Column("name", "text", "", "its name when it was written down"),
        Column("bead", "count", "", "number of the bead it is at"),
        Column("place", "text", "", "where, in words"),
        Column("size_m", "number", "m", "longest extent"),
    ),
}
"""What is judged by today's rules (phase, beads) is folded again, the rest is as recorded."""


class RowsOf:
    """Makes the rows of one recording, record by record."""

    def __init__(self, opened: Opened, name: str) -> None:
        self._opened = opened
        self._name = name
        self._converted = Converted(opened)
        self._wall = moment(opened.wall)
        self._wall_ms = 0
        self._last_ms = 0
        self._looks = 0

    def event(self, event: AnyEvent) -> Rows:
        """Yield the rows of an event."""
        self._last_ms = max(self._last_ms, event.t_ms)
        stamp = getattr(event, "wall", None)
        # A source with a time of its own was read at any speed: only the head's wall counts.
        if stamp and self._opened.clk != "source" and (found := moment(stamp)) is not None:
            self._wall, self._wall_ms = found, event.t_ms
        first = (self._opened.sid, event.t_s, self._time(event.t_ms))
        match event:
            case Reading():
                for value in self._converted.values(event):
                    yield "readings", (*first, clean(value.name), value.temp_c, value.status)
            case CueTold():
                told = (clean(text) for text in (event.words, event.because))
                kind, urgency = clean(event.kind), clean(event.urgency)
                numbers = [(clean(name), value) for name, value in event.values.items()]
                yield "cues", (*first, kind, urgency, event.again, *told, numbers)
            case Act():
                what = (event.temp_c, event.side, event.length_m, event.held_s)
                yield "acts", (*first, event.deed, clean(event.by), *what, _text(event.text))
            case Outcome():
                where = (event.found, event.when, event.service_s, event.where, event.runs)
                said = (_text(text) for text in (event.text, event.photo, event.photo_sha))
                yield "outcomes", (*first, *where, event.at, event.bead, *said)
            case Inspection():
                self._looks += 1
                yield from _looked(event, first, self._looks)
            case _:
                # The rest makes no rows, but may change conversion and wall time.
                self._converted.values(event)

    def end(self, state: State, damage: Damage) -> Rows:
        """Yield the rows that are known when all has been read."""
        opened, job = self._opened, self._opened.job
        for bead in state.work.beads:
            yield "beads", (opened.sid, *_bead(bead))
        yield (
            "sessions",
            (
                opened.sid,
                self._name,
                moment(opened.wall),
                clean(opened.tz),
                clean(opened.app),
                "{}.{}".format(*opened.v),
                clean(opened.invented),
                clean(job.title),
                job.method,
                job.part.metal,
                job.part.mass_kg,
                job.part.wall_m,
                job.band.preheat_c,
                job.band.floor_c,
                job.band.ceiling_c,
                job.cooldown.cover,
                job.cooldown.until_c,
                json.dumps(_cleaned(msgspec.to_builtins(job)), ensure_ascii=False),
                clean(opened.source),
                str(state.phase),
                damage.ended,
                self._last_ms / 1000,
                damage.sound,
                damage.bad_lines,
                damage.missing,
            ),
        )

    def _time(self, t_ms: int) -> datetime | None:
        try:
            passed = timedelta(milliseconds=t_ms - self._wall_ms)
            return None if self._wall is None else self._wall + passed
        except OverflowError:
            return None


def _looked(event: Inspection, first: tuple[Value, ...], number: int) -> Rows:
    tested = _members(event.penetrant, Penetrant)
    loaded = _members(event.proof, Proof)
    said = (event.text, event.by, event.photo, event.photo_sha)
    rest = (event.ring, event.leak_s, event.liquid, event.opened, event.welded)
    row = (*first, number, event.look, event.result, *tested, *rest, *loaded, *said)
    yield "inspections", tuple(_text(value) if isinstance(value, str) else value for value in row)
    for found in event.imperfections:
        where = (found.bead, _text(found.place), found.size_m)
        yield "imperfections", (first[0], number, found.number, clean(found.name), *where)


def _members(part: Penetrant | Proof | None, kind: type[Penetrant | Proof]) -> tuple[Value, ...]:
    """Return a part's members in their order, which is that of the columns."""
    return tuple(getattr(part, name, None) for name in kind.__struct_fields__)


def _bead(bead: Bead) -> tuple[Value, ...]:
    return (
        bead.number,
        bead.place + 1,
        bead.started_s,
        bead.ended_s,
        None if bead.ended_s is None else round(bead.arc_s(bead.started_s), 3),
        bead.length_m,
        bead.start_c,
        bead.counted,
        bead.lost,
        bead.early,
        bead.started_by,
        bead.ended_by,
        bead.peened,
    )


def _text(text: str | None) -> str | None:
    return clean(text) if text else None


def _cleaned(value: object) -> object:
    """Return a job's plain values with every text of them cleaned."""
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, Mapping):
        return {clean(str(key)): _cleaned(item) for key, item in value.items()}
    if isinstance(value, Iterable):
        return [_cleaned(item) for item in value]
    return value
