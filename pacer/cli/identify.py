"""identify: shop tests, on the screen or from a file, and what metal a part can still be."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from pacer.cli.asking import agreed, as_commands, tell_commands
from pacer.cli.told import shell_word
from pacer.cli.whole_file import write_told
from pacer.errors import UserInputError
from pacer.job.file.toml_text import read_text
from pacer.job.job import Metal
from pacer.job.metal.answers import answer_given, answers_in_job, read_answers
from pacer.job.metal.identified import identified
from pacer.job.metal.into_job import metal_named, metal_told, written
from pacer.job.metal.page import DO_NOT_WELD, result_json, result_page
from pacer.settings import read_settings
from pacer.text import clean
from pacer.units import Shown


def identify(args: argparse.Namespace) -> int:
    """Run the shop tests or read their answers; show what is left; write it into the job file.

    1 where the answer is: do not weld.
    """
    chosen = metal_named(args.metal, "--metal") if args.metal is not None else None
    _named(args, chosen)
    answers = _begun(args)
    terminal = sys.stdin.isatty() and sys.stdout.isatty()
    kept = terminal and not (args.json or args.answers or args.set)
    if kept:
        from pacer.screen.identify.app import run_identify

        title = clean(Path(args.job).name) if args.job else ""
        on_screen = run_identify(answers, title, read_settings())
        if on_screen is None:
            print("left without keeping the answers; nothing written")
            return 0
        answers = on_screen
    if args.json:
        print(json.dumps(result_json(answers)))
    else:
        for line in result_page(answers, Shown(read_settings().units)):
            print(line)
    if args.job:
        with as_commands("identify", Path(args.job), [_options(answers)] if kept else []):
            _keep(args, answers, chosen, kept=kept, terminal=terminal)
    elif kept and answers:
        tell_commands("identify", Path("JOB"), [_options(answers)])
    if chosen == "white iron" and not args.json:
        print(f"{DO_NOT_WELD}white iron was chosen.")
    return 1 if identified(answers).dont_weld or chosen == "white iron" else 0


def _named(args: argparse.Namespace, chosen: Metal | None) -> None:
    """Raise what names no file; a shell gives a variable that was never set as no text at all."""
    for where, name in (("JOB", args.job), ("--answers", args.answers)):
        if name == "":
            raise UserInputError(f'{where} "": expected the name of a file')
    if chosen is not None and args.job is None:
        raise UserInputError(
            f'--metal "{chosen}": no job file to write it into; '
            f'expected pacer identify JOB --metal "{chosen}"'
        )


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
    args: argparse.Namespace,
    answers: dict[str, str],
    chosen: Metal | None,
    *,
    kept: bool,
    terminal: bool,
) -> None:
    """Write into the job file if that was asked for, and say what was done.

    `kept`: to keep the answers was the press that closed the screen; it is not asked again.
    """
    name = clean(args.job)
    # Read anew: the file may have been changed while the tests were done.
    text = _text(args.job)
    had = answers_in_job(text, name)
    if not (answers or chosen or had):
        return
    found = identified(answers)
    new = written(text, answers, found, chosen, name)
    say = sys.stderr if args.json else sys.stdout
    if not (kept or args.yes) and not _agreed(name, bool(text), terminal and not args.json):
        print(f"{name}: nothing written; --yes writes without asking", file=say)
        return
    write_told(Path(args.job), new)
    print(f"{name}: answers and what is left written under [tests]", file=say)
    if (line := metal_told(text, found, chosen)) is not None:
        print(f"{name}: {line}", file=say)
    if not text:
        print(f"next: pacer new {shell_word(Path(args.job))}   asks the rest of the job", file=say)


def _agreed(name: str, there: bool, terminal: bool) -> bool:
    if not terminal:
        return False
    print()
    try:
        return agreed(f"Write this into {name}?" if there else f"Make {name} with this?")
    except EOFError:
        print()
        return False


def _options(answers: dict[str, str]) -> list[str]:
    return ["--yes", *(f"--set={name}={answer}" for name, answer in answers.items())]
