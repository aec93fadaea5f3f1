"""The shipped JSON Schema: made by the code, true of every recording, false of wrong lines.

Checked by the `jsonschema` package, which shares no code with msgspec.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any, get_args

import msgspec
import pytest
from hypothesis import given, settings
from jsonschema import Draft202012Validator
from strategies import any_events
from written import SID, head_of

from pacer.job.job import Job
from pacer.recording.codec import MAX_LINE, VERSION, decode, encode, seed_of
from pacer.recording.schema import KINDS, descriptions, schema
from pacer.recording.writing.writer import Log
from pacer.session.events import AnyEvent, ArcSignal, Channel, Correction, Thermocouple
from pacer.session.inspection import Imperfection, Penetrant, Proof

SHIPPED: dict[str, Any] = json.loads(
    files("pacer.recording").joinpath("schema.json").read_text(encoding="utf-8")
)
LINE = Draft202012Validator(SHIPPED)


def _wrong(line: bytes) -> list[str]:
    return [error.message for error in LINE.iter_errors(json.loads(line))]


def test_the_shipped_schema_is_what_the_code_makes() -> None:
    """Else: python -m pacer.recording.schema > pacer/recording/schema.json"""
    Draft202012Validator.check_schema(SHIPPED)
    assert json.loads(json.dumps(schema())) == SHIPPED


def test_every_member_is_described() -> None:
    """A member of a line means something, said in the schema itself."""
    for kind in KINDS:
        for member, shape in SHIPPED["$defs"][kind.__name__]["properties"].items():
            assert member == "k" or shape.get("description"), f"{kind.__name__}.{member}"


def test_descriptions_are_the_docstrings_beside_the_members() -> None:
    """By the name on disk, on one line."""
    said = descriptions()
    assert said["Reading.R"].startswith("Values as the source said them; cleaned text")
    assert said["ClockGap.to"] == "Session time when watching began again."
    assert "\n" not in "".join(said.values())


def test_units_stand_beside_the_numbers() -> None:
    """`x-unit`: a member of a schema that validators leave alone."""
    part = SHIPPED["$defs"]
    assert part["Reading"]["properties"]["b"]["x-unit"] == "ms"
    assert part["Act"]["properties"]["temp_c"]["x-unit"] == "°C"
    assert part["BeadRules"]["properties"]["travel_m_s"]["x-unit"] == "m/s"
    assert "x-unit" not in part["Act"]["properties"]["e"]


def every_kind() -> list[AnyEvent]:
    """Return one event of each kind with every member set to something other than its default."""
    made: list[AnyEvent] = []
    for kind in get_args(AnyEvent):
        members = {}
        for field in msgspec.structs.fields(kind):
            members[field.encode_name] = _value(kind, field.encode_name)
        line = json.dumps({"k": kind.__struct_config__.tag, **members})
        made.append(msgspec.json.decode(line, type=AnyEvent))
    return made


_CHANNEL = Channel(
    name="t1",
    unit="mV",
    scale=2.0,
    offset_c=1.0,
    arc=ArcSignal(name="i", on=20.0, off=10.0, noise=True),
    thermocouple=Thermocouple(letter="K", cj="t2", cj_c=21.0),
    corrections=(Correction(1.01, -0.5, "2026-01-01", "ice 0.4 °C", "t1"),),
)
_VALUES: dict[str, object] = {
    "b": 5000, "to": 9000, "R": [1.5, "3O0", None], "D": ["ok", "unparsable", "open"],
    "s.n": ["a", "b", "c"], "gap.by": "wall", "u": ["degC", "", "degF"], "e": "reading", "side": 1, "state": "opened",
    "channel": msgspec.to_builtins(_CHANNEL), "hand": True, "found": "crack", "when": "in service",
    "where": "boundary", "runs": "along", "at": "tack", "values": {"temp_c": 231.5}, "again": 2,
    "look": "penetrant", "result": "imperfections found", "ring": "dull", "opened": True, "welded": True,
    "imperfections": [msgspec.to_builtins(Imperfection(1046, "x", 3, "left end", 0.002))],
    "penetrant": msgspec.to_builtins(Penetrant(20.0, 600.0, 900.0, 600.0, "red", True)),
    "proof": msgspec.to_builtins(Proof(2000.0, 0.2, 0.04, 0.02, 0.03, 300.0, "GJL-250")),
    "w": "2026-01-01T08:00:00.000+00:00",
}  # fmt: skip


def _value(kind: type[msgspec.Struct], member: str) -> object:
    tag = kind.__struct_config__.tag
    for name in (f"{tag}.{member}", member):
        if name in _VALUES:
            return _VALUES[name]
    shape = json.dumps(SHIPPED["$defs"][kind.__name__]["properties"][member])
    return 3 if '"integer"' in shape else 2.5 if '"number"' in shape else "words"


def test_every_kind_and_member_written_by_a_log_passes(hot_job: Job, tmp_path: Path) -> None:
    """Through the real writer, seals and end included."""
    log = Log(tmp_path / "a.jsonl", head_of(hot_job, channel=_CHANNEL, period_s=2.0))
    for event in every_kind():
        log.append(event, 0.0)
    log.end(9000, "enough", "2026-01-01T08:00:09.000+00:00", 0.0)
    lines = (tmp_path / "a.jsonl").read_bytes().splitlines()
    kinds = {json.loads(line)["k"] for line in lines}
    assert kinds == {kind.__struct_config__.tag for kind in KINDS}
    assert [_wrong(line) for line in lines] == [[]] * len(lines)
    members = {(row["k"], key) for row in map(json.loads, lines) for key in row}
    for kind in get_args(AnyEvent):
        for field in msgspec.structs.fields(kind):
            assert (kind.__struct_config__.tag, field.encode_name) in members


@given(event=any_events())
@settings(max_examples=100, deadline=None)
def test_any_event_passes(event: AnyEvent) -> None:
    """Whatever can be recorded is in the schema."""
    assert _wrong(encode(1, event, 0)) == []


def _kept(root: Path) -> Iterator[Path]:
    yield from sorted((root / "recordings").glob("*.jsonl"))
    yield from sorted((root / "tests/data/recordings").glob("*.jsonl"))


@pytest.mark.slow
def test_every_line_of_every_kept_recording_passes(root: Path) -> None:
    """Both practice sessions and one of each older version; alike lines once."""
    assert len(list(_kept(root))) >= 5
    for path in _kept(root):
        seen: set[str] = set()
        for line in path.read_bytes().splitlines():
            shape = _shape(json.loads(line))
            if shape not in seen:
                seen.add(shape)
                assert _wrong(line) == [], path.name


def _shape(value: object) -> str:
    """Return what a schema without ranges can tell apart: words as they are, numbers as one."""
    if isinstance(value, dict):
        kept = {key: _shape(item) for key, item in value.items() if key not in {"q", "c"}}
        return json.dumps(kept, sort_keys=True)
    if isinstance(value, list):
        return json.dumps([_shape(item) for item in value])
    return type(value).__name__ if isinstance(value, int | float) else str(value)


READING = b'{"q":7,"k":"s","b":183500,"R":[301.25],"D":"ok","c":"5b0e91c7"}'


@pytest.mark.parametrize(
    ("was", "is_", "why"),
    [
        (b'"b":183500,', b"", "'b' is a required property"),
        (b'"D":"ok",', b"", "'D' is a required property"),
        (b'"q":7,', b"", "'q' is a required property"),
        (b',"c":"5b0e91c7"', b"", "'c' is a required property"),
        (b'"k":"s",', b"", "'k' is a required property"),
        (b"5b0e91c7", b"5B0E91C7", "does not match"),
        (b"[301.25]", b"301.25", "is not of type 'array'"),
        (b"183500", b'"183500"', "is not of type 'integer'"),
        (b"301.25", b"true", "is not valid under any of the given schemas"),
        (b'"ok"', b'"fine"', "is not valid under any of the given schemas"),
        (b'"q":7', b'"q":-7', "is less than the minimum"),
        (b'"k":"s"', b'"k":"S 1"', "does not match"),
    ],
)
def test_a_wrong_line_is_refused(was: bytes, is_: bytes, why: str) -> None:
    """The schema can fail: each of these is one change away from a sound line."""
    assert _wrong(READING) == []
    changed = READING.replace(was, is_, 1)
    assert changed != READING
    assert any(why in message for message in _wrong(changed)), _wrong(changed)


@pytest.mark.parametrize(
    ("kind", "members"),
    [
        ("ev", {"e": "weld faster"}),
        ("ev", {}),
        ("sensor", {"state": "tired"}),
        ("cue", {"kind": "STOP", "urgency": "STEP", "values": {"temp_c": "hot"}, "words": "x"}),
        ("outcome", {"found": "sound"}),
        ("gap", {"to": 5, "by": "guess"}),
        ("inspect", {"look": "visual", "result": "sound"}),
        ("inspect", {"look": "feeling", "result": "nothing found"}),
        ("inspect", {"look": "visual", "result": "not judged", "imperfections": [{"number": 100}]}),
        ("head", {"v": [1], "sid": SID}),
    ],
)
def test_a_word_or_a_member_that_no_such_record_has_is_refused(
    kind: str, members: dict[str, object]
) -> None:
    """An unknown deed, a missing member, a verdict for an outcome."""
    line = json.dumps({"q": 1, "k": kind, "b": 0, **members, "c": "00000000"}).encode()
    assert _wrong(line)


def test_what_a_later_minor_version_adds_is_legal() -> None:
    """Unknown members anywhere, unknown kinds: the reader keeps them, the schema lets them pass."""
    assert _wrong(READING.replace(b',"c"', b',"emissivity":0.9,"c"')) == []
    assert _wrong(b'{"q":8,"k":"smell","b":1,"of":["flux"],"c":"00000000"}') == []


def test_the_schema_and_the_reader_agree_on_a_wrong_member() -> None:
    """What the schema refuses the decoder refuses, and the other way round, for one change each."""
    seed = seed_of(SID)
    for event in every_kind():
        whole = json.loads(encode(1, event, seed))
        for member in [key for key in whole if key not in {"q", "k", "c"}]:
            values: tuple[object, ...] = ({}, [], "words", 1.5, None)
            for value in values:
                changed = {**whole, member: value}
                body = json.dumps(changed).encode()
                try:
                    msgspec.json.decode(body, type=AnyEvent)
                except msgspec.ValidationError:
                    assert _wrong(body), (member, value)
                else:
                    assert not _wrong(body), (member, value)


def test_limits_told_in_the_schema_are_the_readers() -> None:
    """64 KiB a line: no schema can check it, so it is said."""
    assert str(MAX_LINE) in SHIPPED["description"]
    assert (
        decode(encode(10**15 - 1, every_kind()[0], 0), 0).q == SHIPPED["properties"]["q"]["maximum"]
    )
    assert SHIPPED["$id"] == "urn:pacer:recording:{}.{}".format(*VERSION)
