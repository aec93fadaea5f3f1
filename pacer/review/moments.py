"""Session times and wall times as the review prints them."""

from __future__ import annotations

from datetime import timedelta, timezone

from pacer.clock import moment
from pacer.session.events import GapBy
from pacer.text import clean

KNOWN_BY: dict[GapBy, str] = {
    "steady": "",
    "wall": ", by the wall clock",
    "said": ", by the welder's word",
    "unknown": "",
}
"How a gap's length is known, after its words."


def clock(t_s: float) -> str:
    """Return session time as h:mm:ss.

    >>> clock(3725.4)
    '1:02:05'
    """
    hours, rest = divmod(int(t_s), 3600)
    return f"{hours:d}:{rest // 60:02d}:{rest % 60:02d}"


def utc(wall: str) -> str:
    """Return a record's wall time as date and minute, UTC; what is no date is shown as it is.

    >>> utc("2026-01-01T09:30:12+01:00")
    '2026-01-01 08:30 UTC'
    """
    found = moment(wall)
    if found is None:
        return clean(wall, 40) or "at an unknown time"
    return f"{found.isoformat(' ')[:16]} UTC"


def local(wall: str, tz: str) -> str:
    """Return a wall time on the clocks of the place it was written at, with their offset.

    >>> local("2026-01-01T08:30:12+00:00", "+01:00")
    '2026-01-01 09:30 (UTC+01:00)'
    """
    found, offset = moment(wall), _offset(tz)
    if found is None or offset is None:
        return utc(wall)
    try:
        return f"{found.astimezone(timezone(offset)).isoformat(' ')[:16]} (UTC{tz})"
    except OverflowError:
        return utc(wall)


def _offset(tz: str) -> timedelta | None:
    if len(tz) != 6 or tz[0] not in "+-" or not (tz[1:3] + tz[4:]).isdigit():
        return None
    minutes = int(tz[1:3]) * 60 + int(tz[4:])
    if minutes >= 24 * 60:
        return None
    return timedelta(minutes=-minutes if tz[0] == "-" else minutes)
