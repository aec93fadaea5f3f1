"""A cool-down's forecast in words, with its range; never a bare number."""

from __future__ import annotations

from typing import Protocol

from pacer.units import Shown


class Answer(Protocol):
    """What a forecast answers, s since the cool-down began."""

    @property
    def at_s(self) -> float: ...
    @property
    def eta_s(self) -> float: ...
    @property
    def eta_low_s(self) -> float: ...
    @property
    def eta_high_s(self) -> float | None: ...
    @property
    def reached(self) -> bool: ...


def cooldown_words(answer: Answer, shown: Shown) -> str:
    """Return one line: reached, a range, or "not before"."""
    since = "after covering"
    if answer.reached:
        return f"reached {shown.duration(answer.eta_s)} {since}"
    low = shown.duration(answer.eta_low_s)
    if answer.eta_high_s is None:
        return f"forecast {shown.duration(answer.at_s)} {since}: not before {low} {since}"
    return (
        f"forecast {shown.duration(answer.at_s)} {since}: cool enough {low} to "
        f"{shown.duration(answer.eta_high_s)} {since} (80 %), most likely "
        f"{shown.duration(answer.eta_s)}"
    )
