"""Another logger's readings in: CSV (RFC 4180) or Parquet, read twice, never held whole.

Columns `t_s` or `time`, `temp_c` or `temp`. The first pass judges every row and takes the
median spacing, which the recording's head needs; the second hands the rows out.
A time is a number, whose zero is kept, or an ISO 8601 date and time, whose first is zero;
a blank temperature is an open sensor. Told in the guide's `exchange`.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TextIO

from pacer.errors import UserInputError
from pacer.recording.exchange.parquet import cells_of, is_parquet
from pacer.session.events import LATEST_S
from pacer.text import clean

LEAST_C, MOST_C = -273.15, 2000.0
"Absolute zero, and above every wire used here (JUDG)."

YEARS = (1971, 2199)
"Of a logger's date; a clock that was never set says less (common sense, no source)."

Convert = Callable[[float], float]
Row = tuple[float, float | None]
"Session time in s, °C or None where it was blank."

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,2})?", re.ASCII)
_DATED = re.compile(
    r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d([.,]\d{1,9})?)?(Z|[+-]\d\d(:?\d\d)?)?", re.ASCII
)
_MOST_TOLD = 10
_LONGEST_LINE = 65_536
"Characters; a longer line is no row of two numbers, and isn't read into memory to find out."


@dataclass(frozen=True, slots=True)
class Imported:
    """Readings of another logger, every row of them judged."""

    count: int
    period_s: float | None
    "Median spacing; None for a single row."
    start: datetime | None
    "Wall time of session time 0, with its offset from UTC; None where times are numbers."
    rows: Callable[[], Iterator[Row]]
    "Read the file again and hand its rows out, in order; may raise `UserInputError`."


def read(path: Path, to_s: Convert, to_c: Convert) -> Imported:
    """Read a file of times and temperatures.

    `to_s` and `to_c` convert `time` and `temp` columns; `t_s` and `temp_c` need none.
    Raises `UserInputError` with up to ten lines, each `file:line: found, expected`.
    """
    name = clean(str(path))
    judge = _Judge(name, to_s, to_c)
    wrong: list[str] = []
    wrongs, count, last_s = 0, 0, 0.0
    spacings: Counter[int] = Counter()
    for place, row in _judged(path, name, judge):
        if isinstance(row, _Wrong):
            wrongs += 1
            if len(wrong) < _MOST_TOLD:
                wrong.append(f"{place}: {row}")
            continue
        if count:
            # In whole ms there are at most some 140,000 different ones in `LATEST_S`.
            spacings[round((row[0] - last_s) * 1000)] += 1
        count, last_s = count + 1, row[0]
    if wrongs > _MOST_TOLD:
        wrong.append(f"{name}: and {wrongs - _MOST_TOLD} more")
    if wrong:
        raise UserInputError("\n".join(wrong))
    if not count:
        raise UserInputError(f"{name}: no readings after the header")
    # Without an offset it is this place's time: most loggers write that.
    start = judge.start if judge.start is None else judge.start.astimezone(judge.start.tzinfo)

    def again() -> Iterator[Row]:
        for place, row in _judged(path, name, _Judge(name, to_s, to_c)):
            if isinstance(row, _Wrong):
                raise UserInputError(f"{place}: changed while it was read")
            yield row

    return Imported(count, _median_s(spacings), start, again)


def _judged(path: Path, name: str, judge: _Judge) -> Iterator[tuple[str, Row | _Wrong]]:
    """Yield (where, row or what is wrong with it)."""
    cells = _cells(path, name)
    judge.header(next(cells)[1])
    for place, row in cells:
        try:
            yield place, judge.row(row)
        except _Wrong as wrong:
            yield place, wrong


def _median_s(spacings: Counter[int]) -> float | None:
    """Return the middle of counted spacings in ms, as s; the mean of two for an even number."""
    total = spacings.total()
    if not total:
        return None
    wanted, seen, middle = ((total - 1) // 2, total // 2), 0, []
    for spacing_ms in sorted(spacings):
        upto = seen + spacings[spacing_ms]
        middle += [spacing_ms for place in wanted if seen <= place < upto]
        seen = upto
    return round(sum(middle) / 2000, 3)


class _Wrong(Exception):
    """What is wrong with a row: found, expected."""


class _Judge:
    """Makes numbers of cells; knows what came before."""

    def __init__(self, name: str, to_s: Convert, to_c: Convert) -> None:
        self._name = name
        self._times: dict[str, Convert] = {"t_s": float, "time": to_s}
        self._temps: dict[str, Convert] = {"temp_c": float, "temp": to_c}
        self._last_s: float | None = None
        self._channel: str | None = None
        self.start: datetime | None = None
        "The first row's time, where times are dates."

    def header(self, header: list[str]) -> None:
        """Find the columns by name; raises `UserInputError` where there is none for each."""
        time = next((column for column in self._times if column in header), None)
        temp = next((column for column in self._temps if column in header), None)
        if time is None or temp is None:
            found = clean(",".join(header), 80)
            raise UserInputError(
                f'{self._name}:1: columns "{found}", expected "t_s,temp_c" or "time,temp"'
            )
        for column in (time, temp, "channel"):
            if header.count(column) > 1:
                raise UserInputError(f'{self._name}:1: column "{column}" comes twice')
        self._columns = len(header)
        self._time_at, self._temp_at = header.index(time), header.index(temp)
        self._channel_at = header.index("channel") if "channel" in header else None
        self._to_s, self._to_c = self._times[time], self._temps[temp]
        self._may_be_dated = time == "time"

    def row(self, row: list[str]) -> Row:
        """Return a row's numbers; raises `_Wrong`."""
        at = max(self._time_at, self._temp_at)
        if len(row) <= at:
            raise _Wrong(f"{len(row)} column(s), expected at least {at + 1}")
        # Many loggers end a row with a comma; more than that is a decimal comma, or two rows in one.
        if any(cell.strip() for cell in row[self._columns :]):
            raise _Wrong(f"{len(row)} column(s), expected {self._columns} as in the header")
        self._one_channel(row)
        time_text, temp_text = row[self._time_at].strip(), row[self._temp_at].strip()
        t_s = self._time(time_text)
        if not 0 <= t_s <= LATEST_S and self.start is None:
            raise _Wrong(f"time {clean(time_text, 40)}, expected s from 0 to {LATEST_S:.0f}")
        if t_s > LATEST_S:
            raise _Wrong(f"time {time_text}, expected at most {LATEST_S:.0f} s after the first")
        if t_s < (self._last_s or 0.0):
            raise _Wrong(f"time {time_text} goes back, expected times in order")
        temp_c = self._temp(temp_text)
        self._last_s = t_s
        return t_s, temp_c

    def _one_channel(self, row: list[str]) -> None:
        """Two probes in one column would be read as one that jumps."""
        if self._channel_at is None or len(row) <= self._channel_at:
            return
        channel = row[self._channel_at].strip()
        if self._channel is None:
            self._channel = channel
        if channel != self._channel:
            first, other = clean(self._channel, 40), clean(channel, 40)
            raise _Wrong(
                f'channel "{other}", expected "{first}" in every row: import one at a time'
            )

    def _time(self, text: str) -> float:
        dated = self._may_be_dated and _DATED.fullmatch(text) is not None
        if self._last_s is None and self.start is None and dated:
            self.start = _moment(text)
            return 0.0
        if self.start is None:
            if dated:
                raise _Wrong(f'time "{text}", expected a number like those before')
            if not _NUMBER.fullmatch(text):
                kinds = (
                    "a number or an ISO 8601 date and time" if self._may_be_dated else "a number"
                )
                raise _Wrong(f'time "{clean(text, 40)}", expected {kinds}')
            return self._to_s(float(text))
        if not dated:
            raise _Wrong(f'time "{clean(text, 40)}", expected a date and time like those before')
        moment = _moment(text)
        if (moment.tzinfo is None) != (self.start.tzinfo is None):
            raise _Wrong(f'time "{text}", expected an offset from UTC in every row or in none')
        return round((moment - self.start).total_seconds(), 3)

    def _temp(self, text: str) -> float | None:
        if not text:
            return None
        if not _NUMBER.fullmatch(text):
            raise _Wrong(f'temperature "{clean(text, 40)}", expected a number, or nothing for none')
        temp_c = self._to_c(float(text))
        if not LEAST_C - 1e-9 <= temp_c <= MOST_C:
            raise _Wrong(
                f"temperature {clean(text, 40)}, expected {LEAST_C:g} to {MOST_C:g} degC, "
                "or nothing for none"
            )
        return temp_c


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise _Wrong(f'time "{text}": no such moment ({clean(str(error), 60)})') from None
    first, last = YEARS
    if not first <= moment.year <= last:
        raise _Wrong(f'time "{text}", expected a year from {first} to {last}')
    return moment


def _cells(path: Path, name: str) -> Iterator[tuple[str, list[str]]]:
    """Yield (where, cells) for the header and each row that isn't blank."""
    try:
        if not path.is_file():
            what = "not a regular file, expected" if path.exists() else "no such file of"
            raise UserInputError(f"{name}: {what} readings")
        if is_parquet(path):
            yield from cells_of(path, name, ("t_s", "time", "temp_c", "temp", "channel"))
            return
        with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
            yield from _rows(file, name)
    except OSError as error:
        raise UserInputError(f"{name}: {clean(error.strerror or str(error))}") from None


def _rows(file: TextIO, name: str) -> Iterator[tuple[str, list[str]]]:
    """Yield (where, cells) of a CSV file; a row is where it begins."""
    rows = csv.reader(_lines(file, name), strict=True)
    begins = 1
    try:
        yield f"{name}:1", [cell.strip() for cell in next(rows, [])]
        begins = rows.line_num + 1
        for row in rows:
            if any(cell.strip() for cell in row):
                yield f"{name}:{begins}", row
            begins = rows.line_num + 1
    except csv.Error as error:
        # Its words for a file that ends within a quote; a quote left open swallows what follows.
        open_quote = "unexpected end" in str(error) or "field limit" in str(error)
        why = "a quote that is never closed" if open_quote else clean(str(error))
        raise UserInputError(f"{name}:{begins}: not CSV: {why}") from None


def _lines(file: TextIO, name: str) -> Iterator[str]:
    number = 0
    while line := file.readline(_LONGEST_LINE + 1):
        number += 1
        if len(line) > _LONGEST_LINE:
            raise UserInputError(
                f"{name}:{number}: longer than {_LONGEST_LINE} characters, expected a row of numbers"
            )
        yield line
