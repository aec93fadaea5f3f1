"""The report of one recording: a page of HTML to read, keep and print.

For the caller: `page(reviewed, series, shown, plan_sections)`. `series` is a `Series` that
went along while the recording was folded (`table(steps(recording), series)`; a page closes
it). `plan_sections` are sections of the recorded job's sheet, those that tell what was meant:
`those(whole(plan(job), job, shown), PLAN_SECTIONS)`, or none. `MARK` stands near the page's top.
Several recordings on one page: `overlay.py`.

Self-contained and well-formed (`job/sheet/forms/frame.py`); it reads the same without
colours, on paper, on a telephone and aloud.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pacer.job.job import Job
from pacer.job.sheet.forms import frame
from pacer.job.sheet.forms.footnotes import Footnotes
from pacer.job.sheet.forms.parts import said, sections_html, sources_html
from pacer.job.sheet.making import by, told
from pacer.job.sheet.records import Section, Step
from pacer.job.sheet.sections.cautions import Stage, cautions
from pacer.job.sheet.sections.for_the_record import fact_label
from pacer.review.inspections import inspection_lines
from pacer.review.moments import clock, local, utc
from pacer.review.report import tables
from pacer.review.report.chart.as_table import chart_table, forecast_table
from pacer.review.report.chart.charts import charts
from pacer.review.report.chart.plot import Chart
from pacer.review.report.found import cited, findings_html, limits_html
from pacer.review.report.glance import glance
from pacer.review.report.markup import facts, listed, paragraph, safe, section, timed
from pacer.review.report.series import Series
from pacer.review.report.style import STYLE
from pacer.review.report.treatment import items
from pacer.review.reviewed import Reviewed
from pacer.review.still_hot import still_hot
from pacer.review.text.became_lines import became_lines
from pacer.session.events import SKIPPED
from pacer.text import clean
from pacer.trade.rows import row
from pacer.trade.wording import about
from pacer.units import Shown

COMMAND = "review"
MARK = frame.mark(COMMAND)
"In the head of a page of ours, by which it is known again."

PLAN_SECTIONS = frozenset({"short", "specification"})
"Of a job's sheet, what tells a report what was meant."

_NO_VERDICT = (
    "This page says what was measured, done and forecast. Nothing on it says that a repair is "
    "sound, that a part is safe, or what caused a crack."
)


def page(
    reviewed: Reviewed, series: Series, shown: Shown, plan_sections: Iterable[Section] = ()
) -> str:
    """Return the report."""
    series.finish()
    job, planned = reviewed.opened.job, tuple(plan_sections)
    caution = Section("cautions", "Cautions", tuple(_cautions(job, shown)))
    record = told(row("specification", "Q03"), shown=shown)
    footnotes = Footnotes(
        (cited(reviewed, shown), *planned, caution, Section("record", "", (record,)))
    )
    drawn = charts(reviewed, series, shown)
    parts = {
        "became": ("What became of it", _became(reviewed, shown)),
        "findings": ("Findings", findings_html(reviewed, shown, footnotes)),
        "notes": ("Notes", tables.notes(reviewed.table, shown)),
        "charts": ("Charts", "".join(map(_figure, drawn)) + forecast_table(series, shown)),
        "beads": ("Beads", tables.beads(reviewed.table, shown)),
        "limits": ("Limits", _limits(reviewed, shown)),
        "treatment": ("Items of a heat-treatment record", _treatment(reviewed, series, shown)),
        "done": ("Done, read and written down", _done(reviewed, shown)),
        "cautions": ("Cautions for who takes it in hand", _said(caution, footnotes)),
        "plan": ("The plan", _plan(job, shown, planned, footnotes)),
        "record": ("For the record", _record(reviewed)),
        "tables": (
            "Phases, and the charts as tables",
            _long_tables(reviewed, drawn, series, shown),
        ),
    }
    made = [(name, heading, body) for name, (heading, body) in parts.items() if body]
    sources = sources_html(footnotes)
    body = "\n".join(
        [
            _head(reviewed, shown),
            "<main>",
            *_banners(reviewed, shown),
            glance(reviewed, series, shown),
            _contents([(name, heading) for name, heading, _ in made]),
            *(section(name, heading, body) for name, heading, body in made),
            f'<div class="sources" id="sources">{sources}</div>' if sources else "",
            paragraph(_NO_VERDICT, "quiet"),
            "</main>",
        ]
    )
    return frame.document(clean(f"{reviewed.name}: {job.title}"), COMMAND, STYLE, body)


def _head(reviewed: Reviewed, shown: Shown) -> str:
    opened = reviewed.opened
    job = opened.job
    return (
        f"<header><h1>{safe(job.title)}</h1>"
        + paragraph(f"{job.method} method, {job.part.metal}; recording {reviewed.name}", "lead")
        + paragraph(f"opened {local(opened.wall, opened.tz)} with {opened.app}", "lead")
        + "</header>"
    )


def _banners(reviewed: Reviewed, shown: Shown) -> Iterator[str]:
    opened, out = reviewed.opened, reviewed.table
    if opened.invented:
        yield paragraph(f"INVENTED DATA: {opened.invented}", "banner")
    if reviewed.lacking:
        words = f"FROM A DAMAGED RECORDING: {reviewed.lacking}; figures may lack them"
        yield paragraph(words, "banner")
    if reviewed.writer is not None:
        yield paragraph(f"BEING WRITTEN by process {reviewed.writer}: not all of it", "banner")
    elif not out.ended:
        yield paragraph(f"INTERRUPTED, not closed; last phase {out.phase}", "banner")
    hot = still_hot(out, shown)
    if hot:
        yield paragraph(hot, "banner hot")


def _contents(made: list[tuple[str, str]]) -> str:
    items_ = "".join(f'<li><a href="#{name}">{safe(heading)}</a></li>' for name, heading in made)
    return f'<nav aria-label="Contents"><ul>{items_}</ul></nav>'


def _became(reviewed: Reviewed, shown: Shown) -> str:
    out = reviewed.table
    told_ = listed(became_lines(out, shown), out.outcomes.more)
    looks = []
    for look in out.inspections:
        first, *rest = inspection_lines(look, reviewed.opened.job, shown)
        looks.append((utc(look.wall or ""), "; ".join([first, *(r.lstrip("- ") for r in rest)])))
    seen = timed(looks, out.inspections.more)
    return told_ + (f"<h3>Looks at the finished repair</h3>{seen}" if seen else "")


def _figure(chart: Chart) -> str:
    drawings = "".join(chart.drawings)
    return (
        f"<h3>{safe(chart.heading)}</h3><figure>{drawings}"
        f"<figcaption>{safe(chart.caption)}</figcaption></figure>"
    )


def _treatment(reviewed: Reviewed, series: Series, shown: Shown) -> str:
    record = row("specification", "Q03")
    intro = (
        f"A {record.about} ({record.seen}). Measured at the probe; what the rest of the part "
        "did is not known. An equalising hold is no stress relief."
    )
    return paragraph(intro, "quiet") + facts(
        "Measured from this recording", items(reviewed, series, shown)
    )


def _limits(reviewed: Reviewed, shown: Shown) -> str:
    out = reviewed.table
    return tables.outside(out, shown) + limits_html(out.findings, shown)


def _done(reviewed: Reviewed, shown: Shown) -> str:
    out = reviewed.table
    lists = [(clock(act.t_s), f"preparation list: {_list(act.text)}") for act in out.prepared]
    return timed(lists, out.prepared.more) + tables.done(out, shown) + tables.typed(out, shown)


def _list(text: str | None) -> str:
    if not text:
        return "confirmed"
    return SKIPPED if text == SKIPPED else f"{SKIPPED}: {text}"


def _plan(job: Job, shown: Shown, planned: tuple[Section, ...], footnotes: Footnotes) -> str:
    if not planned:
        return ""
    intro = paragraph("What the job file asked for, by which the session was paced.", "quiet")
    return f'{intro}<div class="plan">{sections_html(job, shown, planned, footnotes, 3)}</div>'


def _record(reviewed: Reviewed) -> str:
    given = reviewed.opened.job.facts
    return facts("As the job file has it", ((fact_label(key), text) for key, text in given.items()))


def _cautions(job: Job, shown: Shown) -> Iterator[Step]:
    """Yield what can still hurt: of the cool-down, and of what comes after the last arc."""
    stages: tuple[Stage, ...] = ("cool", "after")
    for stage in stages:
        for caution in cautions(job, stage):
            yield Step(f"{about(caution, shown)}.", by(caution))


def _said(told_: Section, footnotes: Footnotes) -> str:
    steps = [line for line in told_.lines if isinstance(line, Step)]
    items_ = "".join(f"<li>{said(step, footnotes)}</li>" for step in steps)
    return f'<ul class="told">{items_}</ul>' if items_ else ""


def _long_tables(reviewed: Reviewed, drawn: list[Chart], series: Series, shown: Shown) -> str:
    stays = tables.phases(reviewed.table, shown)
    made = "".join(chart_table(chart, series, shown) for chart in drawn)
    return (f'<div class="many">{stays}</div>' if stays else "") + (
        f'<div class="many three">{made}</div>' if made else ""
    )
