"""`BootText`: what a board prints while it starts is no reading, and not a fault either.

Settling throws away 2 s of it. Slower boards print longer: text that is no reading, before
the first reading after an opening, is counted and left out for up to 10 s.
Bytes that are no text are told at once: so looks a wrong baud rate. Pure.
"""

from __future__ import annotations

import msgspec

from pacer.session.events import Reading

BOOT_S = 10.0
"Boards with a network of their own start in 3 to 8 s. Judgement, no source."

_REPLACEMENT = "\N{REPLACEMENT CHARACTER}"


class BootText:
    """The lines of one opening, until the first reading."""

    def __init__(self, opened_s: float) -> None:
        self._until_s = opened_s + BOOT_S
        self._over = False
        self._dropped = 0

    def leave_out(self, readings: list[Reading], now_s: float) -> list[Reading]:
        """Return what is to be recorded; the first says how many lines were left out."""
        if self._over:
            return readings
        kept: list[Reading] = []
        for reading in readings:
            if not self._over and now_s < self._until_s and _is_text(reading):
                self._dropped += 1 + reading.dropped
                continue
            if reading.status != "unparsable" or now_s >= self._until_s:
                self._over = True
            dropped, self._dropped = reading.dropped + self._dropped, 0
            kept.append(msgspec.structs.replace(reading, dropped=dropped))
        return kept


def _is_text(reading: Reading) -> bool:
    """True for a line that could not be read and has nothing but plain characters in it."""
    text = reading.raw[0] if reading.raw else None
    return (
        reading.status == "unparsable"
        and isinstance(text, str)
        and text.isascii()
        and _REPLACEMENT not in text
    )
