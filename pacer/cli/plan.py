"""plan: the plan of a job as text, as JSON, or as a page to print and hang at the table."""

from __future__ import annotations

import argparse
import io
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from pacer.errors import UserInputError
from pacer.text import clean

if TYPE_CHECKING:
    from pacer.job.job import Job
    from pacer.job.plan import Plan
    from pacer.units import Shown


def plan(args: argparse.Namespace) -> int:
    """The plan and forecast of a job; a job with stops has only its first page."""
    from pacer.job.file.read import read_job
    from pacer.job.plan import plan as made_of
    from pacer.job.plan import plan_json
    from pacer.job.sheet.as_json import page_json
    from pacer.job.sheet.text import text_lines
    from pacer.job.sheet.whole import title, whole
    from pacer.settings import read_settings
    from pacer.units import Shown

    job = read_job(args.job, stops=False)
    shown = Shown(read_settings().units)
    made = made_of(job)
    _stop(args, made, job, shown)
    sections = whole(made, job, shown)
    if args.json:
        print(json.dumps({**plan_json(made), "page": page_json(sections)}))
    elif args.html is not None:
        from pacer.job.sheet.page import page

        _put(args.html, page(made, job, shown, sections))
    else:
        for line in (title(job), *text_lines(sections)):
            print(line)
    return 0


def _stop(args: argparse.Namespace, made: Plan, job: Job, shown: Shown) -> None:
    """Print the first page of a job with stops and raise what stops it; nothing for others."""
    from pacer.job.file.read import read_job
    from pacer.job.sheet.gate import stops_of
    from pacer.job.sheet.text import text_lines
    from pacer.job.sheet.whole import gate_only, title

    if not stops_of(job):
        return
    if not args.json and args.html is None:
        for line in (title(job), *text_lines(gate_only(made, job, shown))):
            print(line)
        # The page first, then why it ends there, whatever each stream is tied to.
        sys.stdout.flush()
    read_job(args.job)


def _put(name: str, text: str) -> None:
    """Write the page, over an older page but over nothing else."""
    from pacer.cli.whole_file import write_whole
    from pacer.job.sheet.page import DOCTYPE

    if name == "-":
        if isinstance(sys.stdout, io.TextIOWrapper):
            # The page says that it is UTF-8, whatever the terminal speaks.
            sys.stdout.reconfigure(encoding="utf-8")
        print(text, end="")
        return
    path = Path(name)
    try:
        if path.is_dir():
            raise UserInputError(
                f'--html: {clean(name)}: a folder; write "{clean(name)}/plan.html"'
            )
        if path.exists() and not path.is_file():
            raise UserInputError(f"--html: {clean(name)}: no ordinary file; write another name")
        if path.exists():
            with path.open("rb") as old:
                begins = old.read(len(DOCTYPE))
            if begins != DOCTYPE.encode():
                raise UserInputError(
                    f"--html: {clean(name)}: exists and is no page of a plan; write another name"
                )
        write_whole(path, text)
    except OSError as error:
        why = clean(error.strerror or str(error))
        raise UserInputError(f"--html: {clean(name)}: {why}") from None
    print(f"{clean(name)}: the plan, to print")
