"""Words for a value that has no number, the same wherever one is shown."""

from __future__ import annotations

from pacer.session.events import Status

_WORDS: dict[Status, str] = {
    "open": "open circuit",
    "short": "short circuit",
    "unparsable": "unreadable",
}


def no_number(status: Status, why: str | None = "") -> str:
    """Return why a value has none: what is known of it, else its status in words."""
    return why or _WORDS.get(status, status)
