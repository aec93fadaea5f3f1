"""The questions of `pacer inspect` on a terminal, look by look; Enter: not done, not known."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import msgspec

from pacer.cli.asking import ask, ask_photo, may_write, noted, tell_commands
from pacer.cli.inspection.imperfections import imperfection, listed
from pacer.cli.inspection.looks import LOOKS
from pacer.cli.inspection.members import (
    HEARD,
    RESULTS,
    contradiction,
    in_usual_unit,
    inspection,
    member,
)
from pacer.cli.repair_answers import one_of
from pacer.errors import UserInputError
from pacer.job.columns import laid_out
from pacer.job.penetrant import Dwell
from pacer.recording.limits import MOST_IMPERFECTIONS
from pacer.recording.reader import Recording
from pacer.review.inspections import developer_span, dwell_words, inspection_lines, told_dwell
from pacer.session.events import Inspection
from pacer.session.inspection import Imperfection, Look, Looked, Penetrant
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


class Asked(NamedTuple):
    """What was answered."""

    looks: list[Inspection]
    options: list[list[str]]
    "The same as options of the command, look by look."


def asked(recording: Recording, shown: Shown) -> Asked | None:
    """Ask look by look, show what would be written, ask once more; None: write nothing.

    A wrong answer is told in a line and asked again. The end of input (Ctrl+D) leaves the
    look that is being asked about; those before it are kept and shown. What was answered and
    is not to be written is printed as commands that would write it.
    """
    print(f"{recording.name}: {clean(recording.head.job.title)}")
    print("Which looks were done? Enter: not done, not known. Ctrl+D: no more looks.\n")
    made: list[Inspection] = []
    options: list[list[str]] = []
    said: list[str] = []
    try:
        for look in LOOKS:
            said = [f"--look={look}"]
            found = _look(look, recording, shown, said)
            if found is not None:
                made.append(found)
                options.append(said)
            print()
    except EOFError:
        print()
        if len(said) > 1:
            # Half of a look: enough is missing that it can't be taken for the whole of it.
            tell_commands("inspect", recording.path, [said])
    if not made:
        print("nothing written")
        return None
    try:
        who: list[str] = []
        by = ask("Who looked?", _taking("by", shown, who)) or {}
        options = [[*said, *who] for said in options]
        made = [msgspec.structs.replace(each, **by) for each in made]
        print()
        for each in made:
            for line in inspection_lines(each, recording.head.job, shown):
                print("\n".join(laid_out(line)))
        if may_write(recording.name):
            return Asked(made, options)
    except EOFError:
        print()
    tell_commands("inspect", recording.path, options)
    return None


def _look(look: Look, recording: Recording, shown: Shown, said: list[str]) -> Inspection | None:
    """Ask about one look until its answers go together.

    They are added as options to `said`, which names the look, each as it is answered.
    """
    while True:
        del said[1:]
        result = ask(
            look.upper(),
            noted("result", said, lambda answer: one_of(answer, RESULTS, "found")),
            means=LOOKS[look].tells,
            choices=RESULTS,
        )
        if result is None:
            return None
        made = _seen(look, result, recording, shown, said)
        wrong = contradiction(inspection(look, result, made))
        if wrong is None:
            break
        print("\n".join(laid_out(f"{wrong[1]}. Once more:")))
    made.update(ask("Anything else, in words?", _taking("text", shown, said)) or {})
    photo = "A photo? its file; the name and a checksum are kept"
    made.update(ask_photo(photo, _taking("photo", shown, said)) or {})
    return inspection(look, result, made)


def _seen(
    look: Look, result: Looked, recording: Recording, shown: Shown, said: list[str]
) -> dict[str, Any]:
    """Ask what goes with this look only."""
    made: dict[str, Any] = {}
    for name in LOOKS[look].options:
        if name == "dwell":
            _tell_dwell(made, shown)
        made.update(_asked(name, shown, said))
    if result == "imperfections found":
        made["imperfections"] = tuple(_imperfections(recording, said))
    return made


def _taking(name: str, shown: Shown, said: list[str]) -> Callable[[str], dict[str, Any]]:
    take = noted(name, said, lambda answer: member(name, answer, "found", shown))

    def taken(answer: str) -> dict[str, Any]:
        with_unit = in_usual_unit(name, answer, shown.system)
        made = take(with_unit)
        if with_unit != answer:
            print(f"  taken as {with_unit}")
        return made

    return taken


def _asked(name: str, shown: Shown, said: list[str]) -> dict[str, Any]:
    answered = ask(
        _TEXTS[name],
        _taking(name, shown, said),
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
        parts.append(f"look {developer_span(fact)} after it ({fact.source}; {fact.seen})")
    return "; ".join(parts)


def _imperfections(recording: Recording, said: list[str]) -> Iterator[Imperfection]:
    """Ask for one after the other; `?` shows the table."""
    text = "Which? number or words, then bead, place, size: 1046 bead 3 2 mm"
    means = "ISO 6520-1; a place after at: stray arc at the left end; ? shows all of them"
    made: list[Imperfection] = []

    def another(answer: str) -> Imperfection:
        found = imperfection(answer, "found", recording)
        if found in made:
            raise UserInputError(f'"{clean(answer, 60)}": kept already; another one, or Enter')
        return found

    while len(made) < MOST_IMPERFECTIONS:
        found = ask(text, noted("imperfection", said, another), means=means, listed=listed)
        if found is None:
            return
        made.append(found)
        yield found
        text, means = "Another one? Enter: no more", ""
