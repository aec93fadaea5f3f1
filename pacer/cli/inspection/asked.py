"""The questions of `pacer inspect` on a terminal, look by look; Enter: not done, not known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import msgspec

from pacer.cli.answers import one_of
from pacer.cli.asking import ask, ask_photo, may_write
from pacer.cli.inspection.imperfections import imperfection, listed
from pacer.cli.inspection.looks import LOOKS
from pacer.cli.inspection.members import HEARD, RESULTS, inspection, member
from pacer.job.columns import laid_out
from pacer.job.penetrant import Dwell
from pacer.recording.limits import MOST_IMPERFECTIONS
from pacer.recording.reader import Recording
from pacer.review.inspections import developer_span, dwell_words, inspection_lines, told_dwell
from pacer.session.events import Inspection
from pacer.session.inspection import Imperfection, Look, Penetrant
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown

_TEXTS: dict[str, str] = {
    "surface": "How warm was the surface? such as 20 degC",
    "maker": "How long does the penetrant's maker want it to stand? such as 10 min",
    "from_service": "Looked for cracks that came in service?",
    "dwell": "How long did the penetrant stand?",
    "developer": "How long after the developer was dry was it looked at?",
    "product": "Which product family?",
    "heard": "How did it ring?",
    "liquid": "Which liquid? such as kerosene",
    "leak": "How long did it stand?",
    "opened": "Ground open to sound metal from behind?",
    "welded": "Welded from behind as well?",
    "load": "Which load? such as 2 kN, or the weight that hung there: 150 kg",
    "arm": "How far from the load to the section that is looked at?",
    "section": "That section: width x height along the load, such as 40 mm x 20 mm; or its diameter",
    "held": "How long was it held?",
    "grade": "The iron's grade, where it is known? such as EN-GJL-250 or ASTM A48 class 30",
}
_CHOICES: dict[str, tuple[str, ...]] = {
    "heard": HEARD,
    "from_service": ("yes", "no"),
    "opened": ("yes", "no"),
    "welded": ("yes", "no"),
}


def asked(recording: Recording, shown: Shown) -> list[Inspection] | None:
    """Ask look by look, show what would be written, ask once more; None: write nothing.

    A wrong answer is told in a line and asked again. The end of input (Ctrl+D) leaves the
    look that is being asked about; those before it are kept and shown.
    """
    print(f"{recording.name}: {clean(recording.head.job.title)}")
    print("Which looks were done? Enter: not done, not known. Ctrl+D: no more looks.\n")
    made: list[Inspection] = []
    try:
        for look in LOOKS:
            found = _look(look, recording, shown)
            if found is not None:
                made.append(found)
            print()
    except EOFError:
        print()
    if not made:
        return None
    try:
        by = ask("Who looked?", lambda answer: member("by", answer, "found", shown)) or {}
        made = [msgspec.structs.replace(each, **by) for each in made]
        print()
        for each in made:
            for line in inspection_lines(each, shown):
                print("\n".join(laid_out(line)))
        return made if may_write(recording.name) else None
    except EOFError:
        print()
        return None


def _look(look: Look, recording: Recording, shown: Shown) -> Inspection | None:
    result = ask(
        look.upper(),
        lambda answer: one_of(answer, RESULTS, "found"),
        means=LOOKS[look].tells,
        choices=RESULTS,
    )
    if result is None:
        return None
    made: dict[str, Any] = {}
    for name in LOOKS[look].options:
        if name == "dwell":
            _tell_dwell(made, shown)
        made.update(_asked(name, shown))
    if result == "imperfections found":
        made["imperfections"] = tuple(_imperfections(recording))
    made.update(
        ask("Anything else, in words?", lambda answer: member("text", answer, "found", shown)) or {}
    )
    made.update(
        ask_photo(
            "A photo? its file; the name and a checksum are kept",
            lambda answer: member("photo", answer, "found", shown),
        )
        or {}
    )
    return inspection(look, result, made)


def _asked(name: str, shown: Shown) -> dict[str, Any]:
    answered = ask(
        _TEXTS[name],
        lambda answer: member(name, answer, "found", shown),
        means=_developer_rows() if name == "developer" else "",
        choices=_CHOICES.get(name, ()),
    )
    return answered or {}


def _tell_dwell(made: dict[str, Any], shown: Shown) -> None:
    tested = Penetrant(**made)
    told = told_dwell(tested)
    if isinstance(told, Dwell):
        print("\n".join(laid_out(dwell_words(tested, told, shown))))


def _developer_rows() -> str:
    parts = [row("penetrant", "N05").told]
    for fact in (row("penetrant", "N06"), row("penetrant", "N07")):
        parts.append(f"look {developer_span(fact)} after it ({fact.source}; {fact.status})")
    return "; ".join(parts)


def _imperfections(recording: Recording) -> Iterator[Imperfection]:
    """Ask for one after the other; `?` shows the table."""
    text = "Which? number or words, then bead, place, size: 1046 bead 3 2 mm"
    means = "ISO 6520-1; a place after at: stray arc at the left end; ? shows all of them"
    for _ in range(MOST_IMPERFECTIONS):
        found = ask(
            text,
            lambda answer: imperfection(answer, "found", recording),
            means=means,
            listed=listed,
        )
        if found is None:
            return
        yield found
        text, means = "Another one? Enter: no more", ""
