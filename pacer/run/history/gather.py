"""A folder's sessions: from the index where it has them, else folded and put there."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from contextlib import closing
from pathlib import Path

from pacer.review.history.gathered import Gathered, Row
from pacer.run.history.folding import Folded, folded
from pacer.run.history.index import Index, decoded
from pacer.run.history.walk import Seen, files
from pacer.text import clean

Progress = Callable[[int, int], None]
"Told how many of how many recordings have been folded."


def gather(folder: Path, index: Index, progress: Progress) -> Gathered:
    """Return every session below a folder, in the order in which they were opened.

    What was folded stays in the index, whatever ends this. Raises `UserInputError` where the
    folder is none.
    """
    unreadable: list[str] = []
    there = list(files(folder, unreadable))
    try:
        found, new = _known(index, folder, there)
        with closing(folded(new)) as all_new:
            for done, (file, outcome) in enumerate(all_new, start=1):
                if outcome.lasting:
                    index.keep(file, outcome)
                found.append((file, outcome))
                progress(done, len(new))
    finally:
        index.write()
        index.close()
    return _gathered(folder, found, unreadable)


def _known(
    index: Index, folder: Path, there: list[Seen]
) -> tuple[list[tuple[Seen, Folded]], list[Seen]]:
    """Return what the index has of the files that are there, and which it lacks."""
    known = index.known(folder)
    found: list[tuple[Seen, Folded]] = []
    new: list[Seen] = []
    for file in there:
        before, body = known.pop(file.path, (None, b""))
        outcome = decoded(body) if before == file else None
        if outcome is None:
            new.append(file)
        else:
            found.append((file, outcome))
    index.forget(known)
    return found, new


def _gathered(
    folder: Path, found: Iterable[tuple[Seen, Folded]], unreadable: list[str]
) -> Gathered:
    longest: dict[str, tuple[Seen, Row]] = {}
    others = same = 0
    start = len(os.path.join(os.path.abspath(folder), ""))
    for file, outcome in found:
        session = outcome.summary
        if session is None:
            others += outcome.foreign
            if not outcome.foreign:
                unreadable.append(outcome.why)
            continue
        row = Row(clean(file.path[start:]), session)
        before = longest.get(session.sid)
        same += before is not None
        if before is None or file.size > before[0].size:
            longest[session.sid] = (file, row)
    rows = sorted(
        (row for _, row in longest.values()), key=lambda row: (row.session.opened, row.path)
    )
    return Gathered(tuple(rows), others, tuple(unreadable), same)
