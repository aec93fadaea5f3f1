"""Instruments that answer when they are asked: real pseudo-terminals, the time is set here."""

from __future__ import annotations

import os
import select
import socket
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from port_fakes import (
    DEADLINE_S,
    Pauses,
    SetClock,
    in_state,
    plug_in,
    read_as,
    readings,
    serial_source,
    terminal,
    until,
)

from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.sensor.port.asking import AskingEar, question_of
from pacer.sensor.port.ears import Ear
from pacer.sensor.port.openers import opener_of
from pacer.sensor.port.ports import open_port
from pacer.sensor.port.wires import SerialWire
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import parse_url
from pacer.session.events import Reading

ASK = b"MEAS:TEMP?\n"


class Table:
    """An instrument's end of a real pseudo-terminal, and the ear at the other; time is set."""

    def __init__(self, instrument: int, port: str, query: str = "") -> None:
        self._instrument = instrument
        self._clock = SetClock()
        self.wire = SerialWire(port, 9600)
        self.wire.port.timeout = 0.01  # so that hearing nothing takes no time here
        question = question_of(parse_url(f"serial://{port}?ask=MEAS:TEMP%3F{query}"))
        assert question is not None
        self._ear: Ear = AskingEar(question, Decoder(), self._clock)
        self._ear.begin(self.wire, 0.0)

    def at(self, t_s: float) -> list[Reading]:
        """Let the ear do one step at this time."""
        self._clock.t_s = t_s
        return self._ear.hear(self.wire, self._rest)

    def _rest(self, wait_s: float) -> bool:
        self._clock.t_s += wait_s
        return False

    @property
    def t_s(self) -> float:
        """The time now."""
        return self._clock.t_s

    def asked(self) -> bytes:
        """Return what the instrument was sent; empty: nothing."""
        ready, _, _ = select.select([self._instrument], [], [], 0.02)
        return os.read(self._instrument, 1000) if ready else b""

    def says(self, answer: bytes, t_s: float) -> list[Reading]:
        """Let the instrument say something, and the ear hear all of it at that time."""
        os.write(self._instrument, answer)
        found = self.at(t_s)
        while self.wire.port.in_waiting:
            found += self.at(t_s)
        return found


@contextmanager
def table(query: str = "") -> Iterator[Table]:
    """An instrument that has been connected and asked nothing yet."""
    with terminal() as (instrument, port):
        found = Table(instrument, port, query)
        try:
            yield found
        finally:
            found.wire.close()


def raw(found: list[Reading]) -> list[tuple[float | str | None, ...]]:
    """Return raw values."""
    return [reading.raw for reading in found]


def test_a_question_goes_out_at_once_and_then_at_its_slots() -> None:
    """IEEE 488.2: a line out, a line back; slots a second apart, never a drift."""
    with table() as bench:
        assert bench.at(0.0) == []
        assert bench.asked() == ASK
        assert raw(bench.says(b"+2.315E+02\r\n", 0.3)) == [(231.5,)]
        assert bench.at(0.95) == []
        assert bench.t_s == 1.0
        assert bench.asked() == ASK
        assert raw(bench.says(b"232.5\n", 1.1)) == [(232.5,)]
        assert bench.at(1.2) == []
        assert bench.asked() == b""


def test_the_end_the_rate_and_a_first_word_are_the_urls() -> None:
    """`ask_end`, `every`, `say`; nothing else is ever sent."""
    with table("&ask_end=crlf&every=0.5&say=SYST:REM") as bench:
        bench.at(0.0)
        assert bench.asked() == b"SYST:REM\r\n"
        bench.at(0.45)
        assert bench.asked() == b"MEAS:TEMP?\r\n"
        bench.says(b"20.5\n", 0.6)
        bench.at(0.95)
        assert bench.asked() == b"MEAS:TEMP?\r\n"


def test_a_slow_answer_puts_the_next_question_off_and_none_is_caught_up() -> None:
    """Never two in flight: 2.3 s an answer is a reading each 2.3 s, not a queue."""
    with table("&answer_within=3") as bench:
        bench.at(0.0)
        bench.asked()
        for t_s in (1.0, 1.2):
            assert bench.at(t_s) == []
            assert bench.asked() == b""
        assert raw(bench.says(b"231.5\n", 2.3)) == [(231.5,)]
        bench.at(2.3)
        assert bench.asked() == ASK
        assert raw(bench.says(b"232.5\n", 2.4)) == [(232.5,)]
        bench.at(2.5)
        assert bench.asked() == b""
        bench.at(2.95)
        assert bench.t_s == 3.0
        assert bench.asked() == ASK


def test_a_late_answer_is_never_taken_for_the_next_questions() -> None:
    """The value of a second ago must not be shown as the one of now."""
    with table() as bench:
        bench.at(0.0)
        bench.asked()
        assert bench.at(1.0) == []
        assert bench.says(b"111.5\n", 1.4) == []
        assert bench.at(1.5) == []
        assert bench.asked() == ASK
        assert raw(bench.says(b"222.5\n", 1.6)) == [(222.5,)]


def test_an_instrument_that_is_always_late_gives_no_readings_rather_than_old_ones() -> None:
    """Silence is then told; `answer_within=` is the way out, which is said once."""
    with table() as bench:
        found: list[Reading] = []
        for start_s in (0.0, 2.0, 4.0, 6.0):
            bench.at(start_s)
            assert bench.asked() == ASK
            found += bench.at(start_s + 1.0)
            found += bench.says(b"111.5\n", start_s + 1.5)

    (told,) = found
    assert (told.raw, told.status) == ((None,), "unparsable")
    assert "too late: raise answer_within=" in str(told.why)


def test_an_instrument_that_never_answers_is_told_once_with_what_to_check() -> None:
    """Three questions from the opening on."""
    with table() as bench:
        found = [told for at in range(20) for told in bench.at(at / 2)]

    (told,) = found
    assert (told.raw, told.status) == ((None,), "unparsable")
    assert str(told.why).startswith("no answer to MEAS:TEMP?: check baud=")


def test_no_answer_is_silence_and_the_question_is_asked_again() -> None:
    """After `answer_within`, and as long again for a late one."""
    with table() as bench:
        bench.at(0.0)
        bench.asked()
        assert bench.at(1.0) == bench.at(1.9) == []
        assert bench.asked() == b""
        bench.at(2.0)
        bench.at(2.0)
        assert bench.asked() == ASK
        assert raw(bench.says(b"222.5\n", 2.1)) == [(222.5,)]


def test_half_an_answer_is_told_and_not_joined_to_the_next() -> None:
    """22 and 333.5 are not 22333.5; a half that goes on late is no answer either."""
    with table() as bench:
        bench.at(0.0)
        assert bench.says(b"22", 0.2) == []
        (told,) = bench.at(1.0)
        bench.at(2.0)
        bench.at(2.0)
        bench.asked()
        after = bench.says(b"333.5\n", 2.1)
        bench.at(3.0)
        bench.says(b"44", 3.2)
        bench.at(4.0)
        rest = bench.says(b"4.5\n", 4.1)

    assert (told.status, told.raw) == ("unparsable", ("22",))
    assert told.why == "the answer has no end after 1 s"
    assert raw(after) == [(333.5,)]
    assert rest == []


def test_an_instrument_that_is_still_speaking_is_not_cut_off() -> None:
    """A long answer over a slow line: late by its end, in time by its beginning."""
    with table() as bench:
        bench.at(0.0)
        assert bench.says(b"23", 0.95) == []
        found = bench.says(b"1.5\n", 1.05)

    assert raw(found) == [(231.5,)]


@pytest.mark.parametrize("again", [b"231.5\n231.5\n", b"231.5\n"])
def test_an_answer_sent_twice_counts_once(again: bytes) -> None:
    """Together, or the second one while nothing is asked."""
    with table() as bench:
        bench.at(0.0)
        bench.asked()
        found = bench.says(again, 0.2)
        found += bench.says(b"231.5\n", 0.4)
        bench.at(1.0)
        found += bench.says(b"300.5\n", 1.2)

    assert raw(found) == [(231.5,), (300.5,)]


def test_what_was_said_before_the_question_is_thrown_away() -> None:
    """A greeting, or an answer to somebody else."""
    with table() as bench:
        bench.wire.read()
        os.write(bench._instrument, b"999.5\n99")
        bench.at(0.0)
        assert bench.asked() == ASK
        found = bench.says(b"231.5\n", 0.2)

    assert raw(found) == [(231.5,)]


def test_an_echo_and_blank_lines_are_no_answer() -> None:
    """Some instruments say the question again first."""
    with table() as bench:
        bench.at(0.0)
        found = bench.says(b"MEAS:TEMP?\r\n\r\n231.5\r\n", 0.2)

    assert raw(found) == [(231.5,)]


def test_one_answer_may_have_several_channels_and_a_bad_one_is_told() -> None:
    """Values of a response are set apart by `;`; an error text is an unparsable answer."""
    with table() as bench:
        bench.at(0.0)
        several = bench.says(b"231.5;22.5;9.9E37\n", 0.2)
        bench.at(1.0)
        (bad,) = bench.says(b'-113,"Undefined header"\n', 1.2)

    assert [reading.raw[:2] for reading in several] == [(231.5, 22.5)]
    assert several[0].statuses() == ("ok", "ok", "open")
    assert bad.status == "unparsable"


def answering(
    instrument: int, answers: list[bytes], heard: list[bytes], start: bytes = b""
) -> threading.Thread:
    """An instrument that answers each line it gets with the next of these."""

    def run() -> None:
        os.write(instrument, start)
        held = b""
        while answers:
            held += os.read(instrument, 1000)
            while b"\n" in held and answers:
                line, _, held = held.partition(b"\n")
                heard.append(line)
                os.write(instrument, answers.pop(0))

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    return thread


def test_a_serial_instrument_is_asked_by_the_reader_thread_and_says_its_period() -> None:
    """From the URL to readings; `period_s` is known before the first one."""
    heard: list[bytes] = []
    with terminal() as (instrument, name):
        source = serial_source(name, "&ask=READ%3F&every=0.1")
        answering(instrument, [b"%d.5\n" % i for i in range(300, 304)], heard)
        with closing(source):
            events = until(source, read_as(303.5))

    assert source.period_s == 0.1
    assert readings(events) == [(300.5,), (301.5,), (302.5,), (303.5,)]
    assert heard == [b"READ?"] * 4


def test_a_pulled_instrument_is_asked_again_when_it_is_back(tmp_path: Path) -> None:
    """The same losses as any port's."""
    link, pauses, heard = tmp_path / "by-id", Pauses(), list[bytes]()
    instrument = plug_in(link)
    with closing(serial_source(link, "&ask=READ%3F&every=0.1", wait=pauses)) as source:
        answering(instrument, [b"300.5\n"], heard).join(DEADLINE_S)
        until(source, read_as(300.5))
        os.close(instrument)
        until(source, in_state("lost"))
        instrument = plug_in(link)
        pauses.end_one()
        until(source, in_state("opened"))
        answering(instrument, [b"301.5\n"], heard).join(DEADLINE_S)
        until(source, read_as(301.5))
        os.close(instrument)
        until(source, in_state("lost"))
        pauses.end_one(closing=True)

    assert heard == [b"READ?"] * 2


def test_an_instrument_on_the_network_is_asked_and_its_stale_words_are_dropped() -> None:
    """The same over a real TCP connection."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        url = parse_url(f"socket://127.0.0.1:{port}?ask=READ%3F&every=0.1")
        with closing(open_port(url, BootClock(), fail_fast=True)) as source:
            instrument, _ = server.accept()
            with instrument, instrument.makefile("rb") as lines:
                first = lines.readline()
                instrument.sendall(b"300.5\n999.5\n99")
                until(source, read_as(300.5))
                second = lines.readline()
                instrument.sendall(b"301.5\n")
                events = until(source, read_as(301.5))

    assert first == second == b"READ?\n"
    assert readings(events) == [(301.5,)]


def test_a_loop_answers_itself() -> None:
    """`loop://` gives back what is sent: a question that is a number is its own answer."""
    url = parse_url("loop://?ask=300.5&every=0.1")
    with closing(open_port(url, BootClock(), fail_fast=True)) as source:
        events = until(source, read_as(300.5))

    assert readings(events) == [(300.5,)]


def test_the_network_wire_discards_only_what_has_come() -> None:
    """And notices at the next read that the other end has gone."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        wire = opener_of(parse_url(f"socket://127.0.0.1:{server.getsockname()[1]}"))()
        instrument, _ = server.accept()
        with instrument:
            instrument.sendall(b"old")
            assert wire.read() == b"old"
            wire.discard()
            instrument.sendall(b"new")
            assert wire.read() == b"new"
        wire.discard()
        with pytest.raises(OSError, match="the other end closed"):
            wire.read()
        wire.close()


def test_nothing_is_sent_to_a_source_that_is_not_to_be_asked() -> None:
    """No command ever goes out unless the URL says so."""
    with terminal() as (instrument, name), closing(serial_source(name)) as source:
        os.write(instrument, b"\n300.5\n")
        until(source, read_as(300.5))
        sent, _, _ = select.select([instrument], [], [], 0)

    assert sent == []


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("every=1", "found every=…, expected ask=… with it"),
        ("say=X", "found say=…, expected ask=… with it"),
        ("ask=", 'found ask="", expected 1 to 200 plain characters'),
        ("ask=A%0AB", "expected 1 to 200 plain characters; its end is ask_end="),
        ("ask=%C2%B0", "expected 1 to 200 plain characters"),
        ("ask=R&ask_end=nul", 'found ask_end="nul", expected lf, crlf or cr'),
        ("ask=R&every=0", 'found every="0", expected a number from 0.1 to 3600'),
        ("ask=R&answer_within=x", "expected a number from 0.05 to 60"),
        ("ask=R&dtr=low", 'found dtr="low", expected on or off'),
    ],
)
def test_what_is_wrong_with_a_question_is_said_in_one_line(query: str, words: str) -> None:
    """The user's mistake, in the URL's words."""
    with pytest.raises(UserInputError) as caught:
        open_port(parse_url(f"serial://COM5?{query}"), BootClock(), fail_fast=True)

    assert words in str(caught.value)
