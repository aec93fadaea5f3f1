"""What the report says of a session: each thing once, by its own measure, in the order it matters."""

from __future__ import annotations

import math

import msgspec
import pytest
from reporting import COVERED_S, XHTML, chart, made, parsed, press, report, rows_of, text_of
from reporting import story as events_of

from pacer.job.job import Job
from pacer.session.events import Inspection
from pacer.session.inspection import Imperfection


@pytest.fixture(scope="module")
def html(request: pytest.FixtureRequest) -> str:
    """The page of a whole repair, made once."""
    return report(*made(request.getfixturevalue("hot_job"), events_of(2.5)), planned=True)


def rightmost(html: str, cell: str) -> list[str]:
    """Return the rows of the table of forecasts that have a cell of this text."""
    caption = "When the part was to be cool enough, from covering on, and what came"
    return [" | ".join(row) for row in rows_of(html, caption) if cell in row]


def glance_of(html: str) -> dict[str, str]:
    """Return the figures at the page's top."""
    (found,) = [dl for dl in parsed(html).iter(f"{XHTML}dl") if dl.get("class") == "glance"]
    return {
        text_of(div.find(f"{XHTML}dt")): text_of(div.find(f"{XHTML}dd"))
        for div in found.iter(f"{XHTML}div")
    }


def test_uncovered_before_its_time_is_not_covered_until_cool(hot_job: Job, html: str) -> None:
    """20 min after covering: after how long and how hot, in the figures and among the forecasts."""
    assert "covered until cool" in glance_of(html)

    events = [*events_of(2.5), press(COVERED_S + 1200.5, "uncovered")]
    events.sort(key=lambda event: event.t_ms)
    reviewed, series = made(hot_job, events)
    early, then = report(reviewed, series), series.then
    figures = glance_of(early)
    assert then.uncovered_c is not None
    assert then.uncovered_c == pytest.approx(20.0 + 240.0 * math.exp(-1200 / 2700), abs=2.0)
    read = f"{then.uncovered_c:.0f} °C"
    assert figures["uncovered after"] == f"20 min at {read} planned at 40 °C"
    assert "covered until cool" not in figures
    off, cool = rightmost(early, "what came")
    assert off == f"what came | 0:27:00 | {read} | uncovered after 20 min | -"
    assert cool.split(" | ")[3] == "1 h 52 min, in open air"
    assert "came" not in {e.get("class") for e in chart(early, "cool-wide").iter()}

    undone = [*events, press(COVERED_S + 1203.0, "undo")]
    undone.sort(key=lambda event: event.t_ms)
    assert "uncovered after" not in glance_of(report(*made(hot_job, undone)))


def test_a_crack_that_a_look_found_is_what_became_of_it(hot_job: Job) -> None:
    """Its number, place and bead, and which look told so; nobody has to have said it in words."""
    crack = Imperfection(number=1045, name="longitudinal crater crack", bead=1)
    look = Inspection(
        t_ms=130_000, look="penetrant", result="imperfections found", imperfections=(crack,)
    )
    html = report(*made(hot_job, [*events_of(0.01), look]))
    became = text_of(parsed(html).find(".//*[@id='became']"))

    assert "crack, by a look (penetrant): 1045 longitudinal crater crack" in became
    assert "nothing is recorded" not in became
    assert glance_of(html)["what became of it"] == "crack look: penetrant"

    events = events_of(0.01)
    reported = [*events[:-1], press(events[-1].t_ms / 1000, "crack")]
    html = report(*made(hot_job, reported))
    assert glance_of(html)["what became of it"] == "crack reported in the session"


def test_findings_and_notes_are_counted_by_their_weight_only(hot_job: Job) -> None:
    """What the welder wrote down is told with what was done, and is no note of the review."""
    events = events_of(0.5)
    events = [*events[:-1], press(events[-1].t_ms / 1000, "note", "wind from the door"), events[-1]]
    reviewed, series = made(hot_job, events)
    html = report(reviewed, series)
    weights = [finding.weight for finding in reviewed.table.findings]
    findings, notes = weights.count("finding"), weights.count("note")
    assert findings
    assert notes
    told = [
        f"{n} {what}{'' if n == 1 else 's'}" for n, what in ((findings, "finding"), (notes, "note"))
    ]

    page = parsed(html)
    assert f"{told[0]}, {told[1]}." in text_of(page.find(".//*[@id='findings']"))
    assert glance_of(html)["findings"] == f"{findings} and {told[1]}"
    assert len(list(page.find(".//*[@id='notes']").iter(f"{XHTML}li"))) == notes  # type: ignore[union-attr]
    assert "written down: wind from the door" in text_of(page.find(".//*[@id='done']"))


def test_what_a_kind_usually_leads_to_is_said_once(hot_job: Job) -> None:
    """The second of a kind refers to the first one by its number."""
    reviewed, series = made(hot_job, events_of(0.5))
    found = reviewed.findings[0]
    reviewed.table.findings.add(msgspec.structs.replace(found, t_s=found.t_s + 60.0))
    articles = list(parsed(report(reviewed, series)).iter(f"{XHTML}article"))
    usual = text_of(articles[0]).partition("usually ")[2][:40]

    assert "as for 1" in text_of(articles[-1])
    assert usual not in text_of(articles[-1])
    link = articles[-1].find(f".//{XHTML}a")
    assert link is not None
    assert link.get("href") == "#finding-1"


def test_what_matters_stands_before_the_long_tables(html: str) -> None:
    """Done, cautions and plan first; the phases with the tables of the charts, at the end."""
    order = [section.get("id") for section in parsed(html).iter(f"{XHTML}section")]
    named = [name for name in order if name]

    assert named.index("findings") < named.index("charts") < named.index("done")
    assert named.index("done") < named.index("cautions") < named.index("plan")
    assert named[-1] == "tables"
    assert "Phases" in text_of(parsed(html).find(".//*[@id='tables']"))


def test_a_soak_is_as_long_as_it_counted(html: str) -> None:
    """The job asks for 60 s: what came before it in that phase was the way up."""
    rows = dict(row for row in rows_of(html, "Measured from this recording"))

    counted, _, phase = rows["held before welding (soak)"].partition("; ")
    assert counted.endswith(" as counted")
    assert "in the phase" in phase
