"""A whole session from memory in a new file: the way out when its own can't be trusted."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from pacer.recording.writing.disk import Disk, InUse
from pacer.recording.writing.kept import Kept


class Copied(NamedTuple):
    """A file that holds every record so far."""

    path: Path
    fd: int
    size: int
    fault: OSError | None
    "Not None: it could not be synced, and is on the disk perhaps or in part."


def copied(disk: Disk, kept: Kept, folder: Path, began: Path) -> Copied | None:
    """Write all of `kept` to a new file in `folder`, named after `began` with a number.

    None, and no file, where that can't be done. The descriptor stays open.
    """
    with suppress(OSError):
        path, fd = _new_file(disk, folder, began)
        try:
            size = 0
            for chunk in kept.chunks():
                if disk.write(fd, chunk) != len(chunk):
                    raise OSError(errno.ENOSPC, "disk full (short write)")
                size += len(chunk)
        except OSError:
            given_up(disk, path, fd)
            return None
        try:
            disk.sync(fd)
        except OSError as error:
            return Copied(path, fd, size, error)
        return Copied(path, fd, size, None)
    return None


def given_up(disk: Disk, path: Path, fd: int) -> None:
    """Close and take away a copy that is no better than what there is."""
    with suppress(OSError):
        disk.close(fd)
    with suppress(OSError):
        disk.remove(path)


def _new_file(disk: Disk, folder: Path, began: Path) -> tuple[Path, int]:
    for number in range(2, 1000):
        path = folder / f"{began.stem}-{number}{began.suffix}"
        with suppress(FileExistsError, InUse):
            return path, disk.create(path)
    raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
