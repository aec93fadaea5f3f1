"""Keys and what they do, pressed in the running application over a fake desk."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

import fake_desk as fd
import pytest
from textual import events
from textual.pilot import Pilot

from pacer.screen.app import PacerApp
from pacer.screen.desk import Kind
from pacer.screen.help import KeyPage
from pacer.screen.keys import KEYS
from pacer.screen.widgets.ask import Line
from pacer.screen.widgets.lines import Foot
from pacer.units import Shown, System

Play = Callable[[PacerApp, Pilot[None]], Awaitable[None]]


def play(
    session: fd.Session,
    script: Play,
    *,
    kind: Kind = "live",
    system: System = "metric",
) -> fd.FakeDesk:
    """Run the application at 80x24, let the script press keys, and return the desk."""
    desk = fd.desk(session, kind)

    async def run() -> None:
        app = PacerApp(desk, Shown(system))
        async with app.run_test(size=(80, 24)) as pilot:
            app.look()
            await pilot.pause()
            await script(app, pilot)

    asyncio.run(run())
    return desk


def press(*keys: str) -> Play:
    """Return a script that presses keys."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press(*keys)

    return script


def foot(app: PacerApp) -> str:
    """Return the notice in the foot line."""
    return app.live.query_one(Foot).notice


DEEDS = [(name, key.deed) for key in KEYS if key.deed is not None for name in key.names]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "deed"), DEEDS)
def test_every_key_posts_its_deed(name: str, deed: str) -> None:
    """One table feeds keys, bar and help; a pedal is F8, Space or Page Down."""
    assert play(fd.waiting(), press(name)).deeds == [(deed, {})]


@pytest.mark.slow
def test_capital_letters_are_the_same_keys() -> None:
    """Caps lock is often on in a shop."""
    assert play(fd.waiting(), press("U", "F")).deeds == [("undo", {}), ("finish", {})]


@pytest.mark.slow
def test_bumps_and_modifiers_move_on_once() -> None:
    """reliability.md T-37: five keys at once, Shift alone."""
    desk = play(fd.waiting(), press("space", "space", "enter", "f8", "pagedown", "left_shift"))
    assert desk.deeds == [("next", {})]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("p", "pause"),
        ("plus", "faster"),
        ("minus", "slower"),
        ("full_stop", "next cue"),
        ("comma", "previous cue"),
    ],
)
def test_pace_keys_are_for_practice_and_replay(name: str, word: str) -> None:
    """A live session has no pace."""
    assert play(fd.waiting(), press(name), kind="practice").paces == [word]
    assert play(fd.waiting(), press(name), kind="replay").paces == [word]
    assert play(fd.waiting(), press(name)).paces == []


@pytest.mark.slow
def test_a_replay_takes_no_deeds() -> None:
    """What happened has happened."""
    assert play(fd.waiting(), press("space", "f", "r"), kind="replay").deeds == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("system", "keys", "temp_c", "said"),
    [
        ("metric", "231 degC", 231.0, "231.0 °C kept"),
        ("metric", "231", 231.0, "taken as 231.0 °C, since no unit was typed"),
        ("us", "500", 260.0, "taken as 500.0 °F, since no unit was typed"),
        ("us", "231 degC", 231.0, "447.8 °F kept"),
    ],
)
def test_a_reading_is_typed_in_the_users_unit(
    system: System, keys: str, temp_c: float, said: str
) -> None:
    """500 °F is 260 °C, 231 °C is 447.8 °F."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press("r")
        app.live.query_one(Line).value = keys
        await pilot.press("enter")
        await pilot.pause()
        assert foot(app) == said

    desk = play(fd.waiting(), script, system=system)
    assert desk.deeds == [("reading", {"temp_c": pytest.approx(temp_c)})]


@pytest.mark.slow
@pytest.mark.parametrize("bad", ["600 F", "25,4", "hot", "", "nan", "5000 degC", "2 mm"])
def test_a_bad_reading_is_answered_in_one_line_and_asked_again(bad: str) -> None:
    """ecosystem.md section 0, finding 6: farad, decimal comma and the like."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press("r")
        app.live.query_one(Line).value = bad
        await pilot.press("enter")
        await pilot.pause()
        assert foot(app)
        assert "\n" not in foot(app)
        assert app.live.query_one(Line).ask == "reading"
        await pilot.press("escape")
        await pilot.pause()
        assert app.live.query_one(Line).ask is None

    assert play(fd.waiting(), script).deeds == []


@pytest.mark.slow
def test_a_note_and_a_bead_length_are_typed_too() -> None:
    """Letters go into the line, not to their keys."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press("n", *"quick", "enter")
        await pilot.press("l", *"14", "enter")
        await pilot.pause()

    desk = play(fd.waiting(), script)
    assert desk.deeds == [("note", {"text": "quick"}), ("bead", {"length_m": 0.014})]


@pytest.mark.slow
def test_the_pedal_works_while_a_note_is_typed() -> None:
    """F8 is no letter."""
    assert play(fd.waiting(), press("n", "a", "f8")).deeds == [("next", {})]


@pytest.mark.slow
def test_nothing_is_asked_while_the_arc_burns() -> None:
    """procedure.md section 15; a line left open is put aside and offered again."""

    async def refused(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press("r")
        assert app.live.query_one(Line).ask is None
        assert foot(app) == "Not while the arc burns"

    assert play(fd.burning(), refused).deeds == []
    session = fd.ready()
    desk = fd.desk(session)

    async def run() -> None:
        app = PacerApp(desk, Shown())
        async with app.run_test(size=(80, 24)) as pilot:
            app.look()
            await pilot.press("n", *"half")
            desk.now = session.press("arc on").snapshot()
            app.look()
            assert app.live.query_one(Line).ask is None
            desk.now = session.press("arc off").snapshot()
            app.look()
            await pilot.press("n")
            assert app.live.query_one(Line).value == "half"

    asyncio.run(run())
    assert desk.deeds == []


@pytest.mark.slow
@pytest.mark.parametrize("key", ["q", "ctrl+q", "ctrl+c"])
def test_closing_asks_first_and_any_other_key_goes_on(key: str) -> None:
    """The other key does nothing else; a modifier alone is no answer."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press(key)
        await pilot.pause()
        assert "Q again" in foot(app)
        await pilot.press("left_shift")
        assert app.live.closing
        await pilot.press("space")
        await pilot.pause()
        assert not app.live.closing
        assert app.is_running

    for session in (fd.waiting(), fd.burning()):
        desk = play(session, script)
        assert desk.deeds == []
        assert desk.stops == 1


@pytest.mark.slow
def test_q_twice_closes_and_stops_the_session_once() -> None:
    """The second Q has to stand alone: a held Q is no answer."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press("ctrl+c", "q")
        assert app._exit is False
        app.live._close_if_alone()
        assert app._exit is True

    assert play(fd.waiting(), script).stops == 1


@pytest.mark.slow
def test_help_shows_every_key_and_any_key_goes_back() -> None:
    """The key that goes back does nothing else."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press("question_mark")
        await pilot.pause()
        assert app.screen.query(KeyPage)
        lines = "\n".join(strip.text for strip in app.screen._compositor.render_strips())
        for row in KEYS:
            assert row.about in lines
        await pilot.press("space")
        await pilot.pause()
        assert not app.screen.query(KeyPage)

    assert play(fd.waiting(), script).deeds == []


@pytest.mark.slow
def test_a_lost_keyboard_is_told() -> None:
    """reliability.md T-37: focus-lost banner."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        app.post_message(events.AppBlur())
        await pilot.pause()
        await pilot.pause()
        top = app.live._compositor.render_strips()[0].text
        assert "KEYS GO TO ANOTHER WINDOW" in top
        app.post_message(events.AppFocus())
        await pilot.pause()
        await pilot.pause()
        assert "ANOTHER WINDOW" not in app.live._compositor.render_strips()[0].text

    play(fd.waiting(), script)


@pytest.mark.slow
def test_pasted_escape_sequences_are_cleaned() -> None:
    """reliability.md section 0, finding 1: the input line passes them on."""

    async def script(app: PacerApp, pilot: Pilot[None]) -> None:
        await pilot.press("n")
        app.live.query_one(Line).post_message(events.Paste("a\x1b]0;x\x07b"))
        await pilot.pause()
        assert app.live.query_one(Line).value == "a\ufffd]0;x\ufffdb"

    play(fd.waiting(), script)
