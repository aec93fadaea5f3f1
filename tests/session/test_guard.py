"""What the guard doubts, when, and what it leaves alone; every number written by hand.

Limits are `session/guard`'s own (reliability.md T-27 to T-29 and section 4, procedure.md
section 13, judgement); faults and sizes are invented.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from doubting import decides_c, first, line, pressed, ramp, read, ready_at_4_hz, stands
from telling import Session, ready

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.screen.words import words
from pacer.session.cues import DOUBTS, CueKind
from pacer.session.events import (
    NO_TEXT,
    Act,
    Channel,
    Reading,
    Resumed,
    SensorChanged,
    Thermocouple,
)
from pacer.session.fold import fold
from pacer.session.guard.standing import Standing, channel_standing
from pacer.session.hearing import spiked
from pacer.session.track import believed
from pacer.session.work import Phase
from pacer.units import Shown

S, K = Standing, CueKind


def garbage(
    session: Session, from_s: float, to_s: float, every_s: float = 0.25, why: str = NO_TEXT
) -> Session:
    """Lines that nobody can read."""
    for index in range(round((to_s - from_s) / every_s)):
        t_ms = round((from_s + index * every_s) * 1000)
        session.event(Reading(t_ms=t_ms, raw=("3\ufffd7.",), status="unparsable", why=why))
    return session


# Steps


def test_a_fall_that_no_part_makes_is_asked_about(hot_job: Job) -> None:
    """262 to 180 °C at 75 s: five of nine values at 76 s; READY goes, no REHEAT on it."""
    session = read(ready_at_4_hz(hot_job), 75, 80, 180.0)

    assert session.since(64) == ["76.0 JUMPED"]
    assert first(session, K.JUMPED).values == {"was_c": 262.0, "now_c": 180.0}
    assert (stands(session), decides_c(session), session.state.phase) == (
        S.JUMPED,
        None,
        Phase.WAIT,
    )


def test_the_words_of_a_doubt_show_its_figures_in_the_users_units(hot_job: Job) -> None:
    """262 °C is 504 °F, 180 °C is 356 °F."""
    session = read(ready_at_4_hz(hot_job), 75, 80, 180.0)

    assert "fell from 504 °F to 356 °F" in words(first(session, K.JUMPED), Shown("us"))


def test_a_slow_script_that_steps_in_ready_is_reheated_as_ever(hot_job: Job) -> None:
    """262 to 199 °C between two lines a second apart: a script's step, no real meter's fall."""
    session = ready(hot_job, to_s=80).steady(80, 90, 199.0)

    assert session.since(73) == ["83.0 REHEAT"]


def test_steps_in_a_preheat_are_a_flames(hot_job: Job) -> None:
    """20 to 150, 150 to 262 °C at once, four times a second: nothing is asked."""
    session = Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next")
    read(read(read(session, 1.25, 4, 20.0), 4, 8, 150.0), 8, 12, 262.0)

    assert session.cues == ["0.0 PREPARE", "1.0 PREHEAT", "11.0 SOAK"]


def test_a_two_second_lick_of_flame_does_not_end_the_preheat(hot_job: Job) -> None:
    """Eight values at 400 °C: the median holds them for 2 s, as long as the on-delay is."""
    session = Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next")
    read(read(read(session, 1.25, 10, 150.0), 10, 12, 400.0), 12, 30, 150.0)

    assert session.state.phase is Phase.PREHEAT
    assert "SOAK" not in str(session.cues)


def test_a_single_spike_is_no_step(hot_job: Job) -> None:
    """One value in nine, and two: the median stands."""
    session = ready_at_4_hz(hot_job)
    read(session.at(75, 900.0), 75.25, 80, 262.0)
    read(session.at(80, -20.0).at(80.25, 900.0), 80.5, 90, 262.0)

    assert session.since(64) == []


def test_a_fall_of_the_peen_asks_whether_the_probe_is_on(hot_job: Job) -> None:
    """Arc 75-85 s, peen to 100; 37 K lower from 90 s: known at once, told when the peen is over."""
    session = read(ready_at_4_hz(hot_job).at(75, "arc on"), 75, 85, 262.0).at(85, "arc off")
    read(read(session, 85, 90, 262.0), 90, 92, 225.0)
    assert stands(session) is S.PROBE
    assert decides_c(session) is None

    assert read(session, 92, 102, 225.0).since(86) == ["100.0 PROBE_OFF"]


def test_the_same_small_fall_long_after_a_peen_is_no_doubt(hot_job: Job) -> None:
    """37 K in a READY without a bead before it: under the 50 K of a jump."""
    session = read(ready_at_4_hz(hot_job), 75, 90, 225.0)

    assert session.since(64) == []
    assert stands(session) is S.LIVE


def test_too_hot_is_told_at_its_time_though_the_step_is_in_doubt(hot_job: Job) -> None:
    """262 to 350 °C: JUMPED at 76 s, WAIT 2 s after the median, as for a part that is too hot."""
    session = read(ready_at_4_hz(hot_job), 75, 80, 350.0)

    assert session.since(64) == ["76.0 JUMPED", "78.0 WAIT"]
    assert first(session, K.WAIT).values["temp_c"] == 350.0


def test_too_hot_in_a_hold_is_told_though_the_step_is_in_doubt(hot_job: Job) -> None:
    """The same in a hold, where it is an alarm."""
    session = read(ready_at_4_hz(hot_job).at(75, "hold"), 75, 77, 262.0)
    read(session, 77, 82, 350.0)

    assert session.since(76) == ["78.0 JUMPED", "80.0 TOO_HOT"]


def test_too_cold_is_not_told_by_a_doubted_fall(hot_job: Job) -> None:
    """In a hold 262 to 60 °C: JUMPED, and nobody brings the heat back for it."""
    session = read(ready_at_4_hz(hot_job).at(75, "hold"), 75, 77, 262.0)
    read(session, 77, 120, 60.0)

    assert session.since(76) == ["78.0 JUMPED"]


# Units


def test_a_hand_can_not_begin_the_heat_before_the_unit_was_asked(hot_job: Job) -> None:
    """68 since the start, pressed after a second: asked instead; the next press answers and goes on."""
    session = read(Session(hot_job, period_s=0.25), 0, 1, 68.0)
    pressed(session, 1).until(2)
    assert session.cues == ["0.0 PREPARE", "1.0 WHICH_UNIT"]

    pressed(read(session, 2, 3, 68.0), 3)
    assert session.state.phase is Phase.PREHEAT


def test_lines_that_say_their_unit_are_not_asked_about_it_by_a_press(hot_job: Job) -> None:
    """154 °F, marked: a part that stood in the sun."""
    session = Session(hot_job, period_s=0.25)
    for index in range(4):
        line(session, 0.25 * index, 154.0, units=("degF",))
    pressed(session, 1)

    assert session.state.phase is Phase.PREHEAT


def test_a_press_asks_by_the_mark_of_the_channel_that_decides(hot_job: Job) -> None:
    """154 °F, marked, beside a channel without a unit; then the one without it decides."""
    sun, bare = Session(hot_job, period_s=0.25), Session(hot_job, period_s=0.25)
    for index in range(4):
        line(sun, 0.25 * index, 154.0, 1.0, names=("t1", "flow"), units=("degF", ""))
        line(bare, 0.25 * index, 154.0, 20.0, names=("t1", "t2"), units=("", "degC"))

    assert pressed(sun, 1).state.phase is Phase.PREHEAT
    assert pressed(bare, 1).until(2).cues == ["0.0 PREPARE", "1.0 WHICH_UNIT"]


def test_a_marked_channel_is_not_asked_about_at_the_lines_of_another(hot_job: Job) -> None:
    """One channel a line, in turn, both marked: 154 °F for eight seconds, nothing to ask."""
    session = Session(hot_job, period_s=0.25)
    for index in range(32):
        name, value = (("t1", 154.0), ("t2", 68.0))[index % 2]
        line(session, 0.25 * index, value, names=(name,), units=("degF",))

    assert session.cues == ["0.0 PREPARE"]


def test_a_cold_part_in_fahrenheit_is_asked_about_once(hot_job: Job) -> None:
    """68 in PREPARE after five lines and five seconds; the press that goes on answers it."""
    session = Session(hot_job, period_s=0.25)
    read(session, 0, 10, 68.0).at(10, "next")
    read(session, 10, 20, 68.0)

    assert session.cues == ["0.0 PREPARE", "5.0 WHICH_UNIT", "10.0 PREHEAT"]
    assert "°F, for 20 °C" in words(first(session, K.WHICH_UNIT), Shown())
    assert decides_c(session) == 68.0


@pytest.mark.parametrize(
    ("temp_c", "says"), [(293.0, "K, for 20 °C"), (200.0, "is it warm already?")]
)
def test_what_a_cold_part_cannot_read_is_named(hot_job: Job, temp_c: float, says: str) -> None:
    """293 is 20 °C in kelvin; 200 is no shop in any unit."""
    session = read(Session(hot_job, period_s=0.25), 0, 8, temp_c)

    assert says in words(first(session, K.WHICH_UNIT), Shown())


def test_a_line_that_marks_its_unit_is_not_asked_about(hot_job: Job) -> None:
    """68 °F said as such is 20 °C; 68 °C said as such is the welder's business."""
    session = Session(hot_job, period_s=0.25)
    for index in range(40):
        line(session, index * 0.25, 68.0, units=("degC",))

    assert session.cues == ["0.0 PREPARE"]


def test_a_session_taken_up_again_is_not_asked_for_its_unit(hot_job: Job) -> None:
    """After a resumption the part is as it is."""
    session = Session(hot_job, period_s=0.25).event(Resumed(t_ms=1000))

    assert read(session, 2, 12, 150.0).since(1) == []


@pytest.mark.parametrize("turned", ["to °F", "to °C"])
def test_a_meter_switched_to_another_unit_is_asked_about(hot_job: Job, turned: str) -> None:
    """262 °C is 503.6 °F; the other way round it falls to 127.8."""
    other = 262.0 * 1.8 + 32.0 if turned == "to °F" else (262.0 - 32.0) / 1.8
    session = read(ready_at_4_hz(hot_job), 75, 90, other)

    assert session.since(64)[0] == "76.0 WHICH_UNIT"
    assert "JUMPED" not in str(session.cues)
    # Time alone never answers it.
    assert (stands(session), decides_c(session)) == (S.UNIT, None)


# Stuck


def noisy_heating(job: Job) -> Session:
    """A preheat from 20 °C at 1.2 K/s, each reading another, up to 80 °C at 55 s."""
    session = read(Session(job, period_s=0.25), 0, 5, 20.0).at(5, "next")
    return ramp(session, 5, 55, 20.0, 1.2)


def test_a_value_that_stands_still_under_the_flame_is_stuck(hot_job: Job) -> None:
    """79.7 °C from 55 s on, in a preheat: told at 60 s of it."""
    session = read(noisy_heating(hot_job), 55, 120, 79.7)

    assert session.since(6) == ["115.0 STUCK"]
    assert (stands(session), decides_c(session)) == (S.STUCK, None)
    assert first(session, K.STUCK).values["same_s"] == 60


def test_a_stuck_value_that_moves_again_decides_and_is_called_back(hot_job: Job) -> None:
    """It moves at 120 s: heard at once, back after 10 s."""
    session = read(noisy_heating(hot_job), 55, 120, 79.7)
    ramp(session, 120, 135, 150.0, 1.2)

    assert session.since(116) == ["130.0 READING_BACK"]
    assert stands(session) is S.LIVE


def test_a_value_that_stands_still_in_a_soak_or_hold_is_not_stuck(hot_job: Job) -> None:
    """T-28: without an arc, a flame or another channel nothing must have moved it."""
    session = noisy_heating(hot_job)
    ramp(session, 55, 70, 80.0, 12.2)
    read(session, 70, 900, 262.0)

    assert "STUCK" not in str(session.cues)


def test_an_arc_near_the_probe_must_have_moved_it(hot_job: Job) -> None:
    """Ten seconds of arc, over for 20 s, 60 s of the very same value: stuck."""
    session = noisy_heating(hot_job)
    ramp(session, 55, 130, 80.0, 2.43)
    read(session, 130, 200, 262.0)
    assert session.state.phase is Phase.READY
    read(session, 200, 201, 261.7)
    read(session.at(201, "arc on"), 201, 211, 261.7).at(211, "arc off")
    read(session, 211, 262, 261.7)

    assert session.since(227) == ["260.0 STUCK"]


def test_a_script_of_constants_is_not_stuck(hot_job: Job) -> None:
    """One line a second, always the same, through five beads: a source that never moves by itself."""
    session = ready(hot_job)
    for start_s in range(80, 280, 40):
        session.steady(start_s - 6, start_s, 262.0).at(start_s, "arc on")
        session.steady(start_s + 1, start_s + 10, 262.0).at(start_s + 10, "arc off")
        session.steady(start_s + 11, start_s + 34, 262.0)

    assert not {"STUCK", "NO_READING"} & {cue.split()[1] for cue in session.cues}


def test_another_channel_that_moves_tells_of_a_stuck_one(hot_job: Job) -> None:
    """T-28: in READY the second channel cools by 5 K in the minute."""
    session = Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next")
    names = ("t1", "t2")
    for index in range(600):
        t_s, moves = 1.25 + index * 0.25, 262.0 + 0.3 * (index % 2)
        line(session, t_s, moves, moves, names=names)
    for index in range(280):
        line(session, 151.25 + index * 0.25, 262.1, 262.0 - 0.02 * index, names=names)

    assert session.since(100) == ["211.2 STUCK"]


# Leads, wires, channels


def test_a_reading_that_falls_under_the_flame_has_its_leads_swapped(hot_job: Job) -> None:
    """From 20 °C down by 1.2 K/s: 15 K below the room and the first reading at 22.5 s."""
    session = read(Session(hot_job, period_s=0.25), 0, 10, 20.0).at(10, "next")
    ramp(session, 10, 40, 20.0, -1.2)

    assert [cue.split()[1] for cue in session.cues] == ["PREPARE", "PREHEAT", "REVERSED"]
    assert first(session, K.REVERSED).t_s == pytest.approx(23.5, abs=0.5)
    assert stands(session) is S.REVERSED


def test_a_cold_draught_is_not_reversed_leads(hot_job: Job) -> None:
    """From 20 to 8 °C before the flame is lit."""
    session = read(Session(hot_job, period_s=0.25), 0, 10, 20.0).at(10, "next")
    read(session, 10, 30, 8.0)

    assert "REVERSED" not in str(session.cues)


def test_a_typed_reading_finds_the_wire_type(hot_job: Job) -> None:
    """At 10.66 mV type K reads 262 °C, J wire some 204 (IEC 60584 tables, cold junction 20 °C)."""
    session = read(ready_at_4_hz(hot_job).at(75, "reading 204"), 75, 78, 262.0)

    assert session.since(64) == ["75.0 WIRE_TYPE"]
    assert "like J wire on a K setting" in words(first(session, K.WIRE_TYPE), Shown())
    assert decides_c(session) == 204.0


def test_a_typed_reading_in_a_soak_is_of_another_place(hot_job: Job) -> None:
    """The far place may be 58 K colder, as J wire would read."""
    session = ready(hot_job, to_s=60).at(60, "reading 204").steady(60.5, 70, 262.0)

    assert "WIRE_TYPE" not in str(session.cues)


def test_a_typed_reading_finds_a_meter_in_fahrenheit(hot_job: Job) -> None:
    """Shown 262, typed 128: 128 °C is 262.4 °F."""
    session = read(ready_at_4_hz(hot_job).at(75, "reading 128"), 75, 78, 262.0)

    assert session.since(64)[0] == "75.0 WHICH_UNIT"


def test_a_voltage_source_is_asked_by_its_own_letter(hot_job: Job) -> None:
    """10.66 mV through K is 262 °C with the junction at 20 °C; typed 204: J."""
    wire = Channel("", "mV", thermocouple=Thermocouple("K", cj_c=20.0))
    session = Session(hot_job, period_s=0.25, channel=wire).at(0, 0.0).at(1, "next")
    session.steady(1.25, 75, 9.86, every_s=0.25).at(75, "reading 204")
    session.steady(75, 78, 9.86, every_s=0.25)

    assert {"WIRE_TYPE"} <= {cue.split()[1] for cue in session.since(64)}


def two(session: Session, from_s: float, to_s: float, a_c: float, b_c: float) -> Session:
    """Lines of two channels."""
    for index in range(round((to_s - from_s) * 4)):
        line(session, from_s + index / 4, a_c, b_c, names=("t1", "{t2}"))
    return session


def test_two_channels_far_apart_between_beads_are_asked_about(hot_job: Job) -> None:
    """61 K for 10 s in READY; the odd name is shown as it is."""
    session = two(Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next"), 1.25, 75, 262, 262)
    two(session, 75, 90, 262.0, 250.0)
    assert session.since(64) == []

    two(session, 90, 93, 262.0, 215.0)
    two(session, 93, 110, 262.0, 201.0)
    assert session.since(64) == ["104.0 APART"]
    assert "t1 reads 262 °C, {t2} 201 °C" in words(first(session, K.APART), Shown())


def test_a_torch_leaves_channels_apart_in_a_preheat(hot_job: Job) -> None:
    """200 K between two places (procedure.md section 3) is what a torch does."""
    session = two(Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next"), 1.25, 60, 240, 40)

    assert session.cues == ["0.0 PREPARE", "1.0 PREHEAT"]


def test_channels_never_fill_in_for_each_other(hot_job: Job) -> None:
    """The deciding channel jumps, the other is well: nothing decides."""
    session = two(Session(hot_job, period_s=0.25).at(0, 20.0).at(1, "next"), 1.25, 75, 262, 262)
    two(session, 75, 80, 60.0, 262.0)
    other = session.state.tracks[1]

    assert stands(session) is S.JUMPED
    assert channel_standing(session.state, other, 79.9).state is S.LIVE
    assert decides_c(session) is None


# Open circuits, noise, garbage, a port just opened


def test_exact_zeros_of_a_hot_part_are_an_open_circuit(hot_job: Job) -> None:
    """Three lines of 0.00 after 262 °C; five good ones mend it."""
    session = read(ready_at_4_hz(hot_job), 75, 76, 0.0)
    assert (stands(session), decides_c(session)) == (S.OPEN, None)

    read(session, 76, 77, 262.0)
    assert stands(session) is S.OPEN
    read(session, 77, 78, 262.0)
    assert (stands(session), decides_c(session)) == (S.LIVE, 262.0)


def test_an_exact_zero_of_a_cold_bench_is_a_temperature(hot_job: Job) -> None:
    """A shop at 0 °C before any heat."""
    session = read(Session(hot_job, period_s=0.25), 0, 20, 0.0)

    assert session.cues == ["0.0 PREPARE"]
    assert decides_c(session) == 0.0


def test_every_fifth_value_off_is_noise_and_told_once_while_it_lasts(hot_job: Job) -> None:
    """Still trusted, and marked; ten clean seconds end it; anew it is told ten minutes later."""
    session = ready_at_4_hz(hot_job).at(75, "hold")
    for start_s in (75.0, 187.0):
        for index in range(4 * 100):
            # Every fourth value is off, up and down in turn.
            off_dc = (300.0, 0.0, 0.0, 0.0, -300.0, 0.0, 0.0, 0.0)[index % 8]
            session.at(start_s + index * 0.25, 262.0 + off_dc)
        assert (stands(session), decides_c(session)) == (S.NOISY, 262.0)
        read(session, start_s + 100, start_s + 112, 262.0)
        assert stands(session) is S.LIVE
    told = [cue.t_s for cue in session.told if cue.kind is K.NOISY]

    assert told == [pytest.approx(82.5, abs=1.5)]


def test_garbage_from_the_start_is_named_within_three_seconds(hot_job: Job) -> None:
    """T-22; told with its reason when ten seconds have brought no number."""
    session = garbage(Session(hot_job), 0, 2.75)
    assert stands(session) is S.GARBLED

    garbage(session, 2.75, 12)
    assert session.since(1) == ["10.0 NO_READING"]
    assert "baud rate" in session.told[-1].because


def test_text_that_is_refused_is_told_with_the_decoders_reason(hot_job: Job) -> None:
    """The baud rate is right, and he must be told what is not."""
    session = garbage(Session(hot_job), 0, 12, why='found "430 F", but the URL says unit=degC')

    assert "unit=degC" in session.told[-1].because
    assert "baud rate" not in session.told[-1].because


def test_a_unit_of_a_bus_that_refuses_is_told_in_its_own_words(hot_job: Job) -> None:
    """Each value unparsable, in a record of its channels: silence, with its reason."""
    session = ready_at_4_hz(hot_job)
    for index in range(40):
        session.event(
            Reading(
                t_ms=75_000 + 250 * index,
                raw=(None,),
                status=("unparsable",),
                why="register 5: illegal data address",
            )
        )

    assert session.told[-1].kind is K.NO_READING
    assert "illegal data address" in session.told[-1].because


def test_garbage_instead_of_readings_is_named_and_not_noise(hot_job: Job) -> None:
    """From 75 s on: silent after 2 s, unreadable after 2.5, told at 5 s."""
    session = garbage(ready_at_4_hz(hot_job), 75, 82)

    assert stands(session) is S.GARBLED
    assert session.since(64) == ["79.8 NO_READING"]


def test_an_opened_port_starts_and_is_checked(hot_job: Job) -> None:
    """Settling for 2 s, then five good lines; they are trusted all the same."""
    session = Session(hot_job, period_s=0.25)
    session.event(SensorChanged(t_ms=0, state="opened", settle_s=2.0)).until(1.0)
    assert stands(session) is S.STARTING

    read(session, 2, 3, 20.0)
    assert (stands(session), decides_c(session)) == (S.CHECKING, 20.0)
    assert stands(read(session, 3, 4, 20.0)) is S.LIVE


# The arc


def arc(session: Session, from_s: float, temps_c: list[float], by: str = "signal") -> Session:
    """An arc of ten seconds, told by its signal or a press; the same readings again and again."""
    session.event(Act(t_ms=round(from_s * 1000), deed="arc on", by=by))
    for index in range(40):
        session.at(from_s + (index + 1) * 0.25, temps_c[index % len(temps_c)])
    return session.event(Act(t_ms=round((from_s + 10.0) * 1000) + 1, deed="arc off", by=by))


HUM = [262.0, 280.0, 262.0, 244.0]


@pytest.mark.parametrize("burning_c", [[322.0], [222.0], HUM])
def test_what_comes_and_goes_with_the_arc_is_left_out(hot_job: Job, burning_c: list[float]) -> None:
    """60 K up, 40 K down, or 18 K to and fro while the arc burns: the value before it is held."""
    session = arc(ready_at_4_hz(hot_job), 75, burning_c)
    read(session, 85.25, 110, 264.0)

    assert decides_c(session) == 264.0
    kinds = [cue.split()[1] for cue in session.since(64)]
    assert kinds == ["FINISH", "STOP", "PEEN", "READY", "ARC_IN_READING"]
    # When the peen is over, and the step that followed it has been heard.
    assert first(session, K.ARC_IN_READING).t_s == pytest.approx(105.0, abs=0.1)


def test_the_state_is_the_arcs_while_it_burns(hot_job: Job) -> None:
    """Nothing decides then; the next arc is left out from its start."""
    session = ready_at_4_hz(hot_job).at(75, "arc on")
    read(session, 75.25, 78, 322.0)
    control = session.state.control
    assert stands(session) is S.ARC
    assert control is not None
    assert control.value_c == 262.0

    read(read(session, 78, 85, 322.0).at(85, "arc off"), 85, 105, 263.0)
    session.at(105, "arc on").at(105.25, 323.0)
    assert stands(session) is S.ARC


def test_a_real_step_in_a_bead_is_heard_three_seconds_after_it(hot_job: Job) -> None:
    """60 K up at the arc on, and still so when it is out: no arc's doing."""
    session = read(ready_at_4_hz(hot_job).at(75, "arc on"), 75.25, 85, 302.0).at(85, "arc off")
    read(session, 85.25, 88.5, 302.0)
    control = session.state.control

    assert control is not None
    assert control.value_c == 302.0
    assert "ARC_IN_READING" not in str(read(session, 88.5, 120, 302.0).cues)


def test_the_heat_of_a_bead_is_no_noise_of_the_arc(hot_job: Job) -> None:
    """1 K/s from the arc on: heard as it comes."""
    session = ready_at_4_hz(hot_job).at(75, "arc on")
    ramp(session, 75.25, 85, 262.0, 1.0)

    assert stands(session) is S.LIVE
    assert decides_c(session) == pytest.approx(270.5, abs=0.6)


def test_a_bead_undone_leaves_no_value_out(hot_job: Job) -> None:
    """Pressed by mistake: there was no arc, 320 °C is the part's."""
    session = read(ready_at_4_hz(hot_job).at(75, "next"), 75.25, 80, 320.0).at(80, "undo")

    assert session.state.phase is Phase.WAIT
    now = believed(session.state, 80.0)
    assert now is not None
    assert now.temp_c == 320.0


def test_a_part_found_too_hot_in_the_peen_waits_though_it_is_in_doubt(hot_job: Job) -> None:
    """262 to 350 °C in the peen: at its end WAIT is told, and the doubt with it."""
    session = read(ready_at_4_hz(hot_job).at(75, "arc on"), 75, 85, 262.0).at(85, "arc off")
    read(read(session, 85, 90, 262.0), 90, 102, 350.0)

    assert session.since(86) == ["100.0 WAIT", "100.0 JUMPED"]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["practice-good.jsonl", "practice-uncovered-early.jsonl"])
def test_the_kept_recordings_raise_no_doubt(root: Path, name: str) -> None:
    """Practice sessions with the practice probe's bursts and spikes: nothing of the guard is told."""
    recording = Recording(root / "recordings" / name)
    state, cues = fold(recording.head, recording.events())

    assert not (DOUBTS | {K.NO_READING, K.NOISY, K.ARC_IN_READING}) & {cue.kind for cue in cues}
    assert all(track.taken is None for track in state.tracks)


@pytest.mark.parametrize(
    ("window", "counts"),
    [
        ((262.0, 262.0, 900.0, 262.0), True),
        ((262.0, 900.0, 600.0, 262.0), True),
        ((262.0, 262.0, 400.0, 400.0), False),
        ((150.0, 250.0, 320.0, 360.0), False),
        ((262.0, 262.0, 280.0, 262.0), False),
    ],
)
def test_what_counts_as_a_spike(window: tuple[float, ...], counts: bool) -> None:
    """One or two in a row do; a step, a rise and a small move don't."""
    assert spiked(window, 262.0) is counts


def test_two_spikes_of_a_slow_meter_that_disagree_are_not_believed(hot_job: Job) -> None:
    """One line a second: 262, 900, 500; no two of three agree, and the old value stands."""
    session = ready(hot_job, to_s=80).at(80, 900.0).at(81, 500.0)

    assert decides_c(session) == 262.0
