"""The few calls a log makes of the operating system, in one place that tests can fail."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Protocol

from pacer.errors import RecordingError
from pacer.text import clean

try:
    import fcntl
except ImportError:  # Windows: the lock is left to the file's share mode there.
    fcntl = None  # type: ignore[assignment]


class Disk(Protocol):
    """Open, write, sync, cut."""

    def create(self, path: Path) -> int:
        """Return a descriptor of a new file, locked; raises OSError."""

    def reopen(self, path: Path) -> int:
        """Return a descriptor of an existing file, locked; raises OSError."""

    def write(self, fd: int, line: bytes) -> int:
        """Append with one call; returns how many bytes went in; raises OSError."""

    def sync(self, fd: int) -> None:
        """Force what was written to the disk; raises OSError."""

    def cut(self, fd: int, size: int) -> None:
        """Shorten the file; raises OSError."""

    def close(self, fd: int) -> None:
        """Give the descriptor back."""


class RealDisk:
    """The operating system."""

    _FLAGS = (
        os.O_RDWR
        | os.O_APPEND
        | getattr(os, "O_NOFOLLOW", 0)
        | getattr(os, "O_CLOEXEC", 0)
        | getattr(os, "O_BINARY", 0)
    )

    def create(self, path: Path) -> int:
        """Create a file that must not exist, and sync its folder."""
        fd = os.open(path, self._FLAGS | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            _lock(fd, path)
            _sync_folder(path.parent)
        except (OSError, RecordingError):
            os.close(fd)
            path.unlink()
            raise
        return fd

    def reopen(self, path: Path) -> int:
        """Open a file that exists."""
        fd = os.open(path, self._FLAGS)
        try:
            _lock(fd, path)
        except (OSError, RecordingError):
            os.close(fd)
            raise
        return fd

    def write(self, fd: int, line: bytes) -> int:
        """One write."""
        return os.write(fd, line)

    def sync(self, fd: int) -> None:
        """fdatasync where there is one."""
        getattr(os, "fdatasync", os.fsync)(fd)

    def cut(self, fd: int, size: int) -> None:
        """Shorten the file."""
        os.ftruncate(fd, size)

    def close(self, fd: int) -> None:
        """Close it; the lock goes with it."""
        os.close(fd)


def _lock(fd: int, path: Path) -> None:
    if fcntl is None:
        return
    try:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise RecordingError(
            f"{clean(str(path))}: another pacer is writing it; close that one first"
        ) from None


def _sync_folder(folder: Path) -> None:
    if not hasattr(os, "O_DIRECTORY"):
        return
    fd = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)
