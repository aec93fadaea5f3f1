"""A job file's bytes to a table and the line each key stands on; and how it is written.

tomllib keeps no line numbers, so the text is scanned for `[table]` and `key =`.
The scan only serves messages: a key it can't place is reported without a line.
"""

from __future__ import annotations

import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from pacer.errors import UserInputError
from pacer.text import clean

MAX_BYTES = 1_000_000
_TABLE = re.compile(r'\s*\[\s*"?([^]"\s]+)"?\s*\]')
_KEY = re.compile(r'\s*"?([\w.-]+)"?\s*=')
_BARE_VALUE = re.compile(r"""\s*([\w-]+)\s*=\s*([^"'\[\s][^"'#]*)""")
# Python's own limit is 4300 digits; blanks within a number are underscores.
_LONG_NUMBER = re.compile(r"[0-9_]{4301,}")
_LINE_END = re.compile(r"\r?\n")
_AT_LINE = re.compile(r"\s*\(at line (\d+), column \d+\)")


def read_text(path: str | Path) -> str:
    """Return the text of a job file.

    Raises UserInputError, one line, for what is missing, no regular file, unreadable,
    over 1 MB or not UTF-8.
    """
    name = clean(str(path))
    try:
        # Opened without waiting and looked at afterwards: a pipe or a device never blocks.
        fd = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(fd, "rb") as file:
            mode = os.fstat(fd).st_mode
            if not stat.S_ISREG(mode):
                raise UserInputError(f"{name}: not a file; expected a job file such as my-job.toml")
            raw = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise UserInputError(f"{name}: no such file; pacer new makes one") from None
    except IsADirectoryError:
        raise UserInputError(f"{name}: a folder; expected a job file such as my-job.toml") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise UserInputError(f"{name}: can't be read: {clean(reason)}") from None
    if len(raw) > MAX_BYTES:
        raise UserInputError(
            f"{name}: over {MAX_BYTES // 1000} kB; expected a job file of a few kB"
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise UserInputError(f"{name}:{line}: not UTF-8 text; save it as UTF-8") from None


def ended(text: str) -> str:
    """Return the text with its last line ended; an empty one stays empty."""
    return text if not text or text.endswith("\n") else text + "\n"


def with_line_ends_of(text: str, made: str) -> str:
    r"""Return what was made of a text with that text's line ends; where it mixes them, as it is.

    >>> with_line_ends_of("a = 1\r\n", "a = 1\r\nb = 2\n")
    'a = 1\r\nb = 2\r\n'
    """
    mixed = "\n" in text.replace("\r\n", "")
    return made if mixed or "\r\n" not in text else _LINE_END.sub("\r\n", made)


def parse_table(text: str, name: str) -> dict[str, Any]:
    """Return the TOML table, or raise UserInputError with the line where it breaks."""
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise UserInputError(f"{name}: nested too deeply; expected [table] and key lines") from None
    except ValueError as error:
        if "set_int_max_str_digits" in str(error):
            raise UserInputError(
                f"{name}{_long_number(text)}: not TOML: a number of far too many digits"
            ) from None
        message = clean(str(error), 200)
        found = _AT_LINE.search(message)
        where = f":{found[1]}" if found else ""
        message = _AT_LINE.sub("", message)
        hint = _unquoted(text, int(found[1])) if found else ""
        raise UserInputError(f"{name}{where}: not TOML: {message}{hint}") from None


def _long_number(text: str) -> str:
    """Return the place of the first number that the reader refuses for its length."""
    found = _LONG_NUMBER.search(text)
    return "" if found is None else f":{text.count(chr(10), 0, found.start()) + 1}"


def _unquoted(text: str, line: int) -> str:
    """Spell the commonest slip right: a quantity without its quotes."""
    lines = text.splitlines()
    bare = _BARE_VALUE.match(lines[line - 1]) if 0 < line <= len(lines) else None
    if bare is None:
        return ""
    return f'; write {clean(bare[1], 40)} = "{clean(bare[2], 60)}"'


def lines_of(text: str) -> dict[str, int]:
    """Return the line of each `table` and `table.key`, counted from 1.

    >>> lines_of('[band]\\nfloor = "200 degC"\\n')
    {'band': 1, 'band.floor': 2}
    """
    found: dict[str, int] = {}
    table = ""
    for number, line in enumerate(text.split("\n"), start=1):
        if heading := _TABLE.match(line):
            table = heading[1]
            found.setdefault(table, number)
        elif key := _KEY.match(line):
            found.setdefault(f"{table}.{key[1]}" if table else key[1], number)
    return found
