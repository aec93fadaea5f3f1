"""A row's values with its status insisted on, for tests of the trade's facts."""

from __future__ import annotations

from typing import Any

from pacer.trade.rows import row

PRIMARY, SECONDARY = "seen in the primary text", "seen in a secondary page"
MEMORY, PRACTICE, COMPUTED = "from memory", "common practice", "calculated"


def values(table: str, row_id: str, status: str) -> dict[str, Any]:
    """Return a row's values, having insisted on its status."""
    found = row(table, row_id)
    assert found.status == status
    return found.values
