"""Whose turn it is: the newest sounds, but a fault is not talked over."""

from __future__ import annotations

from fakes import FakeClock

from pacer.session.cues import Cue, CueKind
from pacer.sound.turn import Turn

FAULT = Cue(CueKind.NO_READING, 0.0)
WARN = Cue(CueKind.TOO_COLD, 0.0)
STEP = Cue(CueKind.REHEAT, 0.0)


def _turn(words_s: float = 0.0) -> tuple[Turn, FakeClock]:
    clock = FakeClock()
    return Turn(clock.now_s, words_s), clock


def test_the_newest_replaces_its_equal_and_its_lesser() -> None:
    """STEP, STEP, WARN, FAULT: each takes over."""
    turn, _ = _turn()
    for cue in (STEP, Cue(CueKind.WAIT, 1.0), WARN, FAULT):
        assert turn.takes(cue)


def test_a_lesser_one_waits_for_nobody_and_is_left_out_while_a_fault_sounds() -> None:
    """The fault takes 4 rounds of 1.11 s with 0.4 s between: 5.64 s by hand."""
    turn, clock = _turn()
    assert turn.takes(FAULT)
    clock.to(5.6)
    assert not turn.takes(STEP)
    assert not turn.takes(WARN)
    clock.to(5.65)
    assert turn.takes(Cue(CueKind.WAIT, 5.65))


def test_words_belong_to_the_sound() -> None:
    """With speech the fault's turn goes on for the words."""
    turn, clock = _turn(words_s=1.5)
    assert turn.takes(FAULT)
    clock.to(7.1)
    assert not turn.takes(STEP)
    clock.to(7.2)
    assert turn.takes(Cue(CueKind.WAIT, 7.2))


def test_tones_and_speech_get_the_same_answer_to_the_same_cue() -> None:
    """Both ask; the second one must not find its own cue in the way, nor a dropped one let in."""
    turn, _ = _turn()
    assert [turn.takes(FAULT), turn.takes(FAULT)] == [True, True]
    assert [turn.takes(STEP), turn.takes(STEP)] == [False, False]


def test_what_is_late_after_a_second_is_told_at_once() -> None:
    """FINISH, STOP and PEEN can't wait for a fault's end; READING_BACK is its end."""
    for kind in (CueKind.FINISH, CueKind.STOP, CueKind.PEEN, CueKind.READING_BACK):
        turn, _ = _turn()
        assert turn.takes(FAULT)
        assert turn.takes(Cue(kind, 0.0))
        # And it protects itself no more than its own urgency does.
        assert turn.takes(STEP)


def test_a_hushed_fault_is_in_nobodys_way() -> None:
    """Answered: silence."""
    turn, _ = _turn()
    assert turn.takes(FAULT)
    turn.hush()
    assert turn.takes(STEP)
