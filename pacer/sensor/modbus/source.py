"""Modbus RTU: `modbus://PORT?unit=1&register=0&scale=0.1`, asked at its own slots.

Frames, checksums and exception codes are minimalmodbus' business (the extra `modbus`);
opening, losing and finding the port again are those of every port (`ports.py`).

1. Only functions 3 and 4 are ever sent, which read; nothing is written to a unit.
2. No answer is silence, which the fold tells when it lasts. The protocol has no number that
   pairs an answer with its question: after a silence or a torn answer the next question
   waits as long again, so that a late answer isn't taken for it.
3. A unit that answers with an exception code, or so that it can't be read, is a record
   without a value that says why, for the registers it was asked for.
4. Where nothing at all has answered since the port was opened, one record says what to check.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from pacer.clock import Clock
from pacer.errors import SensorError
from pacer.sensor.modbus.registers import Asked, Registers
from pacer.sensor.modbus.url import Line, channel_of, line_of, registers_of
from pacer.sensor.port.ears import Rest
from pacer.sensor.port.identity import Listing, ports
from pacer.sensor.port.openers import adapter_of, found_by
from pacer.sensor.port.ports import PortSource, Wait
from pacer.sensor.port.wires import SerialWire, Wire
from pacer.sensor.text.values import Span
from pacer.sensor.url import SensorUrl, span
from pacer.session.events import Reading
from pacer.text import clean

if TYPE_CHECKING:
    import minimalmodbus

_IN_VAIN = 3
"Questions without an answer after an opening until it is said what to check."
_MANUAL = ((range(30001, 40000), "input"), (range(40001, 50000), "holding"))
"How many manuals number the registers of the two tables (common practice, no source)."
_TORN = {
    "Checksum error": "bad checksum",
    "Too short": "an answer cut short",
    "Wrong return slave": "the answer of another unit",
}


class BusWire(SerialWire):
    """A serial line with a bus's parity, stop bits and time for an answer."""

    def __init__(self, port: str, line: Line) -> None:
        """Open the port; raises OSError."""
        super().__init__(port, line.baud)
        try:
            self.port.parity, self.port.stopbits = line.parity, line.stop
            self.port.timeout = line.timeout_s
        except Exception:
            self.close()
            raise


class _NoValue(Exception):
    """Why one question brought no registers; empty: nobody answered."""

    def __init__(self, why: str, *, late: bool) -> None:
        """`late`: the answer, or the rest of it, may still come."""
        super().__init__(why)
        self.why, self.late = why, late


class ModbusEar:
    """Asks one unit for its registers; a record a round."""

    def __init__(self, line: Line, registers: Registers, limits: Span, clock: Clock) -> None:
        """Ask nothing yet."""
        self._line = line
        self._registers = registers
        self._limits = limits
        self._clock = clock
        self._bus: minimalmodbus.Instrument | None = None
        self._due_s = 0.0
        self._heard = False
        self._in_vain = 0

    def begin(self, wire: Wire, settle_s: float) -> None:
        """A port was opened: begin anew with the first slot."""
        import minimalmodbus

        assert isinstance(wire, SerialWire)
        self._bus = minimalmodbus.Instrument(wire.port, self._line.unit)
        self._due_s = self._clock.now_s() + settle_s
        self._heard, self._in_vain = False, 0

    def hear(self, wire: Wire, rest: Rest) -> list[Reading]:
        """Wait for the slot, ask, and return what came of it."""
        wait_s = self._due_s - self._clock.now_s()
        if wait_s > 0 and rest(wait_s):
            return []
        # A slot missed is left out, not caught up with.
        self._due_s = max(self._due_s + self._line.every_s, self._clock.now_s())
        answers: dict[int, int] = {}
        failed: dict[int, str] = {}
        for asked in self._registers.asked():
            try:
                answers.update(enumerate(self._ask(asked), asked.first))
            except _NoValue as exc:
                failed.update(dict.fromkeys(asked.registers, exc.why))
                if exc.late:
                    self._due_s = max(self._due_s, self._clock.now_s() + self._line.timeout_s)
                    break
        if answers or any(failed.values()):
            self._heard = True
            return [self._registers.reading(answers, failed, self._limits)]
        self._in_vain += 1
        if self._heard or self._in_vain != _IN_VAIN:
            return []
        nobody = dict.fromkeys(self._registers.addresses, f"no answer from {self._line}")
        return [self._registers.reading({}, nobody, self._limits)]

    def _ask(self, asked: Asked) -> list[int]:
        import minimalmodbus

        assert self._bus is not None
        try:
            return list(self._bus.read_registers(asked.first, asked.size, self._line.function))
        except minimalmodbus.NoResponseError:
            raise _NoValue("", late=True) from None
        except minimalmodbus.SlaveReportedException as exc:
            raise _NoValue(self._refused(str(exc), asked), late=False) from None
        except minimalmodbus.ModbusException as exc:
            raise _NoValue(_torn(str(exc)), late=True) from None

    def _refused(self, said: str, asked: Asked) -> str:
        word = clean(said.removeprefix("Slave reported "), 60)
        first, last = asked.registers[0], asked.registers[-1]
        which = f"register {first}" + (f" to {last}" if last > first else "")
        why = f"{word}: {which} of unit {self._line.unit}, {self._line.table}"
        for numbers, table in _MANUAL:
            if first in numbers:
                why += f"; a manual's {first} is register={first - numbers[0]}&table={table}"
        return why


def _torn(said: str) -> str:
    known = (words for begins, words in _TORN.items() if said.startswith(begins))
    return f"{next(known, clean(said, 80))}: check baud=, parity= and the wiring"


def open_modbus(
    url: SensorUrl,
    clock: Clock,
    *,
    fail_fast: bool,
    wait: Wait | None = None,
    listing: Listing = ports,
) -> PortSource:
    """Return the source of a Modbus unit's registers.

    Raises UserInputError for a wrong URL; SensorError where minimalmodbus isn't installed,
    or, with `fail_fast`, for a port that can't be opened now.
    """
    line, registers = line_of(url), registers_of(url)
    channel = channel_of(url, registers)
    adapter = adapter_of(url, listing)
    try:
        import minimalmodbus  # noqa: F401
    except ImportError:
        raise SensorError(
            f"sensor {url.text}: Modbus needs minimalmodbus: pip install 'pacer[modbus]'"
        ) from None

    return PortSource(
        url,
        clock,
        found_by(adapter, lambda port: BusWire(port, line)),
        ear=ModbusEar(line, registers, span(channel), clock),
        place=adapter,
        period_s=line.every_s,
        settle_s=line.settle_s,
        channel=channel,
        fail_fast=fail_fast,
        wait=wait,
    )
