"""new: a job file from a few questions, or from `--set` where there is no terminal."""

from __future__ import annotations

import argparse
import os
import re
import sys
import unicodedata
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from pacer.cli.new_asked import Answers, Asking
from pacer.cli.set_keys import set_keys
from pacer.cli.told import shell_word
from pacer.cli.whole_file import write_told
from pacer.errors import PacerError, UserInputError
from pacer.job.file.draft import completed, drafted, given_in
from pacer.job.file.keys import keys
from pacer.job.file.mistakes import JobFileError, Mistake
from pacer.job.file.read import job_from_text
from pacer.job.file.toml_text import lines_of, parse_table, read_text
from pacer.job.file.typed import Given, in_file, in_words
from pacer.job.stops import Stop, stops
from pacer.settings import read_settings
from pacer.text import clean
from pacer.units import System

_NAME_CHARS = 50
"Of a title, in a file's name."
_ANSWER_CHARS = 1000
"Of an answer that is printed: more than one can have."
# Names that one system takes for devices, with any ending (from memory).
_DEVICES = re.compile(r"(?:con|nul|aux|prn|com\d|lpt\d)", re.IGNORECASE)


def new(args: argparse.Namespace) -> int:
    """Write a job file, or complete one; 1 where an answer stops the plan or the welder left."""
    system = read_settings().units
    if args.job in ("", "-"):
        raise UserInputError(f'new "{args.job}": expected the name of a file, such as pump.toml')
    path = Path(args.job) if args.job else None
    asking = not args.set and sys.stdin.isatty() and sys.stdout.isatty()
    if path is not None and os.path.lexists(path):
        return _complete(path, system, asking=asking)
    if path is not None and not path.absolute().parent.is_dir():
        raise UserInputError(f"{clean(str(path))}: no such folder; make it first")
    if not asking:
        answers = _options(args.set, system)
        found = _stops(answers)
        _together(answers, system)
        made = _create(path, answers, system)
        return _kept(made, found, told=False, metal=_metal(answers))
    questions = Asking({}, system)
    asked = questions.run(lambda answers: _mistakes(drafted(answers, system)))
    if asked is None:
        return _nothing(questions.answers)
    with _told_if_lost(asked.answers):
        made = _create(path, asked.answers, system)
    return _kept(made, asked.stopped, metal=_metal(asked.answers))


def slug(title: str) -> str:
    """Return a file's name without its ending, made from a title.

    >>> slug("Pump casing, cracked foot"), slug("../../etc"), slug("\\x1b[2J"), slug("con")
    ('pump-casing-cracked-foot', 'etc', '2j', 'job-con')
    """
    plain = unicodedata.normalize("NFKD", title)
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign)).casefold()
    name = re.sub(r"[\W_]+", "-", plain).strip("-")[:_NAME_CHARS].strip("-")
    return f"job-{name}" if _DEVICES.fullmatch(name) else name or "job"


def _complete(path: Path, system: System, *, asking: bool) -> int:
    """Ask what a job file doesn't give yet, and add it."""
    name = clean(str(path))
    if not asking:
        raise UserInputError(
            f"{name}: exists already; without --set, on a terminal, it is completed"
        )
    text = read_text(path)
    there = _fit_to_complete(text, name)
    if found := _stops(there):
        lines = lines_of(text)
        for stop in found:
            at = f"{name}:{lines[stop.key]}" if stop.key in lines else name
            print(f'{at}: {stop.key} = "{stop.found}": {stop.line}')
        print("It is not asked again: where that isn't so, change the line in the file by hand.")
        return 1
    print(f"{name} exists: what it gives stays as it is; only what it leaves open is asked.")
    questions = Asking(there, system)
    asked = questions.run(lambda answers: _mistakes(completed(text, name, answers, system)))
    if asked is None:
        return _nothing(questions.answers)
    with _told_if_lost(asked.answers):
        # Whoever changed the file meanwhile is not overruled: the answers go into what it says now.
        write_told(path, completed(read_text(path), name, asked.answers, system))
    return _kept(path, asked.stopped, metal=_metal({**there, **asked.answers}))


def _fit_to_complete(text: str, name: str) -> dict[str, Given]:
    """Return what a file gives; raise what is wrong with it, but for what is only missing."""
    try:
        job_from_text(text, name, stops=False)
    except JobFileError as error:
        if wrong := [mistake for mistake in error.mistakes if not mistake.missing]:
            raise JobFileError(name, wrong) from None
    return given_in(parse_table(text, name))


def _mistakes(text: str) -> tuple[Mistake, ...]:
    """Return what is wrong with a text; what stops a plan was told by itself."""
    try:
        job_from_text(text, "", stops=False)
    except JobFileError as error:
        return error.mistakes
    return ()


def _stops(answers: Mapping[str, Given]) -> tuple[Stop, ...]:
    told = {key: value for key, value in answers.items() if isinstance(value, str)}
    metal, service = told.get("part.metal", "unknown"), told.get("part.service", "none")
    return stops(metal, service, told.get("job.method", "hot"), told)


def _options(options: list[str], system: System) -> Answers:
    """Return the answers of `--set KEY=VALUE`, and say how they were understood."""
    answers = set_keys(options, system)
    for name, answer in answers.items():
        if answer.said:
            print(f"{name}: {answer.said}")
    return {name: answer.value for name, answer in answers.items()}


def _together(answers: Answers, system: System) -> None:
    """Raise what the options are together, or lack, as lines that name options."""
    lines = []
    for mistake in _mistakes(drafted(answers, system)):
        if not mistake.missing:
            lines.append(f"--set {mistake.said}")
            continue
        key = keys()[mistake.keys[0]]
        choices = " or ".join(f'"{choice}"' for choice in key.choices)
        wanted = choices or '"3.2 kg", or part.size and part.wall'
        lines.append(f"new: {key.name}: missing; give --set {key.name}={wanted}")
    if lines:
        raise UserInputError("\n".join(lines))


def _create(path: Path | None, answers: Answers, system: System) -> Path:
    """Write a new file; without a name a free one is made from the title."""
    if path is None:
        stem = slug(str(answers.get("job.title", "")))
        path, number = Path(f"{stem}.toml"), 1
        while os.path.lexists(path):
            number += 1
            path = Path(f"{stem}-{number}.toml")
    elif os.path.lexists(path):
        raise UserInputError(f"{clean(str(path))}: exists already; nothing was written over it")
    write_told(path, drafted(answers, system))
    return path


def _nothing(answers: Answers) -> int:
    _tell_lost(answers)
    print("nothing written")
    return 1


@contextmanager
def _told_if_lost(answers: Answers) -> Iterator[None]:
    """Where the answers can't be written, print them: they aren't lost."""
    try:
        yield
    except (PacerError, OSError):
        _tell_lost(answers)
        raise


def _tell_lost(answers: Answers) -> None:
    """Print answers that stand nowhere; at the top of an empty file they are a job file's."""
    if answers:
        print("Not written. What was answered, as lines of a job file:")
    for key, value in answers.items():
        print(f"  {key} = {clean(in_file(value), _ANSWER_CHARS)}")


def _metal(answers: Mapping[str, Given]) -> str:
    return in_words(answers.get("part.metal", "unknown"))


def _kept(path: Path, found: tuple[Stop, ...], *, told: bool = True, metal: str = "") -> int:
    """Say where the file is and what comes next."""
    name = clean(str(path))
    print(f"written: {name}")
    if found:
        for stop in () if told else found:
            print(f'pacer: {stop.key} = "{stop.found}": {stop.line}', file=sys.stderr)
        print("It is kept as it is; pacer refuses to pace it.")
        return 1
    word = shell_word(path)
    if metal == "unknown":
        print(f"next: pacer identify {word}   which metal it can still be, by shop tests")
    print(f"next: pacer plan {word}   read it before heating anything")
    print(f"then: pacer run {word}")
    return 0
