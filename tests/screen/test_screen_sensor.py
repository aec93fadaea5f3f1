"""What the welder sees of a sensor that can't be taken at its word, state by state."""

from __future__ import annotations

import functools

import fake_desk as fd
import msgspec
import pytest
import sensor_states as states

from pacer.heat.thermocouple import Letter
from pacer.screen.parts.accuracy import correction, tolerance, tolerance_dc
from pacer.screen.parts.standing import ABOUT, UNDER, WORST_FIRST
from pacer.screen.parts.temperature import DASHES
from pacer.screen.view import View, view
from pacer.session.cues import CUES, CueKind, Urgency
from pacer.session.events import Channel
from pacer.session.guard.standing import QUESTIONS, TRUSTED, Standing, standing
from pacer.session.track import believed
from pacer.units import Shown

METRIC = Shown("metric")
WITHOUT_A_NUMBER = set(Standing) - TRUSTED - QUESTIONS - {Standing.ARC}

ASKED = {
    Standing.STUCK: CueKind.STUCK,
    Standing.UNIT: CueKind.WHICH_UNIT,
    Standing.PROBE: CueKind.PROBE_OFF,
    Standing.JUMPED: CueKind.JUMPED,
    Standing.REVERSED: CueKind.REVERSED,
    Standing.WIRE: CueKind.WIRE_TYPE,
    Standing.APART: CueKind.APART,
}


@functools.cache
def session(state: Standing) -> fd.Session:
    """Return the session that is in a state; not to be folded further."""
    return states.SESSIONS[state]()


@functools.cache
def seen(state: Standing) -> View:
    """Return what is seen of a state."""
    return view(session(state).snapshot(), METRIC)


@pytest.mark.parametrize("state", Standing)
def test_every_state_is_reached_by_events_alone(state: Standing) -> None:
    """What is tested here is what the fold really makes."""
    made = session(state)
    assert standing(made.state, made.t_s).state is state


@pytest.mark.parametrize("state", Standing)
def test_only_a_trusted_state_has_a_place_in_the_band(state: Standing) -> None:
    """Neither in words nor on the gauge: rule 4 of the sensor's states."""
    temp, gauge = seen(state).temp, seen(state).gauge
    decides = believed(session(state).state, session(state).t_s) is not None
    assert decides == (state in TRUSTED)
    if state not in TRUSTED:
        assert temp.standing in {"unknown", "none"}
        assert temp.temp_c is None
        assert gauge.temp_c is None
        assert gauge.digits == ""
        for word in ("under ceiling", "floor", "to go", "above"):
            assert word not in temp.age.lower() + temp.place.lower()
        assert seen(state).rate == ""


@pytest.mark.parametrize("state", sorted(QUESTIONS))
def test_a_question_has_its_number_with_a_question_mark(state: Standing) -> None:
    """Grey, with its unit, and underneath what it is about and what to do."""
    temp = seen(state).temp
    control = session(state).state.control
    assert control is not None
    assert control.value_c is not None
    assert temp.digits == f"{control.value_c:.0f}?"
    over = control.value_c > fd.JOB.band.ceiling_c
    place = "OVER CEILING if it is right" if over else UNDER[state]
    assert (temp.unit, temp.sure, temp.place) == ("°C", False, place)


@pytest.mark.parametrize("state", sorted(QUESTIONS))
def test_a_question_is_the_giant_word_with_its_evidence(state: Standing) -> None:
    """As NO READING is: FAULT, and the line says what was seen and what to do."""
    shown = seen(state)
    assert (shown.word, shown.urgency) == (CUES[ASKED[state]].word, Urgency.FAULT)
    evidence = shown.words.split(": ")[0]
    assert any(ch.isdigit() for ch in evidence), evidence
    # A field without its value would be filled with a question mark, or left in braces.
    assert not set("?{}") & set(evidence), evidence


NOT_BY_PRESS = {Standing.REVERSED}


@pytest.mark.parametrize("state", sorted(NOT_BY_PRESS))
def test_a_press_makes_no_right_number_of_swapped_leads(state: Standing) -> None:
    """It silences the alarm; the number keeps its mark and decides nothing."""
    made = states.SESSIONS[state]()
    made.wait(1.0).press("next")
    assert not view(made.snapshot(), METRIC).unanswered
    assert standing(made.state, made.t_s).state is state


@pytest.mark.parametrize("state", sorted(QUESTIONS - NOT_BY_PRESS))
def test_one_press_answers_a_question(state: Standing) -> None:
    """Then the number decides as it is, without a mark, and the word is the phase's again."""
    made = states.SESSIONS[state]()
    made.wait(1.0).press("next")
    shown = view(made.snapshot(), METRIC)
    assert shown.word != CUES[ASKED[state]].word
    assert "?" not in shown.temp.digits
    assert shown.temp.temp_c is not None


def test_a_typed_reading_decides_in_the_place_of_a_doubted_one() -> None:
    """The digits are the typed ones; the sensor line goes on naming the doubt."""
    made = states.jumped().press("reading", temp_c=255.0).read(120.0, 3.0)
    shown = view(made.snapshot(), METRIC)
    assert (shown.temp.digits, shown.temp.age) == ("255", "typed just now")
    assert shown.word != "JUMPED"
    assert "jumped" in shown.sensor


def test_a_question_raised_by_a_typed_reading_stands_until_it_is_answered() -> None:
    """The typed one decides at once, yet the alarm that sounds is on the screen."""
    made = fd.holding().ramp(339.5).read(339.5, 5.0).press("reading", temp_c=260.0).read(339.5, 3.0)
    shown = view(made.snapshot(), METRIC)
    assert (shown.word, shown.unanswered) == ("WIRE TYPE", True)
    assert (shown.temp.digits, shown.temp.standing) == ("260", "in")
    shown = view(made.press("shelve").read(339.5, 1.0).snapshot(), METRIC)
    assert (shown.word, shown.temp.digits) == ("HOLD", "260")
    assert "t1 340 °C?, wire type" in shown.sensor


@pytest.mark.parametrize("state", sorted(WITHOUT_A_NUMBER))
def test_without_a_number_there_are_dashes_and_the_state_is_named(state: Standing) -> None:
    """Under the dashes, and on the sensor line."""
    shown = seen(state)
    assert shown.temp.digits == DASHES
    if state not in {Standing.HAND, Standing.WAITING}:
        assert state.value in f"{shown.temp.age} {shown.temp.place}"
    assert shown.sensor


def test_unreadable_lines_are_no_silence() -> None:
    """They are counted, and the last one shown, cleaned."""
    line = seen(Standing.GARBLED).sensor
    assert line.startswith("sensor unreadable · 20 garbled, last “~")
    assert "silent" not in line


def test_a_noisy_number_stays_and_is_marked() -> None:
    """The median decides, so it keeps its place; the mark says to look at the plug."""
    shown = seen(Standing.NOISY)
    assert (shown.temp.digits, shown.temp.standing, shown.temp.sure) == ("262", "in", True)
    assert shown.temp.place == "noisy · 38 °C under ceiling"
    assert "t1 262 °C, noisy" in shown.sensor


def test_first_readings_are_grey_and_called_checking() -> None:
    """reliability.md section 4, PROBING; before them the port is starting."""
    checking, starting = seen(Standing.CHECKING), seen(Standing.STARTING)
    assert (checking.temp.digits, checking.temp.sure) == ("21", False)
    assert checking.temp.place.startswith("checking · ")
    assert (starting.temp.digits, starting.temp.age) == (DASHES, "starting")
    assert starting.sensor == "sensor starting"
    assert "the sensor is starting" in starting.quiet


def test_while_the_arc_is_in_the_reading_the_number_before_it_is_held() -> None:
    """Grey, called held; the bead's own word stays; afterwards the number is live again."""
    shown = seen(Standing.ARC)
    assert shown.word == "WELD"
    assert (shown.temp.digits, shown.temp.age) == ("262", "held: arc in the reading")
    assert not shown.temp.sure
    after = view(states.after_arc().snapshot(), METRIC)
    assert (after.temp.digits, after.temp.sure, after.temp.age) == ("262", True, "")


def test_a_doubted_number_over_the_ceiling_is_feared_on_the_screen_too() -> None:
    """Nobody may take it for "in band"; once it is accepted the word is TOO HOT."""
    made = fd.holding().read(360.0, 6.0)
    shown = view(made.snapshot(), METRIC)
    assert (shown.word, shown.temp.digits) == ("JUMPED", "360?")
    assert (shown.temp.place, shown.temp.standing) == ("OVER CEILING if it is right", "unknown")
    shown = view(made.press("next").read(360.0, 1.0).snapshot(), METRIC)
    assert (shown.word, shown.temp.digits) == ("TOO HOT", "360")
    assert (shown.temp.place, shown.temp.standing) == ("OVER CEILING by 60 °C", "over")


def test_a_peen_is_not_lost_to_a_doubt() -> None:
    """It lasts seconds: the word stays, the number carries its question mark all the same."""
    shown = view(fd.peening().read(90.0, 3.0).snapshot(), METRIC)
    assert shown.word == "PEEN"
    assert (shown.temp.digits, shown.temp.standing) == ("90?", "unknown")


def test_channels_stand_worst_first_with_the_deciding_one_marked() -> None:
    """A broken second channel comes before a live deciding one."""
    made = fd.Session().press("next")
    for _ in range(10):
        made.raw(262.0, 250.0)
    line = view(made.snapshot(), METRIC).sensor
    assert line == "sensor ▸t1 262 °C · t2 250 °C"
    for _ in range(4):
        made.raw(262.0, None, status=("ok", "open"))
    line = view(made.snapshot(), METRIC).sensor
    assert line == "sensor t2 open circuit · ▸t1 262 °C"


def test_a_channel_silent_beside_others_is_named_and_with_all_of_them_once() -> None:
    """One plug of two is out; then the whole port says nothing."""
    made = fd.Session().press("next")
    for _ in range(10):
        made.raw(262.0, 250.0)
    made.read(262.0, 5.0)
    assert view(made.snapshot(), METRIC).sensor == "sensor t2 silent · ▸t1 262 °C"
    assert view(made.wait(6.0).snapshot(), METRIC).sensor == "sensor silent for 6 s"


def test_every_state_has_its_place_in_the_order_and_its_meaning() -> None:
    """A new state can't be forgotten; lines fit 80 columns beside the longest word."""
    assert sorted(WORST_FIRST) == sorted(Standing)
    assert set(ABOUT) == set(Standing)
    assert set(UNDER) == QUESTIONS
    assert max(map(len, ABOUT.values())) <= 60
    assert max(map(len, UNDER.values())) <= 30


def test_a_default_taken_without_an_answer_stays_visible() -> None:
    """After 30 s clean the reading is taken (headless runs ask nothing): the quiet line says so."""
    made = fd.holding().read(168.0, 40.0)
    shown = view(made.snapshot(), METRIC)
    assert shown.temp.digits == "168"
    assert "JUMPED not confirmed: taken as it reads" in shown.quiet


def test_an_accepted_doubt_is_not_called_a_default() -> None:
    """He has pressed: nothing stands open."""
    made = states.jumped().wait(1.0).press("next").read(120.0, 20.0)
    assert "not confirmed" not in view(made.snapshot(), METRIC).quiet


@pytest.mark.parametrize(
    ("letter", "temp_c", "wanted_dc"),
    [("K", 300.0, 2.5), ("K", 600.0, 4.5), ("N", 300.0, 2.5), ("K", 333.0, 2.5)],
)
def test_the_tolerance_is_that_of_class_2(letter: Letter, temp_c: float, wanted_dc: float) -> None:
    """IEC 60584 class 2 for K and N as quoted in reliability.md section 5: ±2.5 °C to 333 °C,
    then 0.0075 t; ±4.5 °C at 600 °C is its own sum."""
    found_dc = tolerance_dc(letter, temp_c)
    assert found_dc == pytest.approx(wanted_dc, abs=0.01)


def test_the_tolerance_is_shown_only_where_the_wire_is_known() -> None:
    """A meter's °C say nothing about its probe."""
    shown = view(states.volts().snapshot(), METRIC)
    assert (shown.temp.digits, shown.temp.tolerance) == ("262", "±2.5 °C")
    assert "type K wire ±2.5 °C as new" in shown.sensor
    assert tolerance(states.VOLTS, 262.0, Shown("us")) == "±4.5 °F"
    assert tolerance(Channel("t1", "degC"), 262.0, METRIC) == ""
    # Type K class 2 ends at 1200 °C (from memory).
    assert tolerance(states.VOLTS, 1250.0, METRIC) == ""


def test_a_correction_in_force_is_named_at_the_jobs_temperature() -> None:
    """0.004 of 260 °C less 0.2 K is 0.8 K, 1.5 °F; another channel's correction is not."""
    made = states.checked()
    assert "corrected +0.8 °C at 260 °C, 2026-11-20" in view(made.snapshot(), METRIC).sensor
    assert correction(made.state, Shown("us")) == "corrected +1.5 °F at 500 °F, 2026-11-20"
    other = msgspec.structs.replace(states.FIELD_CHECK, channel="t2")
    channel = Channel("t1", "degC", corrections=(other,))
    made = fd.Session(channel=channel).press("next").read(140.0, 5.0)
    assert correction(made.state, METRIC) == ""


@pytest.mark.parametrize(
    ("wall_m", "quiet", "rule"),
    [
        (
            0.012,
            "probe 30 mm from the joint; ISO 13916: 48 mm for 12 mm of wall",
            "probe at 30 mm; ISO 13916: 48 mm (4 t, at most 50 mm; t = 12 mm)",
        ),
        (
            0.02,
            "probe 30 mm from the joint; ISO 13916: 50 mm for 20 mm of wall",
            "probe at 30 mm; ISO 13916: 50 mm (4 t, at most 50 mm; t = 20 mm)",
        ),
        (
            0.06,
            "probe 30 mm from the joint; ISO 13916: hot for 75 mm all round, 60 mm of wall",
            "probe at 30 mm; ISO 13916: hot for 75 mm all round (walls above 50 mm)",
        ),
        (0.008, "", "probe at 30 mm; ISO 13916: 32 mm (4 t, at most 50 mm; t = 8 mm)"),
    ],
)
def test_before_the_heat_the_probes_place_stands_beside_the_standards(
    wall_m: float, quiet: str, rule: str
) -> None:
    """ISO 13916 clause 4.1 as trade.md quotes it (M01, M02); near enough nothing is told."""
    job = msgspec.structs.replace(
        fd.JOB,
        part=msgspec.structs.replace(fd.JOB.part, wall_m=wall_m),
        sensor=msgspec.structs.replace(fd.JOB.sensor, distance_m=0.03),
    )
    shown = view(fd.Session(job).snapshot(), METRIC)
    assert (shown.quiet, shown.measured) == (quiet, rule)
    assert view(fd.Session(job).press("next").snapshot(), METRIC).quiet == ""


def test_a_doubted_stretch_is_a_gap_in_the_trend() -> None:
    """Not drawn as a line that was believed; the real trend is kept by `run/trend.py`."""
    from pacer.run.trend import Trend

    kept, made = Trend(), fd.holding()
    kept.add(made.state)
    for _ in range(12):
        made.raw(120.0)
        kept.add(made.state)
    assert kept.points()[0][1] == 262.0
    assert made.state.control is not None
    assert made.state.control.doubt is not None
    since_s = made.state.control.doubt.since_s
    assert since_s <= made.t_s - 2.0
    doubted = [temp_c for at_s, temp_c in kept.points() if at_s >= since_s]
    assert doubted == [None]


def test_in_fahrenheit_a_question_holds_no_celsius() -> None:
    """The evidence is filled in the user's units."""
    for state in sorted(QUESTIONS):
        shown = view(session(state).snapshot(), Shown("us"))
        about_units = shown.words if state is not Standing.UNIT else ""
        assert "°C" not in about_units + shown.sensor + shown.temp.place
        assert shown.temp.unit == "°F"
