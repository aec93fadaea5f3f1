"""Modbus registers as numbers: which are asked for together, and how their bits are read; pure.

A register is 16 bits, its high byte first. The protocol knows no longer numbers: what two
registers mean, and which of them comes first, is the maker's choice and the user's to say.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple, get_args

from pacer.sensor.text.values import Span, Value, read_value
from pacer.session.events import Reading

Number = Literal["int16", "uint16", "int32", "uint32", "float32"]
NUMBERS: tuple[Number, ...] = get_args(Number)

_FORMATS: dict[Number, str] = {
    "int16": ">h",
    "uint16": ">H",
    "int32": ">i",
    "uint32": ">I",
    "float32": ">f",
}
_MOST = 125
"Registers in one answer (Modbus application protocol V1.1b3, functions 3 and 4; from memory)."

_SMALLEST = 1e-20
"No instrument resolves so little: a float32 whose halves are swapped or that is none."


class Asked(NamedTuple):
    """One question: registers that lie side by side."""

    first: int
    size: int

    @property
    def registers(self) -> range:
        """Their addresses."""
        return range(self.first, self.first + self.size)


@dataclass(frozen=True, slots=True)
class Registers:
    """Where a unit keeps its values and what their bits mean."""

    addresses: tuple[int, ...]
    "Of the first register of each value, from 0, in the order of the channels."
    number: Number = "int16"
    low_first: bool = False
    "True: of two registers the first holds the lower 16 bits."
    opens: tuple[float, ...] = ()
    "Numbers by which the meter says that its sensor is open, before any scale."
    names: tuple[str, ...] | None = None
    "A name each; None: t1, t2, …"
    cj_scale: float = 1.0
    "The cold junction's number times this is °C."

    @property
    def width(self) -> int:
        """Registers a value."""
        return struct.calcsize(_FORMATS[self.number]) // 2

    @property
    def channels(self) -> tuple[str, ...]:
        """A name for each value."""
        return self.names or tuple(f"t{i + 1}" for i in range(len(self.addresses)))

    def asked(self) -> tuple[Asked, ...]:
        """Return the fewest questions without a register nobody wants: it may be forbidden."""
        questions: list[Asked] = []
        for address in sorted(self.addresses):
            last = questions[-1] if questions else None
            beside = last is not None and last.first + last.size == address
            if last is not None and beside and last.size + self.width <= _MOST:
                questions[-1] = Asked(last.first, last.size + self.width)
            else:
                questions.append(Asked(address, self.width))
        return tuple(questions)

    def decoded(self, words: Sequence[int]) -> float:
        """Return the number in `width` registers; not finite where a float32 is none."""
        ordered = words[::-1] if self.low_first else words
        (found,) = struct.unpack(_FORMATS[self.number], struct.pack(f">{len(ordered)}H", *ordered))
        return _shortest(found) if isinstance(found, float) else float(found)

    def reading(self, answers: dict[int, int], failed: dict[int, str], span: Span) -> Reading:
        """Return one record of all values: the registers that came, why others didn't.

        `answers` maps addresses to 16 bits, `failed` addresses to why they have none; what is
        in neither was not answered.
        """
        values = [
            self._value(address, name, answers, failed, span)
            for address, name in zip(self.addresses, self.channels, strict=True)
        ]
        words = tuple(value.status for value in values)
        whys = dict.fromkeys(value.why for value in values if value.why)
        return Reading(
            t_ms=0,
            raw=tuple(value.raw for value in values),
            status=words[0] if len(set(words)) == 1 else words,
            names=self.names,
            why="; ".join(whys) or None,
        )

    def _value(
        self, address: int, name: str, answers: dict[int, int], failed: dict[int, str], span: Span
    ) -> Value:
        if address not in answers:
            why = failed.get(address) or f"no answer for register {address}"
            return Value(None, "unparsable", why)
        number = self.decoded([answers[address + i] for i in range(self.width)])
        if not math.isfinite(number) or number in self.opens:
            return Value(f"{number:g}", "open", "")
        if 0.0 < abs(number) < _SMALLEST:
            return Value(f"{number:g}", "unparsable", f"{number:g} is no temperature: try order=")
        if span.cj and name == span.cj:
            number = round(number * self.cj_scale, 9)
        value = read_value(repr(number), number, span, name)
        # A finite number always has a value: it is in the span, outside it, or a code.
        return value or Value(repr(number), "unparsable", f"{number:g} can't be read")


def _shortest(found: float) -> float:
    """Return the shortest decimal that is the same float32: 23.1, not 23.100000381469727."""
    if not math.isfinite(found):
        return found
    for digits in range(6, 9):
        short = float(f"{found:.{digits}g}")
        if struct.pack(">f", short) == struct.pack(">f", found):
            return short
    return float(f"{found:.9g}")
