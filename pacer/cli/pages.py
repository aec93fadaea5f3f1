"""guide: the manual, page by page."""

from __future__ import annotations

import argparse
import sys

from pacer.errors import UserInputError
from pacer.text import clean


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
