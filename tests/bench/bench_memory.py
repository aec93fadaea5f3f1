"""Memory of a long session: 12 simulated hours at 4 Hz, driven, logged and folded.

    python tests/bench/bench_memory.py [HOURS]

A bead every five minutes. reliability.md T-15: no reading of 172,801 is missing, resident
memory grows by 10 MB at most after the first hour. The second half runs under tracemalloc,
which tells what the program itself still holds. Of both, the lines that the log keeps on
purpose (T-07: a failed sync writes the whole session anew) are said apart. Nothing is synced: disks are not the subject.
"""

from __future__ import annotations

import gc
import os
import sys
import tempfile
import time
import tracemalloc
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bench_latency import HOT

from pacer.job.file.read import job_from_text
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import RealDisk
from pacer.recording.writing.writer import Log
from pacer.run.driver import Driver
from pacer.run.opening import head
from pacer.sensor.source import Heard
from pacer.session.cues import Cue
from pacer.session.events import Act, AnyEvent, Channel, Reading
from pacer.session.fold import begin

PERIOD_S = 0.25
BEAD_EVERY_S = 300.0
START = datetime(2026, 1, 1, 8, 0, 0, tzinfo=UTC)


class Unsynced(RealDisk):
    """A real file without waiting for the disk."""

    def sync(self, fd: int) -> None:
        """Nothing is lost in a bench that does not end."""


class LongDay:
    """Clock and live source in one: a reading each quarter second, a press when it is time."""

    url = "bench:"
    channel = Channel(name="t1", unit="degC")
    period_s: float | None = PERIOD_S
    hand = False
    clk = "boottime"
    name = "boottime"
    invented = "bench"
    finished = False

    def __init__(self) -> None:
        self._t_s = 0.0
        self._index = 0
        self._presses = [1.0]

    def now_s(self) -> float:
        """Return session time."""
        return self._t_s

    clock = now_s

    def wall(self) -> datetime:
        """Return wall time."""
        return START + timedelta(seconds=self._t_s)

    def skip(self, by_s: float) -> None:
        """Never asked of a clock that counts."""

    def read(self, until_s: float | None) -> list[Heard]:
        """Return the next reading or press, or nothing at a deadline before it."""
        due_s = self._index * PERIOD_S
        press = bool(self._presses) and self._presses[0] <= due_s
        next_s = self._presses[0] if press else due_s
        if until_s is not None and until_s < next_s:
            self._t_s = max(self._t_s, until_s)
            return []
        self._t_s = next_s
        if press:
            self._presses.pop(0)
            return [Heard(next_s, Act(t_ms=0, deed="next"))]
        self._index += 1
        # 20 °C, a minute's heating, then a little up and down.
        temp_c = min(602.0, 20.0 + 10.0 * due_s) + 0.25 * (self._index % 7)
        return [Heard(due_s, Reading(t_ms=0, raw=(temp_c,), status="ok"))]

    def hear(self, cue: Cue) -> None:
        """Press to start a bead five minutes after it is called."""
        if cue.kind in {"READY", "ALL_LAID"} and not cue.again:
            self._presses.append(cue.t_s + BEAD_EVERY_S)

    def post(self, event: AnyEvent) -> None:
        """Nobody posts."""

    def set_line(self, name: str, on: bool) -> None:
        """No lines."""

    def close(self) -> None:
        """Nothing to give back."""


def resident_mb() -> float:
    """Return resident memory, MB."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def _kept_mb(log: Log) -> float:
    """Return what the log keeps so that a new file can be written (reliability.md T-07), MB."""
    kept = log._kept
    return sum(map(sys.getsizeof, (*kept._blocks, *kept._loose))) / 1e6


def main() -> None:
    """Print resident memory by the hour, and what the second half leaves behind."""
    hours = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    day = LongDay()
    job = job_from_text(HOT, "hot.toml")
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "long.jsonl"
        opened = head(job, day, day.wall(), settings={})
        state, cues = begin(opened)
        log = Log(path, opened, disk=Unsynced())
        driver = Driver(log=log, source=day, clock=day, state=state, cues=cues)
        by_hour: list[float] = []
        held_kb: list[float] = []
        kept_mb: list[float] = []
        for hour in range(1, hours + 1):
            began = time.perf_counter()
            while day.now_s() < hour * 3600.0:
                driver.turn()
            gc.collect()
            by_hour.append(resident_mb())
            kept_mb.append(_kept_mb(log))
            traced = f", of it lines kept {kept_mb[-1]:.1f} MB"
            if hour > hours // 2:
                held_kb.append(tracemalloc.get_traced_memory()[0] / 1e3)
                traced += f", traced {held_kb[-1]:.0f} kB"
            elif hour == hours // 2:
                tracemalloc.start()
            took_s = time.perf_counter() - began
            print(
                f"hour {hour:2}: {by_hour[-1]:.1f} MB resident{traced} ({took_s:.1f} s)", flush=True
            )
        log.end(round(day.now_s() * 1000), "the bench is over", "", day.now_s())
        snapshot = driver.snapshot()
        readings = sum(isinstance(event, Reading) for event in Recording(path).events())
        size_mb = path.stat().st_size / 1e6
    # Tracing itself takes memory: the program's own growth is that of the first half.
    before = by_hour[: hours // 2]
    due = round(hours * 3600.0 / PERIOD_S) + 1
    print(
        f"{readings} readings of {due} sent, {len(snapshot.state.work.beads)} beads, {size_mb:.1f} MB written"
    )
    kept = kept_mb[len(before) - 1] - kept_mb[0]
    print(
        f"resident from hour 1 to {len(before)}: {before[-1] - before[0]:+.2f} MB, "
        f"of it lines kept {kept:+.2f} MB"
    )
    kept_kb = 1e3 * (kept_mb[-1] - kept_mb[len(before)])
    print(
        f"traced from hour {hours // 2 + 1} to {hours}: {held_kb[-1] - held_kb[0]:+.0f} kB, "
        f"of it lines kept {kept_kb:+.0f} kB"
    )


if __name__ == "__main__":
    main()
