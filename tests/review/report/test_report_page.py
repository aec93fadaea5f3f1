"""The report as two parsers read it: whole, self-contained, in order, and true to the record."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from reporting import (
    SVG,
    XHTML,
    Tags,
    chart,
    made,
    parsed,
    places,
    press,
    report,
    rows_of,
    text_of,
)
from reporting import story as events_of
from strategies import sessions

from pacer.job.job import Job
from pacer.review.report.chart.charts import charts
from pacer.session.events import Act, AnyEvent, Inspection, Outcome
from pacer.units import Shown

HOSTILE = "</title><script>alert(1)</script>\x1b[2J&amp;\u202e\"' {temp_c} url(x)"


@pytest.fixture(scope="module")
def story_job(request: pytest.FixtureRequest) -> Job:
    """The hot job, with what a record should have."""
    job: Job = request.getfixturevalue("hot_job")
    facts = {"sensor.place": "on the boss", "history.cause": "frost"}
    return msgspec.structs.replace(job, facts=facts)


@pytest.fixture(scope="module")
def html(story_job: Job) -> str:
    """The page of a whole repair, made once."""
    return report(*made(story_job, events_of(2.5), invented="a made-up story"), planned=True)


def test_the_page_is_well_formed_for_a_browser_s_parser_and_for_a_strict_one(html: str) -> None:
    """`html.parser` and an XML parser agree on it; every id is there once."""
    tags = Tags(html)

    assert tags.open == []
    ids = [value for name, value in tags.attributes if name == "id"]
    assert len(ids) == len(set(ids))
    links = [value for name, value in tags.attributes if name == "href"]
    assert links
    assert all(link[0] == "#" and link[1:] in ids for link in links)
    named = [v for name, v in tags.attributes if name == "aria-labelledby"]
    assert all(part in ids for value in named for part in value.split())


def test_the_page_asks_nothing_of_anything_outside(html: str) -> None:
    """No script, no style sheet, no font, no picture from anywhere."""
    tags = Tags(html)

    assert not tags.seen & {"script", "link", "img", "iframe", "object", "form", "image", "use"}
    assert not [
        name for name, _ in tags.attributes if name in ("src", "action") or name[:2] == "on"
    ]
    assert not re.search(r"@import|@font-face|url\(", html)
    # Names of languages, never fetched.
    assert set(re.findall(r"https?://[^\"' <]+", html)) == {
        "http://www.w3.org/1999/xhtml",
        "http://www.w3.org/2000/svg",
    }


def test_the_page_can_be_read_aloud(html: str) -> None:
    """Language, one h1, no level of heading left out, table heads with a scope, named drawings."""
    page = parsed(html)
    assert page.get("lang") == "en"
    levels = [int(e.tag[-1]) for e in page.iter() if re.fullmatch(rf"{XHTML}h\d", str(e.tag))]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    heads = list(page.iter(f"{XHTML}th"))
    assert heads
    assert {head.get("scope") for head in heads} == {"row", "col"}
    drawings = [svg for svg in page.iter(f"{SVG}svg") if "chart" in str(svg.get("class"))]
    assert len(drawings) == 6  # three charts, each for a wide and for a narrow page
    for drawing in drawings:
        assert drawing.get("role") == "img"
        assert text_of(drawing.find(f"{SVG}title"))
        assert "°C" in text_of(drawing.find(f"{SVG}desc")) or "cool enough" in text_of(
            drawing.find(f"{SVG}desc")
        )


def test_every_point_drawn_is_one_of_the_curve(hot_job: Job) -> None:
    """Places on the drawing are those of believed readings (`test_series.py` holds these to the
    record), to a tenth of a pixel; the hottest of all is among them."""
    reviewed, series = made(hot_job, events_of(0.3))
    html = report(reviewed, series)
    seen = charts(reviewed, series, Shown())[0].window
    drawing = chart(html, "whole-wide")
    (curve,) = [e for e in drawing.iter(f"{SVG}path") if e.get("class") == "curve"]
    across, up = [places(e)[0] for e in drawing.iter(f"{SVG}path") if e.get("class") == "edge"]
    (left, foot), (right, _) = across
    (_, top), _ = up
    wide, high = (
        (right - left) / (seen.to_s - seen.from_s),
        (foot - top) / (seen.high_c - seen.low_c),
    )
    known = [
        (left + (p.t_s - seen.from_s) * wide, foot - (p.temp_c - seen.low_c) * high)
        for p in series.believed
    ]

    drawn = [place for run in places(curve) for place in run]
    assert len(drawn) > 200
    for x, y in drawn:
        assert any(abs(x - u) < 0.06 and abs(y - v) < 0.06 for u, v in known), (x, y)
    assert min(y for _, y in drawn) == pytest.approx(min(v for _, v in known), abs=0.06)


def test_the_tables_say_what_the_charts_show(html: str, story_job: Job) -> None:
    """The hottest and the coldest of the rows are those of the readings that were believed."""
    _, series = made(story_job, events_of(2.5))
    temps = [point.temp_c for point in series.believed]
    rows = list(rows_of(html, "The whole session: the temperature that decides"))
    lows = [float(row[1].split()[0]) for row in rows if row[1] != "-"]
    highs = [float(row[2].split()[0]) for row in rows if row[2] != "-"]

    assert len(rows) == 40
    assert min(lows) == pytest.approx(min(temps), abs=0.05)
    assert max(highs) == pytest.approx(max(temps), abs=0.05)


def test_gaps_bands_and_beads_are_drawn(html: str) -> None:
    """19 s without a line, 30 s unwatched, one bead, one peen, the forecasts and what came."""
    whole, closer = chart(html, "whole-wide"), chart(html, "welding-wide")
    kinds = {e.get("class") for e in whole.iter()}
    assert {"gap", "unwatched", "band", "low", "high", "curve", "bead", "bar-unsaid"} <= kinds
    assert {"gap", "unwatched", "band"} <= {e.get("class") for e in closer.iter()}
    cool = {e.get("class") for e in chart(html, "cool-wide").iter()}
    assert {"forecast0", "forecast1", "range", "whisker", "likely", "came"} <= cool
    words = " ".join(text_of(e) for e in closer.iter(f"{SVG}text"))
    assert "ceiling 300" in words
    assert "floor 200" in words


def test_the_record_of_a_heat_treatment_is_measured_or_said_to_be_unknown(html: str) -> None:
    """Row Q03's items; what nobody said stands as such."""
    rows = dict(row for row in rows_of(html, "Measured from this recording"))

    assert rows["thermocouples: how many"].startswith("1 channel that sent a number")
    assert "on the boss" in rows["thermocouples: where"]
    assert "face not said" in rows["thermocouples: where"]
    assert "60 s in the phase" in rows["held before welding (soak)"]
    assert "from 262 °C to" in rows["cooling rate"]
    assert "no stress relief" in html


def test_the_top_says_what_kind_of_record_it_is(html: str, hot_job: Job) -> None:
    """Invented, damaged, interrupted, still hot; none of it where it doesn't hold."""
    assert "INVENTED DATA: a made-up story" in html
    assert "STILL HOT" not in html
    assert "INTERRUPTED" not in html

    reviewed, series = made(hot_job, events_of(0.1)[:-1])
    damaged = report(replace(reviewed, lacking="3 line(s) left out"), series)
    assert "FROM A DAMAGED RECORDING: 3 line(s) left out" in damaged
    assert "INTERRUPTED, not closed; last phase cool-down" in damaged
    assert "STILL HOT when last read" in damaged
    assert "INVENTED" not in damaged


def test_findings_are_numbered_as_on_the_charts_with_evidence_and_source(hot_job: Job) -> None:
    """Each has its limit with its origin, what it leads to, and a number that the chart has too."""
    reviewed, series = made(hot_job, events_of(0.5))
    assert reviewed.findings
    html = report(reviewed, series)
    articles = list(parsed(html).iter(f"{XHTML}article"))

    assert [a.get("id") for a in articles] == [f"finding-{n + 1}" for n in range(len(articles))]
    for article, finding in zip(articles, reviewed.findings, strict=True):
        words = text_of(article)
        assert finding.name in words
        assert "usually" in words
        if finding.limit is not None:
            assert finding.limit.name in words
            assert finding.limit.origin.split(";")[0][:40] in words
    badges = [
        text_of(e)
        for e in chart(html, "whole-wide").iter(f"{SVG}text")
        if e.get("class") == "number"
    ]
    assert badges


def test_outcomes_and_looks_are_told_and_give_no_verdict(hot_job: Job) -> None:
    """In the words of the review; a look that found nothing says no more than that."""
    afterwards: list[AnyEvent] = [
        Outcome(t_ms=130_000, found="crack", where="boundary", bead=1, wall="2026-02-01T10:00:00Z"),
        Inspection(t_ms=130_000, look="by eye", result="nothing found"),  # type: ignore[arg-type]
    ]
    html = report(*made(hot_job, [*events_of(0.01), *afterwards]))

    assert "at the boundary" in html
    assert "nothing found by this look" in html
    assert "Nothing on it says that a repair is sound" in html


@pytest.mark.parametrize("system", ["metric", "us"])
def test_foreign_text_stays_text(hot_job: Job, system: str) -> None:
    """Title, facts, notes, places and program full of markup and codes that steer a terminal."""
    job = msgspec.structs.replace(
        hot_job, title=HOSTILE, facts={"sensor.place": HOSTILE, HOSTILE: HOSTILE}
    )
    events = [*events_of(0.05)[:-1]]
    late_ms = events[-1].t_ms
    events += [
        press(late_ms / 1000, "note", HOSTILE),
        press(late_ms / 1000, "tink", HOSTILE),
        Act(t_ms=late_ms, deed="reading", temp_c=250.0, text=HOSTILE),
        Outcome(t_ms=late_ms, found="crack", text=HOSTILE, photo=HOSTILE),
    ]
    html = report(
        *made(job, events, app=HOSTILE, invented=HOSTILE, wall=HOSTILE),
        system,  # type: ignore[arg-type]
    )
    tags = Tags(html)

    assert "script" not in tags.seen
    assert "\x1b" not in html
    assert "\u202e" not in html
    title = text_of(parsed(html).find(f".//{XHTML}h1"))
    assert "<script>alert(1)</script>" in title
    assert "&amp;" in title
    assert "{temp_c}" in text_of(parsed(html).find(".//*[@id='done']"))


@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
@given(sessions(25))
def test_any_session_has_a_page(hot_job: Job, cold_job: Job, events: list[AnyEvent]) -> None:
    """Whatever happened, and cut anywhere: a page that a strict parser reads."""
    for job in (hot_job, cold_job):
        parsed(report(*made(job, events)))


def test_an_empty_recording_has_a_page(cold_job: Job) -> None:
    """Nothing but a head: no reading, no bead; still no claim."""
    html = report(*made(cold_job, []))

    assert "<svg" not in html.partition('id="plan"')[0]
    assert "Nothing was recorded: no readings, no beads." in html
    assert "outside of the limits" not in html


def test_the_page_is_in_the_user_s_units(hot_job: Job) -> None:
    """300 °C is 572 °F, on the chart too."""
    reviewed, series = made(hot_job, events_of(0.05))
    html = report(reviewed, series, "us")
    words = text_of(chart(html, "whole-wide"))

    assert "ceiling 572 °F" in words
    assert "°C" not in words


def test_the_size_stays_that_of_a_picture(hot_job: Job) -> None:
    """Four hours at four lines a second come out as large as one: a point or two a pixel."""
    reviewed, series = made(hot_job, events_of(0.1))
    began_s = series.to_s
    for n in range(4 * 3600 * 4):
        series.believed.add(began_s + n / 4, 200.0 + n % 7)
    series.to_s = began_s + 4 * 3600

    assert len(report(reviewed, series).encode()) < 200_000


def test_the_strict_parser_sees_what_is_wrong() -> None:
    """The tests above can fail: an unclosed tag is refused."""
    with pytest.raises(ElementTree.ParseError):
        parsed("<p><b></p>")
