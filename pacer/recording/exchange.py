"""Readings out to CSV and in from CSV (RFC 4180, UTF-8).

Out: `t_s,channel,temp_c`, one row a decoded number, in °C, before guard and correction.
In: `t_s,temp_c`, or `time,temp` with units; a blank temperature is an open sensor.
"""

from __future__ import annotations

import csv
import itertools
import re
import statistics
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from pacer.errors import UserInputError
from pacer.session.celsius import degrees
from pacer.session.events import LATEST_S, AnyEvent, Opened, Reading, Resumed
from pacer.text import clean, csv_cell

COLUMNS = ("t_s", "channel", "temp_c")

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,2})?", re.ASCII)
LEAST_C, MOST_C = -273.15, 2000.0
"Absolute zero, and above every wire used here (JUDG)."

_MOST_TOLD = 10
_MOST_BYTES = 200_000_000


def temperatures(opened: Opened, events: Iterable[AnyEvent]) -> Iterator[tuple[float, str, float]]:
    """Yield (session time s, channel, °C) for every decoded number; not the arc's, not the cold junction's."""
    channel = opened.channel
    for event in events:
        if isinstance(event, Resumed) and event.channel is not None:
            channel = event.channel
        if not isinstance(event, Reading):
            continue
        for value in degrees(channel, event):
            if value.temp_c is not None:
                yield event.t_s, value.name, value.temp_c


def write_csv(rows: Iterable[tuple[float, str, float]], file: TextIO) -> None:
    """Write `t_s,channel,temp_c` with a header."""
    writer = csv.writer(file)
    writer.writerow(COLUMNS)
    for t_s, channel, temp_c in rows:
        writer.writerow((_plain(t_s), csv_cell(channel), _plain(temp_c)))


def _plain(number: float) -> str:
    """Return at most nine decimals, without trailing zeros: raw values come out as they were."""
    text = f"{number:.9f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@dataclass(frozen=True, slots=True)
class Imported:
    """Readings of another logger."""

    rows: tuple[tuple[float, float | None], ...]
    "(time s, °C or None where blank), in order."
    period_s: float | None
    "Median spacing; None for a single row."


def read_csv(
    path: Path,
    to_s: Callable[[float], float],
    to_c: Callable[[float], float],
) -> Imported:
    """Read a CSV of times and temperatures.

    `to_s` and `to_c` convert `time` and `temp` columns; `t_s` and `temp_c` need none.
    Raises `UserInputError` with up to ten lines, each `file:line: found, expected`.
    """
    name = clean(str(path))
    try:
        if not path.is_file():
            raise UserInputError(f"{name}: no such file of readings")
        if path.stat().st_size > _MOST_BYTES:
            raise UserInputError(f"{name}: larger than {_MOST_BYTES // 1_000_000} MB")
        with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
            return _read(csv.reader(file), name, to_s, to_c)
    except OSError as error:
        raise UserInputError(f"{name}: {clean(error.strerror or str(error))}") from None
    except csv.Error as error:
        raise UserInputError(f"{name}: not CSV: {clean(str(error))}") from None


def _read(
    rows: Iterator[list[str]],
    name: str,
    to_s: Callable[[float], float],
    to_c: Callable[[float], float],
) -> Imported:
    header = [cell.strip() for cell in next(rows, [])]
    if {"t_s", "temp_c"} <= set(header):
        time_at, temp_at = header.index("t_s"), header.index("temp_c")
        to_s = to_c = float
    elif {"time", "temp"} <= set(header):
        time_at, temp_at = header.index("time"), header.index("temp")
    else:
        found = clean(",".join(header), 80)
        raise UserInputError(f'{name}:1: columns "{found}", expected "t_s,temp_c" or "time,temp"')
    out: list[tuple[float, float | None]] = []
    wrong: list[str] = []
    for line_no, row in enumerate(rows, start=2):
        if not any(cell.strip() for cell in row):
            continue
        told = _row(row, time_at, temp_at, out, to_s, to_c)
        if told:
            wrong.append(f"{name}:{line_no}: {told}")
    if wrong:
        more = [f"{name}: and {len(wrong) - _MOST_TOLD} more"] if len(wrong) > _MOST_TOLD else []
        raise UserInputError("\n".join(wrong[:_MOST_TOLD] + more))
    if not out:
        raise UserInputError(f"{name}: no readings after the header")
    gaps = [b[0] - a[0] for a, b in itertools.pairwise(out)]
    return Imported(rows=tuple(out), period_s=round(statistics.median(gaps), 3) if gaps else None)


def _row(
    row: list[str],
    time_at: int,
    temp_at: int,
    out: list[tuple[float, float | None]],
    to_s: Callable[[float], float],
    to_c: Callable[[float], float],
) -> str:
    """Add one row to `out`; return what is wrong with it, or nothing."""
    if len(row) <= max(time_at, temp_at):
        return f"{len(row)} column(s), expected at least {max(time_at, temp_at) + 1}"
    time_text, temp_text = row[time_at].strip(), row[temp_at].strip()
    if not _NUMBER.fullmatch(time_text):
        return f'time "{clean(time_text, 40)}", expected a number'
    t_s = to_s(float(time_text))
    if not 0 <= t_s <= LATEST_S:
        return f"time {time_text}, expected s from 0 to {LATEST_S:.0f}"
    if out and t_s < out[-1][0]:
        return f"time {time_text} goes back, expected times in order"
    if not temp_text:
        out.append((t_s, None))
    elif not _NUMBER.fullmatch(temp_text):
        return f'temperature "{clean(temp_text, 40)}", expected a number, or nothing for none'
    else:
        temp_c = to_c(float(temp_text))
        if not LEAST_C - 1e-9 <= temp_c <= MOST_C:
            return (
                f"temperature {temp_text}, expected {LEAST_C:g} to {MOST_C:g} degC, "
                "or nothing for none"
            )
        out.append((t_s, temp_c))
    return ""
