"""Reports of made-up sessions, and the parsers of other houses that read them. Data invented."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from xml.etree import ElementTree

from written import head_of

from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.choose import those
from pacer.job.sheet.whole import whole
from pacer.review.report.page import PLAN_SECTIONS, page
from pacer.review.report.series import Series
from pacer.review.reviewed import Reviewed
from pacer.review.table import table
from pacer.run.reviewing import numbered
from pacer.session.events import Act, AnyEvent, ClockGap, Ended, Reading
from pacer.units import Shown, System

XHTML, SVG = "{http://www.w3.org/1999/xhtml}", "{http://www.w3.org/2000/svg}"
COVERED_S = 420.0


def read(t_s: float, *raw: float) -> Reading:
    """A line of the source."""
    return Reading(t_ms=round(1000 * t_s), raw=raw, status="ok")


def press(t_s: float, deed: str = "next", text: str | None = None) -> Act:
    """What the welder did."""
    return Act(t_ms=round(1000 * t_s), deed=deed, by="script", text=text)  # type: ignore[arg-type]


def story(hours: float = 2.5, channels: int = 1) -> list[AnyEvent]:
    """A hot repair of one bead, silent from 100 to 119 s, unwatched from 130 to 160 s, then buried.

    It cools from 260 °C to 20 °C with a time constant of 45 min, read every 20 s.
    """
    events: list[AnyEvent] = []
    for t_s in range(COVERED := int(COVERED_S)):
        if 100 <= t_s < 119 or 130 <= t_s < 160:
            continue
        # A ripple, so that neighbours differ and nothing looks stuck.
        temp_c = (20.0 if t_s < 2 else 150.0 if t_s < 9 else 262.0) + 0.25 * (t_s % 3)
        events.append(read(t_s, *(temp_c - 7.0 * n for n in range(channels))))
    presses = {1: "next", 74: "next", 84: "next", 200: "finish", 400: "next", COVERED: "covered"}
    events += [press(t_s, deed) for t_s, deed in presses.items()]
    events.append(ClockGap(t_ms=130_000, to_ms=160_000, why="the lid was closed"))
    for late_s in range(20, int(hours * 3600), 20):
        fall_c = 20.0 + 240.0 * math.exp(-late_s / 2700.0)
        events.append(
            read(COVERED + late_s, *(round(fall_c - 7.0 * n, 2) for n in range(channels)))
        )
    events.sort(key=lambda event: event.t_ms)
    return [*events, Ended(t_ms=events[-1].t_ms, why="the source ended")]


def made(job: Job, events: Iterable[AnyEvent], **head: object) -> tuple[Reviewed, Series]:
    """Fold a session for its report."""
    opened, series = head_of(job, **head), Series()
    out = table(numbered(opened, enumerate(events, 1)), series)
    return Reviewed("a.jsonl", opened, out), series


def report(
    reviewed: Reviewed, series: Series, system: System = "metric", *, planned: bool = False
) -> str:
    """Return the page; `planned` with what was planned, which takes a while to work out."""
    shown, job = Shown(system), reviewed.opened.job
    return page(
        reviewed,
        series,
        shown,
        those(whole(plan(job), job, shown), PLAN_SECTIONS) if planned else (),
    )


def parsed(html: str) -> ElementTree.Element:
    """Return the page as a strict parser reads it."""
    return ElementTree.fromstring(html)


def text_of(element: ElementTree.Element | None) -> str:
    """Return an element's words, blanks as one."""
    assert element is not None
    return " ".join(" ".join(element.itertext()).split())


def chart(html: str, name: str) -> ElementTree.Element:
    """Return one drawing, such as `whole-wide`."""
    (found,) = (
        svg
        for svg in parsed(html).iter(f"{SVG}svg")
        if str(svg.get("aria-labelledby")).startswith(f"{name}-title")
    )
    return found


def places(path: ElementTree.Element) -> list[list[tuple[float, float]]]:
    """Return the runs of a curve's path as points: where each begins, then step by step."""
    runs = []
    for run in path.attrib["d"].split("M")[1:]:
        start, *corners = pairs(re.split("[lh]", run)[0].replace("L", " "))
        places = [start, *corners]
        for across, up in pairs(run.partition("l")[2]):
            x, y = places[-1]
            places.append((x + across, y + up))
        runs.append(places)
    return runs


def pairs(text: str) -> list[tuple[float, float]]:
    """Return the numbers of a path by two."""
    numbers = [float(n) for n in re.findall(r"-?[0-9.]+", text)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def rows_of(html: str, caption: str) -> Iterator[list[str]]:
    """Yield the cells of a table's rows."""
    for element in parsed(html).iter(f"{XHTML}table"):
        named = element.find(f"{XHTML}caption")
        if named is not None and text_of(named) == caption:
            for row in element.iterfind(f"{XHTML}tbody/{XHTML}tr"):
                yield [text_of(cell) for cell in row]
            return
    raise AssertionError(f"no table {caption}")


class Tags(HTMLParser):
    """Tags that a browser would see, and whether each closes the one opened last."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: set[str] = set()
        self.attributes: list[tuple[str, str]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        self.open.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag
