"""The index: what each file came to when it was last folded, so that it need not be again.

It may be thrown away at any time and is made anew. A row counts only while file, size, time of
change and rules are the same, and while its checksum holds; whatever is wrong with the index
itself, the history goes on without it.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import zlib
from collections.abc import Iterable
from pathlib import Path

import msgspec

from pacer.run.history.folding import Folded
from pacer.run.history.walk import Seen
from pacer.text import clean

NAME = "history-index.sqlite"

SCHEMA = 1
"Raised when the table changes; an index of another schema is emptied."

WAITS_S = 2.0
"For another pacer that writes the index."

AT_ONCE = 16
"So many rows at most are lost when the program is killed."

_TABLE = """
CREATE TABLE IF NOT EXISTS files (
    path BLOB PRIMARY KEY, size INTEGER, mtime_ns INTEGER, rules TEXT, body BLOB, crc INTEGER
) WITHOUT ROWID
"""

_DECODER = msgspec.json.Decoder(Folded)

_IN_ITS_WAY = frozenset(
    {
        *(sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_READONLY),
        *(sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_PERM),
    }
)
"Somebody else has it, or the disk is at fault: throwing it away would mend nothing."


class Index:
    """Summaries of files seen before; every method works without the file too."""

    def __init__(self, path: Path, rules: str) -> None:
        self._path = path
        self._rules = rules
        self._db: sqlite3.Connection | None = None
        self._waiting: list[tuple[object, ...]] = []
        self.trouble = ""
        "Not empty: why it is done without, or not kept."

    def known(self, folder: Path) -> dict[str, tuple[Seen, bytes]]:
        """Return what it holds of files below a folder, not yet decoded (`decoded`)."""
        for again in (False, True):
            try:
                return self._known(folder)
            except (sqlite3.Error, OSError) as error:
                if again or not self._thrown_away(error):
                    self._without(error)
                    break
        return {}

    def _known(self, folder: Path) -> dict[str, tuple[Seen, bytes]]:
        db = self._open()
        below = os.fsencode(os.path.join(os.path.abspath(folder), ""))
        rows = db.execute(
            "SELECT path, size, mtime_ns, body, crc FROM files "
            "WHERE path >= ? AND path < ? AND rules = ?",
            (below, below[:-1] + bytes([below[-1] + 1]), self._rules),
        )
        found = {}
        for path, size, mtime_ns, body, crc in rows:
            if isinstance(path, bytes) and isinstance(body, bytes) and zlib.crc32(body) == crc:
                name = os.fsdecode(path)
                found[name] = (Seen(name, size, mtime_ns), body)
        return found

    def _open(self) -> sqlite3.Connection:
        self._path.parent.mkdir(parents=True, exist_ok=True)
        db = self._db = sqlite3.connect(self._path, timeout=WAITS_S)
        # What a power cut costs is folded again.
        db.execute("PRAGMA synchronous = OFF")
        (schema,) = db.execute("PRAGMA user_version").fetchone()
        if schema != SCHEMA:
            with db:
                db.execute("BEGIN IMMEDIATE")
                db.execute("DROP TABLE IF EXISTS files")
                db.execute(_TABLE)
                db.execute(f"PRAGMA user_version = {SCHEMA}")
        return db

    def _thrown_away(self, error: sqlite3.Error | OSError) -> bool:
        """Remove a file that is no index any more; return whether it may be tried anew."""
        code = getattr(error, "sqlite_errorcode", None)
        if isinstance(error, OSError) or code is None or (code & 0xFF) in _IN_ITS_WAY:
            return False
        self.close()
        try:
            self._path.unlink(missing_ok=True)
        except OSError:
            return False
        return True

    def _without(self, error: sqlite3.Error | OSError) -> None:
        why = getattr(error, "strerror", None) or str(error)
        self.trouble = f"{clean(str(self._path))}: {clean(why)}"
        self.close()

    def keep(self, file: Seen, folded: Folded) -> None:
        """Note what a file came to; written a few at a time."""
        if self._db is None:
            return
        body = msgspec.json.encode(folded)
        key = os.fsencode(file.path)
        crc = zlib.crc32(body)
        self._waiting.append((key, file.size, file.mtime_ns, self._rules, body, crc))
        if len(self._waiting) >= AT_ONCE:
            self.write()

    def write(self) -> None:
        """Write what was noted."""
        rows, self._waiting = self._waiting, []
        if rows:
            self._change("INSERT OR REPLACE INTO files VALUES (?, ?, ?, ?, ?, ?)", rows)

    def forget(self, paths: Iterable[str]) -> None:
        """Take out files that are gone."""
        gone = [(os.fsencode(path),) for path in paths]
        if gone:
            self._change("DELETE FROM files WHERE path = ?", gone)

    def _change(self, words: str, rows: list[tuple[object, ...]] | list[tuple[bytes]]) -> None:
        if self._db is None:
            return
        try:
            with self._db:
                self._db.executemany(words, rows)
        except sqlite3.Error as error:
            self._without(error)

    def close(self) -> None:
        """Let go of the file."""
        if self._db is not None:
            with contextlib.suppress(sqlite3.Error):
                self._db.close()
            self._db = None


def decoded(body: bytes) -> Folded | None:
    """Return what a row holds; None where that is nothing."""
    try:
        return _DECODER.decode(body)
    except (msgspec.DecodeError, RecursionError):
        return None
