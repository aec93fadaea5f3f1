"""Processor time of the running screen against a bare Textual app with one Static of digits.

    python tests/bench/bench_screen_cpu.py [SECONDS]

Both on a pseudo-terminal of 100x30, both repainted four times a second, for SECONDS
(default 20) after a start of 4 s; user and system time of the whole process. `pacer run`
reads a sensor of 4 Hz, folds, writes its recording and forecasts beside drawing.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from bench_latency import COLD, HOT, running
from terminal import Terminal, Wire

START_S = 4.0
PERIOD_S = 0.25

BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    CSS = "Static { width: 100%; height: 100%; }"
    n = 100
    def compose(self):
        yield Static("100")
    def on_mount(self):
        self.set_interval(0.25, self.tick)
    def tick(self):
        self.n += 1
        self.query_one(Static).update(f"{self.n}", layout=False)
Bare().run(mouse=False)
"""


def used(
    terminal: Terminal, seconds_s: float, wire: Wire | None = None, step_c: float = 0
) -> float:
    """Return the processor's share that the program takes, a reading sent each period."""
    began_s = time.perf_counter()
    before_s, counted_s, index = 0.0, began_s, 0
    while (now_s := time.perf_counter()) < began_s + START_S + seconds_s:
        if wire is not None:
            wire.send(f"{40.0 + index * step_c:.2f}")
            if index == 10:
                terminal.type(" ")
        index += 1
        if not before_s and now_s >= began_s + START_S:
            before_s, counted_s = terminal.cpu_s(), now_s
        while terminal.read(began_s + index * PERIOD_S) is not None:
            pass
    return (terminal.cpu_s() - before_s) / (time.perf_counter() - counted_s)


def main() -> None:
    """Print shares of one processor and their ratios."""
    seconds_s = float(sys.argv[1]) if len(sys.argv) > 1 else 20.0
    with tempfile.TemporaryDirectory() as name:
        with Terminal([sys.executable, "-c", BARE], 100, 30, name) as terminal:
            bare = used(terminal, seconds_s)
        print(f"{'bare Textual, one Static':34} {bare:7.2%} of a processor", flush=True)
        for title, job, step_c in (
            ("pacer run, READY, 40 °C", COLD, 0.0),
            ("pacer run, PREHEAT, 1 K/s", HOT, 0.25),
        ):
            folder = Path(name) / title.split(",")[1].strip()
            with Wire() as wire, running(job, wire, 100, 30, folder) as terminal:
                terminal.wait_for("close")
                share = used(terminal, seconds_s, wire, step_c)
            print(f"{title:34} {share:7.2%} of a processor, ratio {share / bare:.1f}", flush=True)


if __name__ == "__main__":
    main()
