"""Undo, hand readings, lost sensors and clock gaps, with numbers written by hand.

The rules are design.md's and procedure.md's: common practice, no source.
"""

from __future__ import annotations

from telling import Session, ready

from pacer.job.job import Job
from pacer.session.track import believed
from pacer.session.work import Phase


def test_undo_puts_the_phase_back_with_its_timers(hot_job: Job) -> None:
    """Soak from 12 cut short at 30 by mistake, undone at 40: it still ends at 72."""
    session = ready(hot_job, to_s=30).at(30, "next").steady(31, 40, 262.0).at(40, "undo")
    assert session.state.phase is Phase.SOAK

    session.steady(41, 75, 262.0)
    assert session.since(31) == ["40.0 SOAK", "72.0 READY"]


def test_a_timer_passed_meanwhile_fires_at_once_after_an_undo(hot_job: Job) -> None:
    """Undone at 80, the soak that should have ended at 72 ends at 80."""
    session = ready(hot_job, to_s=30).at(30, "next").steady(31, 80, 262.0).at(80, "undo")
    session.at(81, 262.0)

    assert session.since(31) == ["80.0 SOAK", "80.0 READY"]


def test_undo_is_one_level_and_for_a_minute(hot_job: Job) -> None:
    """A second undo, and one after 60 s, say why not."""
    twice = ready(hot_job, to_s=30).at(30, "next").at(31, "undo").at(32, "undo")
    late = ready(hot_job, to_s=30).at(30, "next").steady(31, 91, 262.0).at(91, "undo")

    assert twice.cues[-1] == "32.0 CANNOT"
    assert late.cues[-1] == "91.0 CANNOT"


def test_an_undone_bead_is_left_out_of_the_counts(hot_job: Job) -> None:
    """The press that started a bead is undone: no bead, ready again."""
    session = ready(hot_job).at(74, "next").at(76, "undo")

    assert session.state.phase is Phase.READY
    assert session.state.work.beads == ()
    assert session.state.undone == 1


def test_a_lost_sensor_goes_on_by_typed_readings(hot_job: Job) -> None:
    """Lost at 75: NO READING and wait; 230 °C typed at 80: ready 2 s later."""
    session = ready(hot_job).at(75, "lost the cable was pulled").at(77, "next")
    assert session.since(73) == ["75.0 NO_READING", "77.0 CANNOT"]

    session.at(80, "reading 230").until(90)
    assert session.since(78) == ["82.0 READY"]


def test_without_any_instrument_the_welders_word_is_enough(hot_job: Job) -> None:
    """`hand:` and nothing typed: measure is asked for; a press then is his own "ready"."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(700)
    assert session.cues == ["0.0 PREPARE", "1.0 PREHEAT", "600.0 SOAK", "660.0 TYPE_A_READING"]

    session.at(705, "next")
    assert session.cues[-1] == "705.0 READY"


def test_a_typed_reading_grows_old(hot_job: Job) -> None:
    """Typed 250 °C at 700, ready at 702; after 120 s without an arc it must be measured again."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(699)
    session.at(700, "reading 250").until(830)

    assert session.since(699) == ["702.0 READY", "820.0 TYPE_A_READING"]
    assert session.state.phase is Phase.WAIT


def test_three_open_circuits_in_a_row_end_the_trust(hot_job: Job) -> None:
    """OPEN_TC after three fault codes (reliability.md section 4); two are passed over."""
    from pacer.session.events import Reading

    two, three = ready(hot_job), ready(hot_job)
    for i in range(2):
        two.event(Reading(t_ms=73_000 + i * 500, raw=(None,), status="open"))
    for i in range(3):
        three.event(Reading(t_ms=73_000 + i * 500, raw=(None,), status="open"))

    # At READY an arc may be starting: the last number came at 72, told at 77.
    assert two.at(74.5, 262.0).until(75).since(73) == []
    assert believed(three.state, 74.0) is None
    assert three.until(78).since(73) == ["77.0 NO_READING"]
    assert three.told[-1].because == "sensor open circuit"

    soaking = ready(hot_job, to_s=20)
    for i in range(3):
        soaking.event(Reading(t_ms=20_000 + i * 500, raw=(None,), status="open"))
    assert soaking.until(22).since(20) == ["21.0 NO_READING"]


def test_a_short_gap_drops_the_bead_and_asks_for_a_look(hot_job: Job) -> None:
    """Lid closed from 76 to 136: one cue, no FINISH, STOP or PEEN for the missed time."""
    session = ready(hot_job).at(73, "next").steady(74, 76, 262.0).gap(76, 136)
    session.steady(136, 148, 240.0)

    # Silence is told at once on waking; then the reading decides.
    assert session.since(76) == [
        "136.0 GAP",
        "136.0 NO_READING",
        "146.0 READING_BACK",
        "146.0 READY",
    ]
    bead = session.state.work.beads[0]
    assert (bead.ended_s, bead.ended_by, bead.peened) == (76.0, "assumed", "left alone")


def test_a_long_gap_in_mid_repair_means_preheat_and_soak_again(hot_job: Job) -> None:
    """Two hours away: never straight into a bead (procedure.md section 7)."""
    session = ready(hot_job).gap(74, 7274)

    assert session.state.phase is Phase.PREHEAT
    assert session.since(74)[0] == "7274.0 GAP"


def test_a_gap_in_the_cool_down_goes_on_counting(hot_job: Job) -> None:
    """The part went on cooling: still the same cool-down, begun at 74."""
    session = ready(hot_job).at(74, "covered").steady(75, 80, 250.0).gap(80, 4000)
    session.steady(4000, 4010, 120.0)

    assert session.state.phase is Phase.COOL_DOWN
    assert session.state.work.covered_s == 74.0


def test_a_long_stop_is_buried_and_goes_on_with_a_new_preheat(hot_job: Job) -> None:
    """`hold`, `covered`, later `hold` again: preheat and soak before any bead (section 7)."""
    session = (
        ready(hot_job, to_s=75)
        .at(75, "hold")
        .at(76, "covered")
        .steady(77, 80, 250.0)
        .at(80, "hold")
    )

    assert session.since(75) == ["75.0 HOLD", "76.0 COVERED", "80.0 PREHEAT"]


def test_an_arc_before_ready_is_a_fact(hot_job: Job) -> None:
    """Arc on in the soak starts a bead, recorded as before its time (design.md)."""
    session = ready(hot_job, to_s=40).at(40, "arc on")

    assert session.state.phase is Phase.BEAD
    assert session.state.work.beads[0].early


def test_an_arc_while_tacking_is_no_bead(hot_job: Job) -> None:
    """Before any heat an arc is a tack or a test, not a bead of the plan."""
    session = Session(hot_job).at(0, 20.0).at(1, "arc on").at(2, "arc off")

    assert session.state.phase is Phase.PREPARE
    assert session.state.work.beads == ()


def test_the_channel_asked_for_decides_and_every_channel_must_reach_preheat(hot_job: Job) -> None:
    """`channel=back`: front at 270 is not enough while back is at 150; 262 °C ends it."""
    from pacer.session.events import Channel, Reading

    def line(t_s: float, front_c: float, back_c: float) -> Reading:
        return Reading(
            t_ms=round(t_s * 1000), raw=(front_c, back_c), status="ok", names=("front", "back")
        )

    session = Session(hot_job, channel=Channel(name="back", unit="degC")).at(1, "next")
    for t_s in range(2, 8):
        session.event(line(t_s, 270.0, 150.0))
    assert session.state.sensor.control == "back"
    assert session.since(2) == []

    for t_s in range(8, 13):
        session.event(line(t_s, 270.0, 262.0))
    assert session.since(2) == ["11.0 SOAK"]


def test_typed_readings_start_the_hold_as_an_instruments_do(hot_job: Job) -> None:
    """No instrument: too cold at 800, 258 °C typed at 900, the 120 s hold ends at 1020."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(699)
    session.at(700, "reading 250").until(703).at(710, "finish").at(800, "reading 210")
    assert session.state.work.since_s is None

    session.at(900, "reading 258").until(1100)
    assert session.since(711) == ["1020.0 BURY"]
