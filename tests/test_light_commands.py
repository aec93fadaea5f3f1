"""What a command loads: quick to start, and no screen or port where none is used (design.md)."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from commands import environment
from conftest import HOT
from written import head_of, lines_of, some_events, write_lines

from pacer.job.job import Job

_LOADED = """
import json, sys
from pacer.cli.main import main
try:
    code = main(sys.argv[1:])
except SystemExit as stop:
    code = stop.code
print()
print(json.dumps([code, sorted({name.partition(".")[0] for name in sys.modules})]))
"""


def _loaded(*args: str | Path) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", _LOADED, *map(str, args)],
        capture_output=True,
        text=True,
        env=environment(),
        timeout=60,
    )
    code, names = json.loads(done.stdout.splitlines()[-1])
    assert not code, done.stderr
    return set(names)


@pytest.mark.slow
@pytest.mark.parametrize("args", [("--help",), ("--version",), ("cool", "--help"), ("guide",)])
def test_help_is_light(args: tuple[str, ...]) -> None:
    """`pacer --help` loads no pint, numpy or textual."""
    assert not _loaded(*args) & {"pint", "numpy", "textual", "rich", "serial", "asyncio"}


@pytest.mark.slow
def test_a_plan_needs_no_screen_and_no_port(tmp_path: Path) -> None:
    """`pacer plan --json` loads neither textual nor serial."""
    (tmp_path / "job.toml").write_text(HOT)
    loaded = _loaded("plan", tmp_path / "job.toml", "--json")
    assert "pacer" in loaded
    assert not loaded & {"textual", "rich", "serial", "asyncio"}


@pytest.mark.slow
@pytest.mark.parametrize(
    "command",
    [
        ("review", "--json"),
        ("review", "--json", "--set", "band.floor=210 degC"),
        ("replay", "--no-screen"),
        ("forecast",),
    ],
)
def test_a_recording_is_asked_without_screen_and_port(
    command: tuple[str, ...], hot_job: Job, tmp_path: Path
) -> None:
    """`pacer review --json` loads neither textual nor serial; nor do its neighbours."""
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), some_events(4)[:4]))
    name, *options = command
    assert not _loaded(name, path, *options) & {"textual", "rich", "serial", "asyncio"}


@pytest.mark.slow
def test_a_headless_session_over_a_file_needs_no_screen_and_no_port(tmp_path: Path) -> None:
    """A file of readings needs no serial library."""
    (tmp_path / "job.toml").write_text(HOT)
    (tmp_path / "in.txt").write_text("0,20\n")
    args = ("--sensor", f"file:{tmp_path}/in.txt?time=first", "--out", tmp_path / "a.jsonl")
    loaded = _loaded("run", tmp_path / "job.toml", "--no-screen", *args)
    assert not loaded & {"textual", "rich", "serial", "asyncio"}
