"""`pacer recover`: a whole copy or none, and the damaged recording is never touched (T-08)."""

from __future__ import annotations

import errno
import hashlib
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from faulty_disk import SHORT, Call, Fault, FaultyDisk, Killed
from written import head_of, lines_of, some_events, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import RealDisk
from pacer.recording.writing.mend import mend
from pacer.recording.writing.writer import Log
from pacer.session.events import Act, Recovered

CODES = (errno.ENOSPC, errno.EIO, errno.EROFS, errno.EDQUOT, errno.EFBIG)
FOR_EVER = 10**6


@pytest.fixture
def lines(hot_job: Job) -> list[bytes]:
    """A sound recording's lines."""
    return lines_of(head_of(hot_job), some_events(24))


@pytest.fixture
def damaged(lines: list[bytes], tmp_path: Path) -> Path:
    """One line rotten, one gone, one twice, the last one torn."""
    (tmp_path / "in").mkdir()
    rotten = [
        *lines[:6],
        b"\x00" * 700 + b"\n",
        *lines[7:10],
        *lines[11:14],
        lines[12],
        *lines[14:],
    ]
    return write_lines(tmp_path / "in" / "a.jsonl", [*rotten[:-1], rotten[-1][:20]])


def test_a_copy_holds_what_is_sound_and_says_what_it_lacks(
    damaged: Path, lines: list[bytes], tmp_path: Path
) -> None:
    """Byte for byte, then one record: of which file, and what was left out."""
    before = damaged.read_bytes()
    mended = mend(damaged, tmp_path / "b.jsonl")
    assert damaged.read_bytes() == before
    *kept, last = (tmp_path / "b.jsonl").read_bytes().splitlines(keepends=True)
    assert kept == lines[:6] + lines[7:10] + lines[11:-1]
    assert mended.records == len(kept)
    assert any("line 7" in line for line in mended.left_out)
    recording = Recording(tmp_path / "b.jsonl")
    *_, told = recording.events()
    assert last.startswith(b'{"q":%d,' % (len(lines) - 1))
    assert told == Recovered(
        t_ms=11500,
        name="a.jsonl",
        sha=hashlib.sha256(before).hexdigest(),
        left_out=2,
        missing=2,
        repeated=1,
    )
    assert recording.damage.bad_lines == recording.damage.repeated == 0
    assert (tmp_path / "b.jsonl").stat().st_mode & 0o777 == 0o600


def test_the_same_file_gives_the_same_copy(damaged: Path, tmp_path: Path) -> None:
    """T-08: a second recovery gives the same result; so does one under another name."""
    mend(damaged, tmp_path / "b.jsonl")
    mend(damaged, tmp_path / "c.jsonl")
    assert (tmp_path / "b.jsonl").read_bytes() == (tmp_path / "c.jsonl").read_bytes()


def test_a_copy_can_go_on(damaged: Path, tmp_path: Path) -> None:
    """The numbers go on after the record that tells of the copy."""
    out = tmp_path / "b.jsonl"
    mend(damaged, out)
    note = Act(t_ms=20_000, deed="note", text="going on with the copy")
    log = Log(out, Recording(out).head, resume=Recording(out))
    log.append(note, 0.0)
    log.mark(20_000, "2026-01-01T08:00:20+00:00", 0.0)
    log.close()
    recording = Recording(out)
    assert note in list(recording.events())
    assert (recording.damage.bad_lines, recording.damage.seals) == (0, 0)


def test_a_name_that_is_taken_is_refused(damaged: Path, tmp_path: Path) -> None:
    """Never written over: another file, a folder, a link to nothing, the recording itself."""
    (tmp_path / "file").write_bytes(b"precious")
    (tmp_path / "folder").mkdir()
    (tmp_path / "dangling").symlink_to(tmp_path / "nothing")
    for name in ("file", "folder", "dangling"):
        with pytest.raises(RecordingError, match=f"{name}: exists already"):
            mend(damaged, tmp_path / name)
    assert (tmp_path / "file").read_bytes() == b"precious"
    before = damaged.read_bytes()
    (tmp_path / "same").hardlink_to(damaged)
    (tmp_path / "alias").symlink_to(damaged)
    for path in (damaged, tmp_path / "same", tmp_path / "alias"):
        with pytest.raises(RecordingError, match="is the damaged recording itself"):
            mend(damaged, path)
    assert damaged.read_bytes() == before


def test_a_name_taken_meanwhile_is_not_written_over(damaged: Path, tmp_path: Path) -> None:
    """Between the look and the end somebody else makes a file of that name."""

    class Slow(RealDisk):
        def sync(self, fd: int) -> None:
            (tmp_path / "b.jsonl").write_bytes(b"precious")

    with pytest.raises(RecordingError, match=r"b\.jsonl: exists already"):
        mend(damaged, tmp_path / "b.jsonl", Slow())
    assert (tmp_path / "b.jsonl").read_bytes() == b"precious"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["b.jsonl", "in"]


def test_a_drive_without_links_is_written_as_well(
    damaged: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """FAT knows none: then a look and a rename, which is nearly as good."""

    def refuse(*names: object, **more: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    mend(damaged, tmp_path / "b.jsonl")
    monkeypatch.setattr(os, "link", refuse)
    mend(damaged, tmp_path / "c.jsonl")
    assert (tmp_path / "b.jsonl").read_bytes() == (tmp_path / "c.jsonl").read_bytes()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["b.jsonl", "c.jsonl", "in"]


def test_one_that_is_being_written_is_refused_and_not_locked(
    lines: list[bytes], tmp_path: Path
) -> None:
    """A copy of half of it would look like damage; the session that writes is not disturbed."""
    path = write_lines(tmp_path / "a.jsonl", lines[:9])
    log = Log(path, Recording(path).head, resume=Recording(path))

    class Busy(RealDisk):
        def sync(self, fd: int) -> None:
            log.append(Act(t_ms=9000, deed="note", text="meanwhile"), 9.0)

    with pytest.raises(RecordingError, match=r"a\.jsonl: was written to meanwhile"):
        mend(path, tmp_path / "b.jsonl", Busy())
    assert [p.name for p in tmp_path.iterdir()] == ["a.jsonl"]
    # Between two records it can be copied as it stands.
    assert mend(path, tmp_path / "b.jsonl").records == 10
    log.close()


@pytest.mark.parametrize("call", ["create", "write", "sync", "close", "place"])
def test_a_fault_leaves_no_half_copy(damaged: Path, tmp_path: Path, call: Call) -> None:
    """T-08: the first call of each kind fails, once and for ever, also on clearing away."""
    before = damaged.read_bytes()
    mend(damaged, tmp_path / "whole.jsonl")
    whole = (tmp_path / "whole.jsonl").read_bytes()
    out = tmp_path / "b.jsonl"
    for code in (*CODES, *((SHORT,) if call == "write" else ())):
        for half in (False, True):
            for more in ((), (Fault("remove", 1, errno.EIO, FOR_EVER),)):
                disk = FaultyDisk((Fault(call, 1, code, FOR_EVER, half), *more))
                with pytest.raises(RecordingError, match=r"b\.jsonl: cannot be written: \w"):
                    mend(damaged, out, disk)
                assert not out.exists()
                assert damaged.read_bytes() == before
                left = {p.name for p in tmp_path.iterdir()} - {"in", "whole.jsonl"}
                assert left <= {".b.jsonl.part-1"}
                assert more or not left
                for name in left:
                    (tmp_path / name).unlink()
    mend(damaged, out)
    assert out.read_bytes() == whole


@pytest.mark.parametrize("half", [False, True])
def test_killed_at_any_call_it_leaves_a_whole_copy_or_none(
    damaged: Path, tmp_path: Path, half: bool
) -> None:
    """T-08: then recovered again, beside what the killed one left, with the same result."""
    before = damaged.read_bytes()
    mend(damaged, tmp_path / "whole.jsonl")
    whole = (tmp_path / "whole.jsonl").read_bytes()
    for kill_at in range(1, 20):
        out = tmp_path / f"{kill_at}.jsonl"
        disk = FaultyDisk(kill_at=kill_at, half_write=half)
        if not _killed(damaged, out, disk):
            break
        disk.bury()
        assert damaged.read_bytes() == before
        assert not out.exists() or out.read_bytes() == whole
        if not out.exists():
            mend(damaged, out)
            assert out.read_bytes() == whole
    # Create, write, sync, close, place.
    assert kill_at == 6


def _killed(damaged: Path, out: Path, disk: FaultyDisk) -> bool:
    try:
        mend(damaged, out, disk)
    except Killed:
        return True
    return False


_SUICIDE = """
import os, signal, sys
from pathlib import Path
sys.path[:0] = sys.argv[4:]
from pacer.recording.writing.disk import RealDisk
from pacer.recording.writing.mend import mend
calls = 0
def counted(call):
    def counting(*args):
        global calls
        calls += 1
        if calls == int(sys.argv[3]):
            os.kill(os.getpid(), signal.SIGKILL)
        return call(*args)
    return counting
disk = RealDisk()
for name in ("create", "write", "sync", "close", "place"):
    setattr(disk, name, counted(getattr(disk, name)))
mend(Path(sys.argv[1]), Path(sys.argv[2]), disk)
"""


@pytest.mark.slow
def test_a_real_kill_leaves_a_whole_copy_or_none(damaged: Path, root: Path, tmp_path: Path) -> None:
    """T-08 with a process and SIGKILL: at each of its five calls; then once more in peace."""
    before = damaged.read_bytes()
    mend(damaged, tmp_path / "whole.jsonl")
    whole = (tmp_path / "whole.jsonl").read_bytes()
    for kill_at in range(1, 7):
        out = tmp_path / f"{kill_at}.jsonl"
        done = subprocess.run(
            [sys.executable, "-c", _SUICIDE, damaged, out, str(kill_at), str(root)],
            capture_output=True,
            timeout=60,
        )
        assert done.returncode == (-signal.SIGKILL if kill_at < 6 else 0), done.stderr
        assert damaged.read_bytes() == before
        assert out.exists() == (kill_at == 6)
    assert out.read_bytes() == whole
