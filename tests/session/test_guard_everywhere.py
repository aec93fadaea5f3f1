"""The guard where a fault passed it once: late in an arc, at its signal, under a cover, in a post-heat.

Faults, sizes and times are invented; limits are `session/guard`'s own (judgement).
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from doubting import decides_c, first, line, pressed, read, ready_at_4_hz, stands
from telling import Session

from pacer.job.job import Job
from pacer.session.cues import CueKind
from pacer.session.events import ArcSignal, Channel, Reading, Resumed, SensorChanged
from pacer.session.guard.standing import Standing
from pacer.session.work import Phase

S, K = Standing, CueKind


def lively(
    session: Session, from_s: float, to_s: float, truth: Callable[[float], float], every_s: float
) -> Session:
    """Readings as a meter sends them: no two neighbours alike."""
    for index in range(round((to_s - from_s) / every_s)):
        t_s = from_s + index * every_s
        session.at(t_s, round(truth(t_s) + 0.25 * (index % 2), 2))
    return session


def flat(temp_c: float) -> Callable[[float], float]:
    """The same at all times."""
    return lambda t_s: temp_c


# Late in an arc


def test_a_probe_that_comes_off_late_in_an_arc_is_asked_about(hot_job: Job) -> None:
    """Pressed at 75 s, off at 79.25 s: too late for the arc's doing; told after the peen, no REHEAT."""
    session = read(ready_at_4_hz(hot_job).at(75, "next"), 75, 79.25, 262.0)
    read(session, 79.25, 85, 25.0).at(85, "next")
    read(session, 85, 103, 25.0)

    assert session.since(86) == ["100.0 JUMPED"]
    assert decides_c(session) is None
    assert session.state.phase is Phase.WAIT


def test_an_arc_struck_late_that_lifts_the_reading_is_nobodys_question(hot_job: Job) -> None:
    """80 K from 5 s after the press to the arc's end: back again, it was the arc's."""
    session = read(ready_at_4_hz(hot_job).at(75, "next"), 75, 80, 262.0)
    read(session, 80, 85, 342.0).at(85, "next")
    read(session, 85, 102, 262.0)

    assert session.since(86) == ["100.0 READY"]


@pytest.mark.parametrize("offset_dc", [20.0, 60.0, -60.0])
@pytest.mark.parametrize("every_s", [0.25, 1.0])
def test_an_offset_is_the_arcs_though_its_signal_is_believed_a_second_late(
    hot_job: Job, offset_dc: float, every_s: float
) -> None:
    """Arc from 80 to 90 s on a channel of its own: left out, told once, no question after the peen."""
    channel = Channel(name="t1", unit="degC", arc=ArcSignal("amps", on=50.0, off=30.0))
    session = Session(hot_job, channel=channel)
    for index in range(round(125 / every_s)):
        t_s = index * every_s
        arc = 80.0 <= t_s < 90.0
        temp_c = 20.0 if t_s < 2 else 262.0 + 0.25 * (index % 2) + (offset_dc if arc else 0.0)
        line(session, t_s, temp_c, 100.0 if arc else 0.0, names=("t1", "amps"))
        if t_s == 1.0:
            session.at(1, "next")

    told = {cue.kind for cue in session.told if cue.t_s > 80}
    assert K.ARC_IN_READING in told
    assert not told & {K.JUMPED, K.PROBE_OFF, K.REHEAT, K.WAIT}


# Under a cover


def covered(job: Job) -> Session:
    """In the cool-down since 76 s, a reading each ten seconds, down to 226 °C by 676 s."""
    session = ready_at_4_hz(job).at(76, "covered")
    session.event(SensorChanged(t_ms=76000, state="paced", period_s=10.0))
    return lively(session, 76, 686, lambda t_s: 262.0 - 0.06 * (t_s - 76), 10.0)


def test_a_probe_out_of_its_cover_never_says_uncover(hot_job: Job) -> None:
    """Off at 686 s, a 20 s lag in the air: told a minute after it is seen, never UNCOVER."""
    session = lively(
        covered(hot_job), 686, 4000, lambda t_s: 20 + 205 * 0.6 ** ((t_s - 686) / 10), 10
    )

    assert "UNCOVER" not in " ".join(session.cues).split()
    assert first(session, K.PROBE_OFF).t_s <= 686 + 90
    assert (stands(session), decides_c(session)) == (S.PROBE, None)


def test_a_press_says_that_the_covered_part_is_as_cold_as_it_reads(hot_job: Job) -> None:
    """One press answers, and uncovers nothing by itself; it is believed for 2 s, then UNCOVER."""
    session = lively(covered(hot_job), 686, 900, flat(25.0), 10.0)
    pressed(session, 901)
    assert session.state.phase is Phase.COOL_DOWN
    lively(session, 906, 930, flat(25.0), 10.0)

    assert session.since(890) == ["903.0 UNCOVER"]


def test_a_probe_put_back_within_a_minute_is_nothing_to_tell(hot_job: Job) -> None:
    """Off from 686 to 726 s, then 223 °C again."""
    session = lively(covered(hot_job), 686, 726, flat(25.0), 10.0)
    assert decides_c(session) is None
    lively(session, 726, 900, flat(223.0), 10.0)

    assert "PROBE_OFF" not in str(session.cues)
    assert decides_c(session) is not None


def test_a_cool_down_told_in_a_hurry_ends_as_it_says(hot_job: Job) -> None:
    """A script: 262 to 20 °C in four minutes, a line each ten seconds. No part does; it is meant."""
    session = ready_at_4_hz(hot_job).at(76, "covered")
    session.event(SensorChanged(t_ms=76000, state="paced", period_s=10.0))
    lively(session, 76, 316, lambda t_s: 262 - (t_s - 76), 10.0)
    lively(session, 316, 350, flat(22.0), 10.0)

    assert "PROBE_OFF" not in str(session.since(76))
    assert "UNCOVER" in str(session.since(76))


def test_whoever_uncovers_has_seen_the_part(hot_job: Job) -> None:
    """Not answered until then: the deed itself answers, and the number is at its end."""
    session = lively(covered(hot_job), 686, 726, flat(25.0), 10.0)
    assert decides_c(session) is None
    session.at(727, "uncovered")

    assert session.state.phase is Phase.DONE


def test_swapped_leads_under_a_cover_never_say_uncover(hot_job: Job) -> None:
    """What reads -30 °C is no part that cools from 260 °C."""
    session = lively(covered(hot_job), 686, 1000, flat(-30.0), 10.0)

    assert "UNCOVER" not in str(session.since(77))
    assert stands(session) is S.REVERSED


# In a post-heat


def post_heat(job: Job) -> Session:
    """The hold of 120 s counts since 76 s, four readings a second up to 80 s."""
    return lively(ready_at_4_hz(job).at(76, "finish"), 76, 80, flat(262.0), 0.25)


@pytest.mark.parametrize("every_s", [0.25, 1.0])
def test_a_probe_off_in_the_hold_does_not_call_for_heat(hot_job: Job, every_s: float) -> None:
    """262 to 25 °C: JUMPED, not TOO COLD, which would heat a part that is hot enough."""
    session = Session(hot_job, period_s=every_s).at(0, 20.0).at(1, "next")
    lively(session, 2, 76, flat(262.0), every_s).at(76, "finish")
    lively(lively(session, 76, 90, flat(262.0), every_s), 90, 120, flat(25.0), every_s)

    assert [cue.kind for cue in session.told if cue.t_s > 77] == [K.JUMPED]


def test_a_flame_that_licks_the_probe_in_the_hold_is_no_jump(hot_job: Job) -> None:
    """1.5 s at 290 °C and back: a hold is kept up with a flame."""
    session = lively(
        lively(post_heat(hot_job), 80, 81.5, flat(290.0), 0.25), 81.5, 90, flat(262.0), 0.25
    )

    assert session.since(77) == []


def test_a_drop_out_does_not_start_the_hold(hot_job: Job) -> None:
    """At 230 °C of 260 °C three bad lines: the hold counts from the post-heat temperature only."""
    session = lively(ready_at_4_hz(hot_job), 75, 79, flat(230.0), 0.25).at(79, "finish")
    lively(session, 79, 80, flat(230.0), 0.25)
    for t_ms in (80000, 80250, 80500, 80750):
        session.event(Reading(t_ms=t_ms, raw=(None,), status="open"))
    lively(session, 81, 90, flat(230.0), 0.25)

    assert session.state.phase is Phase.POST_HEAT
    assert session.state.work.since_s is None


# Slow meters, other units, and what is no fault


def test_a_fall_that_goes_on_is_seen_by_a_meter_of_one_line_a_second(hot_job: Job) -> None:
    """Off at 90 s with a lag of 6 s, no two readings near each other: asked, no REHEAT."""
    session = Session(hot_job).at(0, 20.0).at(1, "next")
    lively(session, 2, 90, flat(262.0), 1.0)
    lively(session, 90, 130, lambda t_s: 20 + 242 * 0.85 ** (t_s - 89), 1.0)

    assert [cue.kind for cue in session.told if cue.t_s > 73 and not cue.again] == [K.JUMPED]


@pytest.mark.parametrize(
    ("unit", "sent"), [("°F", lambda c: 1.8 * c + 32.0), ("K", lambda c: c + 273.15)]
)
@pytest.mark.parametrize("every_s", [0.25, 1.0])
def test_a_meter_switched_while_a_torch_heats_is_asked_about(
    hot_job: Job, unit: str, sent: Callable[[float], float], every_s: float
) -> None:
    """1.2 K/s from 20 °C, switched at 60 s: asked, and the preheat does not end by it."""
    session = Session(hot_job, period_s=every_s).at(0, 20.0).at(1, "next")
    lively(session, 2, 60, lambda t_s: 20 + 1.2 * (t_s - 2), every_s)
    lively(session, 60, 170, lambda t_s: sent(20 + 1.2 * (t_s - 2)), every_s)

    asked = first(session, K.WHICH_UNIT)
    assert asked.t_s < 63
    assert asked.because.endswith(f"now sent {unit}")
    assert session.state.phase is Phase.PREHEAT


def test_the_tail_of_a_lick_does_not_end_the_preheat(hot_job: Job) -> None:
    """215 °C, a lick up to 415 °C that dies away over ten seconds: still 215 °C."""
    session = Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next")
    lively(session, 2, 10, flat(215.0), 0.25)
    lively(session, 10, 13, lambda t_s: 215 + 66 * (t_s - 10), 0.25)
    lively(session, 13, 40, lambda t_s: 215 + 200 * 0.72 ** (t_s - 13), 0.25)

    assert session.state.phase is Phase.PREHEAT


def test_a_channel_that_is_hot_enough_is_not_stuck_while_another_is_heated(hot_job: Job) -> None:
    """t1 of a coarse meter stands at 265 °C for ten minutes, t2 is brought up from 200 °C."""
    session = Session(hot_job).at(0, 20.0).at(1, "next")
    for t_s in range(2, 700):
        t2 = 200.0 + 0.002 * t_s
        line(session, t_s, min(265.0, 20.0 + 2 * t_s), t2, names=("t1", "t2"))

    assert "STUCK" not in str(session.cues)


def test_a_value_out_of_span_is_not_stuck(hot_job: Job) -> None:
    """In a reheat 2047.75 comes and comes: out of span, not the value before it."""
    session = lively(ready_at_4_hz(hot_job), 75, 80, flat(190.0), 0.25)
    lively(session, 80, 110, flat(195.0), 0.25)
    for t_s in range(110, 300):
        session.at(t_s, 2047.75)

    assert stands(session) is S.OUTSIDE
    assert "STUCK" not in str(session.cues)


def test_a_source_of_one_line_in_five_seconds_is_not_called_silent(hot_job: Job) -> None:
    """Its period is known from the fourth line on; until then ten seconds are waited."""
    session = Session(hot_job).steady(5, 60, 20.0, every_s=5.0)

    assert session.cues == ["0.0 PREPARE"]


# A doubt that lasts


def test_a_fahrenheit_number_is_not_back_when_the_part_has_cooled_to_it(hot_job: Job) -> None:
    """262 °C, switched at 80 s; 16 minutes later the part is at 128 °C and the meter shows 262 °F."""
    session = lively(ready_at_4_hz(hot_job), 75, 80, flat(262.0), 0.25)
    lively(session, 80, 1100, lambda t_s: 503.6 - 0.25 * (t_s - 80), 0.5)

    assert stands(session) is S.UNIT
    assert [cue.kind for cue in session.told if cue.t_s > 81].count(K.READY) == 0


def test_a_doubt_outlasts_a_port_that_was_lost(hot_job: Job) -> None:
    """Switched to °F at 80 s, the port gone from 90 to 95 s: the number is doubted as before."""
    session = lively(ready_at_4_hz(hot_job), 75, 80, flat(262.0), 0.25)
    lively(session, 80, 90, flat(503.6), 0.25).at(90, "lost unplugged")
    assert stands(session) is S.LOST
    lively(session, 95, 120, flat(503.6), 0.25)

    assert stands(session) is S.UNIT
    assert decides_c(session) is None


def test_a_doubt_that_was_over_while_the_port_was_lost_ends_by_itself(hot_job: Job) -> None:
    """Switched back to °C meanwhile: the value from before is there again."""
    session = lively(ready_at_4_hz(hot_job), 75, 80, flat(262.0), 0.25)
    lively(session, 80, 90, flat(503.6), 0.25).at(90, "lost unplugged")
    lively(session, 95, 120, flat(260.0), 0.25)

    assert decides_c(session) is not None
    assert stands(session) is S.LIVE


def test_a_probe_put_on_a_hot_part_that_comes_off_again_is_not_back(hot_job: Job) -> None:
    """In the soak 25 to 262 °C, confirmed by a press; off again at 90 s: asked, no REHEAT by it."""
    session = lively(ready_at_4_hz(hot_job, to_s=10), 10, 20, flat(25.0), 0.25)
    pressed(lively(session, 20, 30, flat(262.0), 0.25), 30)
    lively(lively(session, 30.25, 90, flat(262.0), 0.25), 90, 120, flat(25.0), 0.25)

    assert stands(session) in {S.JUMPED, S.PROBE}
    assert [cue.kind for cue in session.told if cue.t_s > 89 and not cue.again] == [K.JUMPED]


@pytest.mark.parametrize(("unit", "stand"), [("degC", S.UNIT), ("degF", S.LIVE)])
def test_a_doubt_outlasts_a_resumption_but_not_a_new_unit(
    hot_job: Job, unit: str, stand: Standing
) -> None:
    """Switched to °F at 80 s, taken up again at 90 s: the same channel is doubted as before."""
    session = lively(ready_at_4_hz(hot_job), 75, 80, flat(262.0), 0.25)
    lively(session, 80, 90, flat(503.6), 0.25)
    session.event(Resumed(t_ms=90000, channel=Channel(name="", unit=unit)))
    lively(session, 91, 110, flat(503.6), 0.25)

    assert stands(session) is stand


def test_a_press_while_the_port_is_lost_answers_no_doubt(hot_job: Job) -> None:
    """The screen shows LOST: a press then says nothing about the number from before."""
    session = lively(ready_at_4_hz(hot_job), 75, 80, flat(262.0), 0.25)
    lively(session, 80, 90, flat(503.6), 0.25).at(90, "lost unplugged")
    pressed(session, 92)
    lively(session, 95, 110, flat(503.6), 0.25)

    assert stands(session) is S.UNIT


def test_a_press_in_a_ready_called_by_a_typed_reading_begins_the_bead(hot_job: Job) -> None:
    """Switched to °F at 80 s, 262 °C typed at 90 s: READY; the press at 95 s doesn't say "it is right"."""
    session = lively(ready_at_4_hz(hot_job), 75, 80, flat(262.0), 0.25)
    lively(session, 80, 90, flat(503.6), 0.25).at(90, "reading 262")
    pressed(lively(session, 90.25, 95, flat(503.6), 0.25), 95)

    assert session.state.phase is Phase.BEAD
    assert stands(lively(session, 95.25, 98, flat(503.6), 0.25)) is S.UNIT
