"""The few calls a log makes of the operating system, in one place that tests can fail."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path
from typing import Protocol

try:
    import fcntl
except ImportError:  # Windows, where nothing here has been tried.
    fcntl = None  # type: ignore[assignment]

_NO_LOCKS = frozenset({errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOSYS})
"""What `flock` says on a file system that keeps no locks, such as some network drives."""


class InUse(Exception):
    """Another program holds the file's lock."""

    def __init__(self, pid: int | None) -> None:
        super().__init__("in use")
        self.pid = pid
        "Its process, where the system tells."


class Disk(Protocol):
    """Open, write, sync, cut, look, put in place."""

    unlocked: bool
    """True once a file was opened where no lock can be had. It is written all the same: a
    drive without locks is a place to record on, and the welder is told (`cli/running.py`)."""

    def create(self, path: Path) -> int:
        """Return a descriptor of a new file, locked, its folder synced; raises OSError."""

    def reopen(self, path: Path) -> int:
        """Return a descriptor of an existing file, locked; raises OSError or `InUse`."""

    def write(self, fd: int, line: bytes) -> int:
        """Append with one call; returns how many bytes went in; raises OSError."""

    def sync(self, fd: int) -> None:
        """Force what was written to the disk; raises OSError."""

    def cut(self, fd: int, size: int) -> None:
        """Shorten the file; raises OSError."""

    def close(self, fd: int) -> None:
        """Give the descriptor back."""

    def there(self, fd: int, path: Path) -> bool:
        """Return whether `path` still is the open file; True where that can't be seen."""

    def size(self, fd: int) -> int:
        """Return the open file's size in bytes; raises OSError."""

    def make(self, folder: Path) -> None:
        """Make a folder that may be there already; raises OSError."""

    def remove(self, path: Path) -> None:
        """Take away a file of our own; raises OSError."""

    def place(self, part: Path, path: Path) -> None:
        """Give a finished file its name, which must be free, and sync the folder; raises OSError."""


class RealDisk:
    """The operating system."""

    _FLAGS = (
        os.O_RDWR
        | os.O_APPEND
        | getattr(os, "O_NOFOLLOW", 0)
        | getattr(os, "O_CLOEXEC", 0)
        | getattr(os, "O_BINARY", 0)
    )

    def __init__(self) -> None:
        self.unlocked = False

    def create(self, path: Path) -> int:
        """Create a file that must not exist, and sync its folder."""
        fd = os.open(path, self._FLAGS | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            self._lock(fd)
            _sync_folder(path.parent)
        except BaseException:
            os.close(fd)
            with suppress(OSError):
                path.unlink()
            raise
        return fd

    def reopen(self, path: Path) -> int:
        """Open a file that exists."""
        fd = os.open(path, self._FLAGS)
        try:
            self._lock(fd)
        except BaseException:
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

    def there(self, fd: int, path: Path) -> bool:
        """Compare device and inode: a file taken away can be written for ever, unseen."""
        try:
            return os.path.samestat(os.fstat(fd), os.lstat(path))
        except (FileNotFoundError, NotADirectoryError):
            return False
        except OSError:
            # A folder closed to us says nothing about the file, which we still hold.
            return True

    def size(self, fd: int) -> int:
        """As the system has it."""
        return os.fstat(fd).st_size

    def make(self, folder: Path) -> None:
        """Make what is missing of a path, each folder synced into the one above."""
        for each in (*reversed(folder.parents), folder):
            if not each.is_dir():
                each.mkdir(exist_ok=True)
                _sync_folder(each.parent)

    def remove(self, path: Path) -> None:
        """Unlink."""
        path.unlink()

    def place(self, part: Path, path: Path) -> None:
        """Link, which never writes over anything; where there are no links, look and rename."""
        try:
            os.link(part, path)
        except FileExistsError:
            raise
        except OSError as error:
            if error.errno not in {errno.EPERM, errno.EOPNOTSUPP, errno.EMLINK, errno.ENOSYS}:
                raise
            if os.path.lexists(path):
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
            part.rename(path)
        else:
            part.unlink()
        _sync_folder(path.parent)

    def _lock(self, fd: int) -> None:
        if fcntl is None:
            self.unlocked = True
            return
        try:
            fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise InUse(writer_of(os.fstat(fd))) from None
        except OSError as error:
            if error.errno not in _NO_LOCKS:
                raise
            self.unlocked = True


def writer_of(file: os.stat_result) -> int | None:
    """Return the process that holds the lock of a file, from Linux's list of locks.

    To ask by locking would for that moment refuse a pacer that wants to go on with it.

    Its lines read `1: FLOCK  ADVISORY  WRITE 7038 fe:00:2205492 0 EOF`, device in hex and
    inode in decimal (proc_locks(5)). None where there is no such list or it isn't in it.
    """
    name = f"{os.major(file.st_dev):02x}:{os.minor(file.st_dev):02x}:{file.st_ino}"
    try:
        lines = Path("/proc/locks").read_text(encoding="ascii").splitlines()
    except (OSError, ValueError):
        return None
    for line in lines:
        # A waiting one has an arrow after its number.
        cells = line.replace("->", "").split()
        if cells[1:2] == ["FLOCK"] and cells[5:6] == [name] and cells[4].isdecimal():
            return int(cells[4]) or None
    return None


def _sync_folder(folder: Path) -> None:
    if not hasattr(os, "O_DIRECTORY"):
        return
    fd = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)
