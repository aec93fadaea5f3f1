"""How a doubt ends: a press, a typed reading, the value back, or time; and how it is told.

READY at 4 Hz, then 262 °C to another value at 75 s: the doubt stands at 76 s (`test_guard.py`).
"""

from __future__ import annotations

from doubting import decides_c, line, pressed, ramp, read, ready_at_4_hz, stands
from telling import Session

from pacer.job.job import Job
from pacer.session.events import Act
from pacer.session.guard.standing import Standing, standing
from pacer.session.track import believed
from pacer.session.work import Phase

S = Standing
DEEP_C, SLIGHT_C = 60.0, 180.0
"""A fall by most of the way to the room's 20 °C, and by a third of it."""


def jumped(job: Job, to_c: float, to_s: float = 100.0) -> Session:
    """JUMPED at 76 s."""
    return read(ready_at_4_hz(job), 75, to_s, to_c)


def test_a_press_answers_and_the_number_decides_at_once(hot_job: Job) -> None:
    """The press does nothing else: it fills the screen with the doubt, not with a bead."""
    session = pressed(jumped(hot_job, DEEP_C), 100)

    assert session.since(77) == ["100.0 PREHEAT"], "60 °C is no part to be reheated for a bead"
    assert (stands(session), decides_c(session)) == (S.LIVE, DEEP_C)
    assert not session.state.work.beads


def test_a_press_too_soon_after_it_was_told_is_no_answer(hot_job: Job) -> None:
    """Told at 76.0; nobody can have read it at 76.25 (reliability.md T-37)."""
    session = pressed(jumped(hot_job, DEEP_C, to_s=76.25), 76.25)

    assert stands(session) is S.JUMPED
    assert session.state.ignored == 1
    assert stands(pressed(session, 76.5)) is S.LIVE


def test_a_scripts_next_answers_and_moves_on(hot_job: Job) -> None:
    """In WAIT the press lets the temperature decide: 180 °C is just below the floor of 200."""
    session = jumped(hot_job, SLIGHT_C, to_s=80).at(80, "next")

    assert session.since(77) == ["80.0 REHEAT"]


def test_an_answer_given_stays_given(hot_job: Job) -> None:
    """The same step isn't asked about again at the next line."""
    session = pressed(jumped(hot_job, DEEP_C, to_s=76.75), 76.75)
    read(session, 77, 100, DEEP_C)

    assert session.since(77) == []
    assert stands(session) is S.LIVE


def test_a_typed_reading_that_agrees_answers(hot_job: Job) -> None:
    """70 beside 60 °C: within 25 K."""
    session = read(jumped(hot_job, DEEP_C).at(100, "reading 70"), 100, 101, DEEP_C)

    assert (stands(session), decides_c(session)) == (S.LIVE, DEEP_C)


def test_a_typed_reading_that_differs_decides_for_its_time(hot_job: Job) -> None:
    """258 typed, 60 shown: ready by what was typed, and the doubt stands."""
    session = read(jumped(hot_job, DEEP_C).at(100, "reading 258"), 100, 104, DEEP_C)

    assert session.since(77) == ["102.0 READY"]
    assert (stands(session), decides_c(session)) == (S.JUMPED, 258.0)
    # 120 s after it was typed nothing decides again.
    assert decides_c(read(session, 104, 221, DEEP_C)) is None
    assert session.state.phase is Phase.WAIT


def test_a_value_that_comes_back_ends_the_doubt(hot_job: Job) -> None:
    """258 beside 262 °C: within 10 K; a bead is called when it has stayed for ten seconds."""
    session = read(jumped(hot_job, DEEP_C, to_s=80), 80, 95, 258.0)

    assert session.since(77) == ["91.0 READING_BACK", "91.0 READY"]
    assert stands(session) is S.LIVE


def test_a_slight_fall_is_taken_when_it_has_stayed_clean(hot_job: Job) -> None:
    """82 of 242 K: nobody answered; thirty seconds after it last moved it decides, marked."""
    session = jumped(hot_job, SLIGHT_C, to_s=120)
    taken = standing(session.state, 120.0)

    assert [cue.split()[1] for cue in session.since(77)] == ["READING_BACK", "REHEAT"]
    assert session.since(77)[0].startswith("108.")
    assert (taken.state, taken.unconfirmed) == (S.LIVE, "JUMPED")


def test_a_reading_typed_later_confirms_what_was_taken(hot_job: Job) -> None:
    """185 beside 180 °C."""
    session = jumped(hot_job, SLIGHT_C, to_s=120)
    assert standing(session.state, 120.0).unconfirmed == "JUMPED"
    session.at(121, "reading 185")

    assert standing(session.state, 121.0).unconfirmed is None


def test_what_was_taken_may_step_back_without_a_word(hot_job: Job) -> None:
    """It was the wire after all: back at 262 °C it is no new step."""
    session = read(jumped(hot_job, SLIGHT_C, to_s=120), 120, 130, 262.0)

    assert "JUMPED" not in str(session.since(109))
    assert decides_c(session) == 262.0


def test_a_deep_fall_is_never_taken_by_time_alone(hot_job: Job) -> None:
    """202 of 242 K: ten minutes later it still waits."""
    session = jumped(hot_job, DEEP_C, to_s=700)

    assert (stands(session), decides_c(session)) == (S.JUMPED, None)


def test_a_probe_that_goes_on_falling_is_not_clean(hot_job: Job) -> None:
    """8 to 60 K/s down to 60 °C: by then it is too deep to be taken."""
    session = ready_at_4_hz(hot_job)
    for index in range(160):
        session.at(75 + index * 0.25, 60.0 + 202.0 * 0.97**index)
    read(session, 115, 140, 60.0)

    assert stands(session) is S.JUMPED


def test_a_doubt_is_told_again_each_minute_and_then_stands_still(hot_job: Job) -> None:
    """Like every alarm: three times more, never louder."""
    session = jumped(hot_job, DEEP_C, to_s=400)

    assert session.repeats == ["136.0 JUMPED 1", "196.0 JUMPED 2", "256.0 JUMPED 3"]


def test_a_doubt_put_aside_is_silent_and_still_doubts(hot_job: Job) -> None:
    """For five minutes; then it is told anew."""
    session = read(jumped(hot_job, DEEP_C).at(100, "shelve"), 100, 401, DEEP_C)

    assert [cue.split()[1] for cue in session.since(77)] == ["JUMPED"]
    assert session.since(77) == ["400.0 JUMPED"]
    assert decides_c(session) is None


def test_a_doubt_is_not_told_while_the_arc_burns_nor_in_the_peen(hot_job: Job) -> None:
    """Four seconds of peen, then the probe is in the air: told when the peen is over."""
    session = read(ready_at_4_hz(hot_job).at(75, "arc on"), 75, 85, 262.0).at(85, "arc off")
    read(read(session, 85, 89, 262.0), 89, 99.5, 60.0)
    assert stands(session) is S.PROBE
    assert session.since(86) == []

    # The temperature was to decide at 100 s, and can't.
    read(session, 99.5, 101, 60.0)
    assert session.since(86) == ["100.0 PROBE_OFF"]
    assert session.state.phase is Phase.WAIT


def test_a_port_that_is_lost_says_so_though_a_doubt_stood(hot_job: Job) -> None:
    """The doubt is forgotten with its values."""
    session = jumped(hot_job, DEEP_C, to_s=80).at(80, "lost unplugged").until(81)

    assert session.since(77) == ["80.0 NO_READING"]
    assert stands(session) is S.LOST


def test_two_channels_apart_are_left_to_the_deciding_one_by_a_press(hot_job: Job) -> None:
    """It isn't asked again while they stay apart; together again it would be."""
    session = Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next")

    def lines(from_s: float, to_s: float, b_c: float) -> None:
        for index in range(round((to_s - from_s) * 4)):
            line(session, from_s + index / 4, 262.0, b_c, names=("t1", "t2"))

    lines(1.25, 130, 262.0)
    # Its own step is over when it has stayed for ten seconds; then it is far off for ten.
    lines(130, 160, 50.0)
    assert [cue.split()[1] for cue in session.since(66)] == ["APART"]
    session.event(Act(t_ms=160_000, deed="next", by="key"))
    lines(160, 200, 50.0)
    assert session.since(155) == ["160.0 READY"]

    lines(200, 230, 262.0)
    lines(230, 260, 50.0)
    assert [cue.split()[1] for cue in session.since(161)] == ["APART"]


def test_reversed_leads_put_right_are_heard_again(hot_job: Job) -> None:
    """Swapped at the meter at 40 s: 44 °C, back after ten seconds."""
    session = read(Session(hot_job, period_s=0.25), 0, 10, 20.0).at(10, "next")
    ramp(session, 10, 30, 20.0, -1.2)
    read(session, 30, 45, 44.0)

    assert stands(session) is S.LIVE
    assert session.cues[-1].endswith("READING_BACK")


def test_a_doubted_sensor_that_falls_silent_gives_no_reading(hot_job: Job) -> None:
    """Last line 79.75 s; five seconds later its question is gone, and so is its number."""
    session = jumped(hot_job, DEEP_C, to_s=80).until(100)

    assert session.since(77) == ["84.8 NO_READING"]
    assert stands(session) is S.SILENT


def test_a_press_does_not_make_swapped_leads_right(hot_job: Job) -> None:
    """It silences the alarm and nothing more; measured and typed, his own number decides."""
    session = Session(hot_job, period_s=0.25)
    read(session, 0, 10, 20.0).at(10, "next")
    ramp(session, 10, 40, 20.0, -1.2)
    read(session, 40, 60, -15.0)
    assert session.since(20)[-1].endswith("REVERSED")
    pressed(session, 61)

    assert stands(session) is S.REVERSED
    assert believed(session.state, 61.0) is None


def test_a_rise_over_the_floor_is_never_taken_by_time_alone(hot_job: Job) -> None:
    """150 °C in a hold, then 240 at once: by default it would call a bead on a cold part."""
    session = ready_at_4_hz(hot_job).at(75, "hold")
    ramp(session, 75.25, 131.25, 262.0, -2.0)
    read(session, 131.25, 140, 150.0)
    read(session, 140, 400, 240.0)

    assert stands(session) is S.JUMPED
    assert decides_c(session) is None
