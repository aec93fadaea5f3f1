"""`UnitsSeen`: which unit each channel has had, so that a unit can't change by accident.

1. What the line marks wins over the default (°C), never over `unit=` of the URL: where the
   two differ the line is refused, since one of them is wrong.
2. A unit that changes is believed the third time in a row: one bit tells `C` from `K`.
3. Where one channel marks another unit than the default, a new one may not leave it out.
4. A channel that has marked its unit three times may not leave it out: `30` may be what is
   left of `300.5 C`. The third time in a row is believed. One that has marked another unit
   than the default, if only once, may never: it would be read as °C.
"""

from __future__ import annotations

from pacer.sensor.text.values import Refused, shown_unit
from pacer.session.celsius import VOLTS

BELIEVED_AFTER = 3
_MOST = 64
"Channels remembered; a hostile source may name any number of them."


class _Seen:
    __slots__ = ("believed", "marked", "odd", "times")

    def __init__(self, believed: str, marked: bool) -> None:
        self.believed = believed
        self.marked = int(marked)
        "How often the line itself has said it, counted up to three."
        self.odd = ""
        self.times = 0


class UnitsSeen:
    """Memory of one source."""

    def __init__(self, told: str, default: str) -> None:
        """`told` is the URL's unit, empty where it says none; `default` is what holds then."""
        self._told = told
        self._default = told or default
        self._seen: dict[str, _Seen] = {}
        self._sure: set[str] = {told}

    def knows(self, name: str) -> bool:
        """True where this channel has sent a number before."""
        return name in self._seen

    def may_be_glued(self, unit: str) -> bool:
        """True where a whole number with this bare letter can't be hexadecimal."""
        return unit in self._sure

    def take(self, name: str, unit: str, *, default: str = "", doubtful: bool = False) -> None:
        """Raise Refused unless a number of `name`, marked `unit` or unmarked, fits what was seen.

        `default` is this channel's own, where that isn't the source's.
        """
        told, usual = ("", default) if default else (self._told, self._default)
        if unit and told and unit != told:
            raise Refused(f"marks {shown_unit(unit)}, but the sensor's URL says unit={told}")
        effective = unit or usual
        seen = self._seen.get(name)
        if seen is None:
            strange = self._sure - {"", usual}
            if strange and not (unit or told or default or usual in VOLTS):
                raise Refused(
                    f'no unit for "{name}" but {shown_unit(min(strange))} for others: '
                    "expected one, or unit= in the sensor's URL"
                )
            if len(self._seen) == _MOST:
                del self._seen[next(iter(self._seen))]
            self._seen[name] = _Seen(effective, bool(unit))
        elif effective == seen.believed and (unit or seen.marked < BELIEVED_AFTER):
            seen.times = 0
            if unit and seen.marked < BELIEVED_AFTER:
                seen.marked += 1
        else:
            _odd(seen, effective, unit)
        if unit and not doubtful:
            self._sure.add(unit)


def _odd(seen: _Seen, effective: str, unit: str) -> None:
    found = f"found {shown_unit(effective)}" if unit or not seen.marked else "no unit"
    why = f"{found}, expected {shown_unit(seen.believed)} as before"
    if not unit and seen.marked and effective != seen.believed:
        raise Refused(f"{why}, or unit= in the sensor's URL")
    seen.times = seen.times + 1 if seen.odd == effective else 1
    seen.odd = effective
    if seen.times < BELIEVED_AFTER:
        raise Refused(why)
    seen.believed, seen.times, seen.marked = effective, 0, int(bool(unit))
