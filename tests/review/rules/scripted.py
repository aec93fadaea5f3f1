"""A hand-written script, run as a session by `pacer run` and folded for the review."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path
from unittest.mock import patch

from commands import here

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import RealDisk
from pacer.review.rules.rule import Rule, Step
from pacer.review.table import Table, table
from pacer.run.reviewing import steps
from pacer.session.finding import Finding

SCRIPTS = Path(__file__).parent.parent / "scripts"


def stepped(script: str | Path, job_toml: str, judged_by: str = "") -> list[Step]:
    """Return a script's session as the rules see it; a part of the list is a recording cut there.

    `script` is lines of `seconds,°C` and `seconds,!word`, or the name of a file in `SCRIPTS`. After
    a line `away 10min` it is taken up again so much later, and seconds count anew; `judged_by` is
    another job's TOML to fold it with.
    """
    text = (SCRIPTS / script).read_text(encoding="utf-8") if isinstance(script, Path) else script
    with tempfile.TemporaryDirectory() as folder:
        job, lines, out = (Path(folder) / name for name in ("job.toml", "script.txt", "out.jsonl"))
        job.write_text(job_toml, encoding="utf-8")
        run: tuple[str | Path, ...] = ("run", job, "--out", out)
        # Nothing here looks at what outlives a power cut, and a loaded disk is slow to say so.
        with patch.object(RealDisk, "sync"):
            for part in re.split("^(?=away )", text, flags=re.MULTILINE):
                away, told = re.match("(?:away (.*)\n)?", part), part
                if away is not None and away[1]:
                    run, told = ("run", "--resume", out, "--away", away[1]), part[away.end() :]
                lines.write_text(told, encoding="utf-8")
                here(*run, "--sensor", f"file:{lines}?time=first", "--no-screen").fine()
        recording = Recording(out)
        other = job_from_text(judged_by, "other.toml") if judged_by else None
        seen = list(steps(recording, other))
        assert recording.damage.sound, recording.damage.told("recording")
        return seen


def reviewed(script: str | Path, job_toml: str) -> Table:
    """Return the review's tables of a script's session."""
    return table(stepped(script, job_toml))


def edited(name: str, *changes: tuple[str, str]) -> str:
    """Return a script of `SCRIPTS` with lines replaced, each of which it must have once."""
    lines = (SCRIPTS / name).read_text(encoding="utf-8").splitlines()
    for old, new in changes:
        lines[lines.index(old)] = new
        assert old not in lines, f"{old} stands there twice"
    return "\n".join(lines) + "\n"


def cut(seen: list[Step], rule: Callable[[Job], Rule]) -> list[list[Finding]]:
    """Return what one rule finds in a recording cut after each of its steps."""

    def of(part: list[Step]) -> list[Finding]:
        one = rule(part[0].state.job)
        for step in part:
            one.see(step)
        return list(one.found(part[-1].state))

    return [of(seen[:end]) for end in range(1, len(seen) + 1)]


def shows_from(seen: list[Step], rule: Callable[[Job], Rule], name: str) -> int | None:
    """Return the record from which on a finding shows, however the recording is cut after it."""
    has = [name in names(found) for found in cut(seen, rule)]
    if True not in has:
        return None
    first = has.index(True)
    assert all(has[first:]), f"{name} comes and goes"
    return seen[first].record


def names(found: Table | Iterable[Finding]) -> list[str]:
    """Return the names of the findings, notes among them, in alphabetical order."""
    return sorted(f.name for f in (found.findings if isinstance(found, Table) else found))


def above_notes(found: Table) -> list[str]:
    """Return the names of those that are more than a note."""
    return names(f for f in found.findings if f.weight == "finding")


def only(found: Table, name: str) -> Finding:
    """Return the one finding of a name."""
    (one,) = (f for f in found.findings if f.name == name)
    return one
