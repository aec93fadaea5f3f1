"""The least filter shade for an arc, by process and current: rows X10 of the trade tables.

The regulation gives least numbers in ranges that meet: 160 A of a covered electrode is in
two of them, and the darker is taken. Most welders start darker than that.
"""

from __future__ import annotations

from pacer.trade.rows import Row, load


def shade_row(process: str) -> Row:
    """Return the row of `shades` that is about an ISO 4063 process; ValueError if none is."""
    for found in load("shades"):
        if process in found.values.get("processes", ()):
            return found
    raise ValueError(f"no published shade for process {process}")


def shade(process: str, current_a: float) -> int:
    """Return the least shade number for a process at a current, A.

    ValueError where nothing is published: another process, or a current above its last range.
    Source: 29 CFR 1910.133(a)(5), seen in the primary text.

    >>> shade("111", 90.0), shade("111", 160.0), shade("141", 90.0)
    (8, 10, 8)
    """
    values = shade_row(process).values
    if not 0.0 <= current_a <= values["to_a"]:
        raise ValueError(f"no published shade for process {process} at {current_a:g} A")
    steps = zip(values["from_a"], values["shade"], strict=True)
    return max(int(number) for from_a, number in steps if current_a >= from_a)
