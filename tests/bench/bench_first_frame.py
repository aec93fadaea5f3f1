"""Time to the first frame of `pacer practice` against a bare Textual app, and of `--help`.

    python tests/bench/bench_first_frame.py [RUNS]

Each program runs in a pseudo-terminal of 100x30; the time is until its first drawn text
arrives. Ratios count; the machines are noisy. Medians of RUNS (default 9).
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Callable

BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("FIRSTFRAME")
Bare().run(mouse=False)
"""


def first_text_s(argv: list[str], mark: bytes) -> float:
    """Return seconds from start until `mark` is on the terminal."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    with tempfile.TemporaryDirectory() as home:
        env = {**os.environ, "PACER_HOME": home, "TERM": "xterm-256color"}
        began = time.perf_counter()
        child = subprocess.Popen(
            argv, stdin=slave, stdout=slave, stderr=slave, env=env, start_new_session=True
        )
        os.close(slave)
        seen = b""
        while mark not in seen:
            if not select.select([master], [], [], 20)[0]:
                raise TimeoutError(f"{argv}: {mark!r} never came")
            seen += os.read(master, 65536)
        took = time.perf_counter() - began
        os.killpg(child.pid, signal.SIGKILL)
        child.wait()
    os.close(master)
    return took


def whole_s(argv: list[str]) -> float:
    """Return seconds a command takes."""
    began = time.perf_counter()
    subprocess.run(argv, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


def main() -> None:
    """Print medians and ratios."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    py = sys.executable
    rows: dict[str, Callable[[], float]] = {
        "bare Textual, first frame": lambda: first_text_s([py, "-c", BARE], b"FIRSTFRAME"),
        "pacer practice, first frame": lambda: first_text_s(
            [py, "-m", "pacer", "practice"], "█".encode()
        ),
        "python -c pass": lambda: whole_s([py, "-c", "pass"]),
        "pacer --help": lambda: whole_s([py, "-m", "pacer", "--help"]),
    }
    medians = {
        name: statistics.median(measure() for _ in range(runs)) for name, measure in rows.items()
    }
    for name, seconds in medians.items():
        print(f"{name:30} {seconds * 1000:7.1f} ms")
    names = list(medians)
    print(f"first frame ratio {medians[names[1]] / medians[names[0]]:.2f}")
    print(f"--help ratio      {medians[names[3]] / medians[names[2]]:.2f}")


if __name__ == "__main__":
    main()
