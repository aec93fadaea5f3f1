"""What a recording tells of itself: seals, torn tails it went on after, copies, its end.

reliability.md section 3 and T-11.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from written import SID, head_of, lines_of, sealed, some_events, write_lines

from pacer.job.job import Job
from pacer.recording.codec import VERSION, encode, seed_of
from pacer.recording.reader import Recording
from pacer.session.events import (
    AnyEvent,
    ClockGap,
    CueTold,
    Mark,
    Outcome,
    Reading,
    Recovered,
    Resumed,
)

SEED = seed_of(SID)


@pytest.fixture
def lines(cold_job: Job) -> list[bytes]:
    """A short recording's lines."""
    return lines_of(head_of(cold_job), some_events(24))


def _read(path: Path) -> tuple[list[AnyEvent], Recording]:
    recording = Recording(path)
    return list(recording.events()), recording


def _seal(lines: list[bytes], q: int, t_ms: int) -> bytes:
    """Return the seal of what stands before it, worked out apart from reader and writer."""
    sha = hashlib.sha256(b"".join(lines)).hexdigest()
    return encode(q, Mark(t_ms=t_ms, n=q, sha=sha), SEED)


def test_a_seal_that_holds_is_silent_and_a_changed_record_before_it_is_told(
    lines: list[bytes], tmp_path: Path
) -> None:
    """Section 3: `mark` and `end` carry the hash of all before; an edit with a right checksum shows."""
    q = len(lines) - 1
    whole = [*lines[:-1], _seal(lines[:-1], q, 11_500)]
    _, recording = _read(write_lines(tmp_path / "a.jsonl", whole))
    assert recording.damage.sound
    assert recording.damage.told("a") == []
    body = whole[4][: whole[4].index(b',"c":"')]
    forged = [*whole[:4], sealed(body.replace(b"41.75", b"31.75"), SEED), *whole[5:]]
    assert forged[4] != whole[4]
    events, recording = _read(write_lines(tmp_path / "b.jsonl", forged))
    assert len(events) == q
    assert not recording.damage.sound
    assert recording.damage.seals == 1
    assert recording.damage.told("b") == [
        f"b: line {q + 1}: the seal does not match what stands before it: "
        "changed after it was recorded",
        "b: 1 seal(s) that do not match; what is shown may have been changed",
    ]


def test_a_seal_after_damage_says_nothing_more(lines: list[bytes], tmp_path: Path) -> None:
    """Bytes are gone, so the hash can't match: the damage is told, not an edit."""
    q = len(lines) - 1
    whole = [*lines[:-1], _seal(lines[:-1], q, 11_500)]
    for cut in (whole[:5] + whole[6:], [*whole[:5], b"x" * len(whole[5]) + b"\n", *whole[6:]]):
        _, recording = _read(write_lines(tmp_path / "a.jsonl", cut))
        assert not recording.damage.sound
        assert recording.damage.seals == 0


def test_a_seal_holds_after_a_mail_programs_line_ends(lines: list[bytes], tmp_path: Path) -> None:
    """T-17: CRLF is accepted on reading; what is sealed is the record."""
    whole = [*lines[:-1], _seal(lines[:-1], len(lines) - 1, 11_500)]
    path = write_lines(tmp_path / "a.jsonl", [line[:-1] + b"\r\n" for line in whole])
    assert _read(path)[1].damage.told("a") == []


@pytest.mark.parametrize(
    "torn",
    [
        b'{"q":31,"k":"s","b":12',
        bytes(4096),
        b"\xff" * 300 + b"\n",
        b"one\ntwo\nthree",
        b"7" * 200_000,
        b"7" * 200_000 + b"\n\n",
    ],
    ids=["cut", "zeros", "line", "lines", "long", "long line"],
)
def test_a_torn_tail_that_was_told_of_when_going_on_is_no_damage(
    torn: bytes, lines: list[bytes], tmp_path: Path
) -> None:
    """The recording went on in the same file; what stays torn in its middle is told, once."""
    q = len(lines) - 1
    end = b"" if torn.endswith(b"\n") else b"\n"
    recovered = Recovered(t_ms=11_500, torn=len(torn))
    before = [*lines[:-1], torn + end, encode(q, recovered, SEED)]
    after = [encode(q + 1, Resumed(t_ms=20_000), SEED)]
    seal = _seal([*before, *after], q + 2, 20_000)
    path = write_lines(tmp_path / "a.jsonl", [*before, *after, seal])
    events, recording = _read(path)
    assert events[: len(lines) - 2] == some_events(24)[:-1]
    assert recording.damage.sound
    assert (recording.damage.torn, recording.damage.bad_lines) == (len(torn), 0)
    assert recording.damage.told("a") == [
        f"a: line {len(lines)}: {len(torn)} torn bytes, "
        "left out when the recording was taken up again"
    ]
    # A copy of the sound records lacks the torn bytes: its seals can't be held against it.
    copy = write_lines(tmp_path / "b.jsonl", [*lines[:-1], before[-1], *after, seal])
    assert _read(copy)[1].damage.told("b") == []


def test_a_torn_tail_of_another_size_than_told_is_damage(
    lines: list[bytes], tmp_path: Path
) -> None:
    """Something more was lost or put there since."""
    q = len(lines) - 1
    recovered = encode(q, Recovered(t_ms=11_500, torn=9), SEED)
    _, recording = _read(
        write_lines(tmp_path / "a.jsonl", [*lines[:-1], b"x" * 40 + b"\n", recovered])
    )
    assert not recording.damage.sound
    assert recording.damage.bad_lines == 1


def test_a_copy_says_what_it_lacks_and_counts_it_once(lines: list[bytes], tmp_path: Path) -> None:
    """Gaps in the numbers and the copy's own record tell of the same lines."""
    note = Recovered(t_ms=12_000, name="old.jsonl", sha="0" * 64, left_out=2, missing=2)
    copied = [*lines[:5], *lines[7:], encode(len(lines), note, SEED)]
    _, recording = _read(write_lines(tmp_path / "a.jsonl", copied))
    damage = recording.damage
    assert not damage.sound
    assert (damage.missing, damage.copy, damage.ended) == (2, note, True)
    assert damage.told("a") == [
        "a: line 6: records 5 to 6 are missing",
        'a: a copy of a damaged recording, "old.jsonl": 2 damaged line(s) left out, '
        "2 record(s) missing",
    ]


def test_a_copy_without_repeated_records_says_so(lines: list[bytes], tmp_path: Path) -> None:
    """A number that came again may have been another program's record: not all may be there."""
    note = Recovered(t_ms=12_000, name="old.jsonl", sha="0" * 64, repeated=3)
    _, recording = _read(
        write_lines(tmp_path / "a.jsonl", [*lines, encode(len(lines), note, SEED)])
    )
    assert not recording.damage.sound
    assert recording.damage.told("a") == [
        'a: a copy of a damaged recording, "old.jsonl": 0 damaged line(s) left out, '
        "0 record(s) missing, 3 repeated record(s) left out"
    ]


@pytest.mark.parametrize(("version", "sound"), [((1, 2), True), ((1, 3), False)])
def test_nothing_happened_within_a_gap(
    cold_job: Job, tmp_path: Path, version: tuple[int, int], sound: bool
) -> None:
    """Before 1.3 a program killed while it went on left a gap that the next began anew."""
    gap = ClockGap(t_ms=5000, to_ms=905_000)
    events: list[AnyEvent] = [gap, ClockGap(t_ms=5000, to_ms=65_000), Resumed(t_ms=905_000)]
    lines = lines_of(head_of(cold_job, v=version), events)
    read, recording = _read(write_lines(tmp_path / "a.jsonl", lines))
    assert recording.damage.sound is sound
    assert (gap in read, events[2] in read) == (True, True)


def test_session_time_that_falls_is_damage_of_that_record(
    lines: list[bytes], tmp_path: Path
) -> None:
    """events.py: it never falls; a cue alone carries its deadline, older than the waking."""
    q = len(lines) - 1
    cue = CueTold(t_ms=9000, kind="PEEN", urgency="STEP", values={}, words="Peen")
    odd = [encode(q, cue, SEED), encode(q + 1, Reading(t_ms=9000, raw=(1.0,), status="ok"), SEED)]
    events, recording = _read(write_lines(tmp_path / "a.jsonl", [*lines[:-1], *odd]))
    assert events == [*some_events(24)[:-1], cue]
    (told, _) = recording.damage.told("a")
    assert told == f"a: line {q + 2}: session time falls from 11.500 s to 9.000 s"


def test_a_recording_is_ended_until_it_is_taken_up_again(
    lines: list[bytes], tmp_path: Path
) -> None:
    """What is written down after the end leaves it ended; going on does not."""
    q = len(lines)
    later = [encode(q, Outcome(t_ms=12_000, found="no crack found"), SEED)]
    path = write_lines(tmp_path / "a.jsonl", [*lines, *later])
    assert _read(path)[1].damage.ended
    later.append(encode(q + 1, Resumed(t_ms=13_000), SEED))
    assert not _read(write_lines(path, [*lines, *later]))[1].damage.ended


def test_a_later_minor_version_is_told_once(cold_job: Job, tmp_path: Path) -> None:
    """T-11: what this pacer does not know of it is left out, and it says so."""
    lines = lines_of(head_of(cold_job, v=(1, 99)), some_events(24))
    events, recording = _read(write_lines(tmp_path / "a.jsonl", lines))
    assert events == some_events(24)
    assert recording.damage.sound
    known = ".".join(map(str, VERSION))
    assert recording.damage.told("a") == [
        f"a: format version 1.99, this pacer knows {known}: what it does not know is left out"
    ]
