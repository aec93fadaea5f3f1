"""T-34: what matters can be read from the table. Geometry of what is painted, in minutes of arc.

Figures of a 14 inch laptop and of ISO 9241-3 (20 to 22 minutes of arc preferred; quoted in
a secondary page) are those of reliability.md section 7.
"""

from __future__ import annotations

import asyncio
import math
from dataclasses import replace
from importlib.resources import files
from itertools import product

import fake_desk as fd
import painted
import pytest
from rich.cells import cell_len

from pacer.screen.app import PacerApp
from pacer.screen.view import View
from pacer.screen.widgets.giants import Clock, Thermometer, Word
from pacer.screen.widgets.layout import Layout, layout
from pacer.screen.widgets.panel import Row
from pacer.session.cues import CUES, Urgency
from pacer.units import Shown

SCREEN_MM = 163.0
"""Height of the terminal on a 14 inch laptop: 24 rows of 6.8 mm, 40 of 4.1, 50 of 3.2."""

SCREEN_WIDE_MM = 310.0
"""14 inches at 16:9. A cell is half as wide as it is high (common practice, no source)."""

WANTED_ARC, LEAST_T34_MM = 22.0, 26.0
FAR_M = 3.0
WORDS = sorted({text.word for text in CUES.values()} | {"WELD", "HOT", "LOG NOT SAVED"})
# Width at which the letters' height is bounded by the screen's height alone, and the least.
SIZES = [(80, rows) for rows in range(24, 51)] + [
    (min(160, 80 + round((rows - 24) * 80 / 26)), rows) for rows in range(25, 51)
]


def row_mm(width: int, height: int) -> float:
    """Return how high a row is when the terminal fills the screen."""
    return min(SCREEN_MM / height, 2 * SCREEN_WIDE_MM / width)


def arc(rows: int, size: tuple[int, int], far_m: float = FAR_M) -> float:
    """Return the visual angle of so many rows, minutes of arc."""
    high_m = rows * row_mm(*size) / 1000.0
    return 2.0 * math.atan(high_m / (2.0 * far_m)) * 180.0 / math.pi * 60.0


def blocks_in(rows: list[Row]) -> int:
    """Return over how many rows block letters stand."""
    texts = ["".join(piece for piece, _ in row) for row in rows]
    drawn = [at for at, text in enumerate(texts) if set(text) & set("█▀▄")]
    return drawn[-1] - drawn[0] + 1 if drawn else 0


def plan_of(view: View, size: tuple[int, int]) -> Layout:
    """Return the layout of a view without quiet line."""
    return layout(*size, time_leads=view.time_leads, quiet=False)


def test_the_angle_is_that_of_the_table() -> None:
    """reliability.md section 7: a 7-row digit at 3 m is 54' at 24 rows, 33' at 40, 26' at 50."""
    assert arc(7, (80, 24)) == pytest.approx(54, abs=0.6)
    assert arc(7, (130, 40)) == pytest.approx(33, abs=0.6)
    assert arc(7, (160, 50)) == pytest.approx(26, abs=0.6)


@pytest.mark.parametrize("word", WORDS)
def test_every_word_can_be_read_at_3_m_at_every_size(word: str) -> None:
    """At least 7 rows, a sixth of the height, 22 minutes of arc, and 26 mm as T-34 asks."""
    view = painted.seen(fd.ready().snapshot())
    for urgent in ("ready", "no reading"):
        urgency = painted.seen(painted.PHASES[urgent]().snapshot()).urgency
        for size in SIZES:
            shown = replace(view, word=word, urgency=urgency)
            rows = blocks_in(Word("w").paint(shown, size[0], plan_of(shown, size).word))
            assert rows >= max(7, size[1] // 6), (word, size)
            assert arc(rows, size) >= WANTED_ARC, (word, size)
            assert rows * row_mm(*size) >= LEAST_T34_MM - 0.5, (word, size)


@pytest.mark.parametrize("word", WORDS)
def test_a_replay_is_read_as_one_from_3_m_beside_every_word(word: str) -> None:
    """Nobody at the table may take what was to be done then for what is to be done now."""
    for urgency in Urgency:
        live = replace(painted.seen(fd.ready().snapshot()), word=word, urgency=urgency)
        shown = replace(live, kind="replay")
        for size in SIZES:
            band = plan_of(shown, size).word
            rows = Word("w").paint(shown, size[0], band)
            texts = ["".join(piece for piece, _ in row) for row in rows]
            assert max(map(cell_len, texts)) <= size[0], (word, size)
            # The left half alone: it is the mark that is there in blocks, not just the word.
            left = blocks_in([[(text[: size[0] // 2], "")] for text in texts])
            assert left >= 7, (word, size)
            assert arc(left, size) >= WANTED_ARC, (word, size)
            # The word itself is there too, in blocks or in letters.
            right = [text[size[0] // 2 :] for text in texts]
            assert blocks_in([[(text, "")] for text in right]) or word in "".join(texts)


@pytest.mark.parametrize("moment", ["bead", "peen", "look", "paused"])
@pytest.mark.parametrize("clock", ["0:12", "+0:07", "59:59", "+10:05"])
def test_in_phases_of_seconds_the_time_is_the_largest_number(moment: str, clock: str) -> None:
    """7 rows and more at every size, higher than the temperature, and both can be read."""
    view = replace(painted.seen(painted.PHASES[moment]().snapshot()), clock=clock)
    assert view.time_leads
    for size in SIZES:
        # The stylesheet gives the time three fifths of the width.
        giants, share = plan_of(view, size).giants, size[0] * 3 // 5
        time = blocks_in(Clock("c").paint(view, share, giants))
        temp = blocks_in(Thermometer("t").paint(view, size[0] - share, giants))
        assert time >= max(7, size[1] // 6), size
        assert time > temp or len(clock) > 5, size
        assert 5 <= temp <= time, size
        assert arc(temp, size) >= WANTED_ARC, size


@pytest.mark.parametrize("clock", ["0:12", "59:59", "2h05", "10h05"])
@pytest.mark.parametrize("digits", ["9", "262", "1234", "-12"])
def test_elsewhere_time_and_temperature_are_alike_and_readable(clock: str, digits: str) -> None:
    """5 rows at 24, 7 from 26 on, 8 at 50 (T-34), 22 minutes of arc everywhere."""
    view = painted.seen(fd.waiting().snapshot())
    view = replace(view, clock=clock, temp=replace(view.temp, digits=digits))
    assert not view.time_leads
    for size in SIZES:
        giants, half = plan_of(view, size).giants, size[0] // 2
        for panel in (Clock("c"), Thermometer("t")):
            rows = blocks_in(panel.paint(view, half, giants))
            assert rows >= (5 if size[1] < 26 else 7 if size[1] < 50 else 8), size
            assert arc(rows, size) >= WANTED_ARC, size


def test_at_100x30_word_and_number_are_far_above_what_is_wanted() -> None:
    """The size that the guide advises: 5.4 mm a row, 22' at 3 m is 19.2 mm."""
    view = painted.seen(fd.ready().snapshot())
    plan = plan_of(view, (100, 30))
    word = blocks_in(Word("w").paint(view, 100, plan.word))
    temp = blocks_in(Thermometer("t").paint(view, 50, plan.giants))
    assert (word, temp) == (9, 7)
    assert [round(arc(rows, (100, 30))) for rows in (word, temp)] == [56, 44]


@pytest.mark.slow
def test_the_rows_are_on_the_screen_as_planned() -> None:
    """The real application at several sizes: regions hold what the layout gave, none outside."""

    async def run() -> None:
        desk = fd.desk(fd.peening())
        app = PacerApp(desk, Shown(), painted.forecast)
        async with app.run_test(size=(80, 24)) as pilot:
            for size in [(80, 24), (80, 27), (90, 29), (100, 30), (120, 37), (160, 45), (80, 50)]:
                await pilot.resize_terminal(*size)
                app.look()
                await pilot.pause()
                plan = layout(*size, time_leads=True, quiet=False)
                rows = painted.lines_of(app)
                for kind, least in ((Word, 7), (Clock, 7), (Thermometer, 5)):
                    region = app.live.query_one(kind).region
                    cut = rows[region.y : region.bottom]
                    assert len(cut) == (plan.word if kind is Word else plan.giants)
                    painted_rows = [[(row[region.x : region.right], "")] for row in cut]
                    assert blocks_in([list(row) for row in painted_rows]) >= least

    asyncio.run(run())


def test_the_rows_given_out_are_the_rows_there_are() -> None:
    """Top line, panels, caution and keys fill the height exactly; the map is always there."""
    flags = (False, True)
    for width, height, leads, quiet in product((80, 100, 160), range(24, 61), flags, flags):
        plan = layout(width, height, time_leads=leads, quiet=quiet)
        used = 1 + plan.word + plan.words + plan.quiet + plan.giants + plan.gauge + plan.below
        assert used + plan.quiet_low + plan.foot + plan.keys == height
        assert plan.joint + plan.sensor + plan.cues == plan.below
        assert plan.joint >= 1
        assert plan.quiet + plan.quiet_low == 1 or not quiet


def test_in_a_low_window_word_and_temperature_stay() -> None:
    """Nothing else is more important, and nothing is given out twice."""
    for height in range(4, 24):
        plan = layout(70, height, time_leads=True, quiet=True)
        assert plan.word >= 1
        assert plan.giants >= 2
        used = 1 + plan.word + plan.words + plan.giants + plan.gauge + plan.foot + plan.keys
        assert used == height


def test_the_table_of_the_guide_is_this_computation() -> None:
    """Rows, mm and minutes of arc at 3 m as `pacer guide screen` tells them."""
    guide = (files("pacer.guide") / "screen.md").read_text(encoding="utf-8")
    waits, peens = (painted.seen(make().snapshot()) for make in (fd.ready, fd.peening))
    for size in ((80, 24), (100, 30), (130, 40), (160, 45), (160, 50)):
        width, plan, leading = size[0], plan_of(waits, size), plan_of(peens, size)
        word = blocks_in(Word("w").paint(waits, width, plan.word))
        time = blocks_in(Clock("c").paint(peens, width * 3 // 5, leading.giants))
        temp = blocks_in(Thermometer("t").paint(waits, width // 2, plan.giants))
        told = [
            f"{rows} rows, {rows * row_mm(*size):.0f} mm, {arc(rows, size):.0f}'"
            for rows in (word, time, temp)
        ]
        row = f"| {width}x{size[1]} | {row_mm(*size):.1f} mm | {' | '.join(told)} |"
        assert row in guide, row
