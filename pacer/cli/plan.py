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

_HEAD_BYTES = 500
"So much of a page is looked at for its mark."


def plan(args: argparse.Namespace) -> int:
    """The plan and forecast of a job, or some of it; a job with stops has only its first page."""
    from pacer.job.columns import laid_out
    from pacer.job.file.mistakes import JobFileError
    from pacer.job.file.read import first_page_job, read_job
    from pacer.job.plan import plan as made_of
    from pacer.job.plan import plan_json
    from pacer.job.sheet.choose import chosen, empty, named, printed, those
    from pacer.job.sheet.forms.as_json import page_json
    from pacer.job.sheet.forms.text import text_lines
    from pacer.job.sheet.whole import title, whole
    from pacer.settings import read_settings
    from pacer.units import Shown

    names = chosen(args.sections)
    shown = Shown(read_settings().units)
    try:
        job = read_job(args.job, stops=False)
    except JobFileError:
        # What stops a plan comes before what is wrong with its file.
        answered = first_page_job(args.job)
        _stop(args, made_of(answered), answered, shown, clean(answered.title))
        raise
    made = made_of(job)
    _stop(args, made, job, shown, title(job))
    sections = those(whole(made, job, shown), names)
    if args.json:
        print(json.dumps({**plan_json(made), "page": page_json(sections)}))
    elif args.html is not None:
        from pacer.job.sheet.forms.page import page

        _put(args.html, page(job, shown, sections))
    else:
        nothing = empty(sections, args.sections)
        below = laid_out(named())
        sections = those(sections, printed(args.sections))
        for line in (title(job), *text_lines(sections), *nothing, "", *below):
            print(line)
    return 0


def _stop(args: argparse.Namespace, made: Plan, job: Job, shown: Shown, over: str) -> None:
    """Print the first page of a job with stops and raise what stops it; nothing for others.

    `over` stands over the page.
    """
    from pacer.job.file.read import read_job
    from pacer.job.sheet.forms.text import text_lines
    from pacer.job.sheet.sections.gate import stops_of
    from pacer.job.sheet.whole import gate_only

    if not stops_of(job):
        return
    if not args.json and args.html is None:
        for line in (over, *text_lines(gate_only(made, job, shown))):
            print(line)
        # The page first, then why it ends there, whatever each stream is tied to.
        sys.stdout.flush()
    read_job(args.job)


def _put(name: str, text: str) -> None:
    """Write the page, over an older page of ours but over nothing else."""
    from pacer.cli.whole_file import write_told

    if name == "-":
        if isinstance(sys.stdout, io.TextIOWrapper):
            # The page says that it is UTF-8, whatever the terminal speaks.
            sys.stdout.reconfigure(encoding="utf-8")
        print(text, end="")
        return
    if not name:
        raise UserInputError('--html "": expected a file to write, or - for standard output')
    path = Path(name)
    try:
        if path.is_dir():
            raise UserInputError(f'{clean(name)}: a folder; write "{clean(name)}/plan.html"')
        if path.exists() and not _ours(path):
            raise UserInputError(
                f"{clean(name)}: exists and is no page of a plan; write another name"
            )
        write_told(path, text)
    except UserInputError as error:
        raise UserInputError(f"--html: {error}") from None
    except (OSError, ValueError) as error:
        why = clean(getattr(error, "strerror", None) or str(error))
        raise UserInputError(f"--html: {clean(name)}: {why}") from None
    print(f"{clean(name)}: the plan, to print")


def _ours(path: Path) -> bool:
    """Return whether there is an older page of ours."""
    from pacer.job.sheet.forms.page import MARK

    if not path.is_file():
        return False
    with path.open("rb") as old:
        return MARK.encode() in old.read(_HEAD_BYTES)
