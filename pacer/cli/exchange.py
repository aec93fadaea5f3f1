"""import, export, recover: readings and recordings in and out of files."""

from __future__ import annotations

import argparse
import io
import os
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from pacer.cli.told import tell_damage
from pacer.errors import RecordingError, UserInputError
from pacer.text import clean


def export(args: argparse.Namespace) -> int:
    """Readings of one recording as CSV, or tables of several as Parquet."""
    if args.parquet is not None:
        fit_for_tables(args.parquet)
        return _tables([Path(path) for path in args.recordings], Path(args.parquet))
    if len(args.recordings) > 1:
        raise UserInputError(
            f"--csv: {len(args.recordings)} recordings, expected one; --parquet FOLDER takes several"
        )
    from pacer.recording.exchange.readings import temperatures, write_csv
    from pacer.recording.reader import Recording

    recording = Recording(Path(args.recordings[0]))
    rows = temperatures(recording.head, recording.events())
    if args.csv == "-":
        if isinstance(sys.stdout, io.TextIOWrapper):
            # RFC 4180 wants CR LF: no system may make something else of it.
            sys.stdout.reconfigure(encoding="utf-8", newline="")
        write_csv(rows, sys.stdout)
    else:
        with _created(args.csv) as file:
            write_csv(rows, file)
    tell_damage(recording)
    return 0


def fit_for_tables(name: str) -> None:
    """Raise UserInputError where no folder can be, before anything is read."""
    if not name:
        raise UserInputError('--parquet "": expected a folder to write to')
    try:
        there = os.stat(name)
    except FileNotFoundError:
        return
    except (OSError, ValueError) as error:
        why = clean(getattr(error, "strerror", None) or str(error))
        raise UserInputError(f"--parquet: {clean(name)}: {why}") from None
    if not stat.S_ISDIR(there.st_mode):
        raise UserInputError(f"--parquet: {clean(name)}: not a folder")


@contextmanager
def _created(name: str) -> Iterator[TextIO]:
    """Open a new file for CSV; nothing is left of one that could not be finished."""
    path, finished = Path(name), False
    try:
        with path.open("x", encoding="utf-8", newline="") as file:
            try:
                yield file
                file.flush()
                finished = True
            finally:
                if not finished:
                    path.unlink(missing_ok=True)
    except FileExistsError:
        raise UserInputError(f"{clean(name)}: exists already") from None
    except OSError as error:
        raise UserInputError(f"{clean(name)}: {clean(str(error.strerror))}") from None


def _tables(paths: list[Path], out: Path) -> int:
    """Write the tables of every recording; what is wrong with any is told before that."""
    from pacer.recording.exchange.parquet import Folder
    from pacer.recording.exchange.tables import RowsOf
    from pacer.recording.reader import Recording
    from pacer.run.refold import states

    paths = _each_session_once(paths)
    with Folder(out) as folder:
        for path in paths:
            recording = Recording(path)
            rows = RowsOf(recording.head, clean(path.name))
            for event, state, _ in states(recording.head, recording.events()):  # noqa: B007 - the last
                if event is not None:
                    folder.add_all(rows.event(event))
            folder.add_all(rows.end(state, recording.damage))
            tell_damage(recording)
        folder.done()
    print(f"{clean(str(out))}: {len(paths)} session(s)")
    return 0


def _each_session_once(paths: list[Path]) -> list[Path]:
    """Return the longest file of each session, and say which are left out.

    A session whose log was moved has several: each begins as the one before it.
    Raises `UserInputError` with a line for each file that is no recording.
    """
    from pacer.recording.reader import Recording
    from pacer.recording.same_session import size_of

    wrong: list[str] = []
    of: dict[str, list[Path]] = {}
    for path in paths:
        try:
            recording = Recording(path)
        except RecordingError as error:
            wrong.append(str(error))
            continue
        of.setdefault(recording.head.sid, []).append(path)
    if wrong:
        raise UserInputError("\n".join(wrong))
    kept = [max(same, key=size_of) for same in of.values()]
    for best, same in zip(kept, of.values(), strict=True):
        for path in same:
            if path is not best:
                name, longer = clean(str(path)), clean(str(best))
                print(
                    f"pacer: note: {name}: left out: the same session as {longer}, "
                    "which is no shorter",
                    file=sys.stderr,
                )
    return kept


def import_(args: argparse.Namespace) -> int:
    """Make a recording from a CSV or Parquet file of readings, cues included."""
    from pacer.job.file.read import read_job
    from pacer.recording.exchange.incoming import read
    from pacer.run.importing import record
    from pacer.settings import read_settings
    from pacer.units import SOURCE_UNITS, affine, spellings

    job = read_job(args.job)
    for unit, known, option in (
        (args.time_unit, spellings("time"), "--time-unit"),
        (args.temp_unit, SOURCE_UNITS, "--temp-unit"),
    ):
        if unit not in known:
            raise UserInputError(
                f'{option} "{clean(unit, 40)}": expected one of {", ".join(known)}'
            )
    scale_s, _ = affine(args.time_unit, "s")
    scale_c, offset_c = affine(args.temp_unit, "degC")
    found = read(
        Path(args.readings),
        lambda value: scale_s * value,
        lambda value: scale_c * value + offset_c,
    )
    record(found, job, args.phase, Path(args.out), read_settings(), clean(args.readings))
    print(f"{clean(args.out)}: {found.count} readings")
    return 0


def recover(args: argparse.Namespace) -> int:
    """Copy every sound record to a new file; the damaged one is never written."""
    from pacer.recording.writing.mend import mend

    mended = mend(Path(args.recording), Path(args.out))
    for line in mended.left_out:
        print(f"pacer: {line}", file=sys.stderr)
    print(f"{clean(args.out)}: {mended.records} records copied")
    return 0


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "export": export,
    "import": import_,
    "recover": recover,
}
