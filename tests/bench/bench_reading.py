"""Cost of reading a recording: 12 hours at 4 Hz of four channels, against bare JSON parsing.

    python tests/bench/bench_reading.py [HOURS]

Reading is what every command does: lines bounded, checksums and seals checked, events made,
keys and ranges looked at. The reference is `json.loads` of each line of the same file, which
checks nothing. Folding the same events is stated apart. Processor time, best of three in turn;
readings are invented.
"""

from __future__ import annotations

import hashlib
import itertools
import json
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from conftest import HOT
from written import head_of

from pacer.job.file.read import job_from_text
from pacer.recording.codec import encode, seed_of
from pacer.recording.reader import Recording
from pacer.run.refold import states
from pacer.session.events import Ended, Mark, Opened, Reading

MOST = 5.0
"Reading may cost so many times the bare parsing (issue 6)."

MARK_EVERY = 240


def write(path: Path, hours: int) -> int:
    """Write the session, sealed each minute and at its end; return how many readings."""
    opened: Opened = head_of(job_from_text(HOT, "hot.toml"))
    seed, sha, count = seed_of(opened.sid), hashlib.sha256(), hours * 3600 * 4
    numbers = itertools.count()
    with path.open("wb") as file:

        def put(event: Opened | Reading | Mark | Ended) -> None:
            q = next(numbers)
            line = encode(q, event, seed if q else 0)
            sha.update(line)
            file.write(line)

        put(opened)
        for i in range(count):
            raw = tuple(20.0 + (i % 997) / 4 + channel for channel in range(4))
            put(Reading(t_ms=250 * i, raw=raw, status="ok", names=("t1", "t2", "t3", "t4")))
            if i % MARK_EVERY == MARK_EVERY - 1:
                put(Mark(t_ms=250 * i, n=0, sha=sha.hexdigest()))
        put(Ended(t_ms=250 * count, why="the bench is over", sha=sha.hexdigest()))
    return count


def parse(path: Path) -> int:
    """Parse each line and check nothing."""
    with path.open("rb") as file:
        return sum(1 for line in file if json.loads(line))


def read(path: Path) -> int:
    """Read and check each line."""
    recording = Recording(path)
    count = 1 + sum(1 for _ in recording.records())
    assert recording.damage.sound, recording.damage.told("bench")
    assert recording.damage.ended
    return count


def _best_s(runs: int, works: tuple[Callable[[Path], int], ...], path: Path) -> list[float]:
    best = [float("inf")] * len(works)
    for _ in range(runs):
        # In turn, so that the weather of a shared machine hits all alike.
        for index, work in enumerate(works):
            began = time.process_time()
            work(path)
            best[index] = min(best[index], time.process_time() - began)
    return best


def _fold_s(path: Path) -> float:
    """Return the processor time of folding one event, s; reading left out."""
    recording = Recording(path)
    events = list(itertools.islice(recording.events(), 40_000))
    began = time.process_time()
    for _ in states(recording.head, events):
        pass
    return (time.process_time() - began) / len(events)


def main() -> None:
    """Print both costs, their ratio, and what folding adds."""
    hours = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "day.jsonl"
        readings = write(path, hours)
        size_mb = path.stat().st_size / 1e6
        lines = read(path)
        parse_s, read_s = _best_s(3, (parse, read), path)
        fold_s = _fold_s(path)
    print(f"{readings} readings of four channels, {lines} lines, {size_mb:.1f} MB")
    print(f"json.loads of each line {parse_s:.2f} s, {parse_s / lines * 1e6:.2f} µs a line")
    print(f"read and checked {read_s:.2f} s, {read_s / lines * 1e6:.2f} µs a line")
    print(f"ratio {read_s / parse_s:.2f} (at most {MOST:g})")
    print(f"folding, apart: {fold_s * 1e6:.1f} µs an event (first 40,000)")


if __name__ == "__main__":
    main()
