"""Listening to a port that nobody described: rate, form, and what can't be told.

A pseudo-terminal has no rate, so rates are tested on a wire made for it; the rest on both.
"""

from __future__ import annotations

import errno
import itertools
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from port_fakes import terminal

from pacer.clock import BootClock
from pacer.sensor.listening.forms import Heard, listen
from pacer.sensor.listening.tuning import LISTEN_S, RATES, SerialTuned

NOISE = bytes([0xFE, 0x80, 0x00, 0xE6, 0x9F, 0x18])
"What a wrong rate makes of text; invented."


class Meter:
    """A port whose rate matters, on a clock of its own: a tenth of a second a read."""

    def __init__(self, rate: int, line: bytes, *, every_s: float = 1.0, boots_s: float = 0.0):
        self.rate = rate
        self.tuned = [RATES[0]]
        self.opened = 0
        self.closed = False
        self.t_s = 0.0
        self._line = line
        self._every_s = every_s
        self._boots_s = boots_s
        self._next_s = 0.3

    def open(self, port: str) -> Meter:
        """Be opened."""
        self.opened += 1
        return self

    def now_s(self) -> float:
        """Return the meter's own time."""
        return self.t_s

    def read(self) -> bytes:
        """Return the next line if its time has come, or noise at the wrong rate."""
        self.t_s += 0.1
        if self.t_s < self._boots_s:
            return NOISE
        if self.t_s < self._next_s:
            return b""
        self._next_s += self._every_s
        right = self.tuned[-1] == self.rate
        return self._line if right else NOISE * (1 + len(self._line) // 6)

    def tune(self, baud: int) -> None:
        """Note the rate."""
        self.tuned.append(baud)

    def close(self) -> None:
        """Note the closing."""
        self.closed = True


def heard_of(meter: Meter, seconds: float = LISTEN_S) -> Heard:
    """Listen to it."""
    return listen("/dev/ttyUSB0", meter.now_s, seconds=seconds, opener=meter.open)


@pytest.mark.parametrize("rate", RATES)
def test_every_rate_is_found_on_a_port_opened_once(rate: int) -> None:
    """Opening it again could restart a board."""
    meter = Meter(rate, b"T1=300.5;T2=290.0\r\n")
    heard = heard_of(meter)
    assert (heard.state, heard.baud) == ("readable", rate)
    assert heard.raw == (300.5, 290.0)
    assert meter.tuned == list(RATES[: RATES.index(rate) + 1])
    assert (meter.opened, meter.closed) == (1, True)


def test_a_meter_at_the_usual_rate_is_found_in_a_few_seconds() -> None:
    """Three lines are enough; a wrong rate is left after a dozen bytes of noise."""
    meter = Meter(RATES[0], b"300.5\n")
    heard_of(meter)
    assert meter.t_s <= 3.0
    last = Meter(RATES[-1], b"300.5\n")
    heard_of(last)
    assert last.t_s <= 6 * 2.5 + LISTEN_S


def test_a_silent_port_is_silent_at_every_rate() -> None:
    """No other rate is tried: a wrong one would have given something."""
    meter = Meter(9600, b"300.5\n", every_s=60.0)
    meter._next_s = 60.0
    heard = heard_of(meter)
    assert heard.state == "silent"
    assert meter.tuned == [RATES[0]]
    assert meter.t_s == pytest.approx(LISTEN_S, abs=0.2)


def test_what_a_board_says_while_it_starts_does_not_hide_its_rate() -> None:
    """Noise at 9600 for two seconds, then readings at 9600: the rates go round twice."""
    meter = Meter(9600, b"300.5\n", boots_s=2.0)
    heard = heard_of(meter)
    assert (heard.state, heard.baud) == ("readable", 9600)


def test_a_seldom_meter_needs_longer_only() -> None:
    """One line in ten seconds."""
    line = b"300.5 C\n"
    seldom = Meter(9600, line, every_s=10.0)
    seldom._next_s = 7.0
    assert heard_of(seldom).state == "silent"
    again = Meter(9600, line, every_s=10.0)
    again._next_s = 7.0
    assert heard_of(again, seconds=15.0).raw == (300.5,)


def test_a_rate_that_is_none_of_ours_is_said() -> None:
    """Noise at all of them."""
    heard = heard_of(Meter(74880, b"300.5\n"))
    assert (heard.state, heard.form, heard.seven_bits) == ("unreadable", "", False)


def test_seven_data_bits_are_recognised() -> None:
    """Even parity in the highest bit (computed here), text without it."""
    line = bytes(byte | 0x80 * (byte.bit_count() % 2) for byte in b"300.75\r\n")
    heard = heard_of(Meter(9600, line, every_s=0.2))
    assert (heard.state, heard.seven_bits, heard.baud) == ("unreadable", True, 9600)


def test_a_line_cut_by_the_opening_is_not_counted() -> None:
    """The first that can't be read may be a part of one."""
    meter = Meter(9600, b"5;T2=2\nT1=300.5;T2=290.0\nT1=300.5;T2=290.0\n")
    assert heard_of(meter, seconds=1.2).share == 1.0


def test_a_decimal_comma_is_told_with_both_meanings() -> None:
    """Nothing is guessed: the URL has to say it."""
    heard = heard_of(Meter(9600, b"21,5\n"))
    assert heard.state == "unreadable"
    assert heard.other_ways == ("decimal=comma reads 21.5", "dialect=csv reads 21.0 and 5.0")


@pytest.mark.parametrize(
    ("line", "form", "names"),
    [
        (b"300.5\n", "one value a line, no names", ["t1"]),
        (b"300.5,290.5\n", "2 values a line, no names", ["t1", "t2"]),
        (b"T1=300.5;T2=290\n", "2 values a line, each with its name", ["T1", "T2"]),
        (b"foot,flange\n300.5,290.5\n", "2 values a line, names from a header", ["foot", "flange"]),
        (b'{"part": 300.5, "air": 21.5}\n', "JSON, 2 values a line", ["part", "air"]),
    ],
)
def test_the_form_is_said_in_words(line: bytes, form: str, names: list[str]) -> None:
    """With the channels' names."""
    heard = heard_of(Meter(9600, line))
    assert heard.form == form
    assert [value.name for value in heard.values] == names


def test_a_marked_unit_is_heard_in_degrees_celsius() -> None:
    """572 °F is 300 °C."""
    heard = heard_of(Meter(9600, b"572.0 F\n"))
    assert heard.units == ("degF",)
    assert heard.values[0].temp_c == pytest.approx(300.0, abs=1e-9)


def test_text_that_is_no_reading_is_shown() -> None:
    """The rate is right all the same."""
    heard = heard_of(Meter(19200, b"Hello, I am a scale.\n"))
    assert (heard.state, heard.baud, heard.share) == ("unreadable", 19200, 0.0)
    assert heard.line == "Hello, I am a scale."


def test_text_without_line_ends_is_no_wrong_rate() -> None:
    """A program on the board that forgot them."""
    heard = heard_of(Meter(19200, b"25.3 "), seconds=5.0)
    assert (heard.state, heard.baud) == ("unreadable", 19200)
    assert heard.form == "plain text, but no line ends"


def test_hostile_bytes_reach_no_terminal() -> None:
    """What is shown of a line is printable, whatever it held."""
    heard = heard_of(Meter(9600, b"\x1b]0;owned\x07 300.5 is nothing \x1b[2J plain text here\n"))
    assert heard.line.isprintable()
    assert "owned" in heard.line


def test_a_port_that_cannot_be_opened_has_its_cause() -> None:
    """One line that names it."""

    def refused(port: str) -> Meter:
        raise FileNotFoundError(errno.ENOENT, "No such file or directory")

    heard = listen("/dev/none", lambda: 0.0, opener=refused)
    assert heard.state == "closed"
    assert heard.why.startswith("/dev/none: not there")


def test_a_port_pulled_out_meanwhile_has_its_cause_and_is_closed() -> None:
    """The descriptor is given back."""

    class Pulled(Meter):
        def read(self) -> bytes:
            raise OSError(errno.EIO, "Input/output error")

    meter = Pulled(9600, b"")
    heard = heard_of(meter)
    assert (heard.state, meter.closed) == ("closed", True)
    assert "gone" in heard.why


@contextmanager
def speaking(says: Callable[[int], bytes], every_s: float = 0.02) -> Iterator[str]:
    """A real pseudo-terminal on which an instrument writes lines; yields the port's name."""
    over = threading.Event()
    with terminal() as (instrument, name):
        os.set_blocking(instrument, False)  # a full buffer must not hold the test

        def speak() -> None:
            for count in itertools.count():
                if over.wait(every_s):
                    return
                try:
                    os.write(instrument, says(count))
                except BlockingIOError:
                    continue

        thread = threading.Thread(target=speak)
        thread.start()
        try:
            yield name
        finally:
            over.set()
            thread.join()


def test_a_real_pseudo_terminal_is_read() -> None:
    """Through pyserial, and the port is free again afterwards."""
    with speaking(lambda count: b"T1=%d.5;T2=21.5\r\n" % (count % 100)) as name:
        for _ in range(2):
            heard = listen(name, BootClock().now_s)
            assert (heard.state, heard.baud) == ("readable", 9600)
            assert [value.name for value in heard.values] == ["T1", "T2"]
            assert heard.share == 1.0


def test_a_port_another_program_holds_is_said() -> None:
    """Opened exclusively twice: the second is told so."""
    with terminal() as (_, name):
        held = SerialTuned(name)
        heard = listen(name, BootClock().now_s)
        held.close()
    assert heard.state == "closed"
    assert "in use by another program" in heard.why


def test_a_glued_unit_is_proposed_with_the_lines_own_letter() -> None:
    """`27C` could be hexadecimal; in the URL the user sees what is taken."""
    heard = heard_of(Meter(9600, b"27C\r\n", every_s=0.3))
    assert (heard.state, heard.query, heard.units) == ("readable", "unit=degC", ("degC",))


def test_a_first_value_that_rises_by_equal_steps_is_noticed() -> None:
    """Seconds since the start, most likely; a temperature that stands or wanders isn't."""
    for says, rising in (
        (lambda i: b"%.1f;25.5\r\n" % (i / 2), True),
        (lambda i: b"20.5;25.5\r\n", False),
    ):
        with speaking(says) as name:
            assert listen(name, BootClock().now_s).rising is rising
