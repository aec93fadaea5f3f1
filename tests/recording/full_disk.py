"""A disk of which some folders are full or read-only, until they no longer are."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from fakes import QuietDisk


class Full(QuietDisk):
    """A disk, of which some folders are full or mounted read-only."""

    def __init__(self, code: int, *folders: Path) -> None:
        super().__init__()
        self.code, self.folders = code, set(folders)
        self._names: dict[int, Path] = {}

    def create(self, path: Path) -> int:
        """Create; a full disk has room for an empty file, a read-only one has not."""
        if path.parent in self.folders and self.code == errno.EROFS:
            raise OSError(self.code, os.strerror(self.code))
        fd = super().create(path)
        self._names[fd] = path
        return fd

    def write(self, fd: int, line: bytes) -> int:
        """Write unless the folder is full."""
        if self._names[fd].parent in self.folders:
            raise OSError(self.code, os.strerror(self.code))
        return super().write(fd, line)
