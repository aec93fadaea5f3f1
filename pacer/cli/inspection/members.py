"""What one answer about a look makes of an `Inspection`: from an option or a question."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, get_args

from pacer.cli.inspection.looks import GOES_WITH
from pacer.cli.repair_answers import (
    TEXT_CHARS,
    more_than_nothing,
    one_of,
    photo,
    quantity,
    yes_or_no,
)
from pacer.errors import UserInputError
from pacer.job.file.typed import with_usual_unit
from pacer.job.penetrant import Refused, dwell
from pacer.recording.limits import wrong_in
from pacer.session.events import Inspection
from pacer.session.inspection import Look, Looked, Penetrant, Proof, RingHeard
from pacer.text import clean
from pacer.units import Kind, Shown, System

RESULTS: tuple[Looked, ...] = get_args(Looked)
HEARD: tuple[RingHeard, ...] = get_args(RingHeard)

_NAME_CHARS = 100
_QUANTITIES: dict[str, tuple[str, Kind]] = {
    "maker": ("maker_s", "time"),
    "dwell": ("dwell_s", "time"),
    "developer": ("developer_s", "time"),
    "leak": ("leak_s", "time"),
    "load": ("load_n", "force"),
    "arm": ("arm_m", "length"),
    "held": ("held_s", "time"),
}
_WORDS = ("product", "liquid", "grade", "by")
_YES_OR_NO = ("from_service", "opened", "welded")
_SECTION = re.compile(r"(.+?)\s*[x×*]\s*(.+)")


def in_usual_unit(name: str, text: str, system: System) -> str:
    """Return an answer with the unit that its bare numbers are taken in, a load as it is.

    >>> in_usual_unit("section", "40 x 20", "metric"), in_usual_unit("surface", "70", "us")
    ('40 mm x 20 mm', '70 degF')
    """
    if name == "section":
        sides = [with_usual_unit(side, "length", system) for side in _sides(text)]
        # `40 x 20 mm`: the unit is said once.
        as_typed = any(side in sides for side in _sides(text))
        return text if as_typed else " x ".join(sides)
    kind = "temperature" if name == "surface" else _QUANTITIES.get(name, ("", None))[1]
    return text if kind is None else with_usual_unit(text, kind, system)


def member(name: str, text: str, where: str, shown: Shown) -> dict[str, Any]:
    """Return what one answer makes of an `Inspection`, by the members' own names.

    Raises `UserInputError`, one line that begins with `where`.
    """
    made = _member(name, text, where, shown)
    if wrong := wrong_in(inspection(GOES_WITH.get(name, "visual"), "not judged", made)):
        raise UserInputError(f'{where} "{clean(text, 40)}": {wrong}')
    return made


def _member(name: str, text: str, where: str, shown: Shown) -> dict[str, Any]:
    if name in _QUANTITIES:
        on_disk, kind = _QUANTITIES[name]
        return {on_disk: more_than_nothing(text, kind, where)}
    if name in _WORDS:
        return {name: clean(text, _NAME_CHARS)}
    if name in _YES_OR_NO:
        return {name: yes_or_no(text, where)}
    match name:
        case "surface":
            return {"surface_c": _surface_c(text, where, shown)}
        case "heard":
            return {"ring": one_of(text, HEARD, where)}
        case "section":
            return _section(text, where)
        case "photo":
            return dict(photo(text))
        case _:
            return {"text": clean(text, TEXT_CHARS)}


def _surface_c(text: str, where: str, shown: Shown) -> float:
    surface_c = quantity(text, "temperature", where)
    # The maker's time makes no difference to whether a surface can be tested at all.
    refused = dwell(1.0, surface_c, service_crack=False)
    if isinstance(refused, Refused):
        raise UserInputError(f'{where} "{clean(text, 40)}": {refused.told(shown)} (rows N04, N14)')
    return surface_c


def _section(text: str, where: str) -> dict[str, float]:
    """Return `40 mm x 20 mm`, the second along the load, or the diameter of a round one."""
    width, *more = _sides(text)
    if not more:
        return {"diameter_m": more_than_nothing(text, "length", where)}
    (height,) = more
    if width.replace(".", "", 1).isdigit():
        # `40 x 20 mm`: the unit is said once.
        width += re.sub(r"^[\d.,/ -]+", "", height)
    return {
        "width_m": more_than_nothing(width, "length", where),
        "height_m": more_than_nothing(height, "length", where),
    }


def _sides(text: str) -> tuple[str, ...]:
    """Return width and height, or the diameter alone."""
    sides = _SECTION.fullmatch(text.strip())
    return (text.strip(),) if sides is None else sides.groups()


def inspection(look: Look, result: Looked, made: Mapping[str, Any]) -> Inspection:
    """Return the event with what was said; members that belong together become one record."""
    rest = dict(made)
    penetrant = _taken(rest, Penetrant.__struct_fields__)
    proof = _taken(rest, Proof.__struct_fields__)
    return Inspection(
        t_ms=0,
        look=look,
        result=result,
        penetrant=Penetrant(**penetrant) if penetrant else None,
        proof=Proof(**proof) if proof else None,
        **rest,
    )


def contradiction(look: Inspection) -> tuple[str, str] | None:
    """Return the answer that doesn't go with the others of a look, and why; None if all do."""
    if look.result == "imperfections found" and not look.imperfections:
        return "imperfection", 'none is named with "imperfections found"; expected at least one'
    if look.result == "nothing found" and look.ring == "dull":
        return "heard", 'a dull ring is no "nothing found"; expected "not judged" or what was found'
    if look.welded and not look.opened:
        said = "opened is not said" if look.opened is None else "not opened from behind"
        return "welded", f"{said}, so not welded there; expected yes to both, or no"
    return None


def _taken(rest: dict[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    return {name: rest.pop(name) for name in names if name in rest}
