"""Make the kept recording of one version of the format, by that version's own program.

    PYTHONPATH=CHECKOUT python tests/recording/freeze.py CHECKOUT tests/data/recordings

runs the `pacer` of CHECKOUT over an invented session (temperatures made up, no measurement)
and writes `V.jsonl`, what it exported then (`V.csv`) and the cue lines it printed
(`V.cues.txt`), V being the version it writes. Done once, before the version is raised;
`test_versions.py` reads them for ever.
"""

from __future__ import annotations

import math
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from conftest import HOT

KILLED = {"1.1"}
"""Left unfinished: its program was killed in the cool-down, standard input still open."""

TAKEN_UP_AGAIN = {"1.3", "1.4"}
"""Closed in the cool-down, taken up again, and told afterwards what became of it."""

INSPECTED = {"1.4"}
"""With a preparation list and a look at the finished repair."""

_SPLIT_S = 14_000
"Where it is closed, and where the killed one ends."

_CAUSE = '[history]\ncause = "frost"\n'
_FACTS = {"1.3": _CAUSE, "1.4": _CAUSE}
_LOOK = (
    *("--look", "penetrant", "--result", "imperfections found"),
    *("--imperfection", "1046 bead 2 3mm"),
)
_OUTCOME = ("--found", "crack", "--when", "in service", "--service", "400h")

_URL = {"1.1": "file:-?time=first&channel=T1&arc=I&arc_on=20&arc_off=10"}
_LINE: dict[str, Callable[[float, bool], str]] = {
    "1.0": lambda temp_c, burns: f"{temp_c:.2f}",
    "1.1": lambda temp_c, burns: f"T1={temp_c:.2f};I={96.0 if burns else 0.4}",
}
_MARKED: Callable[[float, bool], str] = lambda temp_c, burns: (  # noqa: E731 - a row of the table
    f"T1={temp_c:.2f}C;T2={temp_c - 1.5:.2f}C"
)


def script(version: str) -> Iterator[str]:
    """Yield the lines of the session: preheat, two beads, a hold, and a cool-down in sand."""
    line = _LINE.get(version, _MARKED)
    signal = version == "1.1"
    yield f"0,{line(21.0, False)}"
    yield "1,!note rod 3, dried 1 h at 150 °C"
    if version in INSPECTED:
        yield "1.5,!prepared vents"
    yield "2,!next"
    for t_s in range(4, 126, 3):
        yield f"{t_s},{line(min(262.5, 21 + 2.0 * t_s), False)}"
    for t_s in range(127, 190, 3):
        yield f"{t_s},{line(263.0 - (t_s - 127) / 60, False)}"
        if t_s == 160:
            yield f"{t_s + 1},!reading 259 degC"
    # READY; two beads of 10 s. With a signal the arc speaks for itself.
    for start_s in (200, 240):
        for t_s in range(start_s - 9, start_s + 30):
            burns = start_s <= t_s < start_s + 10
            yield f"{t_s},{line(258.0 + (t_s % 5) / 4, burns)}"
            if t_s == start_s and not signal:
                yield f"{t_s}.5,!arc on"
            if t_s == start_s + 10 and not signal:
                yield f"{t_s}.5,!arc off"
            if t_s == start_s + 12:
                yield f"{t_s}.6,!bead 24 mm"
            if t_s == start_s + 20:
                yield f"{t_s}.7,!next"
    yield "271,!tink near the left end"
    if version != "1.0":
        yield "272,!checked"
    if version in TAKEN_UP_AGAIN:
        yield "272.5,!reading 228 degC far end"
    yield f"273,{line(251.0, False)}"
    yield "274,!finish"
    for t_s in range(276, 420, 6):
        yield f"{t_s},{line(250.0 + 10 * (1 - math.exp(-(t_s - 276) / 40)), False)}"
    yield "421,OPEN"
    yield "424,3O0.5"
    yield f"426,{line(259.0, False)}"
    yield "430,!next"
    yield "431,!covered"
    last_s = _SPLIT_S if version in KILLED else 52_000
    for t_s in range(450, last_s, 300):
        yield f"{t_s},{line(20.0 + 238.0 * math.exp(-(t_s - 450) / 19_000), False)}"
    if version not in KILLED:
        yield f"{last_s},!uncovered"


def freeze(checkout: Path, folder: Path) -> None:
    """Write recording, export and cue lines of the version that `checkout` writes."""
    codec = (checkout / "pacer/recording/codec.py").read_text()
    found = re.search(r"^VERSION = \((\d+), (\d+)\)$", codec, re.MULTILINE)
    assert found is not None
    version = f"{found[1]}.{found[2]}"
    job, out = folder / "job.toml", folder / f"{version}.jsonl"
    job.write_text(HOT + _FACTS.get(version, ""))
    lines = list(script(version))
    first = lines
    if version in TAKEN_UP_AGAIN:
        first = [line for line in lines if float(line.split(",")[0]) <= _SPLIT_S]
    url = _URL.get(version, "file:-?time=first")
    run = ("run", str(job), "--sensor", url, "--no-screen", "--out", str(out))
    cues = _run(checkout, run, out, first, version in KILLED)
    if version in TAKEN_UP_AGAIN:
        resume = ("run", "--resume", str(out), "--sensor", url, "--no-screen", "--away", "10min")
        began_s = float(first[-1].split(",")[0]) + 600
        rest = [line for line in lines[len(first) :] if float(line.split(",")[0]) > began_s]
        cues += _run(checkout, resume, out, rest, False)
        subprocess.check_call(_pacer("outcome", str(out), *_OUTCOME), env=_env(checkout))
    if version in INSPECTED:
        subprocess.check_call(_pacer("inspect", str(out), *_LOOK), env=_env(checkout))
    job.unlink()
    out.chmod(0o644)
    (folder / f"{version}.cues.txt").write_text(cues, encoding="utf-8")
    exported = _pacer("export", str(out), "--csv", "-")
    (folder / f"{version}.csv").write_bytes(
        subprocess.check_output(exported, cwd=checkout, env=_env(checkout))
    )


def _run(checkout: Path, args: tuple[str, ...], out: Path, lines: list[str], killed: bool) -> str:
    """Return the cue lines; where it is `killed`, once it has written the last reading."""
    told = "".join(line + "\n" for line in lines)
    program = subprocess.Popen(
        _pacer(*args),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=checkout,
        env=_env(checkout),
    )
    assert program.stdin is not None
    assert program.stdout is not None
    program.stdin.write(told.encode())
    program.stdin.flush()
    if not killed:
        return program.communicate()[0].decode()
    last_ms = b'"b":%d,' % round(1000 * float(told.splitlines()[-1].split(",")[0]))
    while not (out.exists() and last_ms in out.read_bytes()):
        pass
    program.kill()
    return program.stdout.read().decode()


def _pacer(*args: str) -> list[str]:
    return [sys.executable, "-m", "pacer", *args]


def _env(checkout: Path) -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(checkout), "PYTHONUNBUFFERED": "1"}


if __name__ == "__main__":
    freeze(Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve())
