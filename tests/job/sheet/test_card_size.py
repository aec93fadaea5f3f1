"""The bench card is one sheet: its height summed up by a rough layout of our own.

Letters are taken as wide as those of a wide sans-serif face, whatever the printer has. Held
against the layout of a public HTML-to-PDF library on Letter paper, 26 cards: never below it
and at most 23 mm above (measured once, not part of the tests).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from xml.etree import ElementTree

import pytest
from test_page import SVG, XHTML, card_of, page_of, text_of
from words import job

from pacer.job.file.read import read_job
from pacer.job.job import Job
from pacer.units import System

CONFIGS = sorted((Path(__file__).parents[3] / "configs").glob("*.toml"))
LETTER_MM = 279.4 - 2 * 12.0
"Letter is the shorter of the two papers; margins of the page's own style."
WIDE_MM, POINT_MM = 186.0, 25.4 / 72.0
PLAIN, BOLD = 0.54, 0.63
"Mean width of a letter by its height, in a wide face."
LINE = 1.3


def lines_mm(
    text: str, size_pt: float, wide_mm: float, *, bold: bool = False, line: float = 1.15
) -> float:
    """Return the height of a text, broken at its blanks."""
    letter_mm = size_pt * POINT_MM * (BOLD if bold else PLAIN)
    lines, at_mm = 1, 0.0
    for word in text.split():
        long_mm = (len(word) + 1) * letter_mm
        if at_mm and at_mm + long_mm - letter_mm > wide_mm:
            lines, at_mm = lines + 1, 0.0
        at_mm += long_mm
    return lines * size_pt * POINT_MM * line


def size_pt(html: str, selector: str) -> float:
    """Return a font size of the page's style."""
    found = re.search(rf"^{re.escape(selector)} {{[^}}]*font-size: ([0-9.]+)pt", html, re.M)
    assert found is not None, selector
    return float(found[1])


def card_mm(html: str) -> float:
    """Return how high the card comes out."""
    card = card_of(html)
    title_mm = lines_mm(text_of(card.find(f"{XHTML}h1")), 20.0, WIDE_MM, bold=True)
    high = 1.0 + min(2.2 * 20.0 * POINT_MM, title_mm)
    high += 4.0 + 18.0 * POINT_MM * LINE + size_pt(html, ".band .number") * POINT_MM
    texts = list(card.iter(f"{XHTML}p"))
    (foot,) = (div for div in card.iter(f"{XHTML}div") if div.get("class") == "foot")
    beside = list(foot.iter(f"{XHTML}p"))
    for text in (text for text in texts if text not in beside):
        first = text.get("class") == "first"
        size = size_pt(html, ".card .first") if first else 9.5
        high += (
            1.6
            + lines_mm(text_of(text), size, WIDE_MM, bold=first, line=LINE)
            + (4.0 if first else 0.0)
        )
    columns = (
        (".card th", 0.19, False),
        (".card td", 0.44, True),
        (".card td.source", 0.37, False),
    )
    for row in card.iter(f"{XHTML}tr"):
        high += 1.0 + max(
            lines_mm(text_of(cell), size_pt(html, name), share * WIDE_MM - 1.5, bold=bold)
            for cell, (name, share, bold) in zip(row, columns, strict=True)
        )
    return high + foot_mm(card, [text_of(text) for text in beside])


def foot_mm(card: ElementTree.Element, words: list[str]) -> float:
    """Return the height of the map on paper with the words beside it, or under a wide one."""
    (order,) = card.iter(f"{SVG}svg")
    _, _, wide, high = map(float, order.attrib["viewBox"].split())
    paper = re.match(r"width:(\d+)mm", order.attrib["style"])
    assert paper is not None
    map_wide_mm = float(paper[1])
    map_mm, left_mm = map_wide_mm * high / wide + 4.0, WIDE_MM - map_wide_mm - 6.0
    if left_mm < 70.0:
        return map_mm + sum(lines_mm(text, 9.5, WIDE_MM, line=LINE) + 1.6 for text in words)
    return max(map_mm, sum(lines_mm(text, 9.5, left_mm, line=LINE) + 1.6 for text in words))


def patch(method: str, length_mm: int = 400, *, both: bool = False) -> Job:
    """Nothing but what must be given, a ring as its map, hollows to be vented."""
    joint = f'repair = "patch"\ncrack_length = "{length_mm} mm"\n'
    joint += 'access = "both sides"\n' if both else ""
    return job(method, part='hollow = "closed"', joint=joint)


def undecided(method: str) -> Job:
    """As much to decide first as the card can have: four framed lines."""
    band = 'ceiling = "330 degC"' if method == "hot" else ""
    return job(
        method,
        "malleable iron",
        part='hollow = "closed"',
        tests='fracture = "coarse, grey-white"',
        band=band,
        cooldown='cover = "dry sand"\nvolume = "5 l"',
        filler='process = "TIG"\ndesignation = "ENiFe-CI"',
        joint='repair = "patch"\ncrack_length = "400 mm"',
    )


def crack(method: str, length_mm: int) -> Job:
    """A crack of so many places of 25 mm."""
    return job(method, joint=f'crack_length = "{length_mm} mm"')


JOBS: dict[str, Callable[[], Job]] = {
    **{path.stem: partial(read_job, path) for path in CONFIGS},
    "patch, hot": partial(patch, "hot"),
    "patch, cold": partial(patch, "cold"),
    "undecided, hot": partial(undecided, "hot"),
    "undecided, cold": partial(undecided, "cold"),
    "patch of 16 places": partial(patch, "hot", 400, both=True),
    "patch of 32 places": partial(patch, "hot", 800, both=True),
    "cold, one place": partial(crack, "cold", 24),
    "cold, 40 places": partial(crack, "cold", 999),
    "a TIG crack of 1.2 m": lambda: job(filler='process = "TIG"', joint='crack_length = "1.2 m"'),
}


@pytest.mark.slow
@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", JOBS)
def test_the_card_takes_one_sheet(name: str, system: System) -> None:
    """Its map alone on a second sheet helps nobody at the table."""
    assert 150.0 < card_mm(page_of(JOBS[name](), system)) < LETTER_MM


@pytest.mark.parametrize("length_mm", [400, 800])
def test_a_ring_s_numbers_can_be_read_at_the_table(length_mm: int) -> None:
    """2.5 mm of height at least (judgement), with 32 places too; the sheet has the room."""
    (order,) = card_of(page_of(patch("hot", length_mm))).iter(f"{SVG}svg")
    paper_mm = float(order.attrib["style"].removeprefix("width:").split("mm")[0])
    scale = paper_mm / float(order.attrib["viewBox"].split()[2])
    sizes = {float(text.attrib["font-size"]) * scale for text in order.iter(f"{SVG}text")}

    assert min(sizes) >= 2.5
