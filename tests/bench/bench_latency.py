"""How late the welder sees and hears: a line to its digits, a due time to its cue and its word.

    python tests/bench/bench_latency.py [LINES] [CUES]

LINES (default 300) at 10 Hz through a pseudo-terminal into `pacer run`, until the changed
digits are on its other pseudo-terminal; CUES (default 24, 100 take four minutes a size) of
a real session from the time they are due until their line is on the terminal
(reliability.md T-32: p95 at most 100 ms, 250 ms at most). Beside them bare loops on the
same machine: only ratios travel.
"""

from __future__ import annotations

import queue
import sys
import tempfile
import threading
import time
from pathlib import Path

import numpy as np
from terminal import Terminal, Wire

from pacer.clock import BootClock
from pacer.job.file.read import job_from_text
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import Log
from pacer.run.driver import Driver
from pacer.run.opening import head
from pacer.screen.widgets.blocks import HEIGHTS, blocks
from pacer.sensor.open import open_source
from pacer.session.cues import Cue
from pacer.session.events import Act, CueTold, Reading
from pacer.session.fold import begin

HOT = """
[job]
title = "Bench, hot"
method = "hot"
[part]
metal = "grey iron"
mass = "3.2 kg"
size = ["260 mm", "180 mm", "40 mm"]
wall = "12 mm"
[band]
preheat = "600 degC"
floor = "500 degC"
ceiling = "700 degC"
[postheat]
temperature = "600 degC"
"""
COLD = """
[job]
title = "Bench, cold"
method = "cold"
[part]
metal = "grey iron"
mass = "3.2 kg"
size = ["260 mm", "180 mm", "40 mm"]
wall = "12 mm"
[band]
ceiling = "60 degC"
[bead]
length = "25 mm"
travel = "300 mm/min"
peen = "1 s"
"""
LINES = {
    "FINISH": "Fill the crater",
    "STOP": "length reached",
    "PEEN": "Bead clean",
    "READY": "Weld when you are",
}
"""What stands in the line of words under each cue (`session/cues.py`)."""

ECHO = """
import sys
with open(sys.argv[1], "rb", buffering=0) as wire:
    print("echo", flush=True)
    while line := wire.readline():
        sys.stdout.write(line.decode()); sys.stdout.flush()
"""


def running(job: str, wire: Wire, columns: int, rows: int, folder: Path) -> Terminal:
    """Return `pacer run` of a job on a terminal; its recording is `folder`/out.jsonl."""
    folder.mkdir()
    (folder / "job.toml").write_text(job, encoding="utf-8")
    argv = [sys.executable, "-m", "pacer", "run", str(folder / "job.toml")]
    argv += ["--sensor", f"serial://{wire.name}", "--out", str(folder / "out.jsonl")]
    return Terminal(argv, columns, rows, str(folder))


def told(name: str, late_s: list[float]) -> float:
    """Print one row of figures in ms; return the median, s."""
    at = np.percentile(np.array(late_s) * 1000.0, [50, 95, 99, 100])
    print(f"{name:44} n {len(late_s):4}  " + "  ".join(f"{x:7.1f}" for x in at), flush=True)
    return float(at[0]) / 1000.0


def drawn(rows: list[str], digits: str) -> bool:
    """True if the digits stand on the screen as blocks of any height."""
    for height in HEIGHTS:
        block = [line.rstrip() for line in blocks(digits, 60, height)]
        for top in range(len(rows) - len(block) + 1):
            left = rows[top].find(block[0])
            while left >= 0:
                if all(rows[top + i].startswith(line, left) for i, line in enumerate(block)):
                    return True
                left = rows[top].find(block[0], left + 1)
    return False


def digits_s(lines: int, folder: Path) -> list[float]:
    """Return the times from a line sent to digits as new on the screen, s.

    Each line is 1 K above the one before, so each moves the median of the last nine by 1 K:
    from the line on that brings it, a number is late.
    """
    with Wire() as wire, running(HOT, wire, 100, 30, folder / "digits") as terminal:
        return _digits_s(lines, wire, terminal)


def _digits_s(lines: int, wire: Wire, terminal: Terminal) -> list[float]:
    terminal.wait_for("close")
    terminal.type(" ")
    late_s: list[float] = []
    waiting: list[tuple[int, float]] = []
    due_s = time.perf_counter()
    for index in range(lines + 20):
        sent_s = wire.send(f"{110 + index}.0")
        if index >= 20:
            waiting.append((110 + index - 4, sent_s))
        due_s += 0.1
        while (came_s := terminal.read(due_s)) is not None:
            rows = terminal.rows()
            shown = [at for at, (value, _) in enumerate(waiting) if drawn(rows, str(value))]
            if shown:
                # A number passed over while the screen waited was seen with the one after it.
                late_s += [came_s - then_s for _, then_s in waiting[: shown[-1] + 1]]
                del waiting[: shown[-1] + 1]
    return late_s


def echo_s(lines: int, folder: Path) -> list[float]:
    """Return the same for a bare loop: a line read and printed."""
    argv = [sys.executable, "-c", ECHO]
    late_s: list[float] = []
    with Wire() as wire, Terminal([*argv, wire.name], 100, 30, str(folder)) as terminal:
        terminal.wait_for("echo")
        for index in range(lines):
            sent_s = wire.send(f"{110 + index}.0")
            came_s = terminal.read(sent_s + 0.1)
            if came_s is not None:
                late_s.append(came_s - sent_s)
            terminal.read(sent_s + 0.1)
    return late_s


def words_s(cues: int, columns: int, rows: int, folder: Path) -> list[float]:
    """Return the times from a cue's due time to its line on the screen, s.

    Session time 0 on this clock: the latest that every line's arrival allows.
    """
    out = folder / f"words-{columns}"
    with Wire() as wire, running(COLD, wire, columns, rows, out) as terminal:
        sent_s, seen = _beads(cues, wire, terminal)
    return _late_s(out / "out.jsonl", sent_s, seen)


def _beads(
    cues: int, wire: Wire, terminal: Terminal
) -> tuple[list[float], list[tuple[str, float]]]:
    """Lay bead after bead; return when lines were sent, and when which words were drawn."""
    terminal.wait_for("close")
    sent_s: list[float] = []
    seen: list[tuple[str, float]] = []
    press_s = time.perf_counter() + 3.0
    limit_s = press_s + 30.0 * (cues + 1)
    while len(seen) <= cues:
        if time.perf_counter() > limit_s:
            raise TimeoutError("\n".join([f"only {seen}", *terminal.rows()]))
        sent_s.append(wire.send("40.25"))
        due_s = sent_s[-1] + 0.25
        while (came_s := terminal.read(due_s)) is not None:
            kind = _stands(terminal.rows())
            if kind and (not seen or seen[-1][0] != kind):
                seen.append((kind, came_s))
                if kind == "READY":
                    press_s = came_s + 1.2
        if time.perf_counter() > press_s:
            terminal.type(" ")
            press_s = time.perf_counter() + 4.0
        if seen and seen[-1][0] != "READY":
            press_s = float("inf")
    return sent_s, seen


def _stands(rows: list[str]) -> str:
    """Return the kind whose words stand in the upper half: further down are older ones."""
    for row in rows[: len(rows) // 2]:
        for kind, words in LINES.items():
            if words in row:
                return kind
    return ""


def _late_s(out: Path, sent_s: list[float], seen: list[tuple[str, float]]) -> list[float]:
    events = list(Recording(out).events())
    stamps = [event.t_s for event in events if isinstance(event, Reading)]
    zero_s = max(sent - t_s for sent, t_s in zip(sent_s, stamps, strict=False))
    due = [e for e in events if isinstance(e, CueTold) and e.kind in LINES and not e.again]
    # The first READY answers a key: it is no due time.
    pairs = list(zip(due, seen, strict=False))[1:]
    assert all(cue.kind == kind for cue, (kind, _) in pairs), (due, seen)
    return [came_s - zero_s - cue.t_s for cue, (_, came_s) in pairs]


class Noted:
    """A sink that notes how late each cue comes."""

    name = "bench"

    def __init__(self, clock: BootClock) -> None:
        self._clock = clock
        self.cues: list[tuple[Cue, float]] = []

    def play(self, cue: Cue) -> None:
        """Note it."""
        self.cues.append((cue, self._clock.now_s() - cue.t_s))

    def hush(self) -> None:
        """Nothing sounds."""

    def close(self) -> None:
        """Nothing was taken."""


def sounds_s(cues: int, folder: Path) -> list[float]:
    """Return the times from a due time to `Sink.play` in a driver on a real clock and disk, s."""
    job = job_from_text(COLD, "cold.toml")
    clock = BootClock()
    source = open_source("loop://", clock, job=job, fail_fast=True)
    opened = head(job, source, clock.wall(), settings={})
    state, first = begin(opened)
    noted = Noted(clock)
    log = Log(folder / "sounds.jsonl", opened)
    driver = Driver(log=log, source=source, clock=clock, state=state, cues=first, sinks=[noted])
    thread = threading.Thread(target=driver.run)
    thread.start()
    tick, press_s = threading.Event(), 3.0
    while len(due := [late for cue, late in noted.cues if cue.kind in LINES]) <= cues:
        source.post(Reading(t_ms=0, raw=(40.25,), status="ok"))
        ready = bool(noted.cues) and noted.cues[-1][0].kind == "READY"
        if clock.now_s() > press_s and (ready or not due):
            source.post(Act(t_ms=0, deed="next"))
            press_s = clock.now_s() + 3.0
        tick.wait(0.25)
    driver.stop()
    thread.join()
    return due[1:]


def waits_s(count: int) -> list[float]:
    """Return how late a bare queue wakes from a timed wait, s."""
    inbox: queue.SimpleQueue[None] = queue.SimpleQueue()
    late_s: list[float] = []
    for index in range(count):
        due_s = time.perf_counter() + 0.05 + 0.001 * (index % 50)
        try:
            inbox.get(timeout=due_s - time.perf_counter())
        except queue.Empty:
            late_s.append(time.perf_counter() - due_s)
    return late_s


def main() -> None:
    """Print all of it, medians and tails, and the ratios to bare loops."""
    lines = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    cues = int(sys.argv[2]) if len(sys.argv) > 2 else 24
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print(f"{'ms':44} {'':6}  " + "  ".join(f"{x:>7}" for x in ("median", "p95", "p99", "max")))
        echo = told("bare loop: a line read and printed", echo_s(lines, folder))
        digits = told("a line to its digits, 100x30", digits_s(lines, folder))
        wait = told("bare loop: a timed wait of a queue", waits_s(100))
        sound = told("a due time to Sink.play", sounds_s(cues, folder))
        for columns, rows in ((80, 24), (160, 50)):
            found = words_s(cues, columns, rows, folder)
            told(f"a due time to its line, {columns}x{rows}", found)
        print(f"ratio of medians: digits {digits / echo:.1f}, sink {sound / wait:.1f}")


if __name__ == "__main__":
    main()
