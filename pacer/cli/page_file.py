"""`--html FILE`: a page written whole, over an older page of ours but over nothing else."""

from __future__ import annotations

import io
import sys
from pathlib import Path

from pacer.cli.whole_file import write_told
from pacer.errors import UserInputError
from pacer.text import clean

_HEAD_BYTES = 500
"So much of a page is looked at for its mark."


def put_page(name: str, text: str, mark: str, what: str) -> None:
    """Write a page; `-` is standard output. `mark` stands near its top, `what` says what it is of.

    Raises UserInputError, one line.
    """
    if name == "-":
        if isinstance(sys.stdout, io.TextIOWrapper):
            # The page says that it is UTF-8, whatever the terminal speaks.
            sys.stdout.reconfigure(encoding="utf-8")
        print(text, end="")
        return
    path = fit_for_page(name, mark, what)
    try:
        write_told(path, text)
    except UserInputError as error:
        raise UserInputError(f"--html: {error}") from None
    print(f"{clean(name)}: the {what}, to print")


def fit_for_page(name: str, mark: str, what: str) -> Path:
    """Return the file of a name that a page may be written to; raises UserInputError, one line."""
    if not name:
        raise UserInputError('--html "": expected a file to write, or - for standard output')
    path = Path(name)
    try:
        if path.is_dir():
            raise UserInputError(
                f'--html: {clean(name)}: a folder; write "{clean(name)}/{what}.html"'
            )
        if path.exists() and not _ours(path, mark):
            raise UserInputError(
                f"--html: {clean(name)}: exists and is no page of a {what}; write another name"
            )
    except (OSError, ValueError) as error:
        why = clean(getattr(error, "strerror", None) or str(error))
        raise UserInputError(f"--html: {clean(name)}: {why}") from None
    return path


def _ours(path: Path, mark: str) -> bool:
    """Return whether there is an older page of ours."""
    if not path.is_file():
        return False
    with path.open("rb") as old:
        return mark.encode() in old.read(_HEAD_BYTES)
