"""Compare the chosen order of beads with others on the finer plate: the guide's table.

``PYTHONPATH=. python tests/bench/bench_order.py [SEEDS]`` (default 12; some minutes).
Truths are simulated (`tests/heat/truth_row.py`), seeds from 100 on, not used for tuning.
"""

from __future__ import annotations

import statistics
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "heat"))

from truth_row import CASES, Case, hottest, orders

from pacer.job.file.read import job_from_text
from pacer.job.local_heat import local_heat

FIRST_SEED = 100


def table(case: Case, seeds: int) -> list[str]:
    """Return one line an order: medians over the seeds of the hottest place before a bead."""
    job = job_from_text(case.job_text, case.name)
    lines = [f"{case.name}: order {job.plan.order}, forecast {local_heat(job)}"]
    for name, order in orders(case.places, job.plan.order).items():
        found = [hottest(case, name, order, FIRST_SEED + i) for i in range(seeds)]
        local, mean, sensor = (
            [getattr(one, key) for one in found]
            for key in ("local_c", "over_mean_dc", "over_sensor_dc")
        )
        lines.append(
            f"  {name:14s} {statistics.median(local):5.0f} °C ({min(local):.0f}-{max(local):.0f})"
            f"  over mean {statistics.median(mean):5.1f}  over sensor {statistics.median(sensor):5.1f}"
        )
    return lines


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    for one in CASES:
        print("\n".join(table(one, count)), flush=True)
