"""The tables of a comparison, filled with words in the user's units."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pacer.review.compare.compared import Compared, Counted, Stays
from pacer.review.compare.figures import Figures
from pacer.review.grid import Grid
from pacer.review.job_keys import NONE, apart, in_units
from pacer.review.outcomes import outcome_words
from pacer.session.work import Bead, Peened
from pacer.units import Shown

_PEENED: dict[Peened, str] = {
    "ended by press": "peened",
    "begun": "peen begun",
    "not confirmed": "not conf.",
    "left alone": "left alone",
    "not planned": "no peen",
}


def grids(compared: Compared, shown: Shown) -> Iterator[Grid]:
    """Yield every table that has rows, the figures first."""
    letters = tuple(side.letter for side in compared.sides)
    for title, rows in (
        ("what was measured", [*_measured(compared, shown), *_outcomes(compared, shown)]),
        ("job: where they differ", list(_job(compared, shown))),
        ("findings", [(_name(row), tuple(map(_count, row.times))) for row in compared.findings]),
        (f"phases, from {compared.aligned} on", list(_phases(compared, shown))),
        ("bead", list(_beads(compared, shown))),
    ):
        if rows:
            yield Grid(title, letters, tuple(rows))


_Row = tuple[str, tuple[str, ...]]


def _measured(compared: Compared, shown: Shown) -> Iterator[_Row]:
    for label, cell in FIGURES:
        cells = tuple(cell(figures, shown) for figures in compared.figures)
        if any(text != NONE for text in cells):
            yield label, cells


def _outcomes(compared: Compared, shown: Shown) -> Iterator[_Row]:
    cells = tuple(
        "; ".join(outcome_words(outcome, shown) for outcome in side.reviewed.table.outcomes)
        for side in compared.sides
    )
    yield (
        "what became of it",
        tuple(cell or side.became_words for side, cell in zip(compared.sides, cells, strict=True)),
    )


def _job(compared: Compared, shown: Shown) -> Iterator[_Row]:
    jobs = [side.reviewed.opened.job for side in compared.sides]
    for key, values in apart(jobs):
        yield key.name, in_units(key, values, shown)


def _phases(compared: Compared, shown: Shown) -> Iterator[_Row]:
    for phase, cells in compared.phases:
        yield str(phase), tuple(_stays(stays, shown) for stays in cells)


def _stays(stays: Stays | None, shown: Shown) -> str:
    if stays is None:
        return NONE
    times = f" in {stays.stays}" if stays.stays > 1 else ""
    lasted = f"{_signed(stays.after_s, shown)}: {shown.duration(stays.lasted_s)}{times}"
    if stays.least_c is None or stays.most_c is None:
        return lasted
    return f"{lasted}, {shown.temp_number(stays.least_c):.0f} to {shown.temp_c(stays.most_c)}"


def _signed(after_s: float, shown: Shown) -> str:
    return f"{'' if after_s < -0.5 else '+'}{shown.duration(after_s)}"


def _beads(compared: Compared, shown: Shown) -> Iterator[_Row]:
    for number, again, beads in compared.beads:
        label = f"{number}, again" if again else str(number)
        yield label, tuple(_bead(bead, shown) for bead in beads)


def _bead(bead: Bead | None, shown: Shown) -> str:
    if bead is None:
        return NONE
    start = "not read," if bead.start_c is None else shown.temp_c(bead.start_c)
    arc = "running" if bead.ended_s is None else f"{bead.arc_s(bead.started_s):.1f} s"
    return f"{start} {arc} {'arc lost' if bead.lost else _PEENED[bead.peened]}"


def _name(row: Counted) -> str:
    return f"{row.name} (note)" if row.note else row.name


def _count(times: int) -> str:
    return str(times) if times else NONE


def _time(value_s: float | None, shown: Shown) -> str:
    return NONE if value_s is None else shown.duration(value_s)


def _starts(of: Figures, shown: Shown) -> str:
    if of.least_start_c is None or of.median_start_c is None or of.most_start_c is None:
        return NONE
    low, middle = (f"{shown.temp_number(c):.0f}" for c in (of.least_start_c, of.median_start_c))
    return f"{low} / {middle} / {shown.temp_c(of.most_start_c)}"


def _arcs(of: Figures) -> str:
    if of.mean_arc_s is None:
        return NONE
    spread = "" if of.sd_arc_s is None else f", sd {of.sd_arc_s:.1f} s"
    return f"{of.mean_arc_s:.1f} s{spread}"


def _peens(of: Figures) -> str:
    return f"{of.peens_confirmed} of {of.peens_due}" if of.peens_due else NONE


def _until_cool(of: Figures, shown: Shown) -> str:
    if of.to_until_s is not None or of.covered_s is None:
        return _time(of.to_until_s, shown)
    at = "" if of.uncovered_c is None else f" at {shown.temp_c(of.uncovered_c)}"
    return f"uncovered after {shown.duration(of.covered_s)}{at}"


def _fall(of: Figures, shown: Shown) -> str:
    return NONE if of.fastest_fall_c_h is None else shown.rate_c_h(of.fastest_fall_c_h)


FIGURES: tuple[tuple[str, Callable[[Figures, Shown], str]], ...] = (
    ("preheat", lambda of, shown: _time(of.preheat_s, shown)),
    ("soak held", lambda of, shown: _time(of.soak_held_s, shown)),
    ("beads laid of planned", lambda of, shown: f"{of.beads_laid} of {of.beads_planned}"),
    ("starts least/median/most", _starts),
    ("arc time, mean", lambda of, shown: _arcs(of)),
    ("peens confirmed", lambda of, shown: _peens(of)),
    ("peens late", lambda of, shown: _count(of.peens_late)),
    ("below the floor", lambda of, shown: _time(of.below_floor_s, shown)),
    ("above the ceiling", lambda of, shown: _time(of.above_ceiling_s, shown)),
    ("no reading", lambda of, shown: _time(of.no_reading_s, shown)),
    ("waited", lambda of, shown: _time(of.wait_s, shown)),
    ("reheated", lambda of, shown: _time(of.reheat_s, shown)),
    ("post-heat held", lambda of, shown: _time(of.post_heat_held_s, shown)),
    ("cover", lambda of, shown: ", then ".join(of.covers) or NONE),
    ("covered until cool", _until_cool),
    ("fastest mean fall", _fall),
)
