"""In which job-file keys jobs differ, with each one's value in a file's words or in the user's."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from pacer.job.file.keys import Key, keys
from pacer.job.file.typed import Given, in_words, written
from pacer.job.file.values_of import values_of
from pacer.job.job import Job
from pacer.text import clean
from pacer.units import Shown

NAMES = frozenset({"job.title", "sensor.url"})
"What a job is called and where its readings came from: no limit, and no part of the repair."

NONE = "-"

_SHOWN: dict[str, Callable[[Shown, Any], str]] = {
    "temperature": Shown.temp_c,
    "temperature_difference": Shown.temp_dc,
    "rate_c_h": Shown.rate_c_h,
    "length": Shown.length_m,
    "sizes": lambda shown, sizes_m: " x ".join(map(shown.length_m, sizes_m)),
    "mass": Shown.mass_kg,
    "time": Shown.duration,
    "volume": Shown.volume_m3,
    "speed": Shown.speed_m_s,
}


def apart(jobs: Sequence[Job]) -> Iterator[tuple[Key, tuple[Any, ...]]]:
    """Yield each key in which they are not all alike, in the order of the guide.

    Values are the program's (SI, °C, a word); None: nobody said it, or there is no such limit.
    """
    values = [values_of(job) for job in jobs]
    for key in keys().values():
        found = tuple(of.get(key.name) for of in values)
        if key.name not in NAMES and any(value != found[0] for value in found):
            yield key, found


def in_a_file(key: Key, value: Any) -> Given | None:
    """Return a value of `apart` as a job file would have it, metric."""
    if value is None:
        return None
    return clean(value) if isinstance(value, str) else written(key, value)


def in_units(key: Key, values: Sequence[Any], shown: Shown) -> tuple[str, ...]:
    """Return values of `apart` as they are shown everywhere, unless rounding makes two of them alike.

    >>> floor = keys()["band.floor"]
    >>> in_units(floor, (200.0, None), Shown()), in_units(floor, (200.0, 200.2), Shown())
    (('200 °C', '-'), ('200 degC', '200.2 degC'))
    """
    texts = tuple(_in_units(key, value, shown) for value in values)
    if len(set(texts)) == len(set(values)):
        return texts
    return tuple(_written(key, value, shown) for value in values)


def _in_units(key: Key, value: Any, shown: Shown) -> str:
    known = _SHOWN.get(key.kind)
    return _written(key, value, shown) if value is None or known is None else known(shown, value)


def _written(key: Key, value: Any, shown: Shown) -> str:
    if value is None:
        return NONE
    return clean(value) if isinstance(value, str) else in_words(written(key, value, shown.system))
