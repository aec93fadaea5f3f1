"""A part that was hot when its record ends: what was read last, for who takes hold of it."""

from __future__ import annotations

from pacer.review.moments import clock
from pacer.review.table import Table
from pacer.units import Shown

TOUCH_C = 43.0
"Bare metal may be held below it (trade table of burns)."


def still_hot(out: Table, shown: Shown) -> str:
    """Return the caution; empty where the last reading was one to touch, or there was none."""
    if out.last is None:
        return ""
    t_s, temp_c = out.last
    if temp_c <= TOUCH_C:
        return ""
    return (
        f"STILL HOT when last read: {shown.temp_c(temp_c)} at {clock(t_s)}{_under(out)}. Measure "
        "before you touch it."
    )


def _under(out: Table) -> str:
    covers = [act for act in out.said if act.deed in {"covered", "uncovered"}]
    if not covers or covers[-1].deed == "uncovered":
        return ""
    return f", covered since {clock(covers[-1].t_s)}"
