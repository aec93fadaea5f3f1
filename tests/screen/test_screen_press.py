"""One press, one action: judged by times alone."""

from __future__ import annotations

import pytest

from pacer.screen.press import OnePress


def actions(times_s: list[float]) -> int:
    """Return how many of the presses act, waiting ones asked 0.12 s later."""
    press, acted, due_s = OnePress(), 0, None
    for t_s in times_s:
        if due_s is not None and t_s >= due_s:
            acted, due_s = acted + press.due(), None
        verdict = press.press(t_s)
        acted += verdict == "act"
        due_s = t_s + 0.12 if verdict == "wait" else due_s
    return acted + (press.due() if due_s is not None else 0)


@pytest.mark.parametrize("gap_s", [0.0, 0.005, 0.01, 0.05, 0.1, 0.299])
def test_a_repeat_within_300_ms_is_ignored(gap_s: float) -> None:
    """reliability.md T-37."""
    assert actions([10.0, 10.0 + gap_s]) == 1


@pytest.mark.parametrize("gap_s", [0.3, 0.35, 0.5, 1.0, 1.2, 60.0])
def test_a_second_press_after_that_acts(gap_s: float) -> None:
    """reliability.md T-37."""
    assert actions([10.0, 10.0 + gap_s]) == 2


@pytest.mark.parametrize("delay_s", [0.25, 0.5, 0.66, 1.0])
@pytest.mark.parametrize("every_s", [0.025, 0.033, 0.1])
def test_a_held_key_moves_on_once(delay_s: float, every_s: float) -> None:
    """Repeats begin after 0.25-1 s and run at 10-40 a second (from memory)."""
    held = [10.0] + [10.0 + delay_s + every_s * n for n in range(100)]
    assert actions(held) == 1


def test_a_bouncing_contact_moves_on_once_and_works_again() -> None:
    """0-10 ms bounces, then a real press two seconds later."""
    assert actions([1.0, 1.003, 1.007, 1.012, 3.0, 3.004]) == 2
