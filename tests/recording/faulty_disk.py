"""A disk whose n-th call fails, once or for ever, over real files; tests the log's repairs.

What is forced to the disk is not the subject here (`test_power_cut.py`): nothing is.
"""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from fakes import QuietDisk

from pacer.recording.writing.disk import RealDisk

Call = Literal[
    "create", "reopen", "write", "sync", "cut", "close", "there", "size", "make", "remove", "place"
]

SHORT = -1
"Instead of an error number: the write stops half-way and says so."


class Killed(BaseException):
    """The process is gone: nothing of it runs any more, no repair and no clearing away."""


@dataclass(frozen=True)
class Fault:
    """Calls `nth` to `nth + times - 1` of one kind fail; both count from 1."""

    call: Call
    nth: int
    code: int
    times: int = 1
    half: bool = False
    "A failing write leaves half its bytes behind before it raises."


@dataclass
class FaultyDisk:
    """Counts every call; fails those that its faults name, until `mended`."""

    faults: tuple[Fault, ...] = ()
    done: Counter[Call] = field(default_factory=Counter)
    mended: bool = False
    kill_at: int = 0
    "At this call of any kind, from 1, and ever after it is as if the process had been killed."
    half_write: bool = False
    "Killed in a write: half of it is in the file."
    unlocked: bool = False
    calls: int = 0
    open_fds: set[int] = field(default_factory=set)
    _disk: RealDisk = field(default_factory=QuietDisk)

    @property
    def killed(self) -> bool:
        """True from the kill on."""
        return 0 < self.kill_at <= self.calls

    def _due(self, call: Call) -> Fault | None:
        self.done[call] += 1
        self.calls += 1
        if self.killed:
            raise Killed
        if self.mended:
            return None
        for fault in self.faults:
            if fault.call == call and 0 <= self.done[call] - fault.nth < fault.times:
                return fault
        return None

    def _fail(self, call: Call) -> None:
        if fault := self._due(call):
            raise OSError(fault.code, os.strerror(fault.code))

    def create(self, path: Path) -> int:
        """Create, or fail before anything is there."""
        self._fail("create")
        return self._opened(self._disk.create(path))

    def reopen(self, path: Path) -> int:
        """Open, or fail."""
        self._fail("reopen")
        return self._opened(self._disk.reopen(path))

    def _opened(self, fd: int) -> int:
        self.open_fds.add(fd)
        return fd

    def bury(self) -> None:
        """Close what a killed process had open, as the system does; the locks go with it."""
        for fd in self.open_fds:
            os.close(fd)
        self.open_fds.clear()

    def write(self, fd: int, line: bytes) -> int:
        """Write all, or half and say so, or half or nothing and raise."""
        if self.half_write and self.calls + 1 == self.kill_at:
            self._disk.write(fd, line[: len(line) // 2])
        fault = self._due("write")
        if fault is None:
            return self._disk.write(fd, line)
        if fault.code == SHORT:
            return self._disk.write(fd, line[: len(line) // 2])
        if fault.half:
            self._disk.write(fd, line[: len(line) // 2])
        raise OSError(fault.code, os.strerror(fault.code))

    def sync(self, fd: int) -> None:
        """Sync, or fail."""
        self._fail("sync")
        self._disk.sync(fd)

    def cut(self, fd: int, size: int) -> None:
        """Cut, or fail and leave the file as it is."""
        self._fail("cut")
        self._disk.cut(fd, size)

    def close(self, fd: int) -> None:
        """Close, and then fail: the descriptor is gone either way, as on Linux."""
        self._disk.close(fd)
        self.open_fds.discard(fd)
        self._fail("close")

    def there(self, fd: int, path: Path) -> bool:
        """Look, or say that it is gone."""
        return self._due("there") is None and self._disk.there(fd, path)

    def size(self, fd: int) -> int:
        """Tell, or fail."""
        self._fail("size")
        return self._disk.size(fd)

    def make(self, folder: Path) -> None:
        """Make a folder, or fail."""
        self._fail("make")
        self._disk.make(folder)

    def remove(self, path: Path) -> None:
        """Remove, or fail."""
        self._fail("remove")
        self._disk.remove(path)

    def place(self, part: Path, path: Path) -> None:
        """Put in place, or fail before that."""
        self._fail("place")
        self._disk.place(part, path)
