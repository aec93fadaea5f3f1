"""Recordings folded to summaries: little of them here, much in worker processes."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context, parent_process
from pathlib import Path

import msgspec

from pacer.errors import RecordingError
from pacer.review.history.summary import Summary
from pacer.run.history.walk import Seen
from pacer.text import clean

LITTLE = 2_000_000
"""Fewer bytes in all are folded in this process: by then a worker has only just started."""

Fold = Callable[[str], "Folded"]


class Folded(msgspec.Struct, frozen=True, omit_defaults=True):
    """What came of one file: a summary, or why there is none."""

    summary: Summary | None = None
    why: str = ""
    "Finished line."
    foreign: bool = False
    "It never was a recording."

    @property
    def lasting(self) -> bool:
        """True for what only another content of the file can change; leave to read it is none."""
        return self.summary is not None or self.foreign


def fold(path: str) -> Folded:
    """Read and fold one file; what is wrong with it is told in the answer."""
    # Heavy rooms, which a history that the index holds does without.
    from pacer.recording.reader import Recording
    from pacer.review.history.summing import summed_up
    from pacer.review.measured import Measured
    from pacer.review.table import table
    from pacer.run.reviewing import steps

    try:
        recording = Recording(Path(path))
        measured = Measured()
        out = table(steps(recording), measured)
    except RecordingError as error:
        return Folded(why=_with_path(path, str(error)), foreign=not _was_ours(path))
    except OSError as error:
        return Folded(why=f"{clean(path)}: cannot be read: {clean(str(error.strerror))}")
    return Folded(summed_up(recording.head, out, measured, sound=recording.damage.sound))


def _with_path(path: str, why: str) -> str:
    """Return what is wrong with a file, told with its folder."""
    return why if why.startswith(clean(path)) else f"{clean(os.path.dirname(path))}{os.sep}{why}"


_HEAD_WORD = b'"k":"head"'
_LOOKED_AT = 1 << 12


def _was_ours(path: str) -> bool:
    """True where a file that has no head is one of ours all the same, or can't be looked into."""
    try:
        with open(path, "rb") as file:
            return _HEAD_WORD in file.read(_LOOKED_AT)
    except OSError:
        return True


def folded(files: Sequence[Seen], fold: Fold = fold) -> Generator[tuple[Seen, Folded], None, None]:
    """Yield every file with what came of it, as it comes.

    Raises `RecordingError` where the system ends a worker.
    """
    if sum(file.size for file in files) < LITTLE:
        yield from ((file, fold(file.path)) for file in files)
        return
    # Fresh processes on every system: what this one holds open is none of theirs.
    workers = ProcessPoolExecutor(
        min(os.cpu_count() or 1, len(files)), get_context("spawn"), initializer=_begin
    )
    try:
        with _later():
            waiting = {workers.submit(fold, file.path): file for file in files}
        for done in as_completed(waiting):
            yield waiting[done], done.result()
    except BrokenProcessPool:
        raise RecordingError(
            "a worker process was ended from outside, perhaps for want of memory; what was "
            "folded is kept: start it again"
        ) from None
    finally:
        workers.shutdown(wait=False, cancel_futures=True)


@contextmanager
def _later() -> Iterator[None]:
    """Put off a Ctrl-C to the end; a process that only just starts would tell of it at length.

    Those started here put it off too, until `_begin`.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})


def _begin() -> None:
    """Let a worker end with its user's Ctrl-C, without a word, and with its parent."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    # A parent that was killed can't tell: a worker would wait for its next file for ever.
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
