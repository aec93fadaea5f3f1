"""A program on a pseudo-terminal, and what it has drawn so far; for the benches."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import termios
import time
import tty

import pyte


class Terminal:
    """One program on a terminal of its own, with the screen it draws in memory."""

    def __init__(self, argv: list[str], columns: int, rows: int, home: str) -> None:
        """Start it; `home` becomes its PACER_HOME."""
        self._master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        env = {**os.environ, "PACER_HOME": home, "TERM": "xterm-256color"}
        env |= {"COLUMNS": str(columns), "LINES": str(rows)}
        # Its controlling terminal: when the bench dies the program is hung up on, and ends.
        self.child = subprocess.Popen(
            argv,
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=env,
            start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
        )
        os.close(slave)
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)

    def __enter__(self) -> Terminal:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the program."""
        self.close()

    def read(self, until_s: float) -> float | None:
        """Take in what is drawn next; return when it came (perf_counter), or None at `until_s`."""
        wait_s = max(0.0, until_s - time.perf_counter())
        if not select.select([self._master], [], [], wait_s)[0]:
            return None
        came_s = time.perf_counter()
        try:
            self._stream.feed(os.read(self._master, 65536))
        except OSError:
            return None
        return came_s

    def rows(self) -> list[str]:
        """Return the screen as text."""
        return list(self._screen.display)

    def wait_for(self, text: str, limit_s: float = 30.0) -> None:
        """Read on until some text stands on the screen."""
        until_s = time.perf_counter() + limit_s
        while not any(text in row for row in self.rows()):
            if self.read(until_s) is None:
                raise TimeoutError("\n".join([f"{text!r} never came", *self.rows()]))

    def type(self, keys: str) -> None:
        """Press keys."""
        os.write(self._master, keys.encode())

    def cpu_s(self) -> float:
        """Return processor time used so far by the program, all its threads, s."""
        with open(f"/proc/{self.child.pid}/stat", encoding="ascii") as stat:
            fields = stat.read().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def close(self) -> None:
        """End the program, and its children."""
        os.killpg(self.child.pid, signal.SIGTERM)
        until_s = time.perf_counter() + 10.0
        while self.child.poll() is None and time.perf_counter() < until_s:
            self.read(time.perf_counter() + 0.05)
        if self.child.poll() is None:
            os.killpg(self.child.pid, signal.SIGKILL)
        self.child.wait()
        os.close(self._master)


class Wire:
    """The sensor's end of a pseudo-terminal that a program opens as a serial port."""

    def __init__(self) -> None:
        self._ours, self._theirs = pty.openpty()
        tty.setraw(self._theirs)
        self.name = os.ttyname(self._theirs)

    def __enter__(self) -> Wire:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Unplug."""
        self.close()

    def send(self, line: str) -> float:
        """Send a line; return when (perf_counter)."""
        os.write(self._ours, f"{line}\n".encode())
        return time.perf_counter()

    def close(self) -> None:
        """Unplug."""
        os.close(self._ours)
        os.close(self._theirs)
