"""The plain characters: everything painted lies between space and tilde, at every size."""

from __future__ import annotations

import asyncio
import string

import fake_desk as fd
import msgspec
import painted
import pytest
from rich.cells import cell_len

from pacer.screen.app import PacerApp
from pacer.screen.help import KeyScreen
from pacer.screen.widgets.ascii import ascii_only
from pacer.units import Shown

PRINTABLE = frozenset(string.printable[:95])


@pytest.mark.slow
@pytest.mark.parametrize(("size", "moments"), painted.EACH_SIZE)
def test_every_painted_character_is_ascii(size: tuple[int, int], moments: painted.Moments) -> None:
    """Every phase and alarm, and the page of keys; letters are still there."""

    async def run() -> None:
        desk = fd.desk(fd.prepared())
        app = PacerApp(desk, Shown(), painted.forecast, characters="ascii")
        async with app.run_test(size=size) as pilot:
            for name, snapshot in moments().items():
                desk.now = snapshot
                app.live.show(painted.seen(snapshot), snapshot.state)
                await pilot.pause()
                lines = painted.lines_of(app)
                assert {ch for line in lines for ch in line} <= PRINTABLE, name
                assert {cell_len(line) for line in lines} == {size[0]}, name
                # Before the heat the list has the rows of the giant digits.
                letters = 5 if app.live.seen and app.live.seen.preparation else 8
                assert sum("#" in line for line in lines) >= letters, name
            await pilot.press("question_mark")
            await pilot.pause()
            assert isinstance(app.screen, KeyScreen)
            assert {ch for line in painted.lines_of(app) for ch in line} <= PRINTABLE

    asyncio.run(run())


@pytest.mark.slow
def test_foreign_letters_are_replaced_one_cell_for_one() -> None:
    """A job's title in another script keeps the row's width."""
    job = msgspec.structs.replace(fd.JOB, title="Gehäuse 漢字 – Fuß ½ №")

    async def run() -> None:
        app = PacerApp(fd.desk(fd.Session(job)), Shown(), characters="ascii")
        async with app.run_test(size=(80, 24)) as pilot:
            app.look()
            await pilot.pause()
            line = painted.lines_of(app)[0]
            assert line.startswith(" Gehause ???? - Fu? ? ? - 2026")
            assert len(line) == 80

    asyncio.run(run())


def test_what_is_told_apart_stays_apart() -> None:
    """Next and after, left and right, cold, wanted, hot; an upper and a lower dot."""
    assert ascii_only("▸▹←→░━▓╋▐▌") == ">)<>.=%|[]"
    assert ascii_only("\u2801\u2840\u2841\u2800") == "'.: "
    assert ascii_only("OVER CEILING by 12 °C…") == "OVER CEILING by 12 oC~"
    assert len(set(ascii_only("░━▓╋▲▞"))) == 6
