"""`Finding`: something a record shows that deserves a look. Review makes it, the screen shows it."""

from __future__ import annotations

import msgspec


class Finding(msgspec.Struct, frozen=True):
    """One finding, with its evidence; never a verdict on the repair."""

    name: str
    "A statement in the trade's words, such as `uncovered early`."
    t_s: float
    "When it began, session time in s."
    words: str
    "One line of evidence, as measured."
    values: dict[str, float] = {}
    "SI and °C numbers, named with their units."
