"""Several recordings on one page: aligned, told apart without colours, the same as a table."""

from __future__ import annotations

import re

import pytest
from clashing import clashes
from reporting import SVG, XHTML, Tags, chart, made, parsed, places, story, text_of

from pacer.job.job import Job
from pacer.review.grid import Grid
from pacer.review.report.overlay import Side, overlay, several
from pacer.session.work import Phase
from pacer.units import Shown

HOSTILE = "</title><script>x</script>\x1b[2J"


def sides_of(job: Job, hours: tuple[float, ...] = (1.0, 0.6)) -> list[Side]:
    """Return recordings that differ in their length, aligned at their preheat."""
    found = []
    for number, long in enumerate(hours):
        reviewed, series = made(job, story(long))
        zero_s = series.first(Phase.PREHEAT)
        assert zero_s is not None
        found.append(Side("ABCDEFGH"[number], reviewed.name, series, zero_s + 10.0 * number))
    return found


def test_the_page_is_well_formed_and_asks_nothing(hot_job: Job) -> None:
    """With names and tables full of markup."""
    sides = [side._replace(name=HOSTILE) for side in sides_of(hot_job)]
    grid = Grid(HOSTILE, ("A", "B"), ((HOSTILE, ("1", "2")),))
    html = several(
        HOSTILE, [("", HOSTILE), (HOSTILE, HOSTILE)], sides, [grid], Shown(), "preheat", [HOSTILE]
    )
    tags = Tags(html)

    assert tags.open == []
    assert not tags.seen & {"script", "link", "img", "iframe"}
    assert "\x1b" not in html
    assert "url(" not in html
    ids = [value for name, value in tags.attributes if name == "id"]
    assert len(ids) == len(set(ids))
    assert {th.get("scope") for th in parsed(html).iter(f"{XHTML}th")} == {"row", "col"}


def test_each_curve_has_its_dashes_and_its_letter(hot_job: Job) -> None:
    """Five recordings, five classes; every letter once, none on top of another."""
    html = several("s", [], sides_of(hot_job, (0.5, 0.45, 0.4, 0.35, 0.3)), [], Shown(), "preheat")
    drawing = chart(html, "overlay-wide")
    kinds = [e.get("class") for e in drawing.iter(f"{SVG}path")]
    assert [kind for kind in kinds if str(kind).startswith("many")] == [
        f"many{n}" for n in range(5)
    ]
    labels = [e for e in drawing.iter(f"{SVG}text") if e.get("class") == "limit"]
    assert sorted(text_of(label) for label in labels) == ["A", "B", "C", "D", "E"]
    at = [(float(e.attrib["x"]), float(e.attrib["y"])) for e in labels]
    for number, (x, y) in enumerate(at):
        assert all(abs(x - u) > 8 or abs(y - v) > 8 for u, v in at[:number])


def test_curves_are_moved_to_the_moment_they_are_aligned_at(hot_job: Job) -> None:
    """The same session, its zero ten seconds later: the same curve ten seconds to the left."""
    html = several("s", [], sides_of(hot_job, (0.3, 0.3)), [], Shown(), "preheat")
    drawing = chart(html, "overlay-wide")
    first, second = (
        places(e)[0][0] for e in drawing.iter(f"{SVG}path") if str(e.get("class"))[:4] == "many"
    )
    ticks = {
        text_of(e): float(e.attrib["x"])
        for e in drawing.iter(f"{SVG}text")
        if e.get("class") == "tick" and re.match(r"0:\d\d$", text_of(e))
    }
    (x0, x1), (m0, m1) = zip(*[(ticks[t], int(t[2:])) for t in sorted(ticks)[:2]], strict=True)
    px_s = (x1 - x0) / (60.0 * (m1 - m0))

    assert first[0] - second[0] == pytest.approx(10.0 * px_s, abs=0.15)
    assert first[1] == second[1]


def test_the_table_has_the_extremes_of_both(hot_job: Job) -> None:
    """What the eye takes from the chart is there in figures; a dash where one has ended."""
    sides = sides_of(hot_job)
    html = several("s", [], sides, [], Shown(), "preheat")
    rows = [
        [text_of(cell) for cell in row]
        for row in parsed(html).findall(f".//*[@id='chart-table']//{XHTML}tbody/{XHTML}tr")
    ]
    hottest = max(int(cell.split()[-2]) for _, cell, _ in rows if cell != "-")
    assert hottest == round(max(p.temp_c for p in sides[0].series.believed))
    assert rows[-1][2] == "-"


def test_what_only_the_cracked_ones_have_stands_under_its_heading(hot_job: Job) -> None:
    """Rows with a start are a list; words before one are its heading; the legend ends the tables."""
    said = [
        ("A  ", "a.jsonl: cracked"),
        ("", "A difference proves no cause."),
        ("", "Only where a crack was found (A)"),
        ("A  0:20:00 ", "bead below the floor"),
    ]
    grid = Grid("what was measured", ("A", "B"), (("preheat", ("1 min", "2 min")),))
    html = several("s", said, sides_of(hot_job), [grid], Shown(), "preheat", ["Cells: as read."])
    page = parsed(html)

    heads = [text_of(head) for head in page.iter(f"{XHTML}h2")]
    assert heads[0] == "Only where a crack was found (A)"
    assert [text_of(row) for row in page.iter(f"{XHTML}li")] == [
        "A a.jsonl: cracked",
        "A 0:20:00 bead below the floor",
    ]
    tables = text_of(page.find(".//*[@id='tables']"))
    assert tables.endswith("Cells: as read.")
    paragraphs = [text_of(p) for p in page.iter(f"{XHTML}p")]
    assert paragraphs == ["A difference proves no cause.", "Cells: as read."]


def test_no_letter_stands_on_a_curve(hot_job: Job) -> None:
    """Two that run side by side for most of their way: each letter off both."""
    html = several("s", [], sides_of(hot_job, (0.5, 0.5)), [], Shown(), "preheat")
    for name in ("overlay-wide", "overlay-narrow"):
        assert clashes(chart(html, name)) == []


def test_without_a_reading_there_is_no_chart(cold_job: Job) -> None:
    """Two heads and nothing else."""
    reviewed, series = made(cold_job, [])
    sides = [Side("A", reviewed.name, series, 0.0), Side("B", reviewed.name, series, 0.0)]

    assert overlay(sides, Shown(), "the start") == ""
    assert several("s", [], sides, [], Shown(), "the start").count("<svg") == 0
