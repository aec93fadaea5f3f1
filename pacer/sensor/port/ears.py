"""An `Ear` gets readings out of an opened port; the reader thread of `ports.py` holds it.

`TextEar` waits for lines. `asking.py` asks first; a bus protocol is one more ear.
What is the same for all of them stays with the thread: opening, settling, losing, waiting
and opening again, the limiter, the stamps.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from pacer.sensor.port.wires import Wire
from pacer.sensor.text.lines import Decoder
from pacer.session.events import Reading

Rest = Callable[[float], bool]
"Wait so many seconds, or until the port is to be closed; True when it is."


class Ear(Protocol):
    """How one kind of source is heard; every method runs in the reader thread."""

    def begin(self, wire: Wire, settle_s: float) -> None:
        """A port was opened, or opened again; what it says for `settle_s` will not be used."""

    def hear(self, wire: Wire, rest: Rest) -> list[Reading]:
        """Return what came, each with `t_ms=0`; nothing after a short silence.

        Called again at once. Raises OSError when the port is gone: it is then closed,
        told as lost and opened again. Whatever waits here must not outlast a closing by
        more than a second or two.
        """


class TextEar:
    """Lines that come by themselves."""

    def __init__(self, decoder: Decoder, *, whole_first: bool = False) -> None:
        """`whole_first`: the very first opening does not begin in the middle of a line."""
        self._decoder = decoder
        self._whole_first = whole_first

    def begin(self, wire: Wire, settle_s: float) -> None:
        """Throw away the first line: it may be a part of one."""
        if not self._whole_first:
            self._decoder.restart()
        self._whole_first = False

    def hear(self, wire: Wire, rest: Rest) -> list[Reading]:
        """Read once; what the settling throws away is decoded all the same, for its header."""
        return self._decoder.feed(wire.read())
