"""Makes recordings/ear-good.jsonl and ear-cracked.jsonl: one job, once as planned, once with faults.

    cd tests/review/planted && PYTHONPATH=../.. python make_recordings.py FOLDER

Everything in them is invented; what was found afterwards is written by `pacer inspect` and
`pacer outcome`.
"""

from __future__ import annotations

import sys
from pathlib import Path

from commands import here
from fakes import FakeClock, QuietDisk

from pacer.job.file.read import read_job
from pacer.recording.writing.writer import Log
from pacer.run.driver import Driver
from pacer.run.opening import head
from pacer.sensor.practice.planted.fault import Fault
from pacer.sensor.practice.source import open_practice
from pacer.session.fold import begin

SCENARIO = Path(__file__).with_name("scenario.toml")
SEED = 4

FAULTS = (
    Fault("reheat missed", 150.0, bead=4),
    Fault("late peen", 14.0, bead=4),
    Fault("uncovered early", 210.0),
)
"""He is called away before bead 4, comes back to a part gone cool and strikes all the same, looks
for his hammer, and can't wait for the end."""


def make(path: Path, faults: tuple[Fault, ...], *afterwards: tuple[str, ...]) -> None:
    """Record the scenario with these faults, and what was found after it."""
    path.unlink(missing_ok=True)
    job = read_job(SCENARIO)
    source, clock = open_practice(job, SEED, 0.0, planted=faults), FakeClock()
    opened = head(job, source, clock.wall(), settings={"units": "metric"})
    state, cues = begin(opened)
    log = Log(path, opened, disk=QuietDisk())
    Driver(log=log, source=source, clock=clock, state=state, cues=cues).run()
    log.close()
    for command, *options in afterwards:
        here(command, path, *options).fine()


def main(folder: Path) -> None:
    """Make both."""
    make(
        folder / "ear-good.jsonl",
        (),
        ("inspect", "--look", "visual", "--result", "nothing found", "--by", "invented"),
        ("inspect", "--look", "ring", "--result", "nothing found", "--heard", "clear"),
        ("outcome", "--found", "no crack found", "--when", "at a later look"),
    )
    make(
        folder / "ear-cracked.jsonl",
        FAULTS,
        (
            *("inspect", "--look", "visual", "--result", "imperfections found"),
            *("--imperfection", "1013 bead 4 12mm", "--by", "invented"),
        ),
        (
            *("outcome", "--found", "crack", "--when", "at uncovering"),
            *("--where", "heat-affected zone", "--runs", "along", "--bead", "4"),
            *("--text", "seen as the vermiculite was brushed off (invented)"),
        ),
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
