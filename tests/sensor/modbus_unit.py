"""A Modbus unit for tests: pymodbus' RTU server at the other end of a real pseudo-terminal pair.

Two pseudo-terminals and a thread that carries bytes between their masters make the cable;
the server runs in a thread of its own. pymodbus shares no code with minimalmodbus.
"""

from __future__ import annotations

import asyncio
import os
import queue
import select
import threading
import tty
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from port_fakes import DEADLINE_S
from pymodbus.client.mixin import ModbusClientMixin
from pymodbus.constants import ExcCodes
from pymodbus.server import ModbusSerialServer
from pymodbus.simulator import DataType, SimData, SimDevice

from pacer.clock import BootClock
from pacer.sensor.modbus.source import open_modbus
from pacer.sensor.port.ports import PortSource, Wait
from pacer.sensor.url import parse_url
from pacer.session.events import AnyEvent, Reading

Wrong = Callable[[bytes], bytes]
"What a bad cable makes of an answer."
Table = dict[int, int]
"16 bits by address; the others are illegal."

TYPES = ModbusClientMixin.DATATYPE


def bits(value: float, kind: TYPES, order: str = "high", at: int = 0) -> Table:
    """Return a number's registers as pymodbus' own encoder makes them."""
    words = ModbusClientMixin.convert_to_registers(
        value, kind, word_order="big" if order == "high" else "little"
    )
    return dict(enumerate(words, at))


class Cable:
    """Two ports joined; what the unit says can be spoilt on its way."""

    def __init__(self, link: Path, unit: int = 1) -> None:
        """Plug in: `link` is the name of our end, which stays the same."""
        self._unit = unit
        self._ours, ours = os.openpty()
        self._theirs, theirs = os.openpty()
        # Both stay open here: a port without anybody would end the carrying.
        self._held = (ours, theirs)
        for end in self._held:
            tty.setraw(end)
        link.unlink(missing_ok=True)
        link.symlink_to(os.ttyname(ours))
        self.unit_port = os.ttyname(theirs)
        self.spoil: Wrong = lambda answer: answer
        self.asked: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        self._stopped, self._stop = os.pipe()
        self._thread = threading.Thread(target=self._carry, daemon=True)
        self._thread.start()

    def _carry(self) -> None:
        while True:
            ready, _, _ = select.select([self._ours, self._theirs, self._stopped], [], [])
            if self._stopped in ready:
                return
            if self._ours in ready:
                question = os.read(self._ours, 4096)
                self.asked.put(question)
                # pymodbus' server answers for units that aren't there; on a bus nobody does.
                if question[0] == self._unit:
                    os.write(self._theirs, question)
            if self._theirs in ready:
                os.write(self._ours, self.spoil(os.read(self._theirs, 4096)))

    def say(self, answer: bytes) -> None:
        """Say something at the unit's end of the wire."""
        os.write(self._ours, answer)

    def questions(self, count: int) -> list[bytes]:
        """Wait for so many questions."""
        return [self.asked.get(timeout=DEADLINE_S) for _ in range(count)]

    def pull_out(self) -> None:
        """The adapter is gone, mid-session or at the end."""
        os.close(self._stop)
        self._thread.join(DEADLINE_S)
        for end in (self._ours, self._theirs, self._stopped, *self._held):
            os.close(end)


class Unit:
    """The server's thread."""

    def __init__(self, port: str, holding: Table, input_: Table, unit: int = 1) -> None:
        """Start to answer; the tables may be changed while it runs."""
        self.holding, self.input = holding, input_
        self._port, self._id = port, unit
        self.busy = False
        self._ready = threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve()), daemon=True)
        self._thread.start()
        assert self._ready.wait(DEADLINE_S)

    async def _serve(self) -> None:
        self._loop, self._end = asyncio.get_running_loop(), asyncio.Event()
        every = [SimData(0, count=65536, values=0, datatype=DataType.REGISTERS)]
        none = [SimData(0, values=[False] * 16, datatype=DataType.BITS)]
        device = SimDevice(self._id, (none, none, every, every), action=self._look)
        server = ModbusSerialServer(
            [device], port=self._port, baudrate=9600, ignore_missing_devices=True
        )
        await server.serve_forever(background=True)
        self._ready.set()
        await self._end.wait()
        await server.shutdown()  # type: ignore[no-untyped-call]

    async def _look(
        self,
        function: int,
        start: int,
        address: int,
        count: int,
        registers: list[int],
        set_values: list[int] | list[bool] | None,
    ) -> ExcCodes | None:
        table = self.holding if function == 3 else self.input
        if self.busy:
            return ExcCodes.DEVICE_BUSY
        for at in range(address, address + count):
            if at not in table:
                return ExcCodes.ILLEGAL_ADDRESS
            registers[at - start] = table[at]
        return None

    def stop(self) -> None:
        """Switch it off."""
        self._loop.call_soon_threadsafe(self._end.set)
        self._thread.join(DEADLINE_S)


@contextmanager
def unit_on_a_cable(
    link: Path, holding: Table | None = None, input_: Table | None = None, unit: int = 1
) -> Iterator[tuple[Cable, Unit]]:
    """A unit that answers, and its cable; both are gone afterwards."""
    cable = Cable(link, unit)
    there = Unit(cable.unit_port, holding or {}, input_ or {}, unit)
    try:
        yield cable, there
    finally:
        there.stop()
        cable.pull_out()


def no_answer(_: bytes) -> bytes:
    """A wire that is cut."""
    return b""


def source_at(link: Path, query: str, wait: Wait | None = None) -> PortSource:
    """A source that asks ten times a second."""
    url = parse_url(f"modbus://{link}?every=0.1&{query}")
    return open_modbus(url, BootClock(), fail_fast=True, wait=wait, listing=list)


def is_a_reading(event: AnyEvent) -> bool:
    """Any record of the unit."""
    return isinstance(event, Reading)


def said(event: AnyEvent) -> str:
    """Why a record has no value."""
    return str(event.why) if isinstance(event, Reading) else ""
