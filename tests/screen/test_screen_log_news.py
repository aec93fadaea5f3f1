"""LOG NOT SAVED and LOG MOVED: told, answered, put aside, told again; never in place of the work.

Times: an alarm a minute apart, three times more; put aside for five minutes; no answer
within half a second (reliability.md sections 6 and 7, T-37).
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import fake_desk as fd
import pytest

from pacer.screen.view import view
from pacer.session.cues import CueKind
from pacer.session.events import LogWord
from pacer.session.log_news import unanswered
from pacer.session.prompt import SHELF_S
from pacer.session.work import Phase
from pacer.units import Shown

Make = Callable[[], fd.Session]

SEEN: tuple[Make, ...] = (
    fd.prepared,
    fd.preheating,
    fd.soaking,
    fd.ready,
    fd.waiting,
    fd.reheating,
    fd.holding,
    fd.inspecting,
    fd.postheating,
    fd.burying,
    fd.cooling,
    fd.done,
)
"""A session in each phase in which it is told at once."""


def tacking() -> fd.Session:
    """A cold job's tacks: a press goes on to the beads."""
    return fd.Session(fd.COLD_JOB).press("next")


def told(session: fd.Session, kind: CueKind = CueKind.LOG_NOT_SAVED) -> list[tuple[float, int]]:
    """Return when it was told, since the session's first log news, and the how manieth time."""
    return [(cue.t_s, cue.again) for cue in session.cues if cue.kind is kind]


def word(session: fd.Session) -> str:
    """Return the giant word."""
    return view(session.snapshot(), Shown("metric")).word


@pytest.mark.parametrize("what", ["log", "log moved"])
@pytest.mark.parametrize("make", [*SEEN, tacking])
def test_a_press_answers_it_and_does_nothing_else(make: Make, what: LogWord) -> None:
    """In every phase in which it fills the screen; the next press does what the phase says."""
    session = make()
    before, undo, prompt, phases_word = (
        session.state.work,
        session.state.undo,
        session.state.prompt,
        word(session),
    )
    session.log(what)
    assert word(session) in {"LOG NOT SAVED", "LOG MOVED"}
    session.t_s += 1.0
    session.press("next")
    state = session.state
    assert (state.work, state.undo, state.prompt) == (before, undo, prompt)
    assert unanswered(state) is None
    assert word(session) == phases_word


def test_a_press_that_nobody_can_have_meant_for_it_does_nothing() -> None:
    """0.3 s after it was told: the bead that the press was for is not begun either."""
    session = fd.ready().log("log")
    session.t_s += 0.3
    session.press("next")
    assert session.state.phase is Phase.READY
    assert word(session) == "LOG NOT SAVED"
    session.t_s += 0.3
    session.press("next")
    session.t_s += 1.0
    assert word(session) == "READY"
    assert session.press("next").state.phase is Phase.BEAD


@pytest.mark.parametrize("make", [fd.burning, fd.peening, fd.looking])
def test_in_seconds_that_are_needed_it_is_not_told_but_after_them(make: Make) -> None:
    """The word, and what a press does, are the phase's own until then; the top line says it."""
    session = make()
    phases_word = word(session)
    session.log("log")
    assert (word(session), told(session)) == (phases_word, [])
    top = view(session.snapshot(trouble="log not saved: full"), Shown("metric")).trouble
    assert top == "LOG NOT SAVED: full"
    before = session.state.phase
    session.press("next")
    assert session.state.phase is not before
    while session.state.phase in {Phase.BEAD, Phase.PEEN, Phase.LOOK}:
        assert told(session) == []
        session.read(265.0)
    session.read(265.0)
    assert [again for _, again in told(session)] == [0]


def test_unanswered_it_is_told_three_times_more() -> None:
    """A minute apart, like other faults, whatever is told of the work meanwhile."""
    session = fd.waiting().log("log")
    start_s = session.t_s
    session.read(312.0, 400.0)
    assert told(session) == [(start_s + 60.0 * i, i) for i in range(4)]
    assert word(session) == "LOG NOT SAVED"


def test_put_aside_it_is_silent_and_told_anew_if_it_is_still_so() -> None:
    """Five minutes; then as if for the first time."""
    session = fd.holding().log("log")
    start_s = session.t_s
    session.press("shelve")
    assert word(session) == "HOLD"
    session.read(262.0, SHELF_S - 1.0)
    assert told(session) == [(start_s, 0)]
    session.read(262.0, 5.0)
    assert told(session) == [(start_s, 0), (start_s + SHELF_S, 0)]
    moved = fd.holding().log("log moved").press("shelve").read(262.0, 2 * SHELF_S)
    assert len(told(moved, CueKind.LOG_MOVED)) == 1


def test_saved_again_it_takes_its_word_away_in_silence() -> None:
    """Nothing is left to do; but where the log goes on is told all the same."""
    session = fd.ready().log("log").log("log saved")
    cues = len(session.cues)
    assert word(session) == "READY"
    assert len(session.read(262.0, 5.0).cues) == cues
    moved = fd.ready().log("log").log("log moved", "goes on in a-2.jsonl")
    assert word(moved) == "LOG MOVED"


def test_a_disk_that_fails_again_and_again_is_told_once_a_minute() -> None:
    """On the edge of full: no flood (reliability.md section 6)."""
    session = fd.holding()
    start_s = session.t_s
    for _ in range(20):
        session.log("log").read(262.0, 4.0).log("log saved").read(262.0, 4.0)
    times = [t_s - start_s for t_s, _ in told(session)]
    assert times[0] == 0.0
    assert all(later - earlier >= 60.0 for earlier, later in pairwise(times))
    assert len(times) == 3


def test_an_alarm_of_the_work_comes_before_it() -> None:
    """Seen first, answered first; then the log's has the word, with the work's beside it."""
    session = fd.holding().log("log").read(262.0, 2.0).ramp(310.0).read(310.0, 6.0)
    assert word(session) == "TOO HOT"
    session.press("next")
    shown = view(session.snapshot(), Shown("metric"))
    assert shown.word == "LOG NOT SAVED"
    assert "TOO HOT: Past the ceiling" in shown.words
    session.press("next")
    assert (word(session), session.state.phase) == ("TOO HOT", Phase.HOLD)


def test_another_key_does_its_own_work_and_answers_nothing_of_the_log() -> None:
    """A reading typed, a hold: they say nothing about the disk."""
    session = fd.ready().log("log").wait(1.0)
    session.press("reading", temp_c=261.0).press("hold")
    assert session.state.phase is Phase.HOLD
    assert word(session) == "LOG NOT SAVED"


def test_taken_up_again_the_last_logs_trouble_is_over() -> None:
    """Another process, another file handle: it tells of its own."""
    session = fd.waiting().log("log").gap(30.0)
    assert session.state.log is None
