"""Modbus units that refuse, are silent, late, torn, switched off or pulled out."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from modbus_unit import (
    Cable,
    Unit,
    is_a_reading,
    no_answer,
    said,
    source_at,
    unit_on_a_cable,
)
from port_fakes import Pauses, SetClock, in_state, read_as, readings, until
from pymodbus.framer.rtu import FramerRTU

from pacer.sensor.modbus.registers import Registers
from pacer.sensor.modbus.source import BusWire, ModbusEar
from pacer.sensor.modbus.url import Line
from pacer.sensor.text.values import Span
from pacer.session.events import Reading, SensorChanged


@pytest.fixture
def link(tmp_path: Path) -> Path:
    """The port's name, which stays the same."""
    return tmp_path / "by-id"


def test_a_register_the_unit_has_not_is_named_and_the_others_are_read(link: Path) -> None:
    """Exception code 2: told in the protocol's words."""
    with (
        unit_on_a_cable(link, {0: 231}),
        closing(source_at(link, "register=0,5&timeout=0.1")) as source,
    ):
        events = until(source, is_a_reading)

    (reading,) = (event for event in events if isinstance(event, Reading))
    assert (reading.raw, reading.status) == ((231.0, None), ("ok", "unparsable"))
    assert reading.why == "illegal data address: register 5 of unit 1, holding"


def test_a_manual_s_numbering_is_explained_when_it_fails(link: Path) -> None:
    """40001 is how manuals call the first holding register."""
    with (
        unit_on_a_cable(link, {0: 231}),
        closing(source_at(link, "register=40001&timeout=0.1")) as source,
    ):
        events = until(source, is_a_reading)

    assert "a manual's 40001 is register=0&table=holding" in said(events[-1])


def test_a_busy_unit_says_so_and_is_asked_again(link: Path) -> None:
    """Exception code 6 is no loss of the port."""
    with unit_on_a_cable(link, {0: 231}) as (_, unit):
        unit.busy = True
        with closing(source_at(link, "register=0&timeout=0.1")) as source:
            busy = until(source, is_a_reading)
            unit.busy = False
            good = until(source, read_as(231.0))

    assert said(busy[-1]) == "device busy: register 0 of unit 1, holding"
    assert not any(isinstance(e, SensorChanged) for e in good)


@pytest.mark.slow
def test_a_wrong_unit_number_is_silence_and_says_once_what_to_check(link: Path) -> None:
    """Nobody answers: no reading that could be taken for one, no loss, one record why."""
    with (
        unit_on_a_cable(link, {0: 231}) as (cable, _),
        closing(source_at(link, "unit=2&register=0&timeout=0.02")) as source,
    ):
        cable.questions(6)
        events = until(source, is_a_reading)
        cable.questions(3)
        more = source.read(source.clock())

    assert [type(event) for event in events] == [SensorChanged, Reading]
    assert said(events[-1]).startswith("no answer from unit 2 at 9600 baud, parity N, stop bits 1")
    assert more == []


@pytest.mark.parametrize(
    ("words", "spoilt"),
    [
        ("bad checksum", lambda answer: answer[:-1] + bytes([answer[-1] ^ 1])),
        ("bad checksum", lambda answer: answer[:3] + bytes([answer[3] ^ 16]) + answer[4:]),
        ("an answer cut short", lambda answer: answer[:3]),
        ("the answer of another unit", lambda answer: _of_unit(9, answer)),
    ],
)
def test_a_bad_cable_gives_no_number_and_says_why(link: Path, words: str, spoilt: object) -> None:
    """One bit is enough; the next good answer is a reading again."""
    with unit_on_a_cable(link, {0: 231}) as (cable, _):
        cable.spoil = spoilt  # type: ignore[assignment]
        with closing(source_at(link, "register=0&timeout=0.05")) as source:
            garbled = until(source, is_a_reading)
            cable.spoil = lambda answer: answer
            good = until(source, read_as(231.0))

    assert readings(garbled) == [(None,)]
    assert said(garbled[-1]).startswith(f"{words}: check baud=, parity= and the wiring")
    assert not any(isinstance(e, SensorChanged) for e in good)


def _of_unit(unit: int, answer: bytes) -> bytes:
    body = bytes([unit]) + answer[1:-2]
    return body + FramerRTU.compute_CRC(body).to_bytes(2, "big")


@pytest.mark.slow
def test_a_unit_switched_off_is_silent_and_read_again_when_it_is_back(link: Path) -> None:
    """The port stays: no loss, no opening anew."""
    cable = Cable(link)
    unit = Unit(cable.unit_port, {0: 231}, {})
    with closing(source_at(link, "register=0&timeout=0.05")) as source:
        until(source, read_as(231.0))
        unit.stop()
        cable.questions(cable.asked.qsize() + 3)
        unit = Unit(cable.unit_port, {0: 245}, {})
        back = until(source, read_as(245.0))
    unit.stop()
    cable.pull_out()

    assert not any(isinstance(event, SensorChanged) for event in back)


def test_an_adapter_pulled_out_is_lost_once_and_found_again(link: Path) -> None:
    """The same thread and back-off as every port."""
    pauses = Pauses()
    with unit_on_a_cable(link, {0: 231}):
        source = source_at(link, "register=0&timeout=0.05", pauses)
        until(source, read_as(231.0))
    with closing(source):
        lost = until(source, in_state("lost"))
        with unit_on_a_cable(link, {0: 245}):
            pauses.end_one()
            back = until(source, read_as(245.0))
            source.close()

    assert [e.state for e in lost + back if isinstance(e, SensorChanged)] == ["lost", "opened"]


def test_after_a_silence_the_next_question_waits_for_a_late_answer(link: Path) -> None:
    """No answer is taken for another question's: the protocol couldn't tell them apart."""
    rests: list[float] = []
    clock = SetClock()
    ear = ModbusEar(Line(timeout_s=0.05, every_s=0.1), Registers((0, 10)), Span(), clock)
    with unit_on_a_cable(link, {0: 231, 10: 99}) as (cable, _):
        cable.spoil = no_answer
        with closing(BusWire(str(link), Line(timeout_s=0.05))) as wire:

            def rest(wait_s: float) -> bool:
                rests.append(round(wait_s, 6))
                clock.t_s += wait_s
                return False

            ear.begin(wire, 0.0)
            silent = ear.hear(wire, rest)
            clock.t_s = 0.09
            ear.hear(wire, rest)
            cable.spoil = lambda answer: answer
            good = ear.hear(wire, rest)
        frames = cable.questions(4)

    assert silent == []
    # Slots 0.1 s apart; from 0.1 s on the silence holds the next question back to 0.15 s
    # at least, and the slot of 0.2 s is later.
    assert rests == [0.01, 0.1]
    assert [frame[3] for frame in frames] == [0, 0, 0, 10]
    assert [reading.raw for reading in good] == [(231.0, 99.0)]


def test_a_slow_unit_is_given_time_between_questions(link: Path) -> None:
    """Slots of 0.1 s, 0.3 s for an answer: after a silence 0.3 s more."""
    rests: list[float] = []
    clock = SetClock()
    line = Line(timeout_s=0.3, every_s=0.1)
    ear = ModbusEar(line, Registers((0,)), Span(), clock)
    with unit_on_a_cable(link, {0: 231}) as (cable, _):
        cable.spoil = no_answer
        with closing(BusWire(str(link), Line(timeout_s=0.02))) as wire:
            ear.begin(wire, 0.0)
            ear.hear(wire, lambda wait_s: False)

            def closing_meanwhile(wait_s: float) -> bool:
                rests.append(wait_s)
                return True

            unasked = ear.hear(wire, closing_meanwhile)

    assert (rests, unasked) == ([0.3], [])


def test_a_late_answer_is_never_taken_for_the_next_one(link: Path) -> None:
    """231 comes after its time was up, while the next question waits; 500 is the answer to that."""
    late: list[bytes] = []
    line = Line(timeout_s=0.05, every_s=0.1)
    ear = ModbusEar(line, Registers((0,)), Span(), SetClock())
    with unit_on_a_cable(link, {0: 231}) as (cable, unit):

        def hold_back(answer: bytes) -> bytes:
            late.append(answer)
            return b""

        cable.spoil = hold_back
        with closing(BusWire(str(link), line)) as wire:

            def rest(wait_s: float) -> bool:
                cable.spoil = lambda answer: answer
                unit.holding[0] = 500
                cable.say(late.pop())
                return False

            ear.begin(wire, 0.0)
            silent = ear.hear(wire, rest)
            good = ear.hear(wire, rest)

    assert (silent, late) == ([], [])
    assert [reading.raw for reading in good] == [(500.0,)]
