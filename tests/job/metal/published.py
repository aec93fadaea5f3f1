"""The published table of shop tests, typed in again from the project's list of facts.

Row of a metal, column of a test: answer, a word of its source, how far that was seen. The
sources are those of the list of facts (section 9), read there, not in the originals; where
the list says "from memory" no source was seen. `—`: the table has nothing there.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.job.job import Metal

PRIMARY, SECONDARY = "seen in the primary text", "seen in a secondary page"
HIGH, MEDIUM, LOW = (f"from memory, confidence {sure}" for sure in ("high", "medium", "low"))
CUSTOM = "common practice"


class Cell(NamedTuple):
    """One cell of it."""

    answer: str
    source: str
    status: str


GREY: dict[str, Cell] = {
    "surface": Cell("very dull grey, sandy", "OD1643", PRIMARY),
    "fracture": Cell("dark grey, porous", "welding shop's chart", SECONDARY),
    "spark": Cell("few, dull red", "OD1643", PRIMARY),
    "chip": Cell("small, crumbling", "not", HIGH),
    "file": Cell("cuts easily", "not seen", MEDIUM),
    "ring": Cell("dull thud", "page on car parts", SECONDARY),
    "rub": Cell("dark mark", "engineers' forum", SECONDARY),
    "torch": Cell("no sparks", "1919", PRIMARY),
    "file_after_tack": Cell("edge hard, metal soft", "no source", CUSTOM),
}
DUCTILE: dict[str, Cell] = {
    "surface": Cell("very dull grey, sandy", "no text seen", MEDIUM),
    "fracture": Cell("fine, black-grey", "page on car parts", SECONDARY),
    "spark": Cell("between grey and malleable", "no text seen", LOW),
    "chip": Cell("chips and strips", "foundry trade page", SECONDARY),
    "file": Cell("cuts easily", "not seen", MEDIUM),
    "ring": Cell("clear, long", "page on car parts", SECONDARY),
    "rub": Cell("faint mark", "no text seen", LOW),
    "file_after_tack": Cell("edge hard, metal soft", "no source", CUSTOM),
}
MALLEABLE: dict[str, Cell] = {
    "surface": Cell("lighter grey, no sand", "OD1643", PRIMARY),
    "fracture": Cell("white rim, dark centre", "welding shop's chart", SECONDARY),
    "spark": Cell("bright first, then dull red", "OD1643", PRIMARY),
    "chip": Cell("short pieces that bend", "not seen", MEDIUM),
    "file": Cell("cuts easily", "not seen", MEDIUM),
    "ring": Cell("between thud and clear", "no text seen", LOW),
    "rub": Cell("faint mark", "no text seen", LOW),
    "torch": Cell("bright sparks that soon stop", "1919", PRIMARY),
    "file_after_tack": Cell("edge hard, metal soft", "no source", CUSTOM),
}
WHITE: dict[str, Cell] = {
    "fracture": Cell("silvery white, silky", "welding shop's chart", SECONDARY),
    "spark": Cell("many fine, straight, short", "OD1643", PRIMARY),
    "chip": Cell("tiny, very hard to cut", "not seen", MEDIUM),
    "file": Cell("slides", "NAVEDTRA 14119", PRIMARY),
    "ring": Cell("high, sharp", "no text seen", LOW),
    "rub": Cell("no mark", "not seen", MEDIUM),
    "file_after_tack": Cell("hard everywhere", "no source", CUSTOM),
}
# Raw surface: the same manual says two things (row D17); sparks: like steel of its carbon.
CAST_STEEL: dict[str, Cell] = {
    "fracture": Cell("bright grey, crystalline", "no text seen", MEDIUM),
    "spark": Cell("bright and bushy", "no text seen", MEDIUM),
    "chip": Cell("long curl", "not seen", MEDIUM),
    "file": Cell("cuts easily", "not seen", MEDIUM),
    "ring": Cell("clear, long", "no text seen", MEDIUM),
    "rub": Cell("no mark", "household page", SECONDARY),
}
MILD_STEEL: dict[str, Cell] = {
    "surface": Cell("rolling or forging marks", "OD1643", PRIMARY),
    "fracture": Cell("bright grey, crystalline", "TC 9-237", PRIMARY),
    "spark": Cell("long, bright, few forks", "OD1643", PRIMARY),
    "chip": Cell("long curl", "not seen", HIGH),
    "file": Cell("cuts easily", "not seen", MEDIUM),
    "ring": Cell("clear, long", "no text seen", MEDIUM),
    "rub": Cell("no mark", "household page", SECONDARY),
    "torch": Cell("sparks, sets at once", "TC 9-237", PRIMARY),
    "file_after_tack": Cell("no harder than before", "no source", CUSTOM),
}
COLUMNS: dict[Metal, dict[str, Cell]] = {
    "grey iron": GREY,
    "ductile iron": DUCTILE,
    "malleable iron": MALLEABLE,
    "white iron": WHITE,
    "cast steel": CAST_STEEL,
    "mild steel": MILD_STEEL,
}
# Marks are not in the published table. EN 1560's letters: seen in a secondary page.
GRADES: dict[Metal, str] = {
    "grey iron": "GJL, GG or class 20-60",
    "ductile iron": "GJS, GGG or 65-45-12",
    "malleable iron": "GJM, GTS or GTW",
    "white iron": "GJN or GH",
    "cast steel": "GS, GE or WCB",
    "mild steel": "S235, St 37 or A36",
}


def column(metal: Metal, *, grade: bool = False) -> dict[str, str]:
    """Return all answers of a metal's column, with its mark too if wanted."""
    answers = {test: cell.answer for test, cell in COLUMNS[metal].items()}
    return {**answers, "marking": GRADES[metal]} if grade else answers
