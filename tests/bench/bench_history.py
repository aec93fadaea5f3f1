"""`pacer history` over 10,000 sessions that the index holds, against starting Python.

    python tests/bench/bench_history.py [SESSIONS] [--build]

The sessions are one invented summary with other ids and numbers; their files are looked at on
the disk, not read, as in a folder that nobody has changed. `--build` also folds kept practice
recordings, each new to the index, in as many processes as there are cores. Wall time of the whole
command with its page, best of three; how much of it is drawing is seen by `--json`.
"""

from __future__ import annotations

import os
import random  # noqa: TID251 - seeded
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import msgspec

sys.path.insert(0, str(Path(__file__).parents[1]))

from commands import ROOT

from pacer.review.became import Became
from pacer.run.history.folding import Folded, fold
from pacer.run.history.index import NAME, Index
from pacer.run.history.rules import rules_version
from pacer.run.history.walk import files
from pacer.session.events import Found

MOST_S = 5.0
"Issue 8: seconds."

KEPT = ROOT / "recordings" / "practice-uncovered-early.jsonl"


def fill(folder: Path, home: Path, count: int) -> None:
    """Make files and an index that knows each of them."""
    chance = random.Random(1)
    one = fold(str(KEPT)).summary
    assert one is not None
    for number in range(count):
        (folder / f"{number // 500:02d}").mkdir(exist_ok=True)
        (folder / f"{number // 500:02d}" / f"{number:05d}.jsonl").write_bytes(b"kept\n")
    index = Index(home / NAME, rules_version())
    index.known(folder)
    for number, file in enumerate(files(folder, [])):
        some = {name: value * chance.uniform(0.8, 1.2) for name, value in one.numbers.items()}
        found: Found | None = chance.choice(("crack", "no crack found", None))
        session = msgspec.structs.replace(
            one, sid=f"{number:016x}", invented="", numbers=some, became=Became(found)
        )
        index.keep(file, Folded(session))
    index.write()
    index.close()


def best_s(*args: str, home: Path) -> float:
    """Return the shortest of three runs, s."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PACER_HOME": str(home)}
    times = []
    for _ in range(3):
        began = time.perf_counter()
        done = subprocess.run([sys.executable, *args], env=env, stdout=subprocess.PIPE, check=True)
        times.append(time.perf_counter() - began)
        assert args[0] != "-m" or done.stdout
    return min(times)


def build_s(folder: Path, home: Path, count: int) -> float:
    """Return how long it takes to fold `count` recordings that are new, s."""
    for number in range(count):
        (folder / f"{number}.jsonl").write_bytes(KEPT.read_bytes())
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PACER_HOME": str(home)}
    began = time.perf_counter()
    command = [sys.executable, "-m", "pacer", "history", str(folder), "--invented"]
    subprocess.run(command, env=env, stdout=subprocess.PIPE, check=True)
    return time.perf_counter() - began


def main() -> None:
    """Print the times and their ratio to a bare start."""
    counts = [int(word) for word in sys.argv[1:] if word.isdigit()]
    count = counts[0] if counts else 10_000
    with tempfile.TemporaryDirectory() as name:
        folder, home = Path(name) / "recordings", Path(name) / "home"
        folder.mkdir()
        fill(folder, home, count)
        size_mb = (home / NAME).stat().st_size / 1e6
        bare_s = best_s("-c", "pass", home=home)
        page_s = best_s("-m", "pacer", "history", str(folder), home=home)
        json_s = best_s("-m", "pacer", "history", str(folder), "--json", home=home)
        print(f"{count} sessions, index {size_mb:.1f} MB, of {os.cpu_count()} cores")
        print(f"python -c pass {bare_s * 1000:.0f} ms")
        print(
            f"listed and compared {page_s:.2f} s, {page_s / bare_s:.0f} times (at most {MOST_S} s)"
        )
        print(f"as JSON {json_s:.2f} s")
        if "--build" in sys.argv:
            new = Path(name) / "new"
            new.mkdir()
            took_s = build_s(new, home, 12)
            print(f"12 recordings of {KEPT.stat().st_size / 1e6:.1f} MB folded in {took_s:.1f} s")


if __name__ == "__main__":
    main()
