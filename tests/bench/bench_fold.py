"""Cost of folding, µs an event: the kept recordings, and 12 hours at 4 Hz of four channels.

    python tests/bench/bench_fold.py [HOURS]

The long session is made of a kept one (invented data): its presses and temperatures, the
latter as four channels with noise, then a cool-down that goes on. Processor time; the machines
are noisy, so the figure of a plain Python loop stands beside it.
"""

from __future__ import annotations

import random  # noqa: TID251 - seeded noise
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from timeit import repeat

from pacer.recording.reader import Recording
from pacer.run.refold import states
from pacer.session.events import Act, AnyEvent, Opened, Reading

ROOT = Path(__file__).parent.parent.parent
MOST_US = 50.0
"What folding one event of the long session may cost (issue 6)."


def long_session(recording: Recording, hours: float, channels: int = 4) -> Iterator[AnyEvent]:
    """Yield presses and lines of `channels` at 4 Hz, never uncovered."""
    noise = random.Random(1)
    events = list(recording.events())
    acts = [e for e in events if isinstance(e, Act) and e.deed != "uncovered"]
    points = [
        (e.t_ms, e.raw[0])
        for e in events
        if isinstance(e, Reading) and isinstance(e.raw[0], int | float)
    ]
    names = tuple(f"t{n + 1}" for n in range(channels))
    at = 0
    for t_ms in range(250, int(hours * 3_600_000) + 1, 250):
        while acts and acts[0].t_ms <= t_ms:
            yield acts.pop(0)
        while at + 2 < len(points) and points[at + 1][0] <= t_ms:
            at += 1
        (from_ms, from_c), (to_ms, to_c) = points[at : at + 2]
        share = min(1.0, max(0.0, (t_ms - from_ms) / max(1, to_ms - from_ms)))
        temp_c = from_c + share * (to_c - from_c)
        raw = tuple(round(temp_c + 1.5 * n + noise.gauss(0.0, 0.2), 2) for n in range(channels))
        yield Reading(t_ms=t_ms, raw=raw, status="ok", names=names)


def fold_us(opened: Opened, events: list[AnyEvent]) -> float:
    """Return the processor time of folding one event, µs."""
    began = time.process_time()
    for _ in states(opened, events):
        pass
    return (time.process_time() - began) / len(events) * 1e6


def main() -> None:
    """Print reading and folding apart."""
    hours = float(sys.argv[1]) if len(sys.argv) > 1 else 12.0
    loop_us = min(repeat("sum(i * i for i in range(1000))", number=1000, repeat=20)) * 1e3
    print(f"a plain loop of 1000: {loop_us:.1f} µs")
    for path in sorted((ROOT / "recordings").glob("*.jsonl")):
        recording = Recording(path)
        began = time.process_time()
        events = list(recording.events())
        read_us = (time.process_time() - began) / len(events) * 1e6
        each_us = fold_us(recording.head, events)
        print(
            f"{path.name}: {len(events)} events, read {read_us:.1f} µs, fold {each_us:.1f} µs each"
        )
    events = list(long_session(recording, hours))
    each_us = fold_us(recording.head, events)
    print(
        f"{hours:g} h at 4 Hz of 4 channels: {len(events)} events, fold {each_us:.1f} µs each "
        f"(at most {MOST_US:g}), {each_us / loop_us:.2f} plain loops"
    )


if __name__ == "__main__":
    main()
