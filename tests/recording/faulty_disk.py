"""A disk whose n-th call fails, once or for ever, over real files; tests the log's repairs."""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from pacer.recording.disk import RealDisk

Call = Literal["create", "reopen", "write", "sync", "cut", "close"]

SHORT = -1
"Instead of an error number: the write stops half-way and says so."


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
    _disk: RealDisk = field(default_factory=RealDisk)

    def _due(self, call: Call) -> Fault | None:
        self.done[call] += 1
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
        return self._disk.create(path)

    def reopen(self, path: Path) -> int:
        """Open, or fail."""
        self._fail("reopen")
        return self._disk.reopen(path)

    def write(self, fd: int, line: bytes) -> int:
        """Write all, or half and say so, or half or nothing and raise."""
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
        self._fail("close")
