"""Every file below a folder that could be a recording; links to folders are not followed."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from pacer.errors import UserInputError
from pacer.text import clean

SUFFIX = ".jsonl"


class Seen(NamedTuple):
    """A file as it stood when it was seen."""

    path: str
    size: int
    mtime_ns: int


def files(folder: Path, unreadable: list[str]) -> Iterator[Seen]:
    """Yield each regular file called `*.jsonl`, folder by folder, in the order of names.

    What can't be read is told in `unreadable`, a finished line each. Raises `UserInputError`
    where the folder itself is none.
    """
    # Unlike those of `Path` these never raise, whatever the name.
    if not os.path.isdir(folder):
        what = "not a folder" if os.path.exists(folder) else "no such folder"
        raise UserInputError(f"{clean(str(folder))}: {what}")

    def told(error: OSError) -> None:
        unreadable.append(_line(str(error.filename), error))

    for at, folders, names in os.walk(os.path.abspath(folder), onerror=told):
        folders.sort()
        for name in sorted(names):
            if not name.endswith(SUFFIX):
                continue
            path = os.path.join(at, name)
            try:
                status = os.stat(path)
            except OSError as error:
                unreadable.append(_line(path, error))
                continue
            if stat.S_ISREG(status.st_mode):
                yield Seen(path, status.st_size, status.st_mtime_ns)


def _line(path: str, error: OSError) -> str:
    return f"{clean(path)}: cannot be read: {clean(str(error.strerror))}"
