"""A text file written in one step: whoever reads it finds the old text or the new one, whole."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, text: str) -> None:
    """Make the file hold `text`, a missing folder made; a cut in between leaves the old one.

    Raises OSError; then nothing has changed. A link stays a link, what may be done with the
    file stays as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    real = Path(os.path.realpath(path))
    descriptor, name = tempfile.mkstemp(
        dir=real.parent, prefix=f".{real.stem}-", suffix=real.suffix
    )
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        # A new one is made like any other file, not readable by its owner alone.
        os.chmod(name, real.stat().st_mode & 0o777 if real.exists() else 0o666 & ~_umask())
        os.replace(name, real)
    except OSError:
        with suppress(OSError):
            os.unlink(name)
        raise


def _umask() -> int:
    """Return the process's mask, which can only be read by setting it."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
