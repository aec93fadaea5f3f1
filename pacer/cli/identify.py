"""identify: shop tests, on the screen or from a file, and what metal a part can still be."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from pacer.cli.whole_file import write_whole
from pacer.errors import UserInputError
from pacer.job.file.toml_text import read_text
from pacer.job.job import Metal
from pacer.job.metal.answers import answer_given, answers_in_job, read_answers
from pacer.job.metal.evidence import identified
from pacer.job.metal.into_job import kept, metal_named, written
from pacer.job.metal.page import DO_NOT_WELD, result_json, result_page
from pacer.text import clean


def identify(args: argparse.Namespace) -> int:
    """Run the shop tests or read their answers; show what is left; write it into the job file.

    1 where the answer is: do not weld.
    """
    chosen = metal_named(args.metal, "--metal") if args.metal is not None else None
    answers = _begun(args)
    terminal = sys.stdin.isatty() and sys.stdout.isatty()
    if terminal and not (args.json or args.answers or args.set):
        from pacer.screen.identify.app import run_identify
        from pacer.settings import read_settings

        title = clean(Path(args.job).name) if args.job else ""
        on_screen = run_identify(answers, title, read_settings())
        if on_screen is None:
            print("left without keeping the answers; nothing written")
            return 0
        answers = on_screen
    if args.json:
        print(json.dumps(result_json(answers)))
    else:
        for line in result_page(answers):
            print(line)
    _keep(args, answers, chosen, terminal=terminal)
    if chosen == "white iron" and not args.json:
        print(f"{DO_NOT_WELD}white iron was chosen.")
    return 1 if identified(answers).dont_weld or chosen == "white iron" else 0


def _begun(args: argparse.Namespace) -> dict[str, str]:
    """Return the answers there are: of the job file, then `--answers`, then `--set`."""
    answers = answers_in_job(_text(args.job), clean(args.job)) if args.job else {}
    if args.answers:
        answers |= read_answers(args.answers)
    return answers | dict(answer_given(text) for text in args.set)


def _text(job: str) -> str:
    """Return the job file's text; empty where there is none yet."""
    try:
        there = Path(job).exists()
    except (OSError, ValueError):
        there = True
    return read_text(job) if there else ""


def _keep(
    args: argparse.Namespace, answers: dict[str, str], chosen: Metal | None, *, terminal: bool
) -> None:
    """Write into the job file if that was asked for, and say what was done."""
    if not args.job or not (answers or chosen):
        return
    name = clean(args.job)
    # Read anew: the file may have been changed while the tests were done.
    text = _text(args.job)
    answers_in_job(text, name)
    found = identified(answers)
    new = written(text, answers, found, chosen, name)
    say = sys.stderr if args.json else sys.stdout
    if not args.yes and not _agreed(name, bool(text), terminal and not args.json):
        print(f"{name}: nothing written; --yes writes without asking", file=say)
        return
    try:
        write_whole(Path(args.job), new)
    except (OSError, ValueError) as error:
        why = clean(getattr(error, "strerror", None) or str(error))
        raise UserInputError(f"{name}: can't be written: {why}") from None
    print(f"{name}: answers and what is left written under [tests]", file=say)
    if (line := kept(text, found, chosen)) is not None:
        print(f"{name}: {line}", file=say)
    if not text:
        print(f"next: pacer new {name}   asks the rest of the job", file=say)


def _agreed(name: str, there: bool, terminal: bool) -> bool:
    if not terminal:
        return False
    from pacer.cli.asking import agreed

    print()
    try:
        return agreed(f"Write this into {name}?" if there else f"Make {name} with this?")
    except EOFError:
        print()
        return False
