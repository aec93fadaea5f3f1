"""The sheet as one HTML page to print and hang at the table: a bench card, the rest behind.

Self-contained (`frame.py`); black on white. Every text passes `html.escape`.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from pacer.job.job import Job
from pacer.job.sheet.forms import frame
from pacer.job.sheet.forms.card import card
from pacer.job.sheet.forms.footnotes import Footnotes
from pacer.job.sheet.forms.parts import entry_remark, sections_html, sources_html
from pacer.job.sheet.records import Section
from pacer.job.sheet.whole import title
from pacer.units import Shown

COMMAND = "plan"
MARK = frame.mark(COMMAND)
"In the head of a page of ours, by which it is known again."
_STYLE = """
@page { size: portrait; margin: 12mm }
body { font: 10.5pt/1.3 sans-serif; color: black; background: white; max-width: 186mm;
  margin: 0 auto }
h1 { font-size: 20pt; line-height: 1.1; margin: 0 0 1mm; overflow-wrap: anywhere }
h2 { font-size: 12pt; margin: 4mm 0 1mm; border-bottom: 0.4mm solid black; break-after: avoid }
@media print { .rest { font-size: 8pt; line-height: 1.22; columns: 2; column-gap: 6mm } }
.card { break-inside: avoid; break-after: page }
table { border-collapse: collapse; width: 100% }
th, td { text-align: left; vertical-align: top; padding: 0.4mm 1.5mm 0.4mm 0;
  border-bottom: 0.2mm solid #777; overflow-wrap: anywhere }
th { font-weight: normal; width: 27% }
b.value { padding-right: 1mm }
tr, p, figure, pre { break-inside: avoid }
p { margin: 0.8mm 0 } figure { margin: 2mm 0 }
pre { font: 8pt/1.1 monospace }
sup { font-size: 75%; line-height: 0 }
.source { font-size: 90% }
.do { padding-left: 6mm } .do b { display: inline-block; width: 5.4mm; margin-left: -5.4mm }
.decide, .not { border-left: 0.4mm solid black; padding-left: 2mm }
.decide { border-left-width: 1.4mm } .stop { border: 1mm solid black; padding: 2mm;
  font-weight: bold }
.card h1 { max-height: 2.2em; overflow: hidden } .card p { font-size: 9.5pt }
.card .first { border: 1mm solid black; padding: 1mm 2mm; font-size: 14pt; font-weight: bold }
.foot { display: flex; flex-wrap: wrap; column-gap: 6mm; align-items: center }
.foot div { flex: 1 1 70mm }
.band { display: flex; border: 1mm solid black; margin: 2mm 0 }
.band div { flex: 1; text-align: center; padding: 0.5mm 0 1mm }
.band div + div { border-left: 1mm solid black }
.band .word { font-size: 18pt; padding: 0 } .band .unit { font-size: 20pt }
.band .number { font-size: 56pt; font-weight: bold; line-height: 1 }
.card th { font-size: 14pt; width: 19% }
.card td { font-size: 16pt; font-weight: bold; line-height: 1.15; width: 44% }
.card td.source { font-size: 8.5pt; font-weight: normal; width: 37%; vertical-align: middle }
"""


def page(job: Job, shown: Shown, sections: Iterable[Section]) -> str:
    """Return the page of a plan; `sections` are those of `whole.whole`, or some of them.

    The card is there where the section "In short" is.
    """
    name, told = title(job), tuple(sections)
    notes = Footnotes(told)
    first = "".join(
        card(job, shown, section, lambda entry: entry_remark(entry, notes))
        for section in told
        if section.name == "short"
    )
    rest = sections_html(job, shown, (one for one in told if one.name != "short"), notes)
    return frame.document(
        name,
        COMMAND,
        _STYLE,
        f"{first or f'<h1>{escape(name)}</h1>'}\n"
        f'<div class="rest">{rest}\n{sources_html(notes)}</div>',
    )
