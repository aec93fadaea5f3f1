"""Copy a damaged recording's sound records, byte for byte, into a new file."""

from __future__ import annotations

from pathlib import Path

from pacer.errors import RecordingError
from pacer.recording.codec import MAX_LINE
from pacer.recording.reader import Recording, open_regular
from pacer.text import clean


def mend(damaged: Path, out: Path) -> list[str]:
    """Write the sound records of `damaged` to `out`; return what was left out, as lines.

    The damaged file is only read. Raises `RecordingError` if it has no sound head or `out`
    exists or can't be written.
    """
    recording = Recording(damaged)
    try:
        with open_regular(damaged) as source, out.open("xb") as target:
            target.write(source.readline(MAX_LINE + 1))
            for record in recording.records():
                target.write(record.line)
    except FileExistsError:
        raise RecordingError(f"{clean(str(out))}: exists already") from None
    except OSError as error:
        raise RecordingError(f"{clean(str(out))}: {clean(error.strerror or str(error))}") from None
    return recording.damage.told(recording.name)
