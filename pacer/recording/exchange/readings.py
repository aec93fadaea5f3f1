"""Readings out to CSV (RFC 4180, UTF-8): `t_s,channel,temp_c`.

One row a decoded number, in °C, before guard and correction; lines end in CR LF, text is
quoted where it must be. Readings in: `incoming.py`; many recordings out: `parquet.py`.
The columns are described in the guide's `exchange`.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from typing import TextIO

from pacer.session.celsius import Degrees, degrees
from pacer.session.events import AnyEvent, Channel, Opened, Reading, Resumed
from pacer.text import csv_cell

COLUMNS = ("t_s", "channel", "temp_c")


class Converted:
    """A recording's lines in °C, by the conversion in force when each was heard."""

    def __init__(self, opened: Opened) -> None:
        self._channel: Channel = opened.channel

    def values(self, event: AnyEvent) -> tuple[Degrees, ...]:
        """Return every temperature of a reading; nothing for other events.

        Events come in order: taking a recording up again may change the conversion.
        """
        if isinstance(event, Resumed) and event.channel is not None:
            self._channel = event.channel
        return degrees(self._channel, event) if isinstance(event, Reading) else ()


def temperatures(opened: Opened, events: Iterable[AnyEvent]) -> Iterator[tuple[float, str, float]]:
    """Yield (session time s, channel, °C) for every decoded number; not the arc's, not the cold junction's."""
    converted = Converted(opened)
    for event in events:
        for value in converted.values(event):
            if value.temp_c is not None:
                yield event.t_s, value.name, value.temp_c


def write_csv(rows: Iterable[tuple[float, str, float]], file: TextIO) -> None:
    """Write `t_s,channel,temp_c` with a header; `file` must leave line ends as they are."""
    writer = csv.writer(file)
    writer.writerow(COLUMNS)
    for t_s, channel, temp_c in rows:
        writer.writerow((_plain(t_s), csv_cell(channel), _plain(temp_c)))


def _plain(number: float) -> str:
    """Return at most nine decimals, without trailing zeros: raw values come out as they were."""
    text = f"{number:.9f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
