"""How far past its limit something went, in the limit's own unit: `9 K below`, `5.6 s early`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from pacer.session.filled import told
from pacer.units import Shown


class _Row(NamedTuple):
    limit: str
    "What the finding's limit calls its figure."
    bound: str
    "What it is measured against, mostly the same; where a plan stands behind the limit, the plan."
    measured: str
    words: str


_ROWS = (
    _Row("ceiling_c", "ceiling_c", "start_c", "above"),
    _Row("floor_c", "floor_c", "start_c", "below"),
    _Row("most_c", "most_c", "peak_c", "above"),
    _Row("least_c", "least_c", "coldest_c", "below"),
    _Row("until_c", "until_c", "temp_c", "too hot"),
    _Row("air_c", "air_c", "temp_c", "too hot"),
    _Row("most_m", "most_m", "length_m", "too long"),
    _Row("most_arc_s", "most_arc_s", "arc_s", "too long"),
    _Row("least_arc_s", "planned_arc_s", "arc_s", "early"),
    _Row("late_s", "late_s", "after_arc_s", "too late"),
    _Row("within_s", "within_s", "after_arc_s", "too late"),
    _Row("within_s", "within_s", "after_s", "too late"),
    _Row("soak_s", "soak_s", "held_s", "short"),
    _Row("least_share", "hold_s", "held_s", "short"),
    _Row("most_dc", "most_dc", "spread_dc", "more"),
    _Row("least_dc", "least_dc", "colder_dc", "more"),
    _Row("even_dc", "even_dc", "spread_dc", "more"),
    _Row("allowed_dc", "allowed_dc", "fell_dc", "more"),
    _Row("max_rate_c_h", "max_rate_c_h", "rate_c_h", "faster"),
)
_SHORT = frozenset({"below", "early", "short"})
"Words of what came out smaller than its bound."


def how_far(limit: str, values: Mapping[str, float], shown: Shown) -> str:
    """Return how far a finding went past its limit; empty where its values don't say.

    `limit` is the name of the limit's figure in the values.

    >>> how_far("floor_c", {"start_c": 190.2, "floor_c": 199.0}, Shown())
    '9 K below'
    >>> how_far("least_n", {"laid_n": 5, "planned": 48, "least_n": 38}, Shown())
    '43 of 48 missing'
    """
    if limit == "least_n" and {"laid_n", "planned"} <= values.keys():
        return f"{values['planned'] - values['laid_n']:.0f} of {values['planned']:.0f} missing"
    for row in _ROWS:
        if row.limit == limit and {row.bound, row.measured} <= values.keys():
            more = values[row.measured] - values[row.bound]
            far = -more if row.words in _SHORT else more
            return f"{_size(row.measured, far, shown)} {row.words}" if far > 0.0 else ""
    return ""


def _size(name: str, far: float, shown: Shown) -> str:
    """Return a difference by the unit of the name; a small one with its first decimal."""
    if name.endswith(("_c", "_dc")):
        return shown.temp_dc(far, 1 if far < 1.5 else 0)
    if name.endswith("_s") and far < 10.0:
        return f"{far:.1f} s"
    return told(name, far, shown)
