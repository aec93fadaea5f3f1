"""A gap in a cool-down of which no steady clock counted the length. Standard library only."""

from __future__ import annotations

from typing import NamedTuple


class Gap(NamedTuple):
    """The gap, in the time in which the bins are: since the cool-down began, s."""

    from_s: float
    "What was read from here on came after it."
    length_s: float
    "What was said, or any figure where nothing was."
    sd_s: float | None
    "How wrong that may be; None: nothing was said."
