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
    # The scale ends at "slides, extremely hard"; that white iron stands there is an inference.
    "file": Cell("slides", "our inference", MEDIUM),
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
# Marks are not in the published table. EN 1560's letters: seen in a secondary page; what else
# these answers hold is from memory, and which was read on the part nobody knows afterwards.
GRADES: dict[Metal, str] = {
    "grey iron": "GJL, GG or class 20-60",
    "ductile iron": "GJS, GGG or 65-45-12",
    "malleable iron": "GJM, GTS or GTW",
    "white iron": "GJN or GH",
    "cast steel": "GS-45, GE240 or A216 WCB",
    "mild steel": "S235, St 37 or A36",
}


# Cells outside the table's columns: what else an answer can speak against.
ELSEWHERE: dict[tuple[Metal, str], Cell] = {
    **{(metal, "marking"): Cell(word, "", HIGH) for metal, word in GRADES.items()},
    ("cast steel", "surface"): Cell("", "row D17", PRIMARY),
    ("cast steel", "file_after_tack"): Cell("", "no source", CUSTOM),
}

# What every answer says of grey, ductile, malleable, white iron, cast and mild steel.
# +: for it. -: against it. ?: against it, a doubt at most. .: nothing. Blank: the list of facts
# has nothing there. Beside each group: whose word the dots are that aren't the rules' own
# ("from memory, low" speaks never against: ductile spark and rub, malleable ring and rub,
# white ring).
SAYS: dict[str, dict[str, str]] = {
    # A letter that is no grade says only that it was cast.
    "marking": {
        "GJL, GG or class 20-60": "+-----",
        "GJS, GGG or 65-45-12": "-+----",
        "GJM, GTS or GTW": "--+---",
        "GJN or GH": "---+--",
        "GS-45, GE240 or A216 WCB": "----+-",
        "S235, St 37 or A36": "-----+",
        "cast letters, no grade": ".....-",
    },
    # Malleable and sandy: OD1643 and the 1919 manual say free of sand, NAVEDTRA 14250 that it
    # shows the sand mould (all primary). Cast steel: row D17.
    "surface": {
        "very dull grey, sandy": "++. .-",
        "lighter grey, no sand": "--+ .-",
        "brighter, small pits": "--- .-",
        "rolling or forging marks": "--- -+",
    },
    # Grey and ductile: row D16; the 1919 manual for fine and dull. Grey with a rim: chilled (a
    # foundry book of about 1900). Malleable breaks light or dark (a dictionary). White: our choice
    # to let it off where pale is taken for pale, and a rim may itself be white iron.
    "fracture": {
        "dark grey, porous": "+..---",
        "fine, even, dull grey": "+..---",
        "fine, black-grey": ".++---",
        "coarse, grey-white": "+.-...",
        "white rim, dark centre": ".-+.--",
        "silvery white, silky": "--.+--",
        "bright grey, crystalline": "--..++",
    },
    # OD1643: the three brittle irons hardly differ at first glance, spurts like tool steel's.
    "spark": {
        "few, dull red": "+...--",
        "bright first, then dull red": "-.+---",
        "many fine, straight, short": "..-+--",
        "between grey and malleable": ".+-.--",
        "long, bright, few forks": "-.--++",
        "bright and bushy": "....+-",
    },
    # Neighbours on a scale from crumbs to a curl: our choice.
    "chip": {
        "small, crumbling": "+--.--",
        "short pieces that bend": "-.+---",
        "chips and strips": "-+--..",
        "tiny, very hard to cut": "---+--",
        "long curl": "-.--++",
    },
    # Neighbours on the Navy's scale: our choice.
    "file": {
        "cuts easily": "+++-++",
        "cuts with effort": "++....",
        "slides": "---+--",
    },
    "ring": {
        "dull thud": "+-..--",
        "between thud and clear": "..+...",
        "clear, long": "-+..++",
        "high, sharp": "-..+..",
    },
    "rub": {
        "dark mark": "+..---",
        "faint mark": ".++...",
        "no mark": "-..+++",
    },
    # Sparks of malleable iron and of mild steel are told apart by how soon they stop.
    "torch": {
        "no sparks": "+ -  -",
        "bright sparks that soon stop": "- +  .",
        "sparks, sets at once": "- .  +",
    },
    "file_after_tack": {
        "edge hard, metal soft": "+++?.?",
        "no harder than before": "????.+",
        "hard everywhere": "???+??",
    },
    # NAVEDTRA 14250: all ferrous metals attract, some stainless do not.
    "magnet": {"attracts": "      ", "does not attract": "      "},
}


def cell(metal: Metal, test: str) -> Cell:
    """Return where a metal's look in a test is from."""
    return COLUMNS[metal].get(test) or ELSEWHERE[metal, test]


def column(metal: Metal, *, grade: bool = False) -> dict[str, str]:
    """Return all answers of a metal's column, with its mark too if wanted."""
    answers = {test: cell.answer for test, cell in COLUMNS[metal].items()}
    return {**answers, "marking": GRADES[metal]} if grade else answers
