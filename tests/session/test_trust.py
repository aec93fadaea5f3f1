"""What may be believed, and what an undo brings back; numbers written by hand.

The rules are design.md's and reliability.md section 4's: common practice, no source.
"""

from __future__ import annotations

from telling import Session, ready

from pacer.job.job import Job
from pacer.run.trend import Trend
from pacer.session.events import Channel, Reading, Resumed
from pacer.session.forecast import cooldown, outlook
from pacer.session.track import believed


def _noise(t_s: float) -> Reading:
    return Reading(t_ms=round(t_s * 1000), raw=("~~",), status="unparsable", why="noise")


def test_noise_never_brings_an_old_temperature_back(hot_job: Job) -> None:
    """Readings to 79 s, then a garbled line a second: silent from 82 s, told at 84, and so it stays."""
    session = ready(hot_job, to_s=80)
    for t_s in range(80, 130):
        session.event(_noise(t_s))

    assert session.since(73) == ["84.0 NO_READING"]
    assert believed(session.state, 129.0) is None
    assert session.state.sensor.garbled == 50


def test_a_sensor_open_from_the_start_is_told(hot_job: Job) -> None:
    """Lines come, but never a number: told after 10 s, with the reason."""
    session = Session(hot_job)
    for t_s in range(20):
        session.event(Reading(t_ms=t_s * 1000, raw=(None,), status="open"))

    assert session.since(1) == ["10.0 NO_READING"]


def test_a_channel_that_never_comes_is_named(hot_job: Job) -> None:
    """`channel=T9` on a source that sends t1."""
    session = Session(hot_job, channel=Channel(name="T9", unit="degC")).steady(0, 20, 21.0)

    assert session.since(1) == ["10.0 NO_READING"]
    assert session.told[-1].because == "no number from channel T9"


def test_a_hand_session_taken_up_with_an_instrument_watches_it(hot_job: Job) -> None:
    """After resuming on a real sensor its silence counts: last reading 104 s, told at 109 s."""
    session = Session(hot_job, hand=True).at(1, "next").event(Resumed(t_ms=100_000, hand=False))
    session.steady(100, 105, 150.0).until(120)

    assert session.since(100) == ["109.0 NO_READING"]


def test_a_press_above_the_floor_in_reheat_stands_until_the_floor_is_passed(hot_job: Job) -> None:
    """201 °C is too near for a whole bead, but the welder's word goes: ready, until 199 °C."""
    session = ready(hot_job).at(73, "next").at(83, "next").steady(84, 102, 201.0).at(102, "next")
    session.steady(103, 110, 201.0)
    assert session.since(98) == ["98.0 REHEAT", "102.0 READY"]

    session.steady(110, 115, 199.0)
    assert session.since(103) == ["113.0 REHEAT"]


def test_too_cold_tells_the_coldest_point(hot_job: Job) -> None:
    """Two channels in the soak, 265 and 190: 190 is the evidence."""
    session = ready(hot_job, to_s=20)
    for t_s in range(20, 26):
        session.event(Reading(t_ms=t_s * 1000, raw=(265.0, 190.0), status="ok", names=("t1", "t2")))

    assert session.cues[-1] == "22.0 TOO_COLD"
    assert session.told[-1].values["temp_c"] == 190.0


def test_uncovering_in_a_silence_forecasts_from_the_last_temperature(hot_job: Job) -> None:
    """No reading at the moment of uncovering: the last one of the cool-down starts the fit."""
    session = ready(hot_job).at(74, "covered").steady(75, 100, 250.0).at(200, "uncovered")

    assert session.state.cooling is not None
    assert session.state.cooling.start_c == 250.0
    assert cooldown(session.state, 200.0) is not None


def test_the_hottest_known_point_ends_the_cool_down(hot_job: Job) -> None:
    """30 °C at one probe and 200 °C at another is not cool."""
    session = ready(hot_job).at(74, "covered")
    for t_s in range(75, 90):
        session.event(Reading(t_ms=t_s * 1000, raw=(30.0, 200.0), status="ok", names=("t1", "t2")))
    session.at(90, "next")

    assert session.cues[-1] == "90.0 CANNOT"


def test_undoing_an_uncovering_brings_the_forecasts_readings_back(hot_job: Job) -> None:
    """X pressed by mistake at 100: cover and bins are as before."""
    session = ready(hot_job).at(74, "covered").steady(75, 100, 250.0)
    before = session.state.cooling
    session.at(100, "uncovered").at(101, "undo")

    assert session.state.cooling == before


def test_an_arc_can_not_be_undone(hot_job: Job) -> None:
    """Press, arc on, undo: the bead stays, an arc is a fact."""
    session = ready(hot_job).at(74, "hold").at(76, "arc on").at(77, "undo")

    # Refused without a word: nothing else is told while the arc burns.
    assert session.since(76) == []
    assert session.state.ignored == 1
    assert len(session.state.work.beads) == 1


def test_what_was_typed_before_a_gap_is_forgotten(hot_job: Job) -> None:
    """Nobody watched for a minute: a typed 250 °C no longer decides."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(699)
    session.at(700, "reading 250").gap(710, 770)

    assert believed(session.state, 770.0) is None


def test_the_trend_survives_a_long_silence(hot_job: Job) -> None:
    """Ten minutes of open circuit are one gap, and the points before it are still there."""
    trend = Trend()
    session = ready(hot_job)
    for t_s in range(100, 106):
        session.at(t_s, 262.0)
        trend.add(session.state)
    for t_s in range(200, 800):
        session.event(_noise(t_s))
        trend.add(session.state)

    assert [temp is None for _, temp in trend.points()] == [False] * 6 + [True]


def test_a_bead_started_by_press_ends_by_time_though_an_arc_was_once_seen(hot_job: Job) -> None:
    """A failed arc signal must not trap the welder in a bead: assumed 2 s after STOP."""
    session = ready(hot_job).at(73, "arc on").steady(74, 85, 262.0).at(85, "arc off")
    session.steady(86, 102, 262.0).at(102, "next").steady(103, 116, 262.0)

    assert session.since(101)[-2:] == ["112.0 STOP", "114.0 PEEN"]


def test_beads_left_are_never_more_than_the_plan_has(hot_job: Job) -> None:
    """A part the arc keeps warm could go on for ever; the plan does not. None before any heat."""
    session = ready(hot_job)
    found = outlook(session.state, 72.5).beads_left

    assert found is not None
    assert found.high is not None
    assert found.high <= hot_job.plan.beads
    assert outlook(Session(hot_job).at(0, 20.0).state, 0.5).beads_left is None


def test_an_import_misses_nothing_before_its_first_reading(hot_job: Job) -> None:
    """A logger that starts at 100 s: no cue for the time before."""
    session = Session(hot_job, start_phase="cool-down", period_s=10.0)
    session.steady(100, 150, 200.0, every_s=10)

    assert session.cues == ["0.0 COVERED"]
