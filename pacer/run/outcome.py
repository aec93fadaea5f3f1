"""Write down what became of a repair, at any later date, after whatever a recording holds.

An outcome says when it was written; session time does not go on for it. So nothing that is
folded, forecast or taken up again later is moved by it: the time until then nobody watched.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import msgspec

from pacer.errors import RecordingError
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import Disk
from pacer.recording.writing.writer import Log
from pacer.run.refold import states
from pacer.session.events import Outcome
from pacer.text import clean


def beads_in(recording: Recording) -> int:
    """Return the number of the last bead in a recording; folds it."""
    last = 0
    for _, state, _ in states(recording.head, recording.events()):
        if state.work.bead is not None:
            last = max(last, state.work.bead.number)
    return last


class Written(NamedTuple):
    """What stands in the file now, and in which."""

    outcome: Outcome
    path: Path
    "Another one where the recording itself could not be written."


def append_outcome(recording: Recording, outcome: Outcome, *, disk: Disk | None = None) -> Written:
    """Append `outcome` at the session time of the last record, and seal it.

    Raises `RecordingError` where the file can't be written, another program writes it, or
    the outcome could not be brought on to any disk.
    """
    log = Log(recording.path, recording.head, resume=recording, disk=disk)
    try:
        # Read under the lock: nobody adds to it any more.
        last_ms = max((e.t_ms for e in recording.events()), default=recording.head.t_ms)
        written = log.append(msgspec.structs.replace(outcome, t_ms=last_ms), 0.0)
        # The seal's own wall time would be taken for that of the session.
        log.mark(last_ms, None, 0.0)
    finally:
        log.close()
    if log.trouble:
        name = clean(str(recording.path))
        raise RecordingError(f"{name}: {clean(log.trouble)}; the outcome is not written down")
    assert isinstance(written, Outcome)
    return Written(written, log.path)
