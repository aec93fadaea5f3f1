"""Prompt discipline: told again three times, then quiet; shelved; answered; one at a time.

Figures: reliability.md sections 6 and 7, procedure.md sections 5, 6 and 15 (judgement of
their authors); every time here is added up by hand from `telling.ready`.
"""

from __future__ import annotations

import msgspec
import pytest
from telling import Session, ready

from pacer.job.job import Job
from pacer.session.events import Act
from pacer.session.prompt import AGAIN_S, SHELF_S, unanswered
from pacer.session.work import Phase


def pressed(session: Session, t_s: float, deed: str = "next", by: str = "key") -> Session:
    """A press of a hand or foot, which may come by accident."""
    act = Act(t_ms=round(t_s * 1000), deed=deed, by=by)  # type: ignore[arg-type]
    return session.event(act)


def too_hot(job: Job) -> Session:
    """In the soak since 12 s; 310 °C from 20 s, the median at 21, TOO HOT at 23 s."""
    session = ready(job, to_s=20).steady(20, 25, 310.0)
    assert session.since(20) == ["23.0 TOO_HOT"]
    return session


def test_ready_is_told_three_times_more_and_then_never(hot_job: Job) -> None:
    """READY at 72 s: again 10, 30 and 90 s later; then silence, however long nobody comes."""
    session = ready(hot_job).steady(73, 900, 262.0)

    assert session.since(72) == ["72.0 READY"]
    assert session.repeats == ["82.0 READY 1", "102.0 READY 2", "162.0 READY 3"]
    assert session.state.prompt is not None
    assert session.state.prompt.again == len(AGAIN_S["STEP"])  # type: ignore[index]


def test_nothing_is_repeated_while_the_arc_burns(hot_job: Job) -> None:
    """An arc of 100 s: FINISH, STOP and nothing else, not even a sensor lost meanwhile."""
    session = ready(hot_job, to_s=75).at(75, "arc on").at(76, "lost unplugged").until(175)

    assert session.since(73) == ["81.5 FINISH", "85.0 STOP"]
    assert session.repeats == []


@pytest.mark.parametrize("deed", ["next", "note", "hold", "undo", "tink"])
def test_whatever_the_welder_does_is_an_answer(hot_job: Job, deed: str) -> None:
    """He is there: the old prompt isn't told again."""
    session = pressed(ready(hot_job), 75, deed).steady(76, 84, 262.0)

    assert not [repeat for repeat in session.repeats if "READY" in repeat]


def test_a_reheat_is_answered_by_the_flame(hot_job: Job) -> None:
    """190 °C at REHEAT; risen by the dead-band it needs no second telling."""
    cold = ready(hot_job).steady(73, 80, 190.0)
    assert cold.since(73) == ["76.0 REHEAT"]
    rising, still = cold, msgspec.structs.replace(cold.state)
    rising.steady(80, 120, 190.0 + 2 * hot_job.band.deadband_dc)
    assert rising.repeats == []

    again = Session(hot_job)
    again.state, again.told = still, []
    again.steady(80, 120, 191.0)
    assert again.repeats == ["86.0 REHEAT 1", "106.0 REHEAT 2"]


def test_an_alarm_is_told_again_each_minute_three_times(hot_job: Job) -> None:
    """TOO HOT at 23 s and nobody there: 83, 143, 203 s (re-alarm 60 s)."""
    session = too_hot(hot_job).steady(25, 400, 310.0)

    assert session.repeats[:3] == ["83.0 TOO_HOT 1", "143.0 TOO_HOT 2", "203.0 TOO_HOT 3"]
    assert [r for r in session.repeats if "TOO_HOT" in r] == session.repeats[:3]


def test_an_alarm_over_by_itself_is_not_told_again(hot_job: Job) -> None:
    """Back under the ceiling less the dead-band for 5 s the excursion is over."""
    session = too_hot(hot_job).steady(25, 100, 280.0)

    assert not [repeat for repeat in session.repeats if "TOO_HOT" in repeat]
    assert not session.state.told_over


def test_a_press_answers_the_alarm_and_moves_nothing(hot_job: Job) -> None:
    """What is seen is what is answered: the soak isn't cut short by a press at TOO HOT."""
    session = pressed(too_hot(hot_job), 25.0).steady(25, 28, 310.0)
    assert session.state.phase is Phase.SOAK
    assert unanswered(session.state) is None

    # The next one means the phase again.
    pressed(session, 28.0)
    assert session.state.phase is not Phase.SOAK


def test_a_script_is_taken_at_its_word(hot_job: Job) -> None:
    """`!next` cuts the soak short, alarm or not (design.md, scripts)."""
    session = too_hot(hot_job).at(25, "next")
    assert session.state.phase is not Phase.SOAK


def test_an_alarm_cannot_be_answered_before_it_can_be_seen(hot_job: Job) -> None:
    """T-37: not in its first 500 ms; the press then does nothing at all."""
    session = pressed(ready(hot_job, to_s=20).steady(20, 23, 310.0).until(23.0), 23.4)
    assert session.cues[-1] == "23.0 TOO_HOT"
    assert unanswered(session.state) is not None
    assert session.state.phase is Phase.SOAK
    assert session.state.ignored == 1

    pressed(session, 23.5)
    assert unanswered(session.state) is None


def test_put_aside_a_cue_is_silent_for_five_minutes_and_then_told_anew(hot_job: Job) -> None:
    """Shelved at 25 s: nothing until 325 s, then told as if for the first time."""
    session = pressed(too_hot(hot_job), 25.0, "shelve").steady(26, 330, 310.0)

    assert [cue for cue in session.since(24) if "TOO_HOT" in cue] == [f"{25 + SHELF_S:.1f} TOO_HOT"]
    assert not [repeat for repeat in session.repeats if "TOO_HOT" in repeat]
    assert session.state.shelved == ()


def test_what_is_over_when_its_shelf_ends_is_not_told(hot_job: Job) -> None:
    """Cooled meanwhile: nothing to tell; hot again later: told as usual."""
    session = pressed(too_hot(hot_job), 25.0, "shelve").steady(26, 330, 262.0)
    assert not [cue for cue in session.since(24) if "TOO_HOT" in cue]


def test_nothing_can_be_put_aside_where_nothing_stands(hot_job: Job) -> None:
    """One clear word instead of a silent key."""
    session = Session(hot_job).at(1, "shelve")
    assert session.cues[-1] == "1.0 CANNOT"


def test_a_fault_is_only_silenced(hot_job: Job) -> None:
    """NO READING put aside isn't told again, and is still what holds."""
    session = ready(hot_job).at(75, "lost unplugged")
    pressed(session, 76, "shelve").until(300)
    assert session.repeats == []
    assert session.state.sensor.told_no_reading


def test_a_loose_plug_is_told_once(hot_job: Job) -> None:
    """A second of reading and three of silence, over and over, for two minutes: one fault."""
    session = ready(hot_job, to_s=80)
    for start_s in range(86, 206, 6):
        session.steady(start_s, start_s + 2, 262.0, every_s=0.5)
    assert session.since(73) == ["84.0 NO_READING"]


def test_a_lower_cue_never_takes_the_place_of_an_unanswered_higher_one(hot_job: Job) -> None:
    """TOO HOT stands while the tenth repeatable step is told; urgency decides, not time."""
    session = too_hot(hot_job).steady(25, 73, 310.0)
    cue = unanswered(session.state)
    assert cue is not None
    assert cue.kind == "TOO_HOT" or session.state.phase is Phase.WAIT


def test_checked_says_what_nobody_confirmed(hot_job: Job) -> None:
    """The start-up check's answer is a fact of the record."""
    session = Session(hot_job)
    assert session.state.unconfirmed is None
    session.event(Act(t_ms=500, deed="checked", text="lamp, sound"))
    assert session.state.unconfirmed == "lamp, sound"
    session.event(Act(t_ms=900, deed="checked"))
    assert session.state.unconfirmed == ""
