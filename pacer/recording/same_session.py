"""Files of one session: after a move an older one holds only a part (`recording/writing/copied.py`)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path

from pacer.errors import RecordingError
from pacer.recording.reader import Recording


def size_of(path: Path) -> int:
    """Return the file's size in bytes, 0 where it can't be seen."""
    try:
        return path.stat().st_size
    except OSError:
        return 0


def longest(path: Path, sid: str, folders: Sequence[Path]) -> Path:
    """Return the longest file of the session of `path`, whose id is `sid`; `path` if none is longer.

    Looked for beside it and in `folders`, by the names that a move gives. A moved one begins
    with all that the one before it holds, so it is longer.
    """
    best, most = path, size_of(path)
    for other in _named_alike(path, (path.parent, *folders)):
        size = size_of(other)
        if size > most and _is_of(other, sid):
            best, most = other, size
    return best


def _named_alike(path: Path, folders: Iterable[Path]) -> list[Path]:
    # The name may end in a number of its own; then a few more heads are read.
    began = re.sub(r"(-\d+)+$", "", path.stem)
    name = re.compile(rf"{re.escape(began)}(-\d+)*{re.escape(path.suffix)}")
    found: list[Path] = []
    for folder in dict.fromkeys(folder.absolute() for folder in folders):
        try:
            found += sorted(each for each in folder.iterdir() if name.fullmatch(each.name))
        except OSError:
            continue
    return found


def _is_of(path: Path, sid: str) -> bool:
    try:
        return Recording(path).head.sid == sid
    except RecordingError:
        return False
