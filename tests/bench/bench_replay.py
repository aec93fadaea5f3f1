"""A long recording looked at: how long until it can be, what is held, what a look costs.

    python tests/bench/bench_replay.py [HOURS]

One channel at 4 Hz, 12 hours unless told, hot and steady, a press every five minutes; invented.
"""

from __future__ import annotations

import math
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from bench_latency import HOT
from written import head_of, lines_of, write_lines

from pacer.job.file.read import job_from_text
from pacer.recording.reader import Recording
from pacer.run.audit import audit
from pacer.run.film import Film
from pacer.session.events import Act, AnyEvent, Ended, Reading

PERIOD_MS = 250


def events(hours: float) -> Iterator[AnyEvent]:
    """Yield a heating to 262 °C in some eight minutes, then waves of 5 K."""
    count = round(hours * 3_600_000 / PERIOD_MS)
    for i in range(count):
        t_ms = i * PERIOD_MS
        temp_c = min(262.0, 20.0 + 0.125 * i) + 3.0 * math.sin(i / 777)
        yield Reading(t_ms=t_ms, raw=(round(temp_c, 2),), status="ok")
        if i == 4 or (i > 4000 and i % 1200 == 0):
            yield Act(t_ms=t_ms, deed="next")
    yield Ended(t_ms=count * PERIOD_MS, why="bench")


def main(hours: float) -> None:
    """Print all of it."""
    head = head_of(job_from_text(HOT, "hot.toml"), period_s=PERIOD_MS / 1000)
    with tempfile.TemporaryDirectory() as folder:
        path = write_lines(Path(folder) / "long.jsonl", lines_of(head, events(hours)))
        size_mb = path.stat().st_size / 1e6
        began = time.perf_counter()
        film = Film(Recording(path))
        open_s = time.perf_counter() - began
        costs = []
        for look in range(200):
            began = time.perf_counter()
            # Golden section: evenly spread, and each far from the last.
            film.snapshot(0.618 * look % 1.0 * film.end_s, speed=1.0, paused=True)
            costs.append(1000 * (time.perf_counter() - began))
        began = time.perf_counter()
        audit(Recording(path))
        audit_s = time.perf_counter() - began
        del film
        tracemalloc.start()
        film = Film(Recording(path))
        held_mb = tracemalloc.get_traced_memory()[0] / 1e6
        tracemalloc.stop()
        print(f"{hours:g} h, {size_mb:.1f} MB: open {open_s:.1f} s, audit {audit_s:.1f} s")
        print(f"held {held_mb:.1f} MB, {len(film.cues)} cues")
    costs.sort()
    print(f"a look anywhere: median {costs[100]:.0f} ms, 95 of 100 under {costs[190]:.0f} ms")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 12.0)
