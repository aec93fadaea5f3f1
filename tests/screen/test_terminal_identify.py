"""The shop tests in a real terminal: what they return, and how they leave it."""

from __future__ import annotations

import signal

import pytest
from real_terminal import Terminal

from pacer.job.metal.shop_tests import CANT_TELL
from pacer.screen.identify.course import begin

RUN = """
import pacer.screen.press
pacer.screen.press.AT_ONCE_S = 0.0
from pacer.screen.identify.app import run_identify
from pacer.settings import read_settings
print("returned", sorted((run_identify({}, "Cracked foot", read_settings()) or {}).items()))
"""
"""The keys come faster than a hand's: none of them may be taken for a sleeve along the row."""


@pytest.mark.slow
@pytest.mark.parametrize("keep", [True, False])
def test_answers_come_back_where_they_are_kept_and_the_terminal_is_as_it_was(keep: bool) -> None:
    """An answer, then Q, then K or X; the mouse is left to the terminal."""
    first = begin({}).shop_test
    with Terminal(RUN) as terminal:
        terminal.until_text("Q  close")
        assert any(first.title in row for row in terminal.rows)
        terminal.type("0")
        terminal.until_text(f"{first.title}: {CANT_TELL}")
        assert b"1000" not in terminal.left_on()
        terminal.type("q")
        terminal.until_text("keep 1 answer?")
        terminal.type("k" if keep else "x")
        assert terminal.ended() == 0
        kept = [(first.name, CANT_TELL)] if keep else []
        assert f"returned {kept!r}" in terminal.raw.decode()
        assert terminal.left_on() == set()
        assert terminal.as_before()


@pytest.mark.slow
def test_ended_by_the_system_it_leaves_the_terminal_as_it_was() -> None:
    """Nothing was kept: nobody said so."""
    with Terminal(RUN) as terminal:
        terminal.until_text("Q  close")
        terminal.type("0")
        terminal.until_text(CANT_TELL)
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 0
        assert "returned []" in terminal.raw.decode()
        assert terminal.left_on() == set()
        assert terminal.as_before()


BROKEN = """
from pacer.screen.identify.app import IdentifyApp
def broken(self, *_):
    raise RuntimeError("a fault made for the test")
IdentifyApp.next_theme = broken
"""


@pytest.mark.slow
def test_a_screen_that_fails_loses_no_answer() -> None:
    """What was answered until then comes back."""
    first = begin({}).shop_test
    with Terminal(BROKEN + RUN) as terminal:
        terminal.until_text("Q  close")
        terminal.type("0")
        terminal.until_text(f"{first.title}: {CANT_TELL}")
        terminal.type("d")
        assert terminal.ended() == 0
        assert f"returned {[(first.name, CANT_TELL)]!r}" in terminal.raw.decode()
        assert terminal.as_before()
