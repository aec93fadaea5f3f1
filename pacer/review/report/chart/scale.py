"""From times and temperatures to places on a chart, and the ticks along its sides."""

from __future__ import annotations

import math
from typing import NamedTuple

_TIME_STEPS_S = (
    *(1.0, 2.0, 5.0, 10.0, 15.0, 30.0),
    *(60.0, 120.0, 300.0, 600.0, 900.0, 1800.0),
    *(3600.0, 7200.0, 10800.0, 21600.0, 43200.0, 86400.0),
)


class Scale(NamedTuple):
    """A straight scale: `low` lies at `at_low`, `high` at `at_high`."""

    low: float
    high: float
    at_low: float
    at_high: float

    def at(self, value: float) -> float:
        """Return where a value lies."""
        share = (value - self.low) / (self.high - self.low)
        return self.at_low + share * (self.at_high - self.at_low)

    def holds(self, value: float) -> bool:
        """True for a value on the chart."""
        return self.low <= value <= self.high


def ticks(low: float, high: float, most: int) -> list[float]:
    """Return round values from low to high, 1, 2 or 5 times a power of ten apart.

    >>> ticks(0.0, 318.0, 8)
    [0.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0]
    """
    rough = max(high - low, 1e-9) / max(most, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    # Dust: 0.3 / 0.1 is a little less than 3.
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= rough * (1.0 - 1e-9))
    return _multiples(low, high, step)


def time_ticks(low_s: float, high_s: float, most: int) -> list[float]:
    """Return times from low to high, s, as far apart as clocks count.

    >>> time_ticks(0.0, 14124.0, 8)
    [0.0, 1800.0, 3600.0, 5400.0, 7200.0, 9000.0, 10800.0, 12600.0]
    """
    rough_s = max(high_s - low_s, 1e-9) / max(most, 1)
    days_s = math.ceil(rough_s / 86400.0) * 86400.0
    step_s = next((step for step in _TIME_STEPS_S if step >= rough_s), days_s)
    return _multiples(low_s, high_s, step_s)


def hours(t_s: float, fine: bool = False) -> str:
    """Return a time along an axis: h:mm, with seconds where it has some, or where all are `fine`.

    >>> hours(5400.0), hours(75.0), hours(-600.0), hours(60.0, fine=True)
    ('1:30', '0:01:15', '-0:10', '0:01:00')
    """
    whole = round(abs(t_s))
    text = f"{whole // 3600}:{whole % 3600 // 60:02d}"
    if fine or whole % 60:
        text += f":{whole % 60:02d}"
    return f"-{text}" if t_s < 0 and whole else text


def _multiples(low: float, high: float, step: float) -> list[float]:
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [number * step + 0.0 for number in range(first, last + 1)]
