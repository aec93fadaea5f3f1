"""Scores of the guard: every fault through the whole fold, and what it says where there is none.

    python tests/bench/bench_guard.py                    # 100 seeds a fault, 26 h without one; minutes
    python tests/bench/bench_guard.py --seeds 20 --only stuck --traces
    python tests/bench/bench_guard.py --period 1         # a meter that speaks once a second
    python tests/bench/bench_guard.py --calm-only

Faults, sizes and parts are simulated and invented (`tests/session/faults.py`).
"""

from __future__ import annotations

import argparse
import math
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "session"))
sys.path.insert(0, str(Path(__file__).parents[1]))

from calm import CALM, Calm
from conftest import HOT
from faults import FAULTS, Trace, trace
from scenes import PERIOD_S
from verdict import Score, row, score

from pacer.job.file.read import job_from_text
from pacer.job.job import Job


def pair(values: tuple[float, float]) -> str:
    """Return median and 95th percentile as a cell."""
    return "–" if math.isnan(values[0]) else f"{values[0]:.1f} / {values[1]:.1f}"


def counts(found: Counter[str], of: int) -> str:
    """Return names and their share of the traces as a cell."""
    return ", ".join(f"{name} {100.0 * n / of:.0f} %" for name, n in found.most_common()) or "–"


def faults_table(job: Job, seeds: int, only: str, period_s: float, traces: bool) -> None:
    """Print a row a fault."""
    print(f"{seeds} traces a fault, a reading each {period_s} s; median / 95th percentile, s\n")
    print(
        "| fault | named | after | told after | wrong names | a wrong value decided for"
        " | untrue cues | over after |"
    )
    print("|---|---|---|---|---|---|---|---|")
    for name in (name for name in FAULTS if only in name):
        played = [trace(job, name, seed, period_s) for seed in range(seeds)]
        scores = [score(one) for one in played]
        asked, ends = bool(FAULTS[name].right), math.isfinite(played[0].ends_s)
        found = row(scores, ends=ends)
        share = f"{100.0 * found.found:.0f} %" if asked else "not asked"
        left = f", never {found.not_cleared}" if found.not_cleared else ""
        print(
            f"| {name} | {share} | {pair(found.found_s)} | {pair(found.told_s)}"
            f" | {counts(found.wrong, seeds)} | {pair(found.misled_s)}"
            f" | {counts(found.untrue, seeds)} | {pair(found.cleared_s)}{left} |",
            flush=True,
        )
        if traces:
            listed(played, scores)


def listed(traces: list[Trace], scores: list[Score]) -> None:
    """Print each trace that was missed, late or misnamed."""
    for one, got in zip(traces, scores, strict=True):
        # Counted in readings most rules take: a slow meter gets four more periods.
        late_s = FAULTS[one.name].within_s + 4.0 * (one.period_s - PERIOD_S)
        missed = one.right and (got.found_s is None or got.found_s > late_s)
        if missed or got.wrong or got.untrue:
            wrong = ", ".join(sorted(got.wrong))
            told = dict(got.told)
            found = "missed" if got.found_s is None else f"after {got.found_s:.1f} s"
            print(
                f"  seed {one.seed}: {found}; wrong: {wrong or '–'}; told {told}, untrue {dict(got.untrue)}; from {one.known_s:.2f} s"
            )


def calm_table(job: Job, only: str) -> None:
    """Print what was named and told in sessions without a fault."""
    print("\nWithout a fault: times an hour a state began, and a cue of the sensor was told\n")
    print("| scene | hours | states | cues |")
    print("|---|---|---|---|")
    hours, states, cues = 0.0, Counter[str](), Counter[str]()
    for kind in (kind for kind in CALM if only in kind.name):
        found: Calm = kind.run(job)
        hours, states, cues = hours + found.hours, states + found.states, cues + found.cues
        print(
            f"| {kind.name} | {found.hours:.1f} | {rates(found.states, found.hours)}"
            f" | {rates(found.cues, found.hours)} |",
            flush=True,
        )
    print(f"| all | {hours:.1f} | {rates(states, hours)} | {rates(cues, hours)} |")


def rates(found: Counter[str], hours: float) -> str:
    """Return names and how often an hour as a cell."""
    return ", ".join(f"{name} {n / hours:.2f}" for name, n in found.most_common()) or "none"


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seeds", type=int, default=100)
    parser.add_argument("--only", default="")
    parser.add_argument("--period", type=float, default=0.25)
    parser.add_argument("--traces", action="store_true")
    parser.add_argument("--calm-only", action="store_true")
    asked = parser.parse_args()
    job = job_from_text(HOT, "hot.toml")
    if not asked.calm_only:
        faults_table(job, asked.seeds, asked.only, asked.period, asked.traces)
    if asked.calm_only or not asked.only:
        calm_table(job, asked.only)


if __name__ == "__main__":
    main()
