"""What is typed into the line: readings, lengths, notes."""

from __future__ import annotations

import fake_desk as fd
import pytest
from pressing import Keyboard, foot, play, press
from textual import events

from pacer.errors import UserInputError
from pacer.screen.widgets.ask import Line, understood
from pacer.units import Shown, System

ENTRIES: dict[System, list[tuple[str, float, str]]] = {
    "metric": [
        ("231 degC", 231.0, "231.0 °C kept"),
        ("231", 231.0, "taken as 231.0 °C, since no unit was typed"),
    ],
    "us": [
        ("500", 260.0, "taken as 500.0 °F, since no unit was typed"),
        ("231 degC", 231.0, "447.8 °F kept"),
    ],
}


@pytest.mark.slow
@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_reading_is_typed_in_the_users_unit(system: System) -> None:
    """500 °F is 260 °C, 231 °C is 447.8 °F."""

    async def script(keys: Keyboard) -> None:
        for typed, _, said in ENTRIES[system]:
            await keys.press("r")
            keys.app.live.query_one(Line).value = typed
            await keys.press("enter")
            assert foot(keys.app) == said

    desk = play(fd.waiting(), script, system=system)
    wanted = [("reading", {"temp_c": pytest.approx(c)}) for _, c, _ in ENTRIES[system]]
    assert desk.deeds == wanted


@pytest.mark.parametrize(
    ("typed", "temp_c", "side"),
    [
        ("231 C", 231.0, 0),
        ("231c", 231.0, 0),
        ("231 °C", 231.0, 0),
        ("450 F", 232.222, 0),
        ("450f", 232.222, 0),
        ("450 °F", 232.222, 0),
        ("450 degF", 232.222, 0),
        ("504 K", 230.85, 0),
        ("504 k", 230.85, 0),
        ("at least 260 degC", 260.0, 1),
        ("at least 500F", 260.0, 1),
        ("<200C", 200.0, -1),
        ("below 200", 200.0, -1),
        (">= 260 c", 260.0, 1),
        ("-4 F", -20.0, 0),
    ],
)
def test_any_unit_is_taken_with_its_letter_alone(typed: str, temp_c: float, side: int) -> None:
    """(F - 32) / 1.8 and K - 273.15 by hand; 230.85, 232.2 and -20 °C."""
    answer = understood("reading", typed, Shown("metric"))
    assert answer.temp_c == pytest.approx(temp_c, abs=0.001)
    assert answer.side == side
    assert answer.said.endswith("typed" if typed.endswith("200") else "kept")


@pytest.mark.parametrize("typed", ["12 mm C", "C", "231 CF", "2,5 C", "231 C F", "1e3 C 2", "- C"])
def test_a_letter_makes_no_reading_of_what_is_none(typed: str) -> None:
    """One number, one unit."""
    with pytest.raises(UserInputError):
        understood("reading", typed, Shown("metric"))


@pytest.mark.slow
def test_enter_held_on_is_no_next() -> None:
    """The line is gone with the first Enter; its repeats must not move the session on."""

    async def script(keys: Keyboard) -> None:
        await keys.press("n")
        keys.app.live.query_one(Line).value = "quick"
        keys.now()
        await keys.hold("enter", 5)

    assert play(fd.waiting(), script).deeds == [("note", {"text": "quick"})]


@pytest.mark.slow
def test_a_bad_reading_is_answered_in_one_line_and_asked_again() -> None:
    """ecosystem.md section 0, finding 6: a decimal comma and the like; never an exception."""

    async def script(keys: Keyboard) -> None:
        line = keys.app.live.query_one(Line)
        await keys.press("r")
        for bad in ("600 Q", "450 FF", "25,4", "hot", "", "nan", "5000 degC", "2 mm"):
            line.value = bad
            await keys.press("enter")
            assert foot(keys.app)
            assert "\n" not in foot(keys.app)
            assert line.ask == "reading"
        await keys.press("escape")
        assert line.ask is None

    assert play(fd.waiting(), script).deeds == []


@pytest.mark.slow
def test_a_note_and_a_bead_length_are_typed_too() -> None:
    """Letters go into the line, not to their keys, however fast they are typed."""

    async def script(keys: Keyboard) -> None:
        await keys.press("n")
        await keys.press(*"quick", gap_s=0.02)
        await keys.press("enter")
        await keys.press("l")
        await keys.press(*"14", "enter")

    desk = play(fd.waiting(), script)
    assert desk.deeds == [("note", {"text": "quick"}), ("bead", {"length_m": 0.014})]


@pytest.mark.slow
def test_the_pedal_works_while_a_note_is_typed() -> None:
    """F8 is no letter."""
    assert play(fd.waiting(), press("n", "a", "f8")).deeds == [("next", {})]


@pytest.mark.slow
def test_a_line_left_open_is_put_aside_when_the_arc_burns() -> None:
    """procedure.md section 15; what was typed is offered again."""
    session = fd.ready()

    async def script(keys: Keyboard) -> None:
        await keys.press("n")
        await keys.press(*"half")
        keys.desk.now = session.press("arc on").snapshot()
        keys.app.look()
        assert keys.app.live.query_one(Line).ask is None
        keys.desk.now = session.press("arc off").snapshot()
        keys.app.look()
        await keys.press("n")
        assert keys.app.live.query_one(Line).value == "half"

    assert play(session, script).deeds == []


@pytest.mark.slow
def test_pasted_escape_sequences_are_cleaned() -> None:
    """reliability.md section 0, finding 1: the input line passes them on."""

    async def script(keys: Keyboard) -> None:
        await keys.press("n")
        line = keys.app.live.query_one(Line)
        line.post_message(events.Paste("a\x1b]0;x\x07b"))
        await keys.pilot.pause()
        assert line.value == "a\ufffd]0;x\ufffdb"

    play(fd.waiting(), script)
