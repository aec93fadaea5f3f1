"""Write a recording: one write a record, on disk before it is folded.

`append` gives back the event decoded from the very line written, so live and replay fold
the same bytes. Where that fails the line and all that follow wait in memory, `trouble` says
so, and every later append and beat tries again:

1. A failed or short write is cut back to the last record's end and tried in the same file.
2. After `MOVE_AFTER_S`, at once where the file is gone, can't be written any more or its
   sync failed, the whole session goes to a new file: beside the old one, or in one of the
   folders given as `elsewhere`. It takes the old one's place when a sync of all of it has
   come back well; `moved` says where.
3. Where no sync works anywhere, one new file is written on with a doubt: killed now, what
   the system's cache holds would still be read.

A file taken up again only grows: what stood in it stays, torn bytes too (`recording/writing/reopen.py`).
"""

from __future__ import annotations

import errno
import hashlib
import math
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from pacer.errors import RecordingError
from pacer.recording.codec import MAX_LINE, decode, decode_head, encode, seed_of
from pacer.recording.head import HEADS
from pacer.recording.reader import Recording
from pacer.recording.writing.copied import Copied, copied, given_up
from pacer.recording.writing.disk import Disk, InUse, RealDisk
from pacer.recording.writing.kept import Kept
from pacer.recording.writing.refused import cause, in_use, not_created, not_reopened
from pacer.recording.writing.reopen import found_in
from pacer.session.events import AnyEvent, Ended, Mark, Opened, Reading
from pacer.text import clean

SYNC_EVERY_S = 1.0
"""Readings may wait so long for the disk; everything else is synced at once."""

LOOK_EVERY_S = 0.9
"""How often it is seen to that the file is still there: each beat, which is a second."""

RETRY_S = 1.0
MOVE_AFTER_S = 10.0
"""Trouble that lasts so long is not waited out any more (reliability.md T-07: space that
comes back within 5 s is used in the same file)."""

MOVE_EVERY_S = 5.0
"""How often a move is tried again while the old file can still be hoped for."""

NOT_SAVED = "log not saved: "
"So `Log.trouble` begins; the cause follows."

_LASTING = frozenset({errno.EROFS, errno.ESTALE, errno.ENODEV, errno.ENXIO})
"""Causes that no waiting mends: mounted read-only, or the drive is gone."""


class Log:
    """An open recording, written by one program at a time."""

    def __init__(
        self,
        path: Path,
        opened: Opened,
        *,
        resume: Recording | None = None,
        wall: str | None = None,
        elsewhere: Sequence[Path] = (),
        disk: Disk | None = None,
    ) -> None:
        """Create `path`, which must not exist, and write the head; or go on with `resume`.

        Going on, torn bytes at the end are told by a `recover` record, stamped with `wall`.
        Raises `RecordingError` with the cause, before anything has been heated.
        """
        self.path = path
        self.opened = opened
        self.trouble = ""
        "Not empty: what has been recorded since is only in memory; says why."
        self.moved = ""
        "Not empty: the session has gone on in another file; says in which."
        self.began = path
        "The file it began in; after a move it holds only a part."
        self._elsewhere = tuple(elsewhere)
        self._disk: Disk = disk or RealDisk()
        self._seed = seed_of(opened.sid)
        self._q = 1
        self._size = 0
        "Bytes of whole records on disk."
        self._held_q = 0
        "Number of the first record that is not in the file, as far as can be known."
        self._synced_q = 0
        "The same, as the last good sync left it."
        self._kept = Kept()
        self._waiting = 0
        "How many of the last writes in `_kept` are not in the file."
        self._sha = hashlib.sha256()
        self._now_s = 0.0
        self._unsynced_s: float | None = None
        "When the first record was written that has not been synced."
        self._looked_s = 0.0
        self._troubled_s = 0.0
        "Since when there is trouble."
        self._tried_s = -math.inf
        "When a move was last tried."
        self._lasting = False
        self._doubted: Path | None = None
        "A file of ours that is written on though no sync of it has come back well."
        self._fd: int | None = None
        if resume is None:
            self._create()
        else:
            self._go_on(resume, wall)
        self._held_q = self._synced_q = self._q

    @property
    def unlocked(self) -> bool:
        """True where the file system keeps no locks: a second program would not be refused."""
        return self._disk.unlocked

    @property
    def only_in_memory(self) -> int:
        """Records that are not on the disk, as far as can be known; counts while there is trouble."""
        return self._q - self._held_q

    def lost_from_s(self) -> float:
        """Return the session time of the first record that is not on the disk, s."""
        if self._held_q == 0:
            return self.opened.t_s
        first = b'{"q":%d,' % self._held_q
        for chunk in self._kept.chunks():
            for line in chunk.splitlines(keepends=True):
                if line.startswith(first):
                    event = decode(line, self._seed).event
                    return self.opened.t_s if event is None else event.t_s
        return self.opened.t_s

    # --- opening ------------------------------------------------------------------

    def _create(self) -> None:
        line = encode(0, self.opened, 0)
        if len(line) > MAX_LINE:
            name = clean(str(self.path))
            raise RecordingError(f"{name}: the job makes a head of more than {MAX_LINE} bytes")
        # What no reader would take must not be found out after the session.
        decode_head(line, clean(str(self.path)))
        try:
            self._fd = self._disk.create(self.path)
        except (OSError, InUse) as error:
            raise not_created(self.path, error, self._elsewhere) from None
        heads = line * HEADS
        try:
            self._write(self._fd, heads)
            self._disk.sync(self._fd)
        except OSError as error:
            self._give_up_file()
            # A stub left behind would refuse the next try.
            with suppress(OSError):
                self._disk.remove(self.path)
            raise not_created(self.path, error, self._elsewhere) from None
        self._take(heads, 0)
        self._size = len(heads)

    def _go_on(self, recording: Recording, wall: str | None) -> None:
        try:
            self._fd = self._disk.reopen(recording.path)
            found = found_in(recording, self._kept)
            self._sha = recording.sha
            self._size, self._q = found.size, recording.next_q
            if found.torn:
                self._tell_torn(found.lead, found.record(self._q, wall))
        except InUse as error:
            raise in_use(recording, error.pid) from None
        except OSError as error:
            self._give_up_file()
            raise not_reopened(recording, error) from None
        except BaseException:
            self._give_up_file()
            raise

    def _tell_torn(self, lead: bytes, record: AnyEvent) -> None:
        line = encode(self._q, record, self._seed)
        assert self._fd is not None
        try:
            self._write(self._fd, lead + line)
            self._disk.sync(self._fd)
        except OSError:
            with suppress(OSError):
                self._disk.cut(self._fd, self._size)
            raise
        if lead:
            self._take(lead, 0)
        self._take(line, 0)
        self._size += len(lead + line)
        self._q += 1

    # --- writing ------------------------------------------------------------------

    def append(self, event: AnyEvent, steady_s: float) -> AnyEvent:
        """Write `event` and return it as read back from the line written.

        `steady_s` is any steady clock, s; it only decides when readings are synced and
        when a move is tried. Never raises for a disk's failure: `trouble` tells.
        """
        return self.append_all((event,), steady_s)[0]

    def append_all(self, events: Sequence[AnyEvent], steady_s: float) -> list[AnyEvent]:
        """Write events that belong together, in one write, as `append` does one."""
        lines, written = [], []
        for event in events:
            line = encode(self._q, event, self._seed)
            read = decode(line, self._seed).event
            assert read is not None
            self._q += 1
            lines.append(line)
            written.append(read)
        self._now_s = steady_s
        # With no file at all everything waits: packed, for a move writes it whole.
        self._waiting = self._waiting + 1 if self._fd is not None else 0
        self._take(b"".join(lines), self._waiting)
        if self._unsynced_s is None:
            self._unsynced_s = steady_s
        self._look()
        self._catch_up()
        may_wait = all(isinstance(event, Reading | Mark) for event in events)
        if not may_wait or self.patience_s(steady_s) <= 0.0:
            self._sync()
        return written

    def mark(self, t_ms: int, wall: str | None, steady_s: float) -> None:
        """Write a seal: count and hash of everything before it."""
        seal = Mark(t_ms=t_ms, n=self._q, sha=self._sha.hexdigest(), wall=wall)
        self.append(seal, steady_s)

    def end(self, t_ms: int, why: str, wall: str, steady_s: float) -> None:
        """Write the end record and close the file."""
        sha = self._sha.hexdigest()
        self.append(Ended(t_ms=t_ms, why=why, n=self._q, sha=sha, wall=wall), steady_s)
        self.close()

    def close(self) -> None:
        """Sync and close, without an end record; what waits is tried once more, everywhere."""
        self._looked_s = -math.inf
        self._look()
        if self.trouble:
            self._write_waiting()
        if self.trouble:
            self._move()
        self._sync()
        self._give_up_file()

    def patience_s(self, steady_s: float) -> float:
        """Return for how long the oldest unsynced record may wait for `beat`, s."""
        if self._unsynced_s is None or self._fd is None or self._doubted is not None:
            return math.inf
        # A clock that jumps back must not put the sync off.
        return max(0.0, SYNC_EVERY_S - abs(steady_s - self._unsynced_s))

    def beat(self, steady_s: float) -> None:
        """Look after the file while nothing is appended: called once a second.

        Sees whether it is still there, syncs what has waited long enough, and tries again
        what could not be written.
        """
        self._now_s = steady_s
        self._look()
        if self.trouble:
            self._catch_up()
        if self.patience_s(steady_s) <= 0.0:
            self._sync()

    def _take(self, line: bytes, waiting: int) -> None:
        self._kept.append(line, waiting)
        self._sha.update(line)

    def _write(self, fd: int, data: bytes) -> None:
        if self._disk.write(fd, data) != len(data):
            raise OSError(errno.ENOSPC, "disk full (short write)")

    def _look(self) -> None:
        """See whether the file still has its name: one taken away can be written for ever."""
        if self._fd is None or abs(self._now_s - self._looked_s) < LOOK_EVERY_S:
            return
        self._looked_s = self._now_s
        if not self._disk.there(self._fd, self.path):
            self._not_ours("is gone from its folder")
        elif self._changed():
            self._not_ours("was changed by another program")

    def _changed(self) -> bool:
        """Return whether the file is shorter or longer than what was written to it."""
        assert self._fd is not None
        try:
            return self._disk.size(self._fd) != self._size
        except OSError:
            return False

    def _not_ours(self, what: str) -> None:
        """Leave a file that holds nothing any more, or nobody knows what."""
        self._in_trouble(f"{clean(self.path.name)} {what}")
        self._give_up_file()
        self._held_q = self._synced_q = 0
        self._catch_up()

    def _catch_up(self) -> None:
        if self._fd is not None:
            self._write_waiting()
        if self.trouble and self._move_due():
            self._move()

    def _write_waiting(self) -> None:
        while self._waiting and self._fd is not None:
            line = self._kept.from_end(self._waiting)
            try:
                self._write(self._fd, line)
            except OSError as error:
                self._failed(error)
                return
            self._size += len(line)
            self._waiting -= 1
            self._held_q += line.count(b"\n")
        if self._doubted is None:
            self.trouble, self._lasting = "", False

    def _failed(self, error: OSError) -> None:
        """Cut back to the last whole record; the rest waits in memory."""
        assert self._fd is not None
        self._in_trouble(cause(error))
        self._lasting = error.errno in _LASTING
        try:
            self._disk.cut(self._fd, self._size)
        except OSError:
            self._give_up_file()

    def _sync(self) -> None:
        if self._fd is None or self._doubted is not None:
            return
        try:
            self._disk.sync(self._fd)
        except OSError as error:
            # The kernel may have dropped what it could not write; a second sync could lie.
            self._in_trouble(cause(error))
            self._give_up_file()
            self._held_q = self._synced_q
            self._move()
        else:
            self._synced_q = self._held_q
            # What waits in memory waits for the disk as well.
            self._unsynced_s = None if not self._waiting else self._now_s

    def _in_trouble(self, why: str) -> None:
        if not self.trouble:
            self._troubled_s = self._now_s
        self.trouble = f"{NOT_SAVED}{why}"

    def _give_up_file(self) -> None:
        if self._fd is not None:
            with suppress(OSError):
                self._disk.close(self._fd)
        self._fd, self._waiting = None, 0

    # --- moving -------------------------------------------------------------------

    def _move_due(self) -> bool:
        since_s = abs(self._now_s - self._tried_s)
        if self._fd is None:
            return since_s >= RETRY_S
        long = abs(self._now_s - self._troubled_s) >= MOVE_AFTER_S
        return (long or self._lasting or self._doubted is not None) and since_s >= MOVE_EVERY_S

    def _move(self) -> None:
        """Write the whole session to a new file, in the first folder where that holds."""
        self._tried_s = self._now_s
        beside = (self.path.parent, self.began.parent)
        for folder in dict.fromkeys((*beside, *self._elsewhere)):
            with suppress(OSError):
                # Beside it only where there still is a folder: a drive may have been pulled out.
                if folder in self._elsewhere:
                    self._disk.make(folder)
                if self._move_to(folder):
                    return

    def _move_to(self, folder: Path) -> bool:
        copy = copied(self._disk, self._kept, folder, self.began)
        if copy is None:
            return False
        if copy.fault is not None:
            if self._fd is not None:
                given_up(self._disk, copy.path, copy.fd)
            else:
                # Better than none at all.
                self._go_on_in(copy)
                self._doubted = copy.path
                self._in_trouble(cause(copy.fault))
            return False
        doubted = self._doubted
        self._give_up_file()
        self._go_on_in(copy)
        self.trouble, self._lasting, self._doubted, self._unsynced_s = "", False, None, None
        place = clean(str(copy.path.absolute().parent))
        self.moved = f"goes on in {clean(copy.path.name)} ({place})"
        if doubted is not None:
            # All of it is in the new file, for certain there.
            with suppress(OSError):
                self._disk.remove(doubted)
        return True

    def _go_on_in(self, copy: Copied) -> None:
        self.path, self._fd, self._size, self._waiting = copy.path, copy.fd, copy.size, 0
        if copy.fault is None:
            self._held_q = self._synced_q = self._q
        self._looked_s = self._now_s
