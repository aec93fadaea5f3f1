"""The quiet line: what stands open without asking for anything now."""

from __future__ import annotations

from pacer.screen.desk import Snapshot
from pacer.units import Shown


def quiet(snapshot: Snapshot, shown: Shown) -> str:
    """Return one line, or nothing: unanswered, shelved, ways of telling that are off."""
    return "; ".join(snapshot.off)
