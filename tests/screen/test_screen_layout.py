"""The three layouts as the compositor puts them out: heights, widths, foreign text, leaks."""

from __future__ import annotations

import asyncio
import gc
import unicodedata
from collections.abc import Callable
from dataclasses import replace

import fake_desk as fd
import msgspec
import painted
import pytest
from textual.pilot import Pilot
from textual.widget import Widget

from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.screen.parts.ahead import Foreseen
from pacer.screen.widgets.giants import Clock, Thermometer, Word
from pacer.screen.widgets.lines import Quiet
from pacer.screen.widgets.panel import Panel
from pacer.units import Shown

SIZES = [(80, 24), (100, 30), (160, 45)]
EVIL = "\x1b]0;t\x07\x1b[2J\x9b6n\u202e[/][link=file:///etc/passwd]x[@click=app.exit]y[/]\x00"


def lines_of(app: PacerApp) -> list[str]:
    """Return the screen as the compositor would send it."""
    return [strip.text for strip in app.screen._compositor.render_strips()]


def shown_as(snapshot: Snapshot, size: tuple[int, int], check: Callable[[PacerApp], None]) -> None:
    """Draw a snapshot at a size and check it."""

    async def run() -> None:
        app = PacerApp(
            fd.FakeDesk(snapshot), Shown(), lambda _: Foreseen(fd.Forecast(9000.0, 8000.0, None))
        )
        async with app.run_test(size=size) as pilot:
            app.look()
            await pilot.pause()
            check(app)

    asyncio.run(run())


def block_rows(app: PacerApp, kind: type[Panel]) -> int:
    """Return how many rows of a panel hold blocks."""
    region = app.live.query_one(kind).region
    rows = lines_of(app)[region.y : region.bottom]
    return sum(any(ch in "█▀▄" for ch in row[region.x : region.right]) for row in rows)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("size", "word", "digits"), [(SIZES[0], 7, 5), (SIZES[1], 9, 7), (SIZES[2], 12, 10)]
)
def test_word_time_and_temperature_are_high_enough(
    size: tuple[int, int], word: int, digits: int
) -> None:
    """T-34 at the three sizes; where seconds count the time is two rows higher."""

    def waiting(app: PacerApp) -> None:
        assert block_rows(app, Word) == word
        assert block_rows(app, Clock) == digits
        assert block_rows(app, Thermometer) == digits

    def burning(app: PacerApp) -> None:
        assert block_rows(app, Word) == word
        assert block_rows(app, Clock) == digits + 2
        assert block_rows(app, Thermometer) == digits

    shown_as(fd.waiting().snapshot(), size, waiting)
    shown_as(fd.burning().snapshot(), size, burning)


@pytest.mark.slow
@pytest.mark.parametrize(("size", "moments"), painted.EACH_SIZE)
def test_every_phase_fills_the_screen_without_clipping(
    size: tuple[int, int], moments: painted.Moments
) -> None:
    """Every panel lies inside its parent, none over another, and what matters isn't cut."""
    width, height = size

    async def run() -> None:
        desk = fd.desk(fd.prepared())
        app = PacerApp(desk, Shown(), painted.forecast)
        async with app.run_test(size=size) as pilot:
            for name, snapshot in moments().items():
                # At real speed: where time runs fast looks are rationed.
                desk.now = replace(snapshot, speed=1.0)
                app.look()
                await pilot.pause()
                lines = lines_of(app)
                assert {len(line) for line in lines} == {width}
                assert len(lines) == height
                covered = 0
                for panel in app.live.query(Panel):
                    assert isinstance(panel.parent, Widget)
                    if panel.region.area == 0:
                        assert panel.has_class("-gone") or panel.parent.has_class("-gone"), name
                        continue
                    assert panel.parent.region.contains_region(panel.region), (name, panel)
                    covered += panel.region.area
                # The gap between trend and crack map is the only place without a panel.
                gap = app.live.query_one("#side").size.height * 2
                assert covered == width * height - gap, name
                assert lines[-1].rstrip().endswith("Q  close")
                assert "…" not in lines[-1] + lines[-2]
                words = app.live.query_one("#words").region
                assert "…" not in "".join(lines[words.y : words.bottom])

    asyncio.run(run())


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_the_quiet_line_has_its_place_and_moves_nothing_giant(size: tuple[int, int]) -> None:
    """Under the words where a row is free, else above the caution; word and digits stay put."""
    places = []

    def check(app: PacerApp) -> None:
        where = [app.live.query_one(kind).region for kind in (Word, Clock, Thermometer)]
        rows = [at for at, line in enumerate(lines_of(app)) if "lamp lost: unplugged" in line]
        places.append((where, rows, [q.region.y for q in app.live.query(Quiet) if q.region.area]))

    shown_as(fd.waiting().snapshot(), size, check)
    shown_as(fd.waiting().snapshot(off=("lamp lost: unplugged",)), size, check)
    (before, none, _), (after, rows, quiet) = places
    assert before == after
    assert none == []
    assert rows == quiet
    assert len(rows) == 1


@pytest.mark.slow
def test_a_window_too_small_says_so_first_and_keeps_word_and_temperature() -> None:
    """Below 80x24: what to do, in the first line."""

    def check(app: PacerApp) -> None:
        first = lines_of(app)[0]
        assert "window 70x20: make it 80x24" in first
        assert block_rows(app, Word) == 7
        assert block_rows(app, Thermometer) == 5

    def tiny(app: PacerApp) -> None:
        lines = lines_of(app)
        assert "window 40x12: make it 80x24" in lines[0]
        assert any("WAIT" in line for line in lines) or block_rows(app, Word) >= 5
        assert any("312" in line for line in lines) or block_rows(app, Thermometer) >= 5

    shown_as(fd.waiting().snapshot(), (70, 20), check)
    shown_as(fd.waiting().snapshot(), (40, 12), tiny)
    practice = fd.waiting().snapshot(kind="practice", invented="seed 7")
    shown_as(practice, (70, 20), lambda app: _starts(app, " ! PRACTICE, invented data"))


def _starts(app: PacerApp, text: str) -> None:
    assert lines_of(app)[0].startswith(text)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(40, 12), (20, 6), (60, 20), (300, 90)])
def test_other_sizes_do_not_fail(size: tuple[int, int]) -> None:
    """Small windows show less."""

    def check(app: PacerApp) -> None:
        assert len(lines_of(app)) == size[1]
        assert not app.live.has_class("-failed")

    shown_as(fd.waiting().snapshot(), size, check)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_foreign_text_reaches_the_screen_harmless(size: tuple[int, int]) -> None:
    """reliability.md T-18: brackets stay brackets, no control or bidi character comes out."""
    session = fd.Session(msgspec.structs.replace(fd.JOB, title=EVIL)).press("next")
    session.raw(EVIL, status="unparsable").lost(EVIL).wait(5.0)

    def check(app: PacerApp) -> None:
        for line in lines_of(app):
            assert not {unicodedata.category(ch) for ch in line} & {"Cc", "Cf", "Cs", "Co", "Cn"}
        assert not app.live.has_class("-failed")
        assert any("[/]" in line for line in lines_of(app))

    shown_as(session.snapshot(log=EVIL, kind="live"), size, check)
    shown_as(session.snapshot(log=EVIL, trouble=EVIL, invented=EVIL, kind="replay"), size, check)


@pytest.mark.slow
def test_every_state_is_told_apart_in_plain_text() -> None:
    """reliability.md T-35: words and shape, colour only on top."""
    screens: dict[str, str] = {}

    async def run() -> None:
        desk = fd.desk(fd.prepared())
        app = PacerApp(desk, Shown(), painted.forecast)
        async with app.run_test(size=(80, 24)) as pilot:
            for name in painted.PHASES:
                desk.now = painted.moments()[name]
                app.look()
                await pilot.pause()
                region = app.live.query_one(Word).region
                screens[name] = "\n".join(lines_of(app)[region.y : region.bottom])

    asyncio.run(run())
    assert len(set(screens.values())) == len(painted.PHASES)


@pytest.mark.slow
def test_a_stale_reading_leaves_no_digits_on_the_screen() -> None:
    """The thermometer panel holds dashes only, the gauge no marker."""
    session = fd.waiting(290.0).wait(10.0)

    def check(app: PacerApp) -> None:
        region = app.live.query_one(Thermometer).region
        rows = [line[region.x :] for line in lines_of(app)[region.y : region.bottom]]
        assert block_rows(app, Thermometer) == 1
        assert not any(ch.isdigit() for ch in "".join(rows[:-1]))
        assert "NO READING for 10 s" in rows[-1]
        assert "290" not in "".join(lines_of(app)).replace("0:00", "")

    shown_as(session.snapshot(), (80, 24), check)


@pytest.mark.slow
def test_when_drawing_fails_no_number_stays_and_it_comes_back() -> None:
    """An old number is worse than none; the session goes on."""
    desk = fd.desk(fd.waiting())

    async def run() -> None:
        app = PacerApp(desk, Shown())
        async with app.run_test(size=(80, 24)) as pilot:
            app.look()
            await pilot.pause()
            good = desk.now
            desk.now = replace(good, state=None)  # type: ignore[arg-type]
            app.look()
            await pilot.pause()
            assert "THE SCREEN FAILED" in lines_of(app)[0]
            assert not any(ch.isdigit() for ch in "".join(lines_of(app)[1:]))
            desk.now = good
            app.look()
            await pilot.pause()
            assert block_rows(app, Thermometer) == 5

    asyncio.run(run())


async def _objects_after(app: PacerApp, pilot: Pilot[None], refreshes: int) -> int:
    desk = app._desk
    assert isinstance(desk, fd.FakeDesk)
    for count in range(refreshes):
        desk.now = replace(desk.now, t_s=desk.now.t_s + 0.25)
        app.look()
        if count % 10 == 0:
            await pilot.pause()
    await pilot.pause()
    gc.collect()
    return len(gc.get_objects())


@pytest.mark.slow
def test_refreshing_leaks_nothing() -> None:
    """ecosystem.md section 0, finding 1: 600 refreshes leaked 1,804 objects with a footer."""

    async def run() -> None:
        app = PacerApp(fd.desk(fd.waiting()), Shown())
        async with app.run_test(size=(100, 30)) as pilot:
            before = await _objects_after(app, pilot, 100)
            after = await _objects_after(app, pilot, 400)
            assert after - before < 200

    asyncio.run(run())
