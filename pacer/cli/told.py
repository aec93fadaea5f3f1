"""Small things several commands say alike."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path

from pacer.errors import UserInputError
from pacer.recording.reader import Recording
from pacer.text import clean


def tell_damage(recording: Recording) -> None:
    """Say on stderr what was missing in a recording that was read to its end."""
    for line in recording.damage.told(recording.name):
        print(f"pacer: {line}", file=sys.stderr)


def tell_written(recording: Recording, path: Path, what: str) -> None:
    """Say on stderr what was damaged, and where the recording could not take what was added."""
    tell_damage(recording)
    if path != recording.path:
        print(
            f"pacer: {recording.name}: could not be written; all of it and {what} "
            f"are in {clean(str(path))}",
            file=sys.stderr,
        )


def shell_word(path: Path) -> str:
    """Return a file's name as it can be typed at a shell, for the command that comes next.

    >>> shell_word(Path("my job.toml"))
    "'my job.toml'"
    """
    return clean(shlex.quote(str(path)))


def need_terminal() -> None:
    """Raise `UserInputError` where there is no terminal to draw on."""
    if not (sys.stdin.isatty() and sys.stdout.isatty() and sys.stderr.isatty()):
        raise UserInputError("no terminal for a screen here: use --no-screen")


def times_s(texts: list[str], option: str) -> list[float]:
    """Return times such as `20min` in s; raises `UserInputError` naming the option."""
    from pacer.units import parse

    out = []
    for text in texts:
        try:
            out.append(parse(text, "time"))
        except UserInputError as error:
            raise UserInputError(f"{option} {error}") from None
    return out


def times_real(text: str, low: float, high: float) -> float:
    """Return `--speed`, session seconds a real second; raises `UserInputError` outside the range."""
    try:
        speed = float(text)
    except ValueError:
        speed = -1.0
    if not low <= speed <= high:
        found = clean(text, 40)
        raise UserInputError(f'--speed "{found}": expected a number from {low:g} to {high:g}')
    return speed
