"""A text file written in one step: whoever reads it finds the old text or the new one, whole."""

from __future__ import annotations

import errno
import os
import stat
import tempfile
from contextlib import suppress
from pathlib import Path

from pacer.errors import UserInputError
from pacer.text import clean

_BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def write_whole(path: Path, text: str) -> None:
    """Make the file hold `text`, its line ends as they are; a cut in between leaves the old one.

    Raises OSError as a plain write would, also for a write-protected file, and ValueError for
    a name or a text that no file can have; then nothing has changed. A link stays a link,
    what may be done with the file and its byte order mark stay as they were.
    """
    real = Path(os.path.realpath(path))
    mode, mark = _before(real)
    descriptor, name = tempfile.mkstemp(
        dir=real.parent, prefix=f".{real.stem}-", suffix=real.suffix
    )
    try:
        # As bytes: in text mode one system writes every end of a line its own way.
        with os.fdopen(descriptor, "wb") as file:
            file.write(mark + text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode)
        os.replace(name, real)
    except BaseException:
        with suppress(OSError):
            os.unlink(name)
        raise


def write_told(path: Path, text: str) -> None:
    """`write_whole` into a folder that is there; raises UserInputError, one line."""
    name = clean(str(path))
    try:
        if not path.absolute().parent.is_dir():
            raise UserInputError(f"{name}: no such folder; make it first")
        write_whole(path, text)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise UserInputError(f"{name}: can't be written: {clean(why)}") from None


def _before(real: Path) -> tuple[int, bytes]:
    """Return the mode that the file will have, and the byte order mark it begins with."""
    try:
        found = real.stat()
    except FileNotFoundError:
        # A new one is made like any other file, not readable by its owner alone.
        return 0o666 & ~_umask(), b""
    if not stat.S_ISREG(found.st_mode):
        raise OSError(errno.EINVAL, "not an ordinary file")
    # A file put in the place of another asks nobody; whoever protected that one is heard.
    with real.open("r+b") as old:
        begins = old.read(len(_BYTE_ORDER_MARK))
    mark = _BYTE_ORDER_MARK if begins == _BYTE_ORDER_MARK else b""
    return stat.S_IMODE(found.st_mode), mark


def _umask() -> int:
    """Return the process's mask, which can only be read by setting it."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
