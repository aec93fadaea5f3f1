"""import, export, recover: readings and recordings in and out of files."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from pacer.cli.told import tell_damage
from pacer.errors import UserInputError
from pacer.text import clean


def export(args: argparse.Namespace) -> int:
    """Write `t_s,channel,temp_c`."""
    from pacer.recording.exchange import temperatures, write_csv
    from pacer.recording.reader import Recording

    recording = Recording(Path(args.recording))
    rows = temperatures(recording.head, recording.events())
    if args.csv == "-":
        write_csv(rows, sys.stdout)
    else:
        try:
            with open(args.csv, "x", encoding="utf-8", newline="") as file:
                write_csv(rows, file)
        except FileExistsError:
            raise UserInputError(f"{clean(args.csv)}: exists already") from None
        except OSError as error:
            raise UserInputError(f"{clean(args.csv)}: {clean(str(error.strerror))}") from None
    tell_damage(recording)
    return 0


def import_(args: argparse.Namespace) -> int:
    """Make a recording from a CSV of readings, cues included."""
    from pacer.job.file.read import read_job
    from pacer.recording.exchange import read_csv
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
    found = read_csv(
        Path(args.csv), lambda value: scale_s * value, lambda value: scale_c * value + offset_c
    )
    record(found, job, args.phase, Path(args.out), read_settings(), clean(args.csv))
    print(f"{clean(args.out)}: {len(found.rows)} readings")
    return 0


def recover(args: argparse.Namespace) -> int:
    """Copy every sound record to a new file; the damaged one is never written."""
    from pacer.recording.mend import mend

    lines = mend(Path(args.recording), Path(args.out))
    for line in lines:
        print(f"pacer: {line}", file=sys.stderr)
    return 0


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "export": export,
    "import": import_,
    "recover": recover,
}
