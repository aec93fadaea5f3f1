"""What one answer about a repair's outcome makes of an `Outcome`: from an option or a question."""

from __future__ import annotations

from typing import Any, get_args

from pacer.cli.repair_answers import TEXT_CHARS, bead_number, more_than_nothing, one_of, photo
from pacer.recording.reader import Recording
from pacer.session.events import Found, FoundAt, FoundWhen, FoundWhere
from pacer.text import clean

WORDS: dict[str, tuple[str, ...]] = {
    "found": get_args(Found),
    "when": get_args(FoundWhen),
    "where": get_args(FoundWhere),
    "runs": ("along", "across"),
    "at": get_args(FoundAt),
}
"""Options whose answer is one of a few words."""


def member(name: str, text: str, where: str, recording: Recording) -> dict[str, Any]:
    """Return what one answer makes of an `Outcome`; `where` begins its complaint."""
    match name:
        case "service":
            return {"service_s": more_than_nothing(text, "time", where)}
        case "bead":
            return {"bead": bead_number(text, where, recording)}
        case "photo":
            return dict(photo(text))
        case "text":
            return {"text": clean(text, TEXT_CHARS)}
    return {name: one_of(text, WORDS[name], where)}
