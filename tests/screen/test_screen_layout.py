"""The three layouts as the compositor puts them out: heights, widths, foreign text, leaks."""

from __future__ import annotations

import asyncio
import gc
import unicodedata
from collections.abc import Callable
from dataclasses import replace

import fake_desk as fd
import msgspec
import pytest
from textual.pilot import Pilot

from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.screen.parts.ahead import Foreseen
from pacer.screen.widgets.giants import Clock, Thermometer, Word
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
    """reliability.md T-34: at least 5 rows at 24 lines, 8 at 50; larger where there is room."""

    def check(app: PacerApp) -> None:
        assert block_rows(app, Word) == word
        assert block_rows(app, Clock) == digits
        assert block_rows(app, Thermometer) == digits

    shown_as(fd.burning().snapshot(), size, check)


MAKES = [
    fd.prepared,
    fd.preheating,
    fd.soaking,
    fd.ready,
    fd.burning,
    fd.peening,
    fd.waiting,
    fd.reheating,
    fd.holding,
    fd.postheating,
    fd.burying,
    fd.cooling,
    fd.cool,
    fd.done,
]


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_every_phase_fills_the_screen_without_clipping(size: tuple[int, int]) -> None:
    """Every panel lies inside the screen, and the lines that matter aren't cut."""
    width, height = size

    async def run() -> None:
        desk = fd.desk(fd.prepared())
        app = PacerApp(desk, Shown(), lambda _: Foreseen(fd.Forecast(9000.0, 8000.0, 11000.0)))
        async with app.run_test(size=size) as pilot:
            for make in MAKES:
                desk.now = make().snapshot()
                app.look()
                await pilot.pause()
                lines = lines_of(app)
                assert len(lines) == height
                assert {len(line) for line in lines} == {width}
                for panel in app.live.query(Panel):
                    assert panel.region.height > 0
                    assert panel.region.bottom <= height
                    assert panel.region.right <= width
                assert lines[-1].rstrip().endswith("Q  close")
                assert "…" not in lines[-1] + lines[-2]
                words = app.live.query_one("#words").region
                assert "…" not in "".join(lines[words.y : words.bottom])

    asyncio.run(run())


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
    screens = set()

    def check(app: PacerApp) -> None:
        region = app.live.query_one(Word).region
        screens.add("\n".join(lines_of(app)[region.y : region.bottom]))

    snapshots = [make().snapshot() for make in MAKES]
    snapshots.append(fd.waiting().wait(10.0).snapshot())
    snapshots.append(fd.holding().read(310.0, 6.0).snapshot())
    snapshots.append(fd.holding().read(190.0, 6.0).snapshot())
    for snapshot in snapshots:
        shown_as(snapshot, (80, 24), check)
    assert len(screens) == len(snapshots)


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
            after = await _objects_after(app, pilot, 600)
            assert after - before < 300

    asyncio.run(run())
