"""review, guide: pages of text or JSON."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from pacer.cli.told import tell_damage
from pacer.errors import RecordingError, UserInputError
from pacer.text import clean

if TYPE_CHECKING:
    from pacer.recording.damage import Damage
    from pacer.units import Shown


def review(args: argparse.Namespace) -> int:
    """Tables and findings of one or more recordings; one that can't be read hides no other."""
    from pacer.settings import read_settings
    from pacer.units import Shown

    shown = None if args.json else Shown(read_settings().units)
    code = 0
    for path in args.recordings:
        try:
            _review(Path(path), shown)
        except RecordingError as error:
            print(f"pacer: {error}", file=sys.stderr)
            code = 2
    return code


def _review(path: Path, shown: Shown | None) -> None:
    from pacer.recording.reader import Recording
    from pacer.recording.writing.disk import writer_of
    from pacer.review.json_page import as_json
    from pacer.review.lines import review_lines
    from pacer.review.table import table
    from pacer.run.reviewing import steps

    recording = Recording(path)
    writer = writer_of(path.stat())
    name, head = recording.name, recording.head
    out = table(steps(recording))
    if shown is None:
        print(json.dumps(as_json(name, head, out, recording.damage.told(name))))
    else:
        for line in review_lines(name, head, out, shown, _lacking(recording.damage), writer):
            print(line)
    tell_damage(recording)


def _lacking(damage: Damage) -> str:
    """Return what a damaged recording lacks, for the top of its page; nothing if it is sound."""
    if damage.sound:
        return ""
    copy = damage.copy
    missing = max(damage.missing, copy.missing if copy is not None else 0)
    left_out = damage.bad_lines + (copy.left_out if copy is not None else 0)
    counts = (
        (left_out, "line(s) left out"),
        (missing, "record(s) missing"),
        (damage.repeated + (copy.repeated if copy is not None else 0), "record(s) repeated"),
        (damage.seals, "seal(s) that do not match, so it may have been changed since"),
    )
    return ", ".join(f"{count} {what}" for count, what in counts if count)


def guide(args: argparse.Namespace) -> int:
    """The manual's topics, or one of them."""
    from importlib.resources import files

    folder = files("pacer.guide")
    topics = sorted(
        [entry.name.removesuffix(".md") for entry in folder.iterdir() if entry.name.endswith(".md")]
        + ["job-file"]
    )
    if not args.topic:
        print("Topics: " + ", ".join(topics))
        print("pacer guide TOPIC shows one.")
        return 0
    if args.topic not in topics:
        import difflib

        near = difflib.get_close_matches(args.topic, topics, n=1)
        hint = f'; did you mean "{near[0]}"?' if near else f"; there are {', '.join(topics)}"
        raise UserInputError(f'guide: no topic "{clean(args.topic, 40)}"{hint}')
    if args.topic == "job-file":
        from pacer.job.file.guide import job_file_guide

        text = job_file_guide()
    else:
        text = (folder / f"{args.topic}.md").read_text(encoding="utf-8")
    if sys.stdout.isatty():
        from rich.console import Console
        from rich.markdown import Markdown

        Console().print(Markdown(text))
    else:
        print(text)
    return 0
