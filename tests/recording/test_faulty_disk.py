"""The failing disk fails exactly where it is told to."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from faulty_disk import SHORT, Fault, FaultyDisk, Killed


def test_only_the_nth_write_fails(tmp_path: Path) -> None:
    """Once: the second of three."""
    disk = FaultyDisk((Fault("write", 2, errno.EIO),))
    fd = disk.create(tmp_path / "a")
    assert disk.write(fd, b"one") == 3
    with pytest.raises(OSError) as caught:
        disk.write(fd, b"two")
    assert caught.value.errno == errno.EIO
    assert disk.write(fd, b"six") == 3
    disk.close(fd)
    assert (tmp_path / "a").read_bytes() == b"onesix"


def test_a_short_write_writes_half_and_says_so(tmp_path: Path) -> None:
    """As a full tmpfs and RLIMIT_FSIZE did (reliability.md finding 5, measured)."""
    disk = FaultyDisk((Fault("write", 1, SHORT),))
    fd = disk.create(tmp_path / "a")
    assert disk.write(fd, b"abcdef") == 3
    disk.close(fd)
    assert (tmp_path / "a").read_bytes() == b"abc"


def test_a_write_can_fail_after_half_of_it(tmp_path: Path) -> None:
    """The worst of both."""
    disk = FaultyDisk((Fault("write", 1, errno.EIO, half=True),))
    fd = disk.create(tmp_path / "a")
    with pytest.raises(OSError):
        disk.write(fd, b"abcdef")
    disk.close(fd)
    assert (tmp_path / "a").read_bytes() == b"abc"


def test_for_ever_lasts_until_it_is_mended(tmp_path: Path) -> None:
    """A fault that ends when the test says so."""
    disk = FaultyDisk((Fault("sync", 2, errno.EIO, times=10**6),))
    fd = disk.create(tmp_path / "a")
    disk.sync(fd)
    for _ in range(3):
        with pytest.raises(OSError):
            disk.sync(fd)
    disk.mended = True
    disk.sync(fd)
    disk.cut(fd, 0)
    disk.close(fd)
    assert disk.done == {"create": 1, "sync": 5, "cut": 1, "close": 1}


@pytest.mark.parametrize("half", [False, True])
def test_after_a_kill_nothing_is_done_any_more(tmp_path: Path, half: bool) -> None:
    """The second call of any kind; what was open is closed, as the system does."""
    disk = FaultyDisk(kill_at=2, half_write=half)
    fd = disk.create(tmp_path / "a")
    with pytest.raises(Killed):
        disk.write(fd, b"abcd")
    with pytest.raises(Killed):
        disk.remove(tmp_path / "a")
    disk.bury()
    with pytest.raises(OSError):
        os.fstat(fd)
    assert (tmp_path / "a").read_bytes() == (b"ab" if half else b"")
