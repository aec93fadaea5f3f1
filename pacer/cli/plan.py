"""plan: the plan of a job as text, as JSON, or as a page to print and hang at the table."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING

from pacer.text import clean

if TYPE_CHECKING:
    from pacer.job.job import Job
    from pacer.job.plan import Plan
    from pacer.units import Shown


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
        from pacer.cli.page_file import put_page
        from pacer.job.sheet.forms.page import MARK, page

        put_page(args.html, page(job, shown, sections), MARK, "plan")
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
