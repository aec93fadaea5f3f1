"""The page to print: well-formed, self-contained, black on white, safe with foreign text."""

from __future__ import annotations

import functools
import re
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.forms.frame import DOCTYPE
from pacer.job.sheet.forms.page import page
from pacer.job.sheet.forms.svg import svg
from pacer.job.sheet.shapes.strokes import Label, Shape, Stroke
from pacer.job.sheet.whole import whole
from pacer.units import Shown, System

EXAMPLE = (Path(__file__).parents[3] / "configs" / "pump-foot-hot-sand.toml").read_text("utf-8")
COLD = (
    '[job]\ntitle = "Door"\nmethod = "cold"\n[part]\nmetal = "grey iron"\nmass = "3.2 kg"\n'
    '[joint]\ncrack_length = "120 mm"\nrepair = "patch"\n'
)
HOSTILE = "</title><script>alert(1)</script>\\u001b[2J&amp;\\u202e\\\"'"
XHTML, SVG = "{http://www.w3.org/1999/xhtml}", "{http://www.w3.org/2000/svg}"


def page_of(job: Job, system: System = "metric") -> str:
    """Return a job's page."""
    made, shown = plan(job), Shown(system)
    return page(job, shown, whole(made, job, shown))


@functools.cache
def example() -> str:
    """Return the example job's page, made once."""
    return page_of(job_from_text(EXAMPLE, "x"))


def parsed(html: str) -> ElementTree.Element:
    """Return the page as a strict parser of another house reads it."""
    return ElementTree.fromstring(html)


def text_of(element: ElementTree.Element | None) -> str:
    """Return an element's words, blanks as one."""
    assert element is not None
    return " ".join(" ".join(element.itertext()).split())


def card_of(html: str) -> ElementTree.Element:
    """Return the bench card, which is the first section."""
    (card,) = [s for s in parsed(html).iter(f"{XHTML}section") if s.get("class") == "card"]
    return card


class _Tags(HTMLParser):
    """Tags that a browser would see, and whether each closes the one opened last."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: set[str] = set()
        self.addresses: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        self.open.append(tag)
        self.addresses += [
            value or "" for name, value in attrs if name in ("src", "href", "action")
        ]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


@pytest.mark.slow
def test_the_page_is_well_formed_for_a_browser_s_parser_and_for_a_strict_one() -> None:
    """`html.parser` and an XML parser agree on it; drawings are in it as SVG."""
    tags = _Tags()
    tags.feed(example())

    assert tags.open == []
    assert example().startswith(f"{DOCTYPE}\n<html")
    drawings = list(parsed(example()).iter(f"{SVG}svg"))
    assert len(drawings) == 3  # order on the card and among the beads, the section of the joint
    assert all(text_of(drawing.find(f"{SVG}title")) for drawing in drawings)


def test_the_page_asks_nothing_of_anything_outside() -> None:
    """No script, no style sheet, no font, no picture from anywhere: it prints in a cellar."""
    tags = _Tags()
    tags.feed(example())

    assert not tags.seen & {"script", "link", "img", "iframe", "object", "form", "a"}
    assert tags.addresses == []
    assert not re.search(r"@import|@font-face|url\(", example())
    addresses = set(re.findall(r"https?://[^\"' <]+", example()))
    # Names of languages, never fetched.
    assert addresses == {"http://www.w3.org/1999/xhtml", "http://www.w3.org/2000/svg"}


def test_the_page_is_black_on_white_and_grey() -> None:
    """A shop's printer has one cartridge."""
    colours = re.findall(r"(?:color|background|fill|stroke)[:=] ?\"?(#\w+|\w+)", example())
    colours += re.findall(r"solid (#\w+|\w+)", example())

    assert colours
    for colour in set(colours):
        grey = re.fullmatch(r"#(?:(\w)\1\1|(\w\w)\2\2)", colour)
        assert grey or colour in ("black", "white", "none"), colour


def test_the_card_has_what_the_bench_needs() -> None:
    """The band, one bead, the peen, the order, the cover, the fire watch."""
    card = card_of(example())
    words = text_of(card)

    numbers = [text_of(found) for found in card.iter() if found.get("class") == "number"]
    assert numbers == ["200", "260", "300"]
    for part in (
        "25 mm, 12.5 s of arc",
        "15 s, begin within 5 s",
        "every run",
        "7 rods (7 to 9)",
        "1 h 51 min (1 h 23 min to 3 h 6 min)",
        "dry sand, until 40 °C",
    ):
        assert part in words
    # 29 CFR 1910.252(a)(2)(iii)(B), seen in a secondary page: at least half an hour.
    assert "fire watch 30 min at least" in words
    assert "nothing on it says that a repair is sound or a part safe" in words
    (order,) = card.iter(f"{SVG}svg")
    laid = [text_of(label) for label in order.iter(f"{SVG}text")]
    assert sorted(laid) == ["1", "2", "3", "4", "5"]


def test_the_card_of_the_cold_method_has_a_ceiling_and_the_wait() -> None:
    """No floor that could be taken for one; a patch's order is drawn too."""
    card = card_of(page_of(job_from_text(COLD, "x")))

    assert [text_of(found) for found in card.iter() if found.get("class") == "number"] == ["60"]
    assert "from one bead to the next" in text_of(card)
    assert "floor" not in text_of(card)
    assert next(card.iter(f"{SVG}svg")) is not None


def test_the_card_is_in_the_user_s_units() -> None:
    """500 °F is 260 °C by definition of both."""
    card = card_of(page_of(job_from_text(EXAMPLE, "x"), "us"))

    assert [text_of(found) for found in card.iter() if found.get("class") == "number"] == [
        "392",
        "500",
        "572",
    ]
    assert {text_of(found) for found in card.iter() if found.get("class") == "unit"} == {"°F"}


def test_steps_keep_their_numbers_over_what_stands_between_them() -> None:
    """The preparation is an order; a note in the middle must not begin it anew."""
    (section,) = [
        found
        for found in parsed(example()).iter(f"{XHTML}section")
        if found.findtext(f"{XHTML}h2") == "Preparation, in this order"
    ]
    steps = [found for found in section.iter(f"{XHTML}p") if found.get("class") == "do"]
    numbers = [text_of(step.find(f"{XHTML}b")) for step in steps]

    assert len(numbers) > 5
    assert numbers == [f"{number}." for number in range(1, len(numbers) + 1)]


def test_foreign_text_stays_text() -> None:
    """Title, facts and designation full of markup and of codes that steer a terminal."""
    hostile = EXAMPLE.replace("Pump casing, cracked foot", HOSTILE)
    hostile = hostile.replace('cause = "frost"', f'cause = "{HOSTILE}"')
    hostile = hostile.replace('designation = "ENiFe-CI"', f'designation = "ENiFe {HOSTILE}"')
    html = page_of(job_from_text(hostile, "x"))

    tags = _Tags()
    tags.feed(html)
    assert "script" not in tags.seen
    assert "\x1b" not in html
    assert "\u202e" not in html
    # Two parsers read the words that were typed, "&amp;" and all.
    assert "<script>alert(1)</script>" in text_of(card_of(html).find(f"{XHTML}h1"))
    assert "&amp;" in text_of(card_of(html).find(f"{XHTML}h1"))


@pytest.mark.parametrize("unit", ["m", "place"])
def test_a_drawing_holds_all_of_its_strokes_and_labels(unit: str) -> None:
    """Nothing is cut off at the drawing's edge, however long a label is; made-up shapes."""
    shape = Shape(
        "made <up>",
        (
            Stroke("iron", ((0.0, 0.0), (0.03, 0.0), (0.03, 0.01)), closed=True),
            Stroke("dimension", ((0.035, 0.0), (0.035, 0.01))),
            Stroke("arrow", ((0.0, 0.0), (0.0, 0.0))),
        ),
        (Label("a long label of the depth & more", (0.036, 0.005)), Label("x" * 60, (0.0, 0.01))),
        unit,  # type: ignore[arg-type]
    )
    drawing = ElementTree.fromstring(svg(shape))
    left, top, wide, high = map(float, drawing.attrib["viewBox"].split())

    for line in drawing.iter():
        for pair in line.get("points", "").split():
            x, y = map(float, pair.split(","))
            assert left <= x <= left + wide
            assert top <= y <= top + high
    for label in drawing.iter(f"{SVG}text"):
        # Half an em a letter is what a sans-serif face needs at least.
        reach = 0.5 * float(label.attrib["font-size"]) * len(text_of(label))
        at = float(label.attrib["x"])
        low = at if label.get("text-anchor") == "start" else at - reach / 2.0
        assert left <= low
        assert low + reach <= left + wide
    assert text_of(drawing.find(f"{SVG}title")) == "made <up>"


def test_a_drawing_keeps_its_proportions() -> None:
    """A square is drawn as a square: the map and the section are true to scale."""
    corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    drawing = ElementTree.fromstring(
        svg(Shape("box", (Stroke("box", corners, closed=True),), (), "place"))
    )
    (box,) = drawing.iter(f"{SVG}polygon")
    points = [tuple(map(float, pair.split(","))) for pair in box.attrib["points"].split()]

    assert points[1][0] - points[0][0] == pytest.approx(points[0][1] - points[3][1])
    # Up is up: the corner at y = 1 lies above, where SVG counts less.
    assert points[3][1] < points[0][1]


@pytest.mark.parametrize("hollow", ["closed", "vented"])
def test_closed_hollows_stand_framed_on_the_card(hollow: str) -> None:
    """29 CFR 1910.252(a)(3)(ii), seen in a secondary page: vented before any heat."""
    text = COLD.replace('mass = "3.2 kg"', f'mass = "3.2 kg"\nhollow = "{hollow}"')
    card = card_of(page_of(job_from_text(text, "x")))
    framed = [text_of(found) for found in card.iter(f"{XHTML}p") if found.get("class") == "first"]

    if hollow == "closed":
        assert framed == ["Closed hollow spaces: vent them before any heat."]
    else:
        assert framed == []
