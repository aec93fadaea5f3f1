"""`pacer sensors` as a user meets it: the list of ports, and one source's values."""

from __future__ import annotations

import argparse
import errno
import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from commands import environment, pacer

from pacer.cli.sensors.listing import list_ports
from pacer.cli.sensors.live import as_line
from pacer.sensor.listening.tuning import Tuned
from pacer.sensor.port.identity import Port, Usb
from pacer.session.celsius import degrees
from pacer.session.events import Channel, Reading
from pacer.units import Shown

METRIC = Shown("metric")


@contextmanager
def instrument(says: bytes, every_s: float = 0.05) -> Iterator[str]:
    """A real pseudo-terminal with an instrument on it; yields the port's name."""
    import tty

    here, port = os.openpty()
    tty.setraw(port)
    os.set_blocking(here, False)
    over = threading.Event()

    def speak() -> None:
        while not over.wait(every_s):
            try:
                os.write(here, says)
            except BlockingIOError:
                continue

    thread = threading.Thread(target=speak)
    thread.start()
    try:
        yield os.ttyname(port)
    finally:
        over.set()
        thread.join()
        os.close(port)
        os.close(here)


class Spoken:
    """A port that says one thing over and over, as fast as it is read."""

    def __init__(self, says: bytes) -> None:
        self._says = says

    def read(self) -> bytes:
        """Return it."""
        return self._says

    def tune(self, baud: int) -> None:
        """Any rate is the right one."""

    def close(self) -> None:
        """Nothing to give back."""


def opener_of(ports: dict[str, bytes]) -> Callable[[str], Tuned]:
    """Return what opens these ports; others are in use."""

    def opener(name: str) -> Tuned:
        if name not in ports:
            raise OSError(errno.EBUSY, "Device or resource busy")
        return Spoken(ports[name])

    return opener


def listed(*ports: Port, opener: Callable[[str], Tuned], as_json: bool = False) -> int:
    """Run the list in this process, on ports of the test's own."""
    args = argparse.Namespace(url=None, json=as_json)
    return list_ports(args, METRIC, 0.2, listing=lambda: ports, opener=opener)


PART = Port("/dev/ttyUSB7", Usb(0x0403, 0x6001, "A1B2"), "Two-channel board")
BUSY = Port("/dev/ttyUSB8", None, "")


def test_each_port_is_listed_with_what_it_says(capsys: pytest.CaptureFixture[str]) -> None:
    """Name, adapter, rate, form, values, and the line for the job file; or why it is closed."""
    code = listed(PART, BUSY, opener=opener_of({PART.name: b"T1=300.5;T2=21.5\n"}))
    out = capsys.readouterr().out.splitlines()
    assert code == 0
    assert out[1:8] == [
        "/dev/ttyUSB7  Two-channel board, USB 0403:6001:A1B2",
        "  9600 baud, 2 values a line, each with its name",
        "  last line:  T1=300.5;T2=21.5",
        "  reads:      T1 300.5 °C, T2 21.5 °C",
        "  for the job file, under [sensor]:",
        '    url = "serial:///dev/ttyUSB7?usb=0403:6001:A1B2&baud=9600&channel=T1"',
        "  The lines name no unit: °C is taken. If the meter shows °F, add &unit=degF.",
    ]
    assert any(line.startswith("  can't be opened: /dev/ttyUSB8: in use") for line in out)
    assert max(map(len, out)) <= 100


def test_the_url_it_proposes_is_one_that_is_accepted() -> None:
    """It goes into a job file as it is."""
    from pacer.cli.sensors.listing import proposed_url
    from pacer.sensor.listening.forms import listen
    from pacer.sensor.url import parse_url

    ticks = iter(range(10_000))
    heard = listen(PART.name, lambda: next(ticks) / 10, opener=opener_of({PART.name: b"1.5;2.5\n"}))
    url = parse_url(proposed_url(PART, heard, lambda: [PART]))
    assert url.params == {"usb": "0403:6001:A1B2", "baud": "9600", "channel": "t1"}
    assert url.target == PART.name


def test_a_column_that_may_be_a_time_is_not_proposed(capsys: pytest.CaptureFixture[str]) -> None:
    """The next is, and both are told."""
    wire = b"".join(b"%.1f;25.5\n" % (i / 2) for i in range(8))
    listed(PART, opener=opener_of({PART.name: wire}))
    out = capsys.readouterr().out
    assert "&channel=t2" in out
    assert "t1 rises by equal steps" in out


def test_the_json_is_as_documented(capsys: pytest.CaptureFixture[str]) -> None:
    """Keys, units, null where there is nothing."""
    code = listed(PART, BUSY, opener=opener_of({PART.name: b"300.5 C\n"}), as_json=True)
    ports = json.loads(capsys.readouterr().out)["ports"]
    assert code == 0
    assert ports[0] == {
        "port": "/dev/ttyUSB7",
        "what": "Two-channel board",
        "usb": "0403:6001:A1B2",
        "state": "readable",
        "why": "",
        "baud": 9600,
        "share": 1.0,
        "form": "one value a line, no names",
        "line": "300.5 C",
        "channels": [{"name": "t1", "temp_c": 300.5, "status": "ok"}],
        "units": ["degC"],
        "url": "serial:///dev/ttyUSB7?usb=0403:6001:A1B2&baud=9600",
        "other_ways": [],
    }
    assert (ports[1]["state"], ports[1]["url"], ports[1]["usb"]) == ("closed", None, None)


def test_no_port_is_one_helpful_line_and_no(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 1: the answer is no."""
    assert listed(opener=opener_of({})) == 1
    out = capsys.readouterr().out
    assert out.startswith("No serial port found: plug the adapter in")
    assert out.count("\n") == 1


def test_ports_that_say_nothing_readable_are_no(capsys: pytest.CaptureFixture[str]) -> None:
    """Silent, in use, in two meanings: exit 1, and what to do."""
    silent, comma = Port("COM3"), Port("COM4")
    code = listed(silent, comma, BUSY, opener=opener_of({"COM3": b"", "COM4": b"21,5\n"}))
    out = capsys.readouterr().out
    assert code == 1
    assert "silent: nothing came in 0.2 s" in out
    assert "    decimal=comma reads 21.5\n    dialect=csv reads 21.0 and 5.0\n" in out
    assert "url =" not in out


def test_what_a_port_calls_itself_reaches_no_terminal_raw(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Names come from the device, lines from the wire."""
    evil = Port("/dev/tty\x1b]0;x\x07")
    listed(evil, opener=opener_of({evil.name: b"T1=1.5;\x1b[2JT2=2.5\n"}))
    for line in capsys.readouterr().out.splitlines():
        assert line == "" or line.isprintable()


@pytest.mark.slow
def test_a_port_that_is_not_listed_can_be_named() -> None:
    """A pseudo-terminal, through the whole program."""
    with instrument(b"T1=300.5 C\r\n") as name:
        done = pacer("sensors", name).fine()
    assert "last line:  T1=300.5 C" in done.out
    assert f'url = "serial://{name}?baud=9600"' in done.out
    assert "being opened makes some boards start anew" in done.err


@pytest.mark.slow
def test_a_sources_values_are_shown_a_line_a_second(tmp_path: Path) -> None:
    """°C, as sent, what is wrong; by the source's own time; exit 0."""
    (tmp_path / "a.txt").write_text("0,572\n0.5,573\n1,OPEN\n2,zzz\n3,590\n9,600\n")
    url = f"file:{tmp_path}/a.txt?time=first&unit=degF"
    done = pacer("sensors", url, "--seconds", "4").fine()
    assert done.out.splitlines() == [
        "     0.0 s  t1 300.0 °C (572.0 degF)",
        "     1.0 s  t1 open circuit (OPEN)",
        '     2.0 s  unreadable: line 4: found "zzz", expected a number such as 300.5: "zzz"',
        "     3.0 s  t1 310.0 °C (590.0 degF)",
    ]
    told = pacer("sensors", "--url", url, "--seconds", "4 s", "--json").fine()
    first = json.loads(told.out.splitlines()[0])
    (channel,) = first["channels"]
    assert channel.pop("temp_c") == pytest.approx(300.0)
    assert channel.pop("corrected_c") == pytest.approx(300.0)
    assert channel == {"name": "t1", "status": "ok", "raw": 572.0, "unit": "degF"}
    assert (first["t_s"], first["why"]) == (0.0, None)


@pytest.mark.slow
def test_a_source_without_a_number_is_no(tmp_path: Path) -> None:
    """Exit 1."""
    (tmp_path / "a.txt").write_text("0,OPEN\n1,OPEN\n")
    assert pacer("sensors", f"file:{tmp_path}/a.txt?time=first").code == 1


@pytest.mark.slow
def test_control_c_ends_it_without_a_traceback() -> None:
    """Values until then; exit 0, since that is how it ends."""
    with instrument(b"300.5\n") as name:
        child = subprocess.Popen(
            [sys.executable, "-m", "pacer", "sensors", f"serial://{name}"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environment(),
        )
        assert child.stdout is not None
        while b"300.5" not in child.stdout.readline():
            pass
        child.send_signal(signal.SIGINT)
        _, err = child.communicate(timeout=30)
    assert (child.returncode, err) == (0, b"")


@pytest.mark.slow
def test_control_c_in_a_check_stores_nothing() -> None:
    """130, as for every other command; no traceback."""
    with instrument(b"300.5\n") as name:
        url = f"serial://{name}"
        child = subprocess.Popen(
            [*(sys.executable, "-m", "pacer", "sensors"), url, "--check", "--pressure", "987hPa"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environment(),
        )
        assert child.stdout is not None
        while b"Press Enter" not in child.stdout.readline():
            pass
        child.send_signal(signal.SIGINT)
        out, err = child.communicate(timeout=30)
    assert (child.returncode, err) == (130, b"")
    assert out.endswith(b"Stopped, nothing stored.\n")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("serial:///dev/none",), "sensor serial:///dev/none: /dev/none: not there"),
        (("seriel:///dev/none",), 'found "seriel:", expected serial:'),
        (("hand:",), "found no instrument"),
        (("--check",), "--check: found no URL, expected a sensor's URL"),
        (("COM3", "--forget"), '--forget: found "COM3", expected a sensor\'s URL'),
        (("--pressure", "987hPa"), "found --pressure, expected it with --check"),
        (("--seconds", "soon"), '--seconds "soon": expected a time'),
        (("--seconds", "0"), '--seconds "0 s": expected more than 0'),
        (("file:a", "--check", "--json"), "found --json, expected it without --check"),
        (("file:a", "--url", "file:b"), "found two URLs, expected one"),
    ],
)
def test_a_mistake_is_one_line(args: tuple[str, ...], words: str) -> None:
    """Exit 2, no traceback."""
    done = pacer("sensors", *args)
    assert done.code == 2
    assert words in done.err
    assert done.err.count("\n") == 1


def test_a_value_that_is_missing_beside_others_says_why() -> None:
    """One register of two that the meter hasn't got."""
    why = "illegal data address: register 5 of unit 1, holding"
    reading = Reading(t_ms=0, raw=(231.5, None), status=("ok", "unparsable"), why=why)
    found = degrees(Channel("", "degC"), reading)

    line = as_line(Channel("", "degC"), 1.0, reading, found, METRIC)

    assert line == f"     1.0 s  t1 231.5 °C (231.5 degC)   t2 {why}"
