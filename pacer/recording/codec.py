"""Event ⇄ one line of a recording.

A line is a JSON object with its sequence number first and its checksum last:

    {"q":7,"k":"s","b":183500,"R":[301.25],"D":"ok","c":"5b0e91c7"}

`c` is the CRC-32 of the bytes before `,"c":"`, seeded with the CRC-32 of the session id
(the head: seed 0), so a line of another session does not pass. It is compared as bytes
before anything is parsed. A CRC shows accidents, not forgery.

Reasons for this shape, with measurements: "Recording format" in DEVELOPERS.md.
The format's version stands here; changes are listed in guide/recording.md, "Versions".
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

VERSION = (1, 5)
"""Minor may add kinds and members (readers keep and count them); major may change meaning."""

MAX_LINE = 65_536
"""Longest record in bytes, line end included; a longer line is damage."""

FORMAT = "pacer recording"
"""What every head says it is."""

_SID = re.compile(r"[0-9a-f]{16}", re.ASCII)

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
        "inspect",
        "cue",
    }
)


class Record(msgspec.Struct, frozen=True, gc=False):
    """A line whose checksum holds."""

    q: int
    event: AnyEvent | None
    "None for a kind a later minor version added, and where it is not fit."
    kind: str
    line: bytes
    "As read, with its line end."
    fit: bool = True
    "False: not as the format says. Nobody is shown it, but it was written so: a copy keeps it."


class Damaged(Exception):
    """A line that is not a sound record; the message says why."""


class Unfit(Damaged):
    """A line whose checksum holds, but which is not as this version's format says."""

    def __init__(self, why: str, record: Record, *, word: bool = False) -> None:
        super().__init__(f"not as the format says ({clean(why, 160)})")
        self.record = record
        self.word = word
        "Sound JSON with a member or a word this version does not know: a later one may."


def seed_of(sid: str) -> int:
    """Return the checksum seed of a session id."""
    return zlib.crc32(sid.encode())


def encode(q: int, event: AnyEvent | Opened, seed: int) -> bytes:
    """Return the line, with its line end."""
    body = b'{"q":%d,' % q + msgspec.json.encode(event)[1:-1]
    return b'%b,"c":"%08x"}\n' % (body, zlib.crc32(body, seed))


def checked(line: bytes, seed: int) -> tuple[int, str, bytes]:
    """Return sequence number, kind and body of a line whose checksum holds.

    Raises `Damaged` where it doesn't.
    """
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

    Raises `Damaged` if the checksum is wrong, `Unfit` if only the shape is. How large its
    numbers may be is the reader's business: what is recorded live must never fail for that.
    """
    q, kind, body = checked(line, seed)
    why, word, event = "", False, None
    if kind in _KINDS:
        try:
            event = _EVENT.decode(line)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            why, word = str(error), isinstance(error, msgspec.ValidationError)
    # What pacer wrote comes out the same; only where it doesn't is a closer look needed.
    if event is None or b'{"q":%d,%b' % (q, msgspec.json.encode(event)[1:-1]) != body:
        wrong = _wrong_json(line)
        if wrong or why:
            unfit = Record(q, None, kind, line, fit=False)
            raise Unfit(wrong or why, unfit, word=word and not wrong) from None
    return Record(q, event, kind, line)


def _wrong_json(line: bytes) -> str:
    """Return what is wrong with a line as JSON in which no object has a key twice, or nothing.

    Of two parsers one takes the first and one the last; what is told must not hang on that.
    """
    try:
        json.loads(line, object_pairs_hook=_pairs_once, parse_constant=_no_number)
    except RecursionError:
        return "nested too deep"
    except UnicodeDecodeError:
        return "holds bytes that are no UTF-8"
    except ValueError as error:
        return str(error)
    return ""


def _pairs_once(pairs: list[tuple[str, object]]) -> None:
    seen = set()
    for key, _ in pairs:
        if key in seen:
            raise ValueError(f'the key "{clean(key, 40)}" comes twice')
        seen.add(key)


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number")


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
        checked(line, 0)
    except Damaged as error:
        raise RecordingError(f"{name}: line 1: the head is damaged: {error}") from None
    wrong = _wrong_json(line)
    try:
        opened = _OPENED.decode(line)
        wrong = wrong or _not_ours(opened) or wrong_in_head(opened)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        wrong = wrong or str(error)
    if wrong:
        raise RecordingError(
            f"{name}: line 1: the head is not as the format says: {clean(wrong, 160)}"
        )
    return opened


def _not_ours(opened: Opened) -> str:
    if opened.format != FORMAT:
        return f'format "{clean(opened.format, 40)}", expected "{FORMAT}"'
    if _SID.fullmatch(opened.sid) is None:
        return f'sid "{clean(opened.sid, 40)}", expected 16 hex digits'
    return ""


class _Version(msgspec.Struct):
    v: tuple[int, int]


def _check_version(line: bytes, name: str) -> None:
    try:
        major, minor = msgspec.json.decode(line, type=_Version).v
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        return  # A damaged head is told by its checksum.
    if major != VERSION[0]:
        raise RecordingError(
            f"{name}: line 1: format version {clean(f'{major}.{minor}', 40)}, "
            f"this pacer reads {VERSION[0]}.x; "
            "use the version that made it, or a newer pacer"
        )
