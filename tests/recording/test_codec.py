"""One line of a recording: what comes back, and what is refused (reliability.md T-03, T-11)."""

from __future__ import annotations

import json
import random  # noqa: TID251 - seeded
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import any_events
from written import SID, head_of, lines_of, sealed, some_events

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.codec import Damaged, decode, decode_head, encode, seed_of
from pacer.session.events import AnyEvent, Reading

SEED = seed_of(SID)
EVENTS = any_events()


@given(event=EVENTS, q=st.integers(0, 10**9))
@settings(max_examples=300, deadline=None)
def test_any_event_comes_back_as_it_was(event: AnyEvent, q: int) -> None:
    """What is folded live is what a replay reads (design.md, one reading's journey, 3)."""
    line = encode(q, event, SEED)
    record = decode(line, SEED)
    assert (record.q, record.event, record.line) == (q, event, line)
    assert line.endswith(b"\n")
    assert line.count(b"\n") == 1


def test_a_line_is_plain_json_with_the_documented_members() -> None:
    """reliability.md section 3: any JSON Lines tool reads it; q first, c last, CRC-32."""
    line = encode(7, Reading(t_ms=183_500, raw=(301.25,), status="ok"), SEED)
    found = json.loads(line)
    assert list(found) == ["q", "k", "b", "R", "D", "c"]
    assert found["R"] == [301.25]
    body = line[: line.index(b',"c":')]
    assert found["c"] == f"{zlib.crc32(body, zlib.crc32(SID.encode())):08x}"


@pytest.mark.slow
def test_every_single_changed_bit_is_refused(hot_job: Job) -> None:
    """T-03: 0 altered records accepted; a CRC-32 finds every single-bit error."""
    lines = lines_of(head_of(hot_job), some_events(16))
    assert len(lines) > 20
    accepted = 0
    for line in lines[1:]:
        for at in range(len(line) * 8):
            changed = bytearray(line)
            changed[at // 8] ^= 1 << at % 8
            try:
                decode(bytes(changed), SEED)
            except Damaged:
                continue
            accepted += 1
    assert accepted == 0


@pytest.mark.slow
def test_every_single_changed_bit_of_the_head_is_refused(hot_job: Job) -> None:
    """T-03 for the head, told in one line that names the file."""
    head = lines_of(head_of(hot_job), [])[0]
    for at in range(len(head) * 8):
        changed = bytearray(head)
        changed[at // 8] ^= 1 << at % 8
        with pytest.raises(RecordingError, match=r"\Ax\.jsonl: line 1: .+\Z"):
            decode_head(bytes(changed), "x.jsonl")


_MUTATIONS = st.lists(
    st.tuples(st.sampled_from("cdi"), st.integers(0, 200), st.integers(0, 255)),
    min_size=1,
    max_size=6,
)


@given(event=EVENTS, mutations=_MUTATIONS)
@settings(max_examples=400, deadline=None)
def test_a_mutated_line_is_the_same_record_or_refused(
    event: AnyEvent, mutations: list[tuple[str, int, int]]
) -> None:
    """T-03: bytes changed, deleted, inserted; no altered record, no other exception."""
    line = encode(3, event, SEED)
    changed = bytearray(line)
    for what, at, byte in mutations:
        at %= max(1, len(changed))
        if what == "c":
            changed[at : at + 1] = bytes([byte])
        elif what == "d":
            del changed[at : at + 1]
        else:
            changed[at:at] = bytes([byte])
    try:
        record = decode(bytes(changed), SEED)
    except Damaged:
        return
    # Only line ends may differ.
    assert bytes(changed).rstrip(b"\r\n") == line.rstrip(b"\n")
    assert record.event == event


@pytest.mark.slow
def test_thirty_thousand_random_mutations_are_refused(hot_job: Job) -> None:
    """T-03: bytes changed, deleted, inserted, copied from elsewhere in the line; 0 accepted."""
    chance = random.Random(20261126)
    lines = lines_of(head_of(hot_job), some_events(40))[1:]
    for _ in range(30_000):
        line = chance.choice(lines)
        changed = bytearray(line)
        at, to = chance.randrange(len(line)), chance.randrange(len(line))
        match chance.randrange(4):
            case 0:
                changed[at] = chance.randrange(256)
            case 1:
                del changed[at : at + chance.randrange(1, 9)]
            case 2:
                changed[at:at] = chance.randbytes(chance.randrange(1, 9))
            case _:
                changed[at : at + 8] = line[to : to + 8]
        if bytes(changed).rstrip(b"\r\n") == line.rstrip(b"\n"):
            continue
        with pytest.raises(Damaged):
            decode(bytes(changed), SEED)


def test_a_line_of_another_session_is_refused() -> None:
    """T-04: stale blocks of an older recording are no data; the session id seeds the sum."""
    line = encode(1, Reading(t_ms=0, raw=(20.0,), status="ok"), seed_of("f" * 16))
    with pytest.raises(Damaged, match="another session"):
        decode(line, SEED)


def test_an_upper_case_checksum_is_refused() -> None:
    """reliability.md finding 3: int(text, 16) took upper case, so bytes are compared."""
    for t_ms in range(50):
        line = encode(1, Reading(t_ms=t_ms, raw=(20.0,), status="ok"), SEED)
        upper = line[:-11] + line[-11:-3].upper() + line[-3:]
        if upper != line:
            with pytest.raises(Damaged):
                decode(upper, SEED)
            return
    pytest.fail("fifty checksums without a letter")


@pytest.mark.parametrize("ending", [b"\r\n", b"\n"])
def test_crlf_is_taken(ending: bytes) -> None:
    """T-17: a recording that went through a mail program may have CRLF."""
    event = Reading(t_ms=5, raw=(20.0,), status="ok")
    assert decode(encode(1, event, SEED)[:-1] + ending, SEED).event == event


def test_an_unknown_kind_is_kept_not_refused() -> None:
    """T-11: a later minor version may add kinds."""
    line = sealed(b'{"q":4,"k":"smell","b":12,"deep":{"x":[1]}', SEED)
    record = decode(line, SEED)
    assert (record.q, record.event, record.kind, record.line) == (4, None, "smell", line)


def test_an_unknown_member_is_passed_over() -> None:
    """T-11: a later minor version may add members."""
    line = sealed(b'{"q":4,"k":"s","b":12,"R":[1.5],"D":"ok","hum":0.4', SEED)
    assert decode(line, SEED).event == Reading(t_ms=12, raw=(1.5,), status="ok")


@pytest.mark.parametrize(
    "member",
    [
        b'"R":[NaN],"D":"ok"',
        b'"R":[1e999],"D":"ok"',
        b'"R":[true],"D":"ok"',
        b'"R":"300","D":"ok"',
        b'"R":[300.0],"D":"splendid"',
        b'"R":[300.0]',
        b'"R":[\xff],"D":"ok"',
        b'"R":["\\ud800"],"D":"ok"',
        b'"R":' + b"[" * 5_000,
    ],
)
def test_a_wrong_member_is_damage_though_its_checksum_holds(member: bytes) -> None:
    """T-17 and reliability.md finding 4: non-numbers, surrogates and depth are refused."""
    with pytest.raises(Damaged, match="not as the format says"):
        decode(sealed(b'{"q":4,"k":"s","b":12,' + member, SEED), SEED)


@pytest.mark.parametrize(
    ("body", "key"),
    [
        (b'{"q":4,"k":"s","b":12,"R":[20.0],"D":"ok","R":[900.0]', "R"),
        (b'{"q":4,"k":"s","b":12,"R":[20.0],"D":"ok","b":99', "b"),
        (b'{"q":4,"k":"s","q":5,"b":12,"R":[20.0],"D":"ok"', "q"),
        (b'{"q":4,"k":"s","k":"s","b":12,"R":[20.0],"D":"ok"', "k"),
        (b'{"q":4,"k":"s","b":12,"R":[20.0],"D":"ok","c":"00000000"', "c"),
        (b'{"q":4,"k":"s","b":12,"R":[20.0],"\\u0044":"open","D":"ok"', "D"),
        (
            b'{"q":4,"k":"cue","b":1,"kind":"READY","urgency":"STEP","words":"w",'
            b'"values":{"temp_c":20.0,"temp_c":900.0}',
            "temp_c",
        ),
        (b'{"q":4,"k":"smell","b":12,"deep":[{"x":1,"x":2}]', "x"),
    ],
)
def test_a_key_that_comes_twice_is_damage(body: bytes, key: str) -> None:
    """T-17: duplicates are refused; RFC 8259 section 4 leaves open which one a parser takes."""
    with pytest.raises(Damaged, match=rf'the key "{key}" comes twice'):
        decode(sealed(body, SEED), SEED)


def test_a_head_whose_key_comes_twice_is_refused(hot_job: Job) -> None:
    """T-17: as any other line."""
    with pytest.raises(RecordingError, match=r'line 1: .+the key "w" comes twice'):
        decode_head(_head(hot_job, b'"v":[1,0],"w":"2026-01-01T08:00:00+00:00"'), "x")


@pytest.mark.parametrize("start", [b'{"k":"s","q":4', b'{"q":-1,"k":"s"', b'{"q":4, "k":"s"', b"["])
def test_a_line_that_starts_otherwise_is_damage(start: bytes) -> None:
    """reliability.md section 3: the sequence number stands first."""
    with pytest.raises(Damaged, match="no sequence number"):
        decode(sealed(start + b',"b":1,"R":[1.0],"D":"ok"', SEED), SEED)


def _head(job: Job, v: bytes) -> bytes:
    line = encode(0, head_of(job), 0)
    body = line[: line.index(b',"c":"')]
    assert body.count(b'"v":[1,0]') == 1
    return sealed(body.replace(b'"v":[1,0]', v), 0)


def test_a_head_comes_back_as_it_was(hot_job: Job) -> None:
    """The resolved job and all settings are in the recording's head."""
    head = head_of(hot_job, settings={"units": "us"}, invented="practice, seed 1")
    assert decode_head(encode(0, head, 0), "x") == head


def test_a_later_minor_version_opens(hot_job: Job) -> None:
    """T-11: minor + 1 opens."""
    assert decode_head(_head(hot_job, b'"v":[1,7],"moon":"full"'), "x").v == (1, 7)


@pytest.mark.parametrize("v", [b"[2,0]", b"[0,9]", b"[-1,0]"])
def test_another_major_version_is_refused_in_one_line(hot_job: Job, v: bytes) -> None:
    """T-11: one clear line that says what to do."""
    with pytest.raises(RecordingError) as caught:
        decode_head(_head(hot_job, b'"v":' + v), "x.jsonl")
    told = str(caught.value)
    assert told.startswith("x.jsonl: line 1: format version")
    assert "reads 1.x" in told
    assert "\n" not in told


@pytest.mark.parametrize(
    "v", [b'"v":"1"', b'"v":1e99', b'"v":-1', b'"v":[1]', b'"v":null', b'"w2":1', b'"v":[1e99,0]']
)
def test_a_malformed_version_is_refused_in_one_line(hot_job: Job, v: bytes) -> None:
    """T-11: v missing, a word, or no such number."""
    with pytest.raises(
        RecordingError, match=r"\Ax: line 1: the head is not as the format says.+\Z"
    ):
        decode_head(_head(hot_job, v), "x")
