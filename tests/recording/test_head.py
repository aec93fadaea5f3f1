"""The head stands three times: no lost sector loses the recording (reliability.md T-06)."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from fakes import QuietDisk
from faulty_disk import FaultyDisk
from written import SID, head_of, lines_of, sealed, some_events, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.codec import MAX_LINE, encode
from pacer.recording.head import BOM, HEADS
from pacer.recording.reader import Recording
from pacer.recording.writing.mend import mend
from pacer.recording.writing.writer import Log
from pacer.session.events import Act, AnyEvent, Mark, Recovered

EVENTS = some_events(24)[:-1]
WALL = "2026-01-01T08:00:20+00:00"
LOST = "a.jsonl: line 1: the head is damaged; its copy is used"


def session(path: Path, job: Job, events: list[AnyEvent]) -> bytes:
    """Record events and a seal as the writer does; return the file."""
    log = Log(path, head_of(job), disk=QuietDisk())
    log.append_all(events, 0.0)
    log.mark(events[-1].t_ms, WALL, 0.0)
    log.close()
    return path.read_bytes()


def read(path: Path) -> tuple[list[AnyEvent], Recording]:
    """Return events and recording, read to its end."""
    recording = Recording(path)
    return list(recording.events()), recording


def test_a_new_recording_begins_with_three_heads(hot_job: Job, tmp_path: Path) -> None:
    """The same bytes, then record 1; a seal counts the head once and hashes all three."""
    *heads, first = session(tmp_path / "a.jsonl", hot_job, EVENTS).splitlines(True)[: HEADS + 1]
    assert heads == [encode(0, head_of(hot_job), 0)] * 3
    assert first.startswith(b'{"q":1,')
    events, recording = read(tmp_path / "a.jsonl")
    assert events[:-1] == EVENTS
    assert isinstance(events[-1], Mark)
    assert events[-1].n == len(events)
    assert (recording.damage.sound, recording.damage.told("a")) == (True, [])
    assert recording.sound_end == (tmp_path / "a.jsonl").stat().st_size


def test_the_heads_are_written_at_once(hot_job: Job, tmp_path: Path) -> None:
    """One write and one sync; killed within that write, nothing has been heated yet."""
    disk = FaultyDisk()
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    assert (disk.done["write"], disk.done["sync"]) == (1, 1)
    log.close()


@pytest.mark.slow
@pytest.mark.parametrize(("size", "most_lost", "least_share"), [(512, 12, 0.97), (4096, 80, 0.91)])
def test_whichever_sector_is_lost_the_recording_opens(
    size: int, most_lost: int, least_share: float, cold_job: Job, tmp_path: Path
) -> None:
    """T-06: every sector zeroed in turn, the head's too: ≥ 97 % of records back, none altered.

    No sector costs more than the records that stand in it, one cut at each end; one of
    4 kB is a twelfth of this file.
    """
    events = some_events(400)[:-1]
    whole = session(tmp_path / "a.jsonl", cold_job, events)
    path, back = tmp_path / "sector.jsonl", []
    for at in range(0, len(whole), size):
        path.write_bytes((whole[:at] + bytes(size) + whole[at + size :])[: len(whole)])
        found, recording = read(path)
        assert not recording.damage.sound
        assert recording.damage.seals == 0
        left = iter([*events, found[-1]])
        assert all(event in left for event in found), "an order or an event that never was"
        back.append(len(found))
    total = len(events) + 1
    assert min(back) >= total - most_lost
    assert sum(back) / len(back) / total >= least_share


def test_a_head_damaged_anywhere_is_made_up_for_and_told(hot_job: Job, tmp_path: Path) -> None:
    """Every 41st byte of line 1 changed, and its line end: each time told, and all records there."""
    whole = session(tmp_path / "a.jsonl", hot_job, EVENTS)
    size = whole.index(b"\n")
    for at in (*range(0, size, 41), size):
        changed = bytearray(whole)
        changed[at] ^= 0x05
        (tmp_path / "a.jsonl").write_bytes(changed)
        found, recording = read(tmp_path / "a.jsonl")
        assert found[:-1] == EVENTS
        assert recording.head == head_of(hot_job)
        assert recording.damage.told("a.jsonl") == [
            LOST,
            "a.jsonl: 1 damaged line(s) left out; the rest is sound",
        ]


def test_damaged_copies_of_a_sound_head_are_told(hot_job: Job, tmp_path: Path) -> None:
    """Two of three gone: still every record, and a copy has all three again."""
    whole = session(tmp_path / "a.jsonl", hot_job, EVENTS)
    lines = whole.splitlines(True)
    for lost in (0, 1, 2):
        rotten = [
            line if at in {lost, *range(3, 99)} else b"rot\n" for at, line in enumerate(lines)
        ]
        path = write_lines(tmp_path / "a.jsonl", rotten)
        found, recording = read(path)
        assert found[:-1] == EVENTS
        assert recording.damage.bad_lines == 2
    mended = mend(path, tmp_path / "b.jsonl")
    assert mended.records == len(lines) - 2
    assert (tmp_path / "b.jsonl").read_bytes().startswith(whole)
    found, recording = read(tmp_path / "b.jsonl")
    assert recording.damage.seals == recording.damage.bad_lines == 0
    assert isinstance(found[-1], Recovered)
    assert found[-1].left_out == 2


def test_it_goes_on_after_its_head_is_damaged(hot_job: Job, tmp_path: Path) -> None:
    """Nothing of the file changes; torn bytes at its end are told apart from the head's damage."""
    path = tmp_path / "a.jsonl"
    before = b"X" + session(path, hot_job, EVENTS)[1:] + b"torn"
    path.write_bytes(before)
    log = Log(path, Recording(path).head, resume=Recording(path), wall=WALL, disk=QuietDisk())
    log.append(Act(t_ms=20_000, deed="note", text="on"), 0.0)
    log.close()
    assert path.read_bytes().startswith(before)
    found, recording = read(path)
    assert found[-2:] == [
        Recovered(t_ms=EVENTS[-1].t_ms, torn=4, wall=WALL),
        Act(t_ms=20_000, deed="note", text="on"),
    ]
    assert recording.damage.told("a.jsonl")[0] == LOST
    assert (recording.damage.bad_lines, recording.damage.torn) == (1, 4)


def test_only_a_head_is_a_whole_recording(hot_job: Job, tmp_path: Path) -> None:
    """Cut after any of the three, it is taken up again with nothing torn."""
    head = encode(0, head_of(hot_job), 0)
    for count in range(1, HEADS + 1):
        path = write_lines(tmp_path / f"{count}.jsonl", [head] * count)
        Log(path, Recording(path).head, resume=Recording(path), disk=QuietDisk()).close()
        assert path.read_bytes() == head * count


def test_an_older_recording_with_a_damaged_head_says_what_is_left_to_do(
    hot_job: Job, tmp_path: Path
) -> None:
    """One head, before 1.3: refused in one line."""
    head, *rest = lines_of(head_of(hot_job), EVENTS)
    path = write_lines(tmp_path / "a.jsonl", [head.replace(b"pacer test", b"paper test"), *rest])
    with pytest.raises(RecordingError) as caught:
        Recording(path)
    assert str(caught.value) == (
        "a.jsonl: line 1: the head is damaged: its checksum does not match (changed, or from "
        "another session); no sound copy of it follows, and without it the rest means nothing: "
        "look for a backup"
    )


def test_an_older_recording_is_copied_with_the_one_head_it_has(
    hot_job: Job, tmp_path: Path
) -> None:
    """Its seals are of a file with one head."""
    lines = lines_of(head_of(hot_job), EVENTS)
    mend(write_lines(tmp_path / "a.jsonl", lines), tmp_path / "b.jsonl")
    assert (tmp_path / "b.jsonl").read_bytes().startswith(b"".join(lines))


def test_a_search_for_a_copy_takes_no_time(tmp_path: Path) -> None:
    """A start full of what a head begins with, and none that is one (T-16: 50 ms a bad line)."""
    path = tmp_path / "a.jsonl"
    path.write_bytes((b'{"q":0,"k":"head"' * 3000 + b"}\n") * 5)
    began = time.process_time()
    with pytest.raises(RecordingError):
        Recording(path)
    assert time.process_time() - began < 0.25


def test_heads_of_the_greatest_length_are_found(hot_job: Job, tmp_path: Path) -> None:
    """The last of three that fill a line each."""
    head = head_of(hot_job, settings={})
    filled = head_of(hot_job, settings={"x": "y" * (MAX_LINE - len(encode(0, head, 0)) - 6)})
    lines = lines_of(filled, EVENTS)
    assert len(lines[0]) == MAX_LINE
    path = write_lines(tmp_path / "a.jsonl", [b"\x00" * (2 * MAX_LINE), *lines])
    found, recording = read(path)
    # The zeros have no line end: the copy ends their line.
    assert (found, recording.head) == (EVENTS, filled)


@pytest.mark.parametrize("bom", [BOM, b""], ids=["bom", "no bom"])
@pytest.mark.parametrize("end", [b"\r\n", b"\n"], ids=["crlf", "lf"])
def test_a_byte_order_mark_and_mail_line_ends_are_taken(
    bom: bytes, end: bytes, hot_job: Job, tmp_path: Path
) -> None:
    """T-17: accepted on reading, seals hold; also those written after it went on."""
    path = tmp_path / "a.jsonl"
    whole = session(path, hot_job, EVENTS)
    path.write_bytes(bom + whole.replace(b"\n", end))
    for _ in range(2):
        found, recording = read(path)
        assert found[: len(EVENTS)] == EVENTS
        assert recording.damage.told("a") == []
        log = Log(path, recording.head, resume=recording, disk=QuietDisk())
        log.mark(20_000, WALL, 0.0)
        log.close()


@pytest.mark.parametrize(
    ("member", "value", "told"),
    [
        ("format", "other recording", 'format "other recording", expected "pacer recording"'),
        (
            "format",
            "\x1b[2J",
            'format "',
        ),
        ("sid", "../../../etc/x", 'sid "../../../etc/x", expected 16 hex digits'),
        ("sid", "0123456789ABCDEF", 'sid "0123456789ABCDEF", expected 16 hex digits'),
        ("sid", SID + "0", f'sid "{SID}0", expected 16 hex digits'),
    ],
)
def test_a_head_of_something_else_is_refused(
    member: str, value: str, told: str, hot_job: Job, tmp_path: Path
) -> None:
    """Its checksum holds; format and session id are as guide/recording.md says, or it is none."""
    head = encode(0, head_of(hot_job, **{member: value}), 0)
    with pytest.raises(RecordingError) as caught:
        Recording(write_lines(tmp_path / "a.jsonl", [head] * 3))
    said = str(caught.value)
    assert said.startswith(f"a.jsonl: line 1: the head is not as the format says: {told}")
    assert said.isprintable()


def test_bytes_that_are_no_text_are_refused_in_a_head_too(hot_job: Job, tmp_path: Path) -> None:
    """Sealed, so not by accident: one line."""
    body, _, _ = encode(0, head_of(hot_job, app="@"), 0).rpartition(b',"c":"')
    head = sealed(body.replace(b"@", b"\xff"), 0)
    with pytest.raises(RecordingError, match=r"\Aa\.jsonl: line 1: the head is not as .*UTF-8\Z"):
        Recording(write_lines(tmp_path / "a.jsonl", [head] * 3))
