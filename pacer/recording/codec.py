"""Event ⇄ one line of a recording.

A line is a JSON object with its sequence number first and its checksum last:

    {"q":7,"k":"s","b":183500,"R":[301.25],"D":"ok","c":"5b0e91c7"}

`c` is the CRC-32 of the bytes before `,"c":"`, seeded with the CRC-32 of the session id
(the head: seed 0), so a line of another session does not pass. It is compared as bytes
before anything is parsed. A CRC shows accidents, not forgery.

Reasons for this shape, with measurements: reliability section of DEVELOPERS.md.
The format's version stands here; changes are listed in DEVELOPERS.md, "Recording format,
version by version".
"""

from __future__ import annotations

import json
import re
import zlib

import msgspec

from pacer.errors import RecordingError
from pacer.recording.limits import wrong_in_head
from pacer.session.events import AnyEvent, Opened
from pacer.text import clean, clean_bytes

VERSION = (1, 3)
"""Minor may add kinds and members (readers keep and count them); major may change meaning."""

MAX_LINE = 65_536
"""Longest record in bytes, line end included; a longer line is damage."""

_TAIL = re.compile(rb',"c":"[0-9a-f]{8}"\}')
_TAIL_LEN = 16
_HEAD = re.compile(rb'\{"q":(\d{1,15}),"k":"([a-z]{1,20})"(?:,|\Z)')

_EVENT = msgspec.json.Decoder(AnyEvent)
_OPENED = msgspec.json.Decoder(Opened)
_KINDS = frozenset(
    {
        "s",
        "ev",
        "sensor",
        "gap",
        "clock",
        "resume",
        "trouble",
        "mark",
        "end",
        "recover",
        "outcome",
        "cue",
    }
)


class Damaged(Exception):
    """A line that is not a sound record; the message says why."""


class Record(msgspec.Struct, frozen=True, gc=False):
    """A sound line."""

    q: int
    event: AnyEvent | None
    "None for a kind a later minor version added."
    kind: str
    line: bytes
    "As read, with its line end."


def seed_of(sid: str) -> int:
    """Return the checksum seed of a session id."""
    return zlib.crc32(sid.encode())


def encode(q: int, event: AnyEvent | Opened, seed: int) -> bytes:
    """Return the line, with its line end."""
    body = b'{"q":%d,' % q + msgspec.json.encode(event)[1:-1]
    return b'%b,"c":"%08x"}\n' % (body, zlib.crc32(body, seed))


def _checked(line: bytes, seed: int) -> tuple[int, str, bytes]:
    """Return sequence number, kind and body of a line whose checksum holds."""
    line = line.rstrip(b"\r\n")
    body, tail = line[:-_TAIL_LEN], line[-_TAIL_LEN:]
    if tail != b',"c":"%08x"}' % zlib.crc32(body, seed):
        if _TAIL.fullmatch(tail) is None:
            raise Damaged("no checksum at its end (cut off, or not a record)")
        raise Damaged("its checksum does not match (changed, or from another session)")
    head = _HEAD.match(body)
    if head is None:
        raise Damaged("no sequence number and kind at its start")
    return int(head.group(1)), head.group(2).decode(), body


def decode(line: bytes, seed: int) -> Record:
    """Return the record of a line.

    Raises `Damaged` if the checksum or the shape is wrong. How large its numbers may be is
    the reader's business: what is recorded live must never fail for that.
    """
    q, kind, body = _checked(line, seed)
    if kind not in _KINDS:
        _each_key_once(line)
        return Record(q, None, kind, line)
    try:
        event = _EVENT.decode(line)
        # What pacer wrote comes out the same; only where it doesn't is a closer look needed.
        if b'{"q":%d,%b' % (q, msgspec.json.encode(event)[1:-1]) != body:
            _each_key_once(line)
    except (msgspec.DecodeError, RecursionError) as error:
        raise Damaged(f"not as the format says ({clean(str(error), 120)})") from None
    return Record(q, event, kind, line)


def _each_key_once(line: bytes) -> None:
    """Raise `Damaged` unless this is JSON in which no object has a key twice.

    Of two parsers one takes the first and one the last; what is told must not hang on that.
    """
    try:
        json.loads(line, object_pairs_hook=_pairs_once, parse_constant=_no_number)
    except RecursionError:
        raise Damaged("not as the format says (nested too deep)") from None
    except ValueError as error:
        raise Damaged(f"not as the format says ({clean(str(error), 120)})") from None


def _pairs_once(pairs: list[tuple[str, object]]) -> None:
    seen = set()
    for key, _ in pairs:
        if key in seen:
            raise Damaged(f'not as the format says (the key "{clean(key, 40)}" comes twice)')
        seen.add(key)


def _no_number(word: str) -> None:
    raise Damaged(f"not as the format says ({word} is no number)")


def decode_head(line: bytes, name: str) -> Opened:
    """Return the head.

    Raises `RecordingError` (one line, `name` first) if this is not a sound head of a
    version this program knows.
    """
    if not line:
        raise RecordingError(f"{name}: line 1: empty file, expected a pacer recording")
    if b'"k":"head"' not in line[:200]:
        found = clean_bytes(line[:60].strip(), 60)
        raise RecordingError(
            f'{name}: line 1: found "{found}", expected the head of a pacer recording'
        )
    _check_version(line, name)
    try:
        if not line.endswith(b"\n"):
            # Complete but for its line end: what is appended would be joined to it.
            raise Damaged("cut off")
        _checked(line, 0)
    except Damaged as error:
        raise RecordingError(f"{name}: line 1: the head is damaged: {error}") from None
    try:
        opened = _OPENED.decode(line)
        _each_key_once(line)
        wrong = wrong_in_head(opened)
    except (msgspec.DecodeError, RecursionError, Damaged) as error:
        wrong = str(error).removeprefix("not as the format says ")
    if wrong:
        raise RecordingError(
            f"{name}: line 1: the head is not as the format says: {clean(wrong, 160)}"
        )
    return opened


class _Version(msgspec.Struct):
    v: tuple[int, int]


def _check_version(line: bytes, name: str) -> None:
    try:
        major, minor = msgspec.json.decode(line, type=_Version).v
    except (msgspec.DecodeError, RecursionError):
        return  # A damaged head is told by its checksum.
    if major != VERSION[0]:
        raise RecordingError(
            f"{name}: line 1: format version {clean(f'{major}.{minor}', 40)}, "
            f"this pacer reads {VERSION[0]}.x; "
            "use the version that made it, or a newer pacer"
        )
