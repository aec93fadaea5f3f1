"""`python -m pacer` as another program sees it: arguments and input in, lines and a code out.

`pacer` starts the program; `here` asks the same code in this process, which has loaded it already,
in a fraction of the time. Each command is started somewhere; its further answers come from `here`.
"""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from pacer.cli.main import main

ROOT = Path(__file__).parent.parent


def environment() -> dict[str, str]:
    """Return the environment of a child: this checkout's pacer, the test's own home."""
    return {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80"}


@dataclass(frozen=True)
class Done:
    """How a command ended."""

    code: int
    out: str
    err: str

    @property
    def cues(self) -> list[str]:
        """Cue lines: the only ones with two tabs."""
        return [line for line in self.out.splitlines() if line.count("\t") == 2]

    def fine(self) -> Done:
        """Insist on success and on no traceback."""
        assert self.code == 0, self.err
        assert "Traceback" not in self.err
        return self


def told(args: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    """Run a command in this process; return its exit code and what it said."""
    code = main(args)
    out, err = capsys.readouterr()
    return code, out, err


def here(*args: str | Path) -> Done:
    """Run a command in this process, without standard input; what it raises goes through."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            code = int(main([str(arg) for arg in args]))
        except SystemExit as end:
            code = int(end.code or 0)
    return Done(code, out.getvalue(), err.getvalue())


def pacer(*args: str | Path, told: str | bytes = "", speaks: str = "") -> Done:
    """Run a command with `told` on its standard input; `speaks`: its terminal's encoding."""
    done = subprocess.run(
        [sys.executable, "-m", "pacer", *map(str, args)],
        input=told.encode() if isinstance(told, str) else told,
        capture_output=True,
        env=environment() | ({"PYTHONIOENCODING": speaks} if speaks else {}),
        timeout=120,
    )
    out, err = (stream.decode(speaks or "utf-8") for stream in (done.stdout, done.stderr))
    return Done(done.returncode, out, err)


def run_script(job: Path, out: Path, script: str, *args: str) -> Done:
    """Run a headless session over a script with times on standard input."""
    return pacer(
        "run", job, "--sensor", "file:-?time=first", "--no-screen", "--out", out, *args, told=script
    )
