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
    """Held since 75 s; 310 °C from 76 s, the median at 77, TOO HOT at 79 s."""
    session = ready(job, to_s=75).at(75, "hold").steady(76, 81, 310.0)
    assert session.since(76) == ["79.0 TOO_HOT"]
    return session


def test_ready_is_told_three_times_more_and_then_never(hot_job: Job) -> None:
    """READY at 72 s: again 30, 90 and 150 s later; then silence, however long nobody comes."""
    session = ready(hot_job).steady(73, 900, 262.0)

    assert session.since(72) == ["72.0 READY"]
    assert session.repeats == ["102.0 READY 1", "162.0 READY 2", "222.0 READY 3"]
    assert session.state.prompt is not None
    assert session.state.prompt.again == len(AGAIN_S["STEP"])  # type: ignore[index]


def test_nothing_is_repeated_while_the_arc_burns(hot_job: Job) -> None:
    """An arc of 100 s: FINISH, STOP and nothing else, not even a sensor lost meanwhile."""
    session = ready(hot_job, to_s=75).at(75, "arc on").at(76, "lost unplugged").until(175)

    assert session.since(73) == ["81.5 FINISH", "85.0 STOP"]
    assert session.repeats == []


def test_ready_is_not_told_again_in_a_drop_out(hot_job: Job) -> None:
    """READY at 72 s, due again at 102; silent from 99 to 102.5 s: at 132 instead."""
    session = ready(hot_job).steady(73, 100, 262.0).steady(102.5, 170, 262.0)
    assert session.repeats == ["132.0 READY 1"]


@pytest.mark.parametrize("deed", ["next", "note", "hold", "undo", "tink"])
def test_whatever_the_welder_does_is_an_answer(hot_job: Job, deed: str) -> None:
    """He is there: the old prompt isn't told again."""
    session = pressed(ready(hot_job), 75, deed).steady(76, 104, 262.0)

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
    assert again.repeats == ["106.0 REHEAT 1"]


def test_an_alarm_is_told_again_each_minute_three_times(hot_job: Job) -> None:
    """TOO HOT at 79 s and nobody there: 139, 199, 259 s (re-alarm 60 s)."""
    session = too_hot(hot_job).steady(81, 500, 310.0)

    assert session.repeats == ["139.0 TOO_HOT 1", "199.0 TOO_HOT 2", "259.0 TOO_HOT 3"]


def test_an_alarm_over_by_itself_is_not_told_again(hot_job: Job) -> None:
    """Back under the ceiling less the dead-band for 5 s the excursion is over."""
    session = too_hot(hot_job).steady(81, 160, 280.0)

    assert not [repeat for repeat in session.repeats if "TOO_HOT" in repeat]
    assert not session.state.told_over


def test_a_press_answers_the_alarm_and_moves_nothing(hot_job: Job) -> None:
    """What is seen is what is answered: the hold isn't ended by a press at TOO HOT."""
    session = pressed(too_hot(hot_job), 81.0).steady(81, 84, 310.0)
    assert session.state.phase is Phase.HOLD
    assert unanswered(session.state) is None

    # The next one means the phase again.
    after = pressed(session, 84.0).state
    assert after.phase is Phase.WAIT


def test_a_script_is_taken_at_its_word(hot_job: Job) -> None:
    """`!next` goes on, alarm or not (design.md, scripts)."""
    session = too_hot(hot_job).at(81, "next")
    assert session.state.phase is Phase.WAIT


def test_an_alarm_cannot_be_answered_before_it_can_be_seen(hot_job: Job) -> None:
    """T-37: not in its first 500 ms; the press then does nothing at all."""
    session = ready(hot_job, to_s=75).at(75, "hold").steady(76, 79, 310.0).until(79.0)
    pressed(session, 79.4)
    assert session.cues[-1] == "79.0 TOO_HOT"
    assert unanswered(session.state) is not None
    assert session.state.phase is Phase.HOLD
    assert session.state.ignored == 1

    pressed(session, 79.5)
    assert unanswered(session.state) is None


def test_put_aside_a_cue_is_silent_for_five_minutes_and_then_told_anew(hot_job: Job) -> None:
    """Shelved at 81 s: nothing until 381 s, then told as if for the first time."""
    session = pressed(too_hot(hot_job), 81.0, "shelve").steady(82, 386, 310.0)

    assert session.since(80) == [f"{81 + SHELF_S:.1f} TOO_HOT"]
    assert session.repeats == []
    assert session.state.shelved == ()


def test_what_is_over_when_its_shelf_ends_is_not_told(hot_job: Job) -> None:
    """Cooled meanwhile: nothing to tell; hot again later: told as usual."""
    session = pressed(too_hot(hot_job), 81.0, "shelve").steady(82, 386, 262.0)
    assert session.since(80) == []


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


def test_a_step_waits_behind_an_unanswered_alarm_and_is_told_after_it(hot_job: Job) -> None:
    """Lost at READY, back and ready again: READY stands, once NO READING is over, as the prompt."""
    session = ready(hot_job, to_s=80).until(90).steady(90, 140, 262.0)
    assert session.since(80) == ["84.0 NO_READING", "100.0 READING_BACK", "100.0 READY"]
    cue = unanswered(session.state)
    assert cue is not None
    assert cue.kind == "READY"
    assert session.repeats == ["130.0 READY 1"]


def test_a_step_does_not_take_the_place_of_a_fault(hot_job: Job) -> None:
    """Silent from 20 s in the soak, told at 24; its end at 72 asks to measure: the fault stands."""
    session = ready(hot_job, to_s=20).until(90)
    assert session.since(20) == ["24.0 NO_READING", "72.0 TYPE_A_READING"]
    cue = unanswered(session.state)
    assert cue is not None
    assert cue.kind == "NO_READING"
    assert session.repeats == ["84.0 NO_READING 1"]


def test_a_short_way_back_does_not_end_an_excursion(hot_job: Job) -> None:
    """Under the ceiling less the dead-band for 3 s, not for 5, and over it again: told once."""
    session = too_hot(hot_job).steady(81, 85, 280.0).steady(85, 100, 310.0)
    assert session.since(76) == ["79.0 TOO_HOT"]
    session.steady(100, 108, 280.0).steady(108, 114, 310.0)
    assert session.since(80) == ["111.0 TOO_HOT"]


def test_no_reading_is_not_answered_by_a_press_that_never_saw_it(hot_job: Job) -> None:
    """Ten seconds without a word in PREPARE; the press that begins the preheat answers nothing."""
    session = pressed(Session(hot_job).until(12), 12)
    assert session.cues == ["0.0 PREPARE", "10.0 NO_READING", "12.0 PREHEAT"]
    assert session.until(200).repeats[:2] == ["70.0 NO_READING 1", "130.0 NO_READING 2"]


def test_a_second_tap_does_not_end_the_bead_it_began(hot_job: Job) -> None:
    """A foot that taps twice, 0.5 s apart: one bead, running."""
    session = pressed(pressed(ready(hot_job), 73, by="contact"), 73.5, by="contact")
    assert session.state.phase is Phase.BEAD
    assert session.state.ignored == 1


def test_nothing_is_refused_aloud_while_the_arc_burns(hot_job: Job) -> None:
    """F, H, U, C, X and S in a bead: no cue at all."""
    session = ready(hot_job).at(73, "arc on")
    for deed in ("finish", "hold", "undo", "covered", "uncovered", "shelve"):
        session.at(74, deed)
    assert session.since(73) == []


def test_an_undo_never_calls_a_bead_on_old_numbers(hot_job: Job) -> None:
    """Back to READY with the sensor silent for a minute: measure first; at 320 °C: wait."""
    silent = ready(hot_job).at(73, "next").at(90, "next").until(120).at(120, "undo")
    silent.at(121, "undo")
    assert silent.state.phase is not Phase.READY
    hot = ready(hot_job).at(73, "next").steady(73.5, 84, 320.0).at(84, "undo")
    assert hot.state.phase is Phase.WAIT
    assert "READY" not in [cue.split()[1] for cue in hot.since(74)]


def test_a_typed_reading_decides_while_the_instrument_is_only_just_back(hot_job: Job) -> None:
    """Silent from 80, back at 90 with the same number: typed at 92 it is believed at once."""
    session = ready(hot_job, to_s=80).until(90).steady(90, 92, 262.0)
    session.at(92, "reading 250").steady(92.5, 96, 262.0)
    assert session.state.phase is Phase.READY


def test_rules_that_answer_each_other_cannot_hang_the_session(hot_job: Job) -> None:
    """A floor so near the preheat target that no bead fits between: one REHEAT, not fifty."""
    band = msgspec.structs.replace(hot_job.band, floor_c=254.0)
    job = msgspec.structs.replace(
        hot_job, band=band, part=msgspec.structs.replace(hot_job.part, mass_kg=0.5, wall_m=0.004)
    )
    session = ready(job).at(73, "next").at(83, "next").steady(84, 300, 256.0)
    assert not session.state.stalled
    assert len(session.told) < 20


def test_checked_says_what_nobody_confirmed(hot_job: Job) -> None:
    """The start-up check's answer is a fact of the record."""
    session = Session(hot_job)
    assert session.state.unconfirmed is None
    session.event(Act(t_ms=500, deed="checked", text="lamp, sound"))
    assert session.state.unconfirmed == "lamp, sound"
    session.event(Act(t_ms=900, deed="checked"))
    assert session.state.unconfirmed == ""
