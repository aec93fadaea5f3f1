"""Write down what became of a repair, at any later date, after whatever a recording holds.

An outcome or a look says when it was written; session time does not go on for it. So nothing that is
folded, forecast or taken up again later is moved by it: the time until then nobody watched.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Generic, NamedTuple, TypeVar, cast

import msgspec

from pacer.errors import RecordingError, UserInputError
from pacer.recording.limits import wrong_in
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import Disk, InUse, RealDisk
from pacer.recording.writing.refused import in_use, not_reopened
from pacer.recording.writing.writer import Log
from pacer.run.refold import states
from pacer.session.events import Afterwards, Outcome
from pacer.text import clean


def beads_in(recording: Recording) -> int:
    """Return the number of the last bead in a recording; folds it."""
    last = 0
    for _, state, _ in states(recording.head, recording.events()):
        if state.work.bead is not None:
            last = max(last, state.work.bead.number)
    return last


def check_writable(recording: Recording, disk: Disk | None = None) -> None:
    """Raise `RecordingError` where nothing could be added now: before anybody is asked for it.

    For the moment of asking it holds the lock, and gives it back.
    """
    disk = disk or RealDisk()
    try:
        disk.close(disk.reopen(recording.path))
    except InUse as error:
        raise in_use(recording, error.pid) from None
    except OSError as error:
        raise not_reopened(recording, error) from None


Record = TypeVar("Record", bound=Afterwards)


class Written(NamedTuple, Generic[Record]):
    """What stands in the file now, and in which."""

    records: tuple[Record, ...]
    path: Path
    "Another one where the recording itself could not be written."


def append_afterwards(
    recording: Recording, records: Sequence[Record], *, disk: Disk | None = None
) -> Written[Record]:
    """Append `records` at the session time of the last one there is, and seal them.

    Raises `RecordingError` where the file can't be written, another program writes it, or
    they could not be brought on to any disk, and `UserInputError` for a number that no reader
    would take.
    """
    for wrong in filter(None, map(wrong_in, records)):
        raise UserInputError(f"{wrong}; nothing is written down")
    log = Log(recording.path, recording.head, resume=recording, disk=disk)
    try:
        # Read under the lock: nobody adds to it any more.
        last_ms = max((e.t_ms for e in recording.events()), default=recording.head.t_ms)
        stamped = [msgspec.structs.replace(each, t_ms=last_ms) for each in records]
        written = cast("list[Record]", log.append_all(stamped, 0.0))
        # The seal's own wall time would be taken for that of the session.
        log.mark(last_ms, None, 0.0)
    finally:
        log.close()
    if log.trouble:
        name, they = clean(str(recording.path)), _called(records)
        raise RecordingError(f"{name}: {clean(log.trouble)}; {they} not written down")
    return Written(tuple(written), log.path)


def _called(records: Sequence[Afterwards]) -> str:
    if len(records) > 1:
        return f"the {len(records)} records are"
    return "the outcome is" if isinstance(records[0], Outcome) else "the look is"
