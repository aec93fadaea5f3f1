"""What became of the repair, in words and as JSON; never as a verdict on the part."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.moments import utc
from pacer.session.events import FoundAt, FoundWhere, Outcome
from pacer.text import clean
from pacer.units import Shown

_WHERE: dict[FoundWhere, str] = {
    "weld": "in the weld",
    "boundary": "at the boundary",
    "heat-affected zone": "in the heat-affected zone",
    "iron away from the weld": "in the iron away from the weld",
}
_AT: dict[FoundAt, str] = {
    "crater": "in a crater",
    "stop hole": "at a stop hole",
    "tack": "at a tack",
}
_SHA_SHOWN = 12


def outcome_words(outcome: Outcome, shown: Shown) -> str:
    """Return the outcome in one line, without its date."""
    head = f"{outcome.found} {outcome.when or ''}".strip()
    if outcome.service_s is not None:
        head += f" after {_service(outcome.service_s, shown)}"
    photo = ""
    if outcome.photo:
        photo = f"photo {clean(outcome.photo)} (SHA-256 {clean(outcome.photo_sha[:_SHA_SHOWN])}…)"
    parts = [head, ", ".join(_place(outcome)), clean(outcome.text), photo]
    return "; ".join(part for part in parts if part)


def _place(outcome: Outcome) -> Iterator[str]:
    if outcome.where:
        yield _WHERE[outcome.where]
    if outcome.runs:
        yield f"{outcome.runs} the weld"
    if outcome.at:
        yield _AT[outcome.at]
    if outcome.bead is not None:
        yield f"at bead {outcome.bead}"


def _service(service_s: float, shown: Shown) -> str:
    # A machine's hours are counted as hours, however many.
    return f"{service_s / 3600:.0f} h" if service_s >= 36_000 else shown.duration(service_s)


def recorded(outcome: Outcome) -> str:
    """Return what is said once it is written."""
    if outcome.found == "no crack found":
        return "recorded: no crack found by that look"
    return "recorded: a crack was found"


def dated(outcome: Outcome, shown: Shown) -> str:
    """Return the outcome in one line, with the date on which it was written down."""
    return f"{utc(outcome.wall or '')}  {outcome_words(outcome, shown)}"


def outcome_json(outcome: Outcome) -> dict[str, object]:
    """Return an outcome as the review's JSON has it; what was not said is null."""
    return {
        "found": outcome.found,
        "when": outcome.when,
        "service_s": outcome.service_s,
        "where": outcome.where,
        "runs": outcome.runs,
        "at": outcome.at,
        "bead": outcome.bead,
        "text": outcome.text,
        "photo": outcome.photo or None,
        "photo_sha256": outcome.photo_sha or None,
        "wall": outcome.wall,
    }
