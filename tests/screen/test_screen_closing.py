"""Closing while records are only in memory: the question says what it costs."""

from __future__ import annotations

import fake_desk as fd
from pressing import Keyboard, foot, play

from pacer.screen.live import CLOSING


def _asked(**changed: object) -> str:
    """Return the question after Q."""
    seen: list[str] = []

    async def script(keys: Keyboard) -> None:
        keys.desk.now = fd.waiting().snapshot(**changed)
        keys.app.look()
        await keys.press("q")
        seen.append(foot(keys.app))

    play(fd.waiting(), script)
    return seen[0]


def test_the_question_says_how_many_records_would_be_lost() -> None:
    """One line of 80 columns, whatever the number: 12 h at 4 Hz are 172,800."""
    assert _asked() == CLOSING
    asked = _asked(trouble="log not saved: disk full", only_in_memory=172_800)
    assert asked == "Close? 172800 records are only in memory and will be lost; Y closes"
    assert len(asked) < 78
    assert _asked(trouble="log not saved: disk full", only_in_memory=1).startswith(
        "Close? 1 record is only in memory"
    )
