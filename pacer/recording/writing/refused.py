"""Why a recording can't be begun or taken up again, in one line, and what to do instead."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from pacer.errors import RecordingError
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import InUse
from pacer.session.events import Resumed
from pacer.text import clean

_A_LINK = "is a link to another file, and a recording is never written through one"


def cause(error: OSError | InUse) -> str:
    """Return the system's words, cleaned."""
    return clean(getattr(error, "strerror", None) or str(error))


def not_created(path: Path, error: OSError | InUse, elsewhere: Sequence[Path]) -> RecordingError:
    """Return what to say where there can be no new recording."""
    name = clean(str(path))
    if os.path.islink(path):
        return RecordingError(f"{name}: {_A_LINK}; give --out, the file itself")
    if isinstance(error, FileExistsError):
        return RecordingError(
            f"{name}: exists already; give another --out, or --resume to go on with it"
        )
    return RecordingError(f"{name}: cannot be created: {cause(error)}; {instead(path, elsewhere)}")


def instead(path: Path, elsewhere: Sequence[Path]) -> str:
    """Return in words where a recording that can't be created at `path` could go."""
    for folder in elsewhere:
        # Making sure would mean making a file there: it is a hint.
        usable = os.path.isdir(folder) and os.access(folder, os.W_OK | os.X_OK)
        if usable and folder != path.parent:
            return f"give --out, such as {clean(str(folder / path.name))}"
    return "give --out, a file in a folder that can be written"


def not_reopened(recording: Recording, error: OSError) -> RecordingError:
    """Return what to say where a recording can't be written on."""
    name = clean(str(recording.path))
    if os.path.islink(recording.path):
        itself = clean(os.path.realpath(recording.path))
        return RecordingError(f"{name}: {_A_LINK}; give the file itself, {itself}")
    return RecordingError(
        f"{name}: cannot be written: {cause(error)}; "
        "copy it to a folder that can, and go on with the copy"
    )


def in_use(recording: Recording, pid: int | None) -> RecordingError:
    """Return who writes the recording, and since when by its own last word."""
    since = recording.head.wall
    for event in recording.events():
        if isinstance(event, Resumed) and event.wall:
            since = event.wall
    known = [f"process {pid}"] if pid else []
    try:
        local = datetime.fromisoformat(since).astimezone()
    except (ValueError, OverflowError):
        pass
    else:
        today = local.date() == datetime.now().astimezone().date()
        known.append(f"since {local:%H:%M}" if today else f"since {local:%Y-%m-%d %H:%M}")
    who = f" ({', '.join(known)})" if known else ""
    return RecordingError(
        f"{clean(str(recording.path))}: in use by pacer{who}; look at it with pacer replay"
    )
