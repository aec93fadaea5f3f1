"""Recordings whole, cut, rotten and foreign (reliability.md T-02, T-04, T-16, T-19)."""

from __future__ import annotations

import os
import random  # noqa: TID251 - seeded noise
import tracemalloc
from itertools import accumulate
from pathlib import Path

import pytest
from written import SID, head_of, lines_of, sealed, some_events, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.codec import seed_of
from pacer.recording.reader import Recording
from pacer.recording.writing.mend import mend
from pacer.session.events import AnyEvent, Ended, Reading

SEED = seed_of(SID)


@pytest.fixture
def lines(cold_job: Job) -> list[bytes]:
    """A short recording's lines."""
    return lines_of(head_of(cold_job), some_events(24))


def _read(path: Path) -> tuple[list[AnyEvent], Recording]:
    recording = Recording(path)
    return list(recording.events()), recording


def test_a_whole_recording_opens_whole(lines: list[bytes], tmp_path: Path) -> None:
    """Nothing to tell where nothing is wrong."""
    events, recording = _read(write_lines(tmp_path / "a.jsonl", lines))
    assert events == some_events(24)
    assert recording.damage.sound
    assert recording.damage.ended
    assert recording.damage.told("a") == []
    assert recording.sound_end == sum(map(len, lines))


@pytest.mark.parametrize(
    "count",
    [pytest.param(24, marks=pytest.mark.slow), pytest.param(159, marks=pytest.mark.full)],
)
def test_a_recording_cut_at_any_byte_opens_to_the_last_whole_record(
    count: int, cold_job: Job, tmp_path: Path
) -> None:
    """T-02: 100 % of cuts give exactly the whole records before the cut; in full, of 200 records."""
    events = some_events(count)
    lines = lines_of(head_of(cold_job), events)
    path = write_lines(tmp_path / "cut.jsonl", lines)
    ends = list(accumulate(map(len, lines)))
    for size in range(ends[-1], -1, -1):
        os.truncate(path, size)
        whole = sum(end <= size for end in ends) - 1
        if whole < 0:
            with pytest.raises(RecordingError, match=r"\Acut\.jsonl: line 1: .+\Z"):
                Recording(path)
            continue
        found, recording = _read(path)
        assert found == events[:whole]
        assert recording.sound_end == ends[whole]
        assert recording.damage.bad_lines == (size not in ends)


@pytest.mark.slow
def test_a_tail_of_zeros_noise_or_old_records_is_no_data(
    lines: list[bytes], cold_job: Job, tmp_path: Path
) -> None:
    """T-04: after every cut 4 kB of zeros, 300 random bytes, or records of an older file."""
    chance = random.Random(20261125)
    other = lines_of(head_of(cold_job, sid="f" * 16), some_events(24))
    whole = b"".join(lines)
    ends = list(accumulate(map(len, lines)))
    events = some_events(24)
    path = tmp_path / "tail.jsonl"
    for size in range(ends[0], ends[-1], 3):
        sound = events[: sum(end <= size for end in ends) - 1]
        for tail in (bytes(4096), chance.randbytes(300), b"".join(other[1:])[size % 50 :]):
            path.write_bytes(whole[:size] + tail)
            found, recording = _read(path)
            assert found == sound
            assert not recording.damage.sound


def test_an_older_block_of_the_same_recording_is_told_as_repeated(
    lines: list[bytes], tmp_path: Path
) -> None:
    """T-04: records that come again are left out and told."""
    events, recording = _read(write_lines(tmp_path / "a.jsonl", [*lines, *lines[3:6]]))
    assert events == some_events(24)
    assert recording.damage.repeated == 3
    assert "3 repeated record(s) left out" in recording.damage.told("a")[-1]


def test_a_damaged_line_in_the_middle_costs_that_line_only(
    lines: list[bytes], tmp_path: Path
) -> None:
    """The rest is read; line number and count are told."""
    rotten = [*lines[:9], lines[9].replace(b"9", b"8", 1), *lines[10:]]
    events, recording = _read(write_lines(tmp_path / "a.jsonl", rotten))
    expected = some_events(24)
    assert events == expected[:8] + expected[9:]
    told = recording.damage.told("a")
    assert told[0].startswith("a: line 10: its checksum does not match")
    assert told[-1] == ("a: 1 damaged line(s) left out, 1 record(s) missing; the rest is sound")
    assert recording.damage.ended


def test_a_cut_exactly_between_records_shows_by_the_missing_end(
    lines: list[bytes], tmp_path: Path
) -> None:
    """RocksDB 6.14.6 (reliability.md section 1): such a cut can hide; here `end` is missing."""
    _, recording = _read(write_lines(tmp_path / "a.jsonl", lines[:-1]))
    assert recording.damage.sound
    assert not recording.damage.ended


def test_records_lost_in_between_are_told_by_number(lines: list[bytes], tmp_path: Path) -> None:
    """T-06: gaps are listed by number."""
    _, recording = _read(write_lines(tmp_path / "a.jsonl", lines[:5] + lines[8:]))
    assert recording.damage.missing == 3
    assert recording.damage.told("a")[0] == "a: line 6: records 5 to 7 are missing"


def test_records_of_an_unknown_kind_are_counted(lines: list[bytes], tmp_path: Path) -> None:
    """T-11: "n record(s) of a kind this version does not know", kept by recover."""
    odd = sealed(b'{"q":%d,"k":"smell","b":99999' % len(lines), SEED)
    path = write_lines(tmp_path / "a.jsonl", [*lines, odd])
    events, recording = _read(path)
    assert events == some_events(24)
    assert recording.damage.told("a") == ["a: 1 record(s) of a kind this version does not know"]
    mend(path, tmp_path / "b.jsonl")
    copied = path.read_bytes()
    assert (tmp_path / "b.jsonl").read_bytes()[: len(copied)] == copied


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\n",
        b"t_s,temp_c\n0,20\n",
        b"\x00" * 5000,
        b'{"q":1,"k":"s","b":0,"R":[20.0],"D":"ok","c":"00000000"}\n',
        b"\x1b]0;title\x07\x1b[2J\n",
        b"[" * 100_000,
        b'{"k":"head"' + b"[" * 60_000 + b"\n",
        b"\xff\xfe{\x00",
    ],
    ids=["empty", "blank", "csv", "zeros", "no head", "escapes", "deep", "deep head", "utf-16"],
)
def test_what_is_no_recording_is_refused_in_one_clean_line(content: bytes, tmp_path: Path) -> None:
    """Contract: no sound head (empty, foreign, cut): RecordingError, one line, nothing raw."""
    path = tmp_path / "foreign.jsonl"
    path.write_bytes(content)
    with pytest.raises(RecordingError) as caught:
        Recording(path)
    told = str(caught.value)
    assert told.startswith("foreign.jsonl: line 1: ")
    assert told.isprintable()
    assert len(told) < 300


@pytest.mark.parametrize("kind", ["fifo", "device", "folder", "missing"])
def test_what_is_no_regular_file_is_refused_without_waiting(kind: str, tmp_path: Path) -> None:
    """T-19: S_ISREG before reading; a FIFO nobody writes must not block."""
    path = tmp_path / "odd"
    if kind == "fifo":
        os.mkfifo(path)
    elif kind == "device":
        path = Path("/dev/zero")
    elif kind == "folder":
        path.mkdir()
    with pytest.raises(RecordingError, match=r"cannot be opened|not a regular file"):
        Recording(path)


@pytest.mark.slow
def test_an_endless_line_is_read_in_bounded_memory(lines: list[bytes], tmp_path: Path) -> None:
    """T-16, scaled down to 8 MB: peak ≤ 1 MB above the baseline; the next record is read."""
    path = tmp_path / "long.jsonl"
    path.write_bytes(b"".join(lines[:4]) + b"7" * 8_000_000 + b"\n" + b"".join(lines[4:]))
    _read(path)
    tracemalloc.start()
    try:
        events, recording = _read(path)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert events == some_events(24)
    assert recording.damage.told("a")[0] == "a: line 5: too long for a record"
    assert peak < 1_000_000


@pytest.mark.parametrize("depth", [900, 30_000])
def test_a_deep_record_is_damage_not_a_crash(
    depth: int, lines: list[bytes], tmp_path: Path
) -> None:
    """T-16 and finding 4: deep nesting raises RecursionError in parsers; it is caught."""
    deep = b'{"q":3,"k":"cue","b":1,"values":' + b"[" * depth + b"]" * depth
    path = write_lines(tmp_path / "a.jsonl", [*lines[:3], sealed(deep, SEED), *lines[4:]])
    events, recording = _read(path)
    assert len(events) == len(some_events(24)) - 1
    assert recording.damage.bad_lines == 1


def test_reading_again_counts_anew(lines: list[bytes], tmp_path: Path) -> None:
    """`damage` belongs to the last reading, not to all of them."""
    recording = Recording(write_lines(tmp_path / "a.jsonl", lines[:5] + lines[6:]))
    for _ in range(2):
        list(recording.events())
        assert recording.damage.missing == 1


def test_a_last_record_without_its_line_end_is_torn(lines: list[bytes], tmp_path: Path) -> None:
    """An append would be joined to it, so it counts as cut off."""
    events, recording = _read(write_lines(tmp_path / "a.jsonl", [*lines[:-1], lines[-1][:-1]]))
    assert not any(isinstance(event, Ended) for event in events)
    assert recording.damage.told("a")[0].endswith("cut off")


def test_a_reading_that_was_recorded_raw_is_given_raw(cold_job: Job, tmp_path: Path) -> None:
    """events.py rule 2: fault words and garbled text stay as they came."""
    told: list[AnyEvent] = [
        Reading(t_ms=0, raw=("OPEN",), status="open"),
        Reading(t_ms=1, raw=(None, 21.5), status=("open", "ok"), names=("a", "b")),
        Reading(t_ms=2, raw=("[/] \ufffd",), status="unparsable", why="line 3: odd", dropped=4),
    ]
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(cold_job), told))
    assert _read(path)[0] == told
