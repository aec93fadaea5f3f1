"""A recording taken up again only grows; torn bytes stay and are told of (T-08, finding 6)."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest
from faulty_disk import SHORT, Call, Fault, FaultyDisk, Killed
from written import head_of, lines_of, some_events, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.codec import MAX_LINE
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import Log
from pacer.session.events import Act, AnyEvent, Mark, Outcome, Recovered

EVENTS = some_events(12)[:-1]
WALL = "2026-01-01T08:00:09+00:00"
NOTE = Act(t_ms=9000, deed="note", text="going on")


def _go_on(path: Path, *events: AnyEvent, disk: FaultyDisk | None = None) -> None:
    """Take a recording up again, write some events and a seal, and close it."""
    log = Log(path, Recording(path).head, resume=Recording(path), wall=WALL, disk=disk)
    for event in events:
        log.append(event, 9.0)
    log.mark(9000, WALL, 9.0)
    log.close()


def _sound(path: Path) -> list[AnyEvent]:
    """Return the events of a recording whose every figure may be trusted, seals checked."""
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.told("x")
    return events


def test_torn_bytes_of_every_length_stay_and_are_told(hot_job: Job, tmp_path: Path) -> None:
    """Finding 6: without a line end of its own the next record is lost too (54 of 55)."""
    lines = lines_of(head_of(hot_job), EVENTS)
    for size in range(1, len(lines[7])):
        torn = lines[7][:size]
        path = write_lines(tmp_path / "a.jsonl", [*lines[:7], torn])
        before = path.read_bytes()
        _go_on(path, NOTE)
        assert path.read_bytes().startswith(before)
        *kept, recovered, note, mark = _sound(path)
        assert (kept, note) == (EVENTS[:6], NOTE)
        assert isinstance(recovered, Recovered)
        assert recovered.t_ms == EVENTS[5].t_ms
        assert isinstance(mark, Mark)
        # The seal counts the sound records; the torn bytes are in its hash alone.
        assert mark.n == 9
        whole_but_for_its_end = size == len(lines[7]) - 1
        assert recovered.torn == size + whole_but_for_its_end
        path.unlink()


@pytest.mark.parametrize(
    "tail",
    [
        pytest.param(b"\x00" * 4096, id="zeros"),
        pytest.param(b"\x00" * 4096 + b"\n", id="zeros and a line end"),
        pytest.param(b"rot\nrot\r\n\r\r\nrot", id="several lines"),
        pytest.param(b"x" * (3 * MAX_LINE), id="longer than a record may be"),
        pytest.param(b"\n", id="an empty line"),
    ],
)
def test_whatever_a_power_cut_leaves_is_left(hot_job: Job, tmp_path: Path, tail: bytes) -> None:
    """T-04, taken up again, twice; each tail has its own record."""
    lines = lines_of(head_of(hot_job), EVENTS)
    path = write_lines(tmp_path / "a.jsonl", [*lines[:7], tail])
    before = path.read_bytes()
    _go_on(path)
    with path.open("ab") as file:
        file.write(b"again")
    _go_on(path, NOTE)
    assert path.read_bytes().startswith(before)
    told = [event.torn for event in _sound(path) if isinstance(event, Recovered)]
    assert told == [len(tail), 5]


def test_a_stale_tail_of_our_own_is_left_as_well(hot_job: Job, tmp_path: Path) -> None:
    """Records that come again are no new ones, though each is sound in itself."""
    lines = lines_of(head_of(hot_job), EVENTS)
    path = write_lines(tmp_path / "a.jsonl", [*lines[:7], *lines[2:4], b"rot"])
    _go_on(path, NOTE)
    *kept, recovered, note, _ = _sound(path)
    assert (kept, note) == (EVENTS[:6], NOTE)
    assert isinstance(recovered, Recovered)
    assert recovered.torn == len(lines[2] + lines[3]) + 3


def test_nothing_torn_needs_no_record(hot_job: Job, tmp_path: Path) -> None:
    """The numbers go on where they stopped: byte for byte what an untorn session writes."""
    lines = lines_of(head_of(hot_job), EVENTS)
    path = write_lines(tmp_path / "a.jsonl", lines[:7])
    log = Log(path, head_of(hot_job), resume=Recording(path))
    for event in EVENTS[6:]:
        log.append(event, event.t_s)
    log.close()
    assert path.read_bytes() == b"".join(lines)


def test_damage_in_the_middle_stays_where_it_is(hot_job: Job, tmp_path: Path) -> None:
    """No rewriting in place; and it is still damage, no torn tail."""
    lines = lines_of(head_of(hot_job), EVENTS)
    rotten = [*lines[:3], b"\x00\r\x00 rot\n", *lines[4:8]]
    path = write_lines(tmp_path / "a.jsonl", rotten)
    log = Log(path, head_of(hot_job), resume=Recording(path))
    log.append(EVENTS[7], 9.0)
    log.close()
    assert path.read_bytes() == b"".join([*rotten, lines[8]])


def test_a_session_gone_on_and_moved_still_verifies(hot_job: Job, tmp_path: Path) -> None:
    """The new file holds the same bytes, torn ones too, so the seals of both runs hold."""
    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    for event in EVENTS[:6]:
        log.append(event, event.t_s)
    log.mark(3000, "2026-01-01T08:00:03+00:00", 3.0)
    log.close()
    with log.path.open("ab") as file:
        file.write(b'{"q":8,"k":"s\r\n\r')
    before = log.path.read_bytes()
    log = Log(log.path, log.opened, resume=Recording(log.path))
    log.path.unlink()
    log.append(NOTE, 9.0)
    log.mark(9000, WALL, 9.0)
    log.close()
    assert log.path.name == "a-2.jsonl"
    assert log.path.read_bytes().startswith(before)
    assert sum(isinstance(event, Mark) for event in _sound(log.path)) == 2


def test_an_outcome_is_written_long_after_the_end(hot_job: Job, tmp_path: Path) -> None:
    """Procedure.md section 14: at any later date; what was sealed stays sealed."""
    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    log.append(EVENTS[0], 0.0)
    log.end(7000, "closed", "2026-01-01T08:00:07+00:00", 7.0)
    before = log.path.read_bytes()
    outcome = Outcome(t_ms=86_400_000, found="crack", when="at a later look")
    log = Log(log.path, log.opened, resume=Recording(log.path))
    log.append(outcome, 0.0)
    log.mark(86_400_000, "2026-01-02T08:00:00+00:00", 0.0)
    log.close()
    assert log.path.read_bytes().startswith(before)
    recording = Recording(log.path)
    assert outcome in list(recording.events())
    assert recording.damage.ended
    assert recording.damage.sound


def test_what_grew_since_it_was_read_is_refused(hot_job: Job, tmp_path: Path) -> None:
    """Whoever folded it knows an older one: he would go on from a state that is not so."""
    lines = lines_of(head_of(hot_job), EVENTS)
    path = write_lines(tmp_path / "a.jsonl", lines[:4])
    recording = Recording(path)
    assert len(list(recording.events())) == 3
    with path.open("ab") as file:
        file.write(lines[4])
    with pytest.raises(RecordingError, match=r"a\.jsonl: another pacer wrote it just now"):
        Log(path, recording.head, resume=recording)
    Log(path, recording.head, resume=Recording(path)).close()


CODES = (errno.ENOSPC, errno.EIO, errno.EROFS, errno.EDQUOT, errno.EFBIG)


def _refused(path: Path, disk: FaultyDisk) -> str:
    """Go on over a faulty disk; return why it was refused, if it was."""
    try:
        _go_on(path, NOTE, disk=disk)
    except RecordingError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("call", ["reopen", "write", "sync", "cut"])
def test_a_fault_on_going_on_leaves_what_stood_there(
    hot_job: Job, tmp_path: Path, call: Call
) -> None:
    """T-08: n-th call fails once or for ever; the old bytes stay, a second try gives the same."""
    lines = lines_of(head_of(hot_job), EVENTS)
    old = b"".join(lines[:7]) + b'{"q":7,"k'
    write_lines(tmp_path / "sound.jsonl", [old])
    _go_on(tmp_path / "sound.jsonl", NOTE)
    expected = (tmp_path / "sound.jsonl").read_bytes()
    number = 0
    for nth in (1, 2, 3):
        for code in (*CODES, *((SHORT,) if call == "write" else ())):
            for times in (1, 10**6):
                for half in (False, True):
                    number += 1
                    (tmp_path / str(number)).mkdir()
                    path = write_lines(tmp_path / str(number) / "a.jsonl", [old])
                    faults: tuple[Fault, ...] = (Fault(call, nth, code, times, half),)
                    if call == "cut":
                        faults = (*faults, Fault("write", nth, errno.ENOSPC, half=True))
                    refused = _refused(path, FaultyDisk(faults))
                    assert refused == "" or ": cannot be written: " in refused
                    assert path.read_bytes().startswith(old)
                    if path.read_bytes() == old:
                        _go_on(path, NOTE)
                        assert path.read_bytes() == expected


@pytest.mark.parametrize("half", [False, True])
def test_killed_while_going_on_it_goes_on_all_the_same(
    hot_job: Job, tmp_path: Path, half: bool
) -> None:
    """T-08: killed at every call of going on and of what follows; twice in a row."""
    lines = lines_of(head_of(hot_job), EVENTS)
    old = b"".join(lines[:7]) + b'{"q":7,"k'
    kills = 0
    for kill_at in range(1, 30):
        path = write_lines(tmp_path / f"{kill_at}.jsonl", [old])
        for _ in range(2):
            disk = FaultyDisk(kill_at=kill_at, half_write=half)
            before = path.read_bytes()
            try:
                _go_on(path, NOTE, disk=disk)
            except Killed:
                kills += 1
                disk.bury()
            assert path.read_bytes().startswith(before)
        _go_on(path, NOTE)
        events = _sound(path)
        assert events[:6] == EVENTS[:6]
        assert events[-2] == NOTE
        if not disk.killed:
            break
    assert not disk.killed
    assert kills >= 2 * 6
