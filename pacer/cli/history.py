"""history: every session below a folder, and what goes together with a crack."""

from __future__ import annotations

import argparse
import json
import os
import sys
from pathlib import Path

from pacer.cli.exchange import fit_for_tables
from pacer.errors import UserInputError
from pacer.review.history.against import Against, against
from pacer.review.history.gathered import Gathered
from pacer.review.history.where import Where, check, read_where
from pacer.run.history.gather import gather
from pacer.run.history.index import NAME, Index
from pacer.run.history.rules import rules_version
from pacer.settings import read_settings, throwaway
from pacer.text import clean


def history(args: argparse.Namespace) -> int:
    """List, compare, or write tables; a file that can't be read hides no other."""
    where = read_where(args.where, args.since, args.until)
    settings = read_settings()
    if args.parquet is not None:
        fit_for_tables(args.parquet)
    folder = _folder(args.folder, settings.recordings)
    found = _meant(_gathered(folder), where, invented=args.invented)
    if args.parquet is not None:
        from pacer.run.history.tables import write

        write(found, Path(args.parquet))
        print(f"{clean(args.parquet)}: {len(found.rows)} session(s)")
    elif args.json:
        from pacer.review.history.json_page import as_json

        print(json.dumps(as_json(str(folder), found, _compared(found, where))))
    else:
        from pacer.review.history.lines import MOST, history_lines
        from pacer.units import Shown

        most = None if args.all else MOST
        shown = Shown(settings.units)
        print("\n".join(history_lines(found, _compared(found, where), shown, most)))
    return 0


def _folder(name: str | None, recordings: Path) -> Path:
    """Return the folder that is asked for; raises UserInputError, one line."""
    if name == "":
        raise UserInputError('"": expected a folder of recordings')
    if name is None and not os.path.exists(recordings):
        raise UserInputError(
            f"{clean(str(recordings))}: no recordings yet; pacer run JOB makes the first, or name "
            "another folder: pacer history FOLDER"
        )
    return recordings if name is None else Path(name)


def _compared(found: Gathered, where: Where) -> Against | None:
    """Return what goes together; nothing does where sessions were chosen by outcome."""
    return None if where.by_outcome else against(found.sessions)


def _gathered(folder: Path) -> Gathered:
    index = Index(throwaway() / NAME, rules_version())
    progress = _Progress()
    try:
        found = gather(folder, index, progress.told)
    finally:
        progress.wipe()
    if index.trouble:
        print(f"pacer: note: done without the index: {index.trouble}", file=sys.stderr)
    for line in found.unreadable:
        print(f"pacer: {line}", file=sys.stderr)
    return found


def _meant(found: Gathered, where: Where, *, invented: bool) -> Gathered:
    if not invented:
        found = found.without_invented()
    if where.words:
        check(where, found.sessions, _findings())
    return found.only(where) if where else found


def _findings() -> list[str]:
    """Return the name of every finding there can be."""
    from pacer.trade.rows import load

    return [row.id for row in load("findings")]


class _Progress:
    """One line on a terminal, written over; nothing elsewhere."""

    def __init__(self) -> None:
        self._wide = 0

    def told(self, done: int, of: int) -> None:
        """Show how far it is."""
        if sys.stderr.isatty():
            line = f"reading recordings: {done} of {of}; Ctrl-C keeps what was read"
            self._wide = len(line)
            print(f"\r{line}", end="", file=sys.stderr, flush=True)

    def wipe(self) -> None:
        """Leave the line empty."""
        if self._wide:
            print(f"\r{' ' * self._wide}\r", end="", file=sys.stderr, flush=True)
