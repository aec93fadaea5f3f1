"""The report in a real browser: what fits, what shows, what a printer gets. Layout only.

The page has no script; the page that measures it, with the report in two frames, has one.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from html import unescape
from pathlib import Path

import pytest
from reporting import made, press, report
from reporting import story as events_of

from pacer.job.job import Job
from pacer.session.events import Act

CHROMIUM = shutil.which("chromium") or ""
POINTS_MM = 72.0 / 25.4
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not CHROMIUM, reason="no chromium"),
    pytest.mark.skipif(not shutil.which("pdftotext"), reason="no pdftotext (poppler-utils)"),
]

MEASURE = """<!DOCTYPE html><html><body>
<iframe id="a" src="report.html" style="width:400px;height:900px;border:0"></iframe>
<iframe id="b" src="report.html" style="width:1280px;height:900px;border:0"></iframe>
<script>
function seen(id) {
  const view = document.getElementById(id).contentWindow, page = view.document;
  const out = [];
  for (const e of page.body.querySelectorAll('*')) {
    const box = e.getBoundingClientRect();
    if (box.width && (box.right > view.innerWidth + 0.5 || box.left < -0.5)
        && !e.closest('.scroll') && !e.closest('svg'))
      out.push(e.tagName + '.' + e.className);
  }
  const texts = [];
  for (const t of page.querySelectorAll('svg.chart text')) {
    const box = t.getBoundingClientRect(), all = t.closest('svg').getBoundingClientRect();
    if (box.width && (box.left < all.left - 14 || box.right > all.right + 14)) texts.push(t.textContent);
  }
  const small = [...page.querySelectorAll('svg.chart text')].map(t => t.getBoundingClientRect())
    .filter(box => box.height).map(box => box.height);
  const shown = [...page.querySelectorAll('svg.chart')].filter(s => s.getBoundingClientRect().width)
    .map(s => s.getAttribute('class'));
  return {wide: page.documentElement.scrollWidth, inner: view.innerWidth, out, texts,
          least: Math.min(...small), shown, paper: view.getComputedStyle(page.body).backgroundColor};
}
onload = () => {
  const pre = document.createElement('pre');
  pre.id = 'measured';
  pre.textContent = JSON.stringify({a: seen('a'), b: seen('b')});
  document.body.append(pre);
};
</script></body></html>
"""


@pytest.fixture(scope="module")
def page(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A report with long words in it, in a folder of its own."""
    job: Job = request.getfixturevalue("hot_job")
    events = events_of(2.5, channels=3)[:-1]
    at_ms = events[-1].t_ms
    events += [
        press(at_ms / 1000, "note", "withoutablank" * 20),
        Act(t_ms=at_ms, deed="reading", temp_c=250.0, text="far end of the casting, behind"),
    ]
    folder = tmp_path_factory.mktemp("report")
    html = report(*made(job, events, invented="a made-up story"), planned=True)
    (folder / "report.html").write_text(html, encoding="utf-8")
    (folder / "measure.html").write_text(MEASURE, encoding="utf-8")
    return folder / "report.html"


def chromium(folder: Path, *words: str) -> str:
    """Run the browser without a window, by the dark theme; return what it prints."""
    command = [
        *(
            CHROMIUM,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--allow-file-access-from-files",
        ),
        *(f"--user-data-dir={folder / 'profile'}", "--blink-settings=preferredColorScheme=0"),
        *words,
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    return done.stdout


def test_on_a_screen_nothing_sticks_out_and_letters_keep_their_size(page: Path) -> None:
    """400 and 1280 px wide, in dark: nothing to scroll sideways but tables within their own box."""
    printed = chromium(page.parent, "--dump-dom", (page.parent / "measure.html").as_uri())
    found = re.search(r'<pre id="measured">(.*?)</pre>', printed, re.DOTALL)
    assert found is not None
    measured = json.loads(unescape(found[1]))

    for name, shown in (("a", "chart narrow"), ("b", "chart wide")):
        view = measured[name]
        assert view["wide"] <= view["inner"], view
        assert view["out"] == []
        assert view["texts"] == []
        assert set(view["shown"]) == {shown}
        assert len(view["shown"]) == 3
        assert view["least"] >= 11.0
        red, green, blue = map(int, re.findall(r"\d+", view["paper"])[:3])
        assert max(red, green, blue) < 60


@pytest.mark.parametrize(("size", "wide_mm", "high_mm"), [("A4", 210, 297), ("letter", 216, 279)])
def test_on_paper_every_word_lies_within_the_margins(
    page: Path, size: str, wide_mm: float, high_mm: float
) -> None:
    """Black on white also for who prefers dark; a dozen sheets at most; nothing cut."""
    html = page.read_text("utf-8")
    sized = html.replace("@page { size: portrait", f"@page {{ size: {size} portrait")
    assert sized != html
    source, pdf = page.with_name(f"{size}.html"), page.with_name(f"{size}.pdf")
    source.write_text(sized, encoding="utf-8")
    chromium(page.parent, f"--print-to-pdf={pdf}", "--no-pdf-header-footer", source.as_uri())
    boxes = subprocess.run(
        ["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True, check=True
    ).stdout
    sheets = boxes.split("<page ")[1:]

    assert 4 <= len(sheets) <= 12
    words = []
    for sheet in sheets:
        wide, high = map(float, re.findall(r'(?:width|height)="([\d.]+)"', sheet)[:2])
        assert (wide, high) == pytest.approx((wide_mm * POINTS_MM, high_mm * POINTS_MM), abs=2.0)
        for left, top, right, bottom, word in re.findall(
            r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>',
            sheet,
        ):
            words.append(unescape(word))
            margin = 8.0 * POINTS_MM
            assert float(left) >= margin, word
            assert float(right) <= wide - margin, word
            assert float(top) >= margin, word
            assert float(bottom) <= high - margin, word
    text = " ".join(words)
    for part in ("INVENTED DATA", "Findings", "Sources", "the charts as tables", "floor 200"):
        assert part in text
    assert "Contents" not in text
    picture = subprocess.run(
        ["pdftoppm", "-r", "72", "-f", "1", "-l", "1", pdf], capture_output=True, check=True
    ).stdout
    assert picture[-3:] == b"\xff\xff\xff"
    # The grey of the dark theme's letters would hardly show on paper.
    assert min(picture[20:]) < 60
