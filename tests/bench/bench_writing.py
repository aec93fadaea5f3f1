"""Writing a record: `Log.append` against a bare write and fdatasync of the same bytes.

    python tests/bench/bench_writing.py [RECORDS] [FOLDER]

A press is synced at once, a reading within a second (here 4 a second, so each fourth or so).
The bare loop writes the very lines the log wrote and syncs after the same ones, so what is
left between the two is encoding, checksum, seal, reading back and what is kept in memory.
Turn about, three rounds; the medians and their ratio. Disks differ: judge the ratio.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from conftest import HOT
from written import head_of

from pacer.job.file.read import job_from_text
from pacer.recording.head import HEADS
from pacer.recording.writing.writer import SYNC_EVERY_S, Log
from pacer.session.events import Act, AnyEvent, Opened, Reading

ROUNDS = 3


def reading(i: int) -> Reading:
    """Return one line of four channels, 4 a second."""
    return Reading(t_ms=250 * i, raw=(301.25 + i % 7, 298.5, 255.75, 22.0), status="ok")


def press(i: int) -> Act:
    """Return a press with a wall time, as the driver stamps it."""
    return Act(t_ms=250 * i, deed="next", wall="2026-01-01T08:00:00.000+00:00")


def logged(path: Path, head: Opened, events: list[AnyEvent]) -> list[float]:
    """Return how long each append took, µs."""
    log = Log(path, head)
    took_us = []
    for event in events:
        began = time.perf_counter()
        log.append(event, event.t_s)
        took_us.append(1e6 * (time.perf_counter() - began))
    log.close()
    return took_us


def bare(path: Path, lines: list[bytes], synced: Callable[[int], bool]) -> list[float]:
    """Return how long each write, with its sync where the log had one, took, µs."""
    flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL
    fd = os.open(path, flags, 0o600)
    took_us = []
    for i, line in enumerate(lines):
        began = time.perf_counter()
        os.write(fd, line)
        if synced(i):
            os.fdatasync(fd)
        took_us.append(1e6 * (time.perf_counter() - began))
    os.close(fd)
    return took_us


def _print(name: str, ours: list[float], theirs: list[float]) -> None:
    mine, other = statistics.median(ours), statistics.median(theirs)
    total = sum(ours) / sum(theirs)
    print(
        f"{name}: {mine:.0f} µs against {other:.0f} µs, {mine / other:.2f}x, "
        f"{mine - other:+.0f} µs a record; all of them {total:.2f}x"
    )


def main() -> None:
    """Print what presses and readings take, and their ratio to the bare loop."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    folder = sys.argv[2] if len(sys.argv) > 2 else None
    head = head_of(job_from_text(HOT, "hot.toml"))
    kinds: tuple[tuple[str, Callable[[int], AnyEvent], Callable[[int], bool]], ...] = (
        ("press, synced at once", press, lambda i: True),
        ("reading, synced each second", reading, lambda i: i % (4 * SYNC_EVERY_S + 1) == 4),
    )
    for name, make, synced in kinds:
        events = [make(i) for i in range(count)]
        ours: list[float] = []
        theirs: list[float] = []
        with tempfile.TemporaryDirectory(dir=folder) as place:
            for turn in range(ROUNDS):
                path = Path(place) / f"{turn}.jsonl"
                ours += logged(path, head, events)
                lines = path.read_bytes().splitlines(keepends=True)[HEADS:]
                theirs += bare(Path(place) / f"{turn}.bare", lines, synced)
        _print(name, ours, theirs)
        if name.startswith("reading"):
            _print("  of them without a sync", _unsynced(ours, synced), _unsynced(theirs, synced))


def _unsynced(took_us: list[float], synced: Callable[[int], bool]) -> list[float]:
    count = len(took_us) // ROUNDS
    return [took for i, took in enumerate(took_us) if not synced(i % count)]


if __name__ == "__main__":
    main()
