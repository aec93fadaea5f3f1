"""Cost of the filter between beads: a step, its forecasts, and what it adds to the fold.

``python tests/bench/bench_between.py`` (a minute or two).
The reference is a fixed loop of additions: on a loaded or slower machine it grows as well, so
that figures of two runs can be told apart from the weather. Processor time, best of three; the fold
twice.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from unittest import mock

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "session"))

from conftest import HOT
from telling import opened

from pacer.heat.lumped import cooling_rate_c_s
from pacer.heat.pauses import beads, belief, between
from pacer.heat.pauses.ahead import beads_left, paths, time_to
from pacer.heat.pauses.belief import Estimate
from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.session import fold
from pacer.session.events import Act, AnyEvent, Deed, Reading
from pacer.session.learning import bare

BAR_US = 50.0
"An event may cost so much in the fold (design.md has 4 µs a reading without learning)."


def us(work: Callable[[], object], count: int, runs: int = 3) -> float:
    """Return µs of processor time for one of `count`, the best of `runs` of `work`."""
    best = float("inf")
    for _ in range(runs):
        began = time.process_time()
        work()
        best = min(best, time.process_time() - began)
    return best / count * 1e6


def reference_us() -> float:
    """Return µs for a thousand additions of a plain loop."""

    def add() -> float:
        total = 0.0
        for i in range(1_000_000):
            total += i
        return total

    return us(add, 1000)


def warmed(job: Job) -> Estimate:
    """Return an estimate with five beads behind it and a minute of readings."""
    part = bare(job)
    estimate = belief.begin(part, 0.0, 250.0, 3.0, heated=False)
    for i in range(5):
        at_s = 60.0 * i
        estimate = between.struck(part, estimate, at_s, 0.01 * i, 1700.0)
        estimate = between.put_out(part, estimate, at_s + 12.0)
        for second in range(15, 60):
            estimate = between.took(part, estimate, at_s + second, 250.0)
    return estimate


def session(hours: float, hot_share: float = 1.0) -> list[AnyEvent]:
    """Return `hours` of readings at 4 Hz: bead cycles and reheats, then a covered cool-down.

    The part loses as a bare plate, warms 3 K over a bead and 25 K a minute under a flame.
    """
    count, temp_c = round(hours * 4 * 3600), 20.0
    hot_until = round(count * hot_share)
    events: list[AnyEvent] = [_act(0, "next")]
    bead_at, bead_off, lit = 0, -1, False
    for i in range(count):
        t_ms = 250 * i
        temp_c += 0.25 * (0.5 if temp_c < 200.0 or lit else 0.0)
        kept = 0.1 if i > hot_until else 1.0
        temp_c -= 0.25 * kept * cooling_rate_c_s(temp_c, 20.0, 3.2, 0.084)
        lit = (lit or temp_c < 208.0) and temp_c < 262.0 and i < hot_until
        if 1600 < i < hot_until and not lit and i - bead_at > 200:
            events.append(_act(t_ms, "arc on"))
            bead_at, bead_off = i, i + 40
        if i == bead_off:
            events.append(_act(t_ms, "arc off"))
            temp_c += 3.0
        if i == hot_until and hot_share < 1.0:
            events += [_act(t_ms, "finish"), _act(t_ms, "covered")]
        noise_dc = 0.8 * ((i * 7919) % 13 - 6) / 6
        events.append(Reading(t_ms=t_ms, raw=(round(temp_c + noise_dc, 1),), status="ok"))
    return events


def _act(t_ms: int, deed: Deed) -> Act:
    return Act(t_ms=t_ms, deed=deed, by="signal")


def filter_costs(job: Job) -> None:
    """Print the cost of each call."""
    part, estimate = bare(job), warmed(job)
    t_s = estimate.t_s
    ahead = paths(part, estimate, t_s)
    rows: list[tuple[str, Callable[[], object], int]] = [
        ("moved on 1 s", partial(between.moved, part, estimate, t_s + 1.0), 300),
        ("a reading 1 s on", partial(between.took, part, estimate, t_s + 1.0, 250.0), 300),
        ("sink_dc", partial(beads.sink_dc, part, estimate, 10.0), 300),
        ("paths", partial(paths, part, estimate, t_s), 20),
        ("time_to", partial(time_to, ahead, 200.0), 50),
        ("beads_left", partial(beads_left, ahead, 200.0, 2e4, 12.0, 40.0, 40), 20),
    ]
    for name, call, count in rows:
        cost_us = us(partial(_often, call, count), count)
        print(f"  {name:18} {cost_us:8.1f} µs")


def _often(call: Callable[[], object], count: int) -> None:
    for _ in range(count):
        call()


def fold_costs(job: Job) -> None:
    """Print µs an event over whole sessions, with the filter and without."""
    head = opened(job)
    for name, hours, share in (
        ("1 h, all hot", 1.0, 1.0),
        ("4 h, 2 h hot", 4.0, 0.5),
        ("12 h, 3 h hot", 12.0, 0.25),
    ):
        events = session(hours, share)
        folded = partial(fold.fold, head, events)
        with mock.patch.object(between, "took", wraps=between.took) as took:
            state, _ = folded()
        full_us = bare_us = whole_us = float("inf")
        for _ in range(2):
            # In turn, each with its own reference: the machine's speed changes meanwhile.
            whole_us = min(whole_us, reference_us())
            full_us = min(full_us, us(folded, len(events), runs=1))
            with mock.patch.object(fold, "follow", lambda state, event: state):
                bare_us = min(bare_us, us(folded, len(events), runs=1))
        beads, taken = len(state.work.beads), took.call_count
        print(
            f"  {name:14} {len(events):6d} events, {beads:3d} beads, {taken:5d} readings taken: "
            f"{full_us:5.1f} µs an event, {bare_us:5.1f} without, ratio {full_us / bare_us:.2f},"
            f" {full_us / whole_us:.2f} references"
            f" (bar {BAR_US:.0f} µs: {'held' if full_us <= BAR_US else 'NOT held'})"
        )


def main() -> None:
    """Print all figures."""
    job = job_from_text(HOT, "hot.toml")
    print(f"reference: {reference_us():.1f} µs for a thousand additions")
    filter_costs(job)
    fold_costs(job)
    print(f"reference: {reference_us():.1f} µs for a thousand additions")


if __name__ == "__main__":
    main()
