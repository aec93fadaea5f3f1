"""The findings beside a replay: opened with F, chosen with the arrows, gone to with Enter."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from pathlib import Path

import fake_desk as fd
import pytest
from pressing import Keyboard, Play, foot, painted
from real_terminal import Terminal
from test_terminal_left import MAIN
from written import head_of, lines_of, write_lines

from pacer.job.job import Job
from pacer.screen.app import PacerApp
from pacer.screen.found import NONE_FOUND
from pacer.session.events import Act, AnyEvent
from pacer.session.finding import Finding, Limit
from pacer.units import Shown, System

COOLED = Finding(
    name="cooled through",
    t_s=300.0,
    words="below the floor {floor_c} for {lasted_s}, down to {peak_c}",
    values={"floor_c": 200.0, "lasted_s": 90.0, "peak_c": 171.0},
    limit=Limit("band.floor", "floor_c", "given"),
    against=("only {lasted_s} of the whole repair",),
)
OTHERS = tuple(
    Finding(name="tink heard", t_s=400.0 + n, words=f"near the {n}. bead") for n in range(30)
)
NOTE = Finding(name="peens not confirmed", t_s=90.0, words="of all beads", weight="note")


def play(
    script: Play,
    findings: tuple[Finding, ...] = (COOLED, *OTHERS, NOTE),
    size: tuple[int, int] = (80, 24),
    system: System = "metric",
) -> fd.FakeDesk:
    """Let a script press keys in a replay that found something, and return the desk."""
    desk = fd.desk(fd.waiting(), "replay")
    desk.now = replace(desk.now, findings=findings)

    async def run() -> None:
        app = PacerApp(desk, Shown(system))
        async with app.run_test(size=size) as pilot:
            app.look()
            await pilot.pause()
            await script(Keyboard(app, pilot, desk))

    asyncio.run(run())
    return desk


@pytest.mark.slow
def test_enter_goes_to_the_chosen_one_and_stands_there() -> None:
    """Down twice, up once: the second; a replay that ran is paused, the list stays open."""

    async def script(keys: Keyboard) -> None:
        await keys.press("f", "down", "down", "up", "enter")
        assert foot(keys.app) == "now at 400 s"
        assert any("FINDINGS 31 and 1 note, 2 of 32" in row for row in painted(keys.app))

    desk = play(script)
    assert (desk.jumps, desk.paces, desk.deeds) == ([400.0], ["pause"], [])


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (100, 30), (160, 45)])
def test_the_chosen_one_is_seen_with_all_that_stands_behind_it(size: tuple[int, int]) -> None:
    """Evidence, limit with its origin, what it usually leads to, what speaks against it."""

    async def script(keys: Keyboard) -> None:
        await keys.press("f")
        seen = " ".join(" ".join(painted(keys.app)).split())
        assert "▸ 1. 0:05:00 cooled through" in seen
        assert "below the floor 200 °C for 90 s, down to 171 °C" in seen
        assert "limit band.floor 200 °C (from the job file)" in seen
        assert "against only 90 s of the whole repair" in seen
        assert "usually" in seen
        assert "Past the ceiling 300 °C" in seen
        await keys.press(*["down"] * 40)
        assert any("▸     0:01:30  note: peens not confirmed" in row for row in painted(keys.app))

    assert play(script, size=size).jumps == []


@pytest.mark.slow
def test_the_numbers_are_in_the_users_units() -> None:
    """200 °C are 392 °F."""

    async def script(keys: Keyboard) -> None:
        await keys.press("f")
        assert any("band.floor 392 °F" in row for row in painted(keys.app))

    play(script, system="us")


@pytest.mark.slow
def test_f_or_escape_closes_it_and_the_arrows_are_minutes_again() -> None:
    """Other keys of the replay go on working while it is open."""

    async def script(keys: Keyboard) -> None:
        for close in ("f", "escape"):
            await keys.press("f", "plus", close, "up")
            assert not any("FINDINGS" in row for row in painted(keys.app))

    assert play(script).paces == ["faster", "on a minute"] * 2


@pytest.mark.slow
def test_where_nothing_was_found_it_says_so() -> None:
    """In a live session F is finish, as ever."""

    async def script(keys: Keyboard) -> None:
        await keys.press("f", "down")
        assert foot(keys.app) == NONE_FOUND

    assert play(script, findings=()).paces == ["back a minute"]


@pytest.mark.slow
def test_a_recorded_crack_is_gone_to_in_a_real_terminal(hot_job: Job, tmp_path: Path) -> None:
    """The film finds it by the same rules as the review; the screen stands at its moment."""
    events: list[AnyEvent] = [
        Act(t_ms=1_000, deed="next"),
        Act(t_ms=62_000, deed="crack", text="beside the lug {left}"),
        Act(t_ms=200_000, deed="note", text="end"),
    ]
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), events))
    with Terminal(MAIN, "replay", path, "--speed", "1") as terminal:
        terminal.until_text("REPLAY")
        terminal.type("f")
        terminal.until_text("beside the lug {left}")
        terminal.type("\r")
        terminal.until_text("0:01:02.000")
        terminal.type("p")
        terminal.close("q")
        assert terminal.ended() == 0
