"""Each rule of time, once, with numbers written by hand from the procedure.

Consistency properties can't see live and replay being wrong together; these can.
The job: preheat 260, floor 200, ceiling 300 °C, dead-band 5 K, soak 60 s, bead 10 s,
peen 15 s, hold 120 s. The rules are procedure.md's: common practice, no source, unless said.
"""

from __future__ import annotations

from telling import Session, ready

from pacer.job.job import Job
from pacer.session.track import believed
from pacer.session.work import Phase


def test_preheat_and_soak_end_by_themselves(hot_job: Job) -> None:
    """Target held 2 s from 10 s: soak at 12 s; 60 s of soak: ready at 72 s."""
    session = ready(hot_job)

    assert session.cues == ["0.0 PREPARE", "1.0 PREHEAT", "12.0 SOAK", "72.0 READY"]


def test_a_bead_is_called_to_finish_stop_and_peen(hot_job: Job) -> None:
    """Bead 10 s from 73 s: FINISH 3.5 s before its end, STOP at it, PEEN 2 s later, 15 s long.

    Nobody pressed: a look of 3 s follows, then READY.
    """
    session = ready(hot_job).at(73, "next").steady(73.5, 106, 262.0)

    told = ["79.5 FINISH", "83.0 STOP", "85.0 PEEN", "100.0 LOOK_AT_BEAD", "103.0 READY"]
    assert session.since(73) == told
    assert session.state.work.beads[0].ended_by == "assumed"
    assert session.state.work.beads[0].ended_s == 83.0


def test_a_press_after_an_assumed_end_sets_the_true_end_and_peens_from_there(hot_job: Job) -> None:
    """Assumed at 83, pressed at 86: the arc ended at 86, the peen lasts to 101."""
    session = ready(hot_job).at(73, "next").steady(74, 86, 262.0).at(86, "next")
    session.steady(87, 103, 262.0)

    assert session.since(73) == ["79.5 FINISH", "83.0 STOP", "85.0 PEEN", "101.0 READY"]
    bead = session.state.work.beads[0]
    assert (bead.ended_s, bead.ended_by) == (86.0, "press")


def test_an_arc_signal_starts_and_ends_beads_and_silences_the_cadence(hot_job: Job) -> None:
    """With a signal the bead lasts until the arc is off, STOP or not."""
    session = ready(hot_job).at(73, "arc on").steady(74, 90, 262.0).at(90, "arc off")

    assert session.since(73) == ["79.5 FINISH", "83.0 STOP", "90.0 PEEN"]
    assert session.state.work.beads[0].arc_s(0) == 17.0


def test_a_timer_due_at_the_instant_of_a_press_goes_first(hot_job: Job) -> None:
    """STOP is due at 83.0 and the press comes at 83.0: STOP, then PEEN (design.md)."""
    session = ready(hot_job).at(73, "next").steady(74, 83, 262.0).at(83, "next")

    assert session.since(83) == ["83.0 STOP", "83.0 PEEN"]


def test_deadlines_are_whole_milliseconds(hot_job: Job) -> None:
    """Pressed at 73.1, FINISH is due at 79.6 exactly, not at 79.6 and some dust."""
    session = ready(hot_job).at(73.1, "next").at(79.6, 262.0)

    assert session.told[-1].t_s == 79.6
    assert session.cues[-1] == "79.6 FINISH"


def test_a_lost_arc_is_a_bead_of_the_length_made(hot_job: Job) -> None:
    """Off after 6 s of 10: 60 % of 25 mm, ARC LOST, and no peen cue besides (section 5)."""
    session = ready(hot_job).at(73, "arc on").steady(74, 79, 262.0).at(79, "arc off")

    bead = session.state.work.beads[0]
    assert session.since(73) == ["79.0 ARC_LOST"]
    assert (bead.lost, bead.counted) == (True, True)
    assert bead.length_m == 0.6 * 0.025


def test_arc_on_again_within_three_seconds_is_the_same_bead(hot_job: Job) -> None:
    """Off at 79, on at 81: one bead, its end moved by the 2 s break to 85 s (section 5)."""
    session = ready(hot_job).at(73, "arc on").steady(74, 79, 262.0).at(79, "arc off")
    session.at(80, 262.0).at(81, "arc on").steady(82, 88, 262.0).at(88, "arc off")

    assert session.since(81) == ["81.5 FINISH", "85.0 STOP", "88.0 PEEN"]
    assert len(session.state.work.beads) == 1
    assert session.state.work.beads[0].arc_s(0) == 13.0


def test_arc_on_again_after_three_seconds_is_another_bead(hot_job: Job) -> None:
    """Off at 79, on at 82.5: another bead at the same place, struck again as the cue asked."""
    session = ready(hot_job).at(73, "arc on").steady(74, 79, 262.0).at(79, "arc off")
    session.at(82.5, "arc on")

    lost, again = session.state.work.beads
    assert (lost.place, lost.number) == (again.place, again.number)
    assert not again.early


def test_an_arc_under_five_seconds_is_asked_about_and_not_counted(hot_job: Job) -> None:
    """4 s of arc: SHORT BEAD, and the next bead has the same number; a length counts it."""
    session = ready(hot_job).at(73, "arc on").steady(74, 77, 262.0).at(77, "arc off")

    assert session.since(77) == ["77.0 SHORT_BEAD"]
    assert session.state.work.laid == 0

    session.at(78, "bead 0.01")

    assert session.state.work.laid == 1
    assert session.state.work.beads[0].length_m == 0.01


def test_a_part_too_near_the_floor_is_reheated_first(hot_job: Job) -> None:
    """203 °C is above the floor of 200 but sinks below it within a 10 s bead.

    A bare 3.2 kg plate loses some 9 K a minute at 200 °C (heat.md section 1, calculated), so 1.5 K
    in 10 s: 203 stays, 201 does not.
    """
    above = ready(hot_job).at(73, "next").at(83, "next").steady(83.5, 99, 203.0)
    below = ready(hot_job).at(73, "next").at(83, "next").steady(83.5, 99, 201.0)

    assert above.since(98) == ["98.0 READY"]
    assert below.since(98) == ["98.0 REHEAT"]


def test_reheat_ends_at_its_target_less_the_dead_band(hot_job: Job) -> None:
    """255 = 260 - 5: held for 2 s, ready; the median of three passes with the second reading."""
    session = ready(hot_job).at(73, "next").at(83, "next").steady(84, 100, 180.0)
    session.steady(100, 110, 254.0).steady(110, 120, 255.0)

    assert session.since(98) == ["98.0 REHEAT", "113.0 READY"]


def test_wait_ends_at_the_ceiling_less_the_dead_band(hot_job: Job) -> None:
    """305 °C waits; 296 still waits; 295 = 300 - 5, held for 2 s, is ready."""
    session = ready(hot_job).at(73, "next").at(83, "next").steady(84, 100, 305.0)
    session.steady(100, 110, 296.0).steady(110, 120, 295.0)

    assert session.since(98) == ["98.0 WAIT", "113.0 READY"]


def test_ready_turns_to_reheat_by_itself_when_the_part_sinks(hot_job: Job) -> None:
    """199 °C from 80 s: median at 81, held to 83, REHEAT at 83."""
    session = ready(hot_job, to_s=80).steady(80, 90, 199.0)

    assert session.since(73) == ["83.0 REHEAT"]


def test_a_press_just_after_a_change_that_came_by_itself_answers_the_old_phase(
    hot_job: Job,
) -> None:
    """READY came at 72.0: a press at 72.9 is ignored, one at 73.0 starts the bead (design.md)."""
    early = ready(hot_job, to_s=72.5).at(72.9, "next")
    late = ready(hot_job, to_s=72.5).at(73.0, "next")

    assert (early.state.phase, early.state.ignored) == (Phase.READY, 1)
    assert late.state.phase is Phase.BEAD


def test_a_press_in_wait_changes_nothing_and_says_why(hot_job: Job) -> None:
    """Too hot is for the part to end, not for a press."""
    session = ready(hot_job).at(73, "next").at(83, "next").steady(84, 100, 305.0).at(100, "next")

    assert session.state.phase is Phase.WAIT
    assert session.cues[-1] == "100.0 CANNOT"


def test_a_press_ends_a_reheat_only_at_or_above_the_floor(hot_job: Job) -> None:
    """199 °C: no; 201 °C: the welder's word."""
    session = ready(hot_job).at(73, "next").at(83, "next").steady(84, 102, 199.0).at(102, "next")
    assert str(session.state.phase) == "reheat"

    session.steady(103, 106, 201.0).at(106, "next")
    assert str(session.state.phase) == "ready"


def test_a_hold_counts_from_its_temperature(hot_job: Job) -> None:
    """Finish at 74 with 262 °C: the 120 s hold ends at 194 s with BURY."""
    session = ready(hot_job, to_s=74).at(74, "finish").steady(75, 200, 262.0)

    assert session.since(74) == ["74.0 POST_HEAT", "194.0 BURY"]


def test_silence_is_told_after_three_periods(hot_job: Job) -> None:
    """Readings each second up to 79: silent at 79 + 3 = 82, told at 84; ready becomes wait."""
    session = ready(hot_job, to_s=80).until(83)
    assert believed(session.state, 82.0) is None
    session.until(90)

    assert session.since(73) == ["84.0 NO_READING"]
    assert session.state.phase is Phase.WAIT

    # It is back, and calls a bead, when it has stayed for 10 s.
    session.steady(90, 102, 262.0)
    assert session.since(90) == ["100.0 READING_BACK", "100.0 READY"]


def test_no_reading_is_not_told_while_the_arc_burns(hot_job: Job) -> None:
    """Silent from 73 on: FINISH, STOP and the peen; what is missing is told after the look."""
    session = ready(hot_job).at(73, "next").until(90)

    assert session.since(73) == ["79.5 FINISH", "83.0 STOP", "85.0 PEEN"]
    assert session.until(104).cues[-1] == "103.0 NO_READING"


def test_too_hot_in_the_soak_is_told_once_an_excursion(hot_job: Job) -> None:
    """301 °C from 20: median at 21, told at 23; back by the dead-band, then again."""
    session = ready(hot_job, to_s=20).steady(20, 30, 301.0).steady(30, 35, 297.0)
    session.steady(35, 38, 301.0).steady(38, 45, 294.0).steady(45, 50, 301.0)

    assert session.since(13) == ["23.0 TOO_HOT", "48.0 TOO_HOT"]


def test_a_soak_counts_anew_after_the_part_sank_below_the_floor(hot_job: Job) -> None:
    """Below from 30 (median 31) to 40 (median 41): 60 s from 41 end at 101."""
    session = ready(hot_job, to_s=30).steady(30, 40, 190.0).steady(40, 110, 262.0)

    assert session.since(13) == ["33.0 TOO_COLD", "101.0 READY"]


def test_a_normal_cool_down_raises_one_cue_at_its_end(hot_job: Job) -> None:
    """Procedure.md section 9: a normal burial is silent; 40 °C reached at 1000 s."""
    session = ready(hot_job).at(74, "finish").steady(75, 195, 262.0)
    session.at(196, "covered")
    for t_s in range(200, 1000, 10):
        session.at(t_s, 262.0 - (t_s - 200) * 0.27)
    session.steady(1000, 1060, 40.0, every_s=10).at(1060, "uncovered")

    assert session.since(196) == ["196.0 COVERED", "1012.0 UNCOVER", "1060.0 DONE"]


def test_uncovering_early_goes_on_in_still_air(hot_job: Job) -> None:
    """A fact that changes the cover; done only at or below `until` (design.md)."""
    session = ready(hot_job).at(74, "covered").steady(75, 80, 200.0).at(80, "uncovered")
    assert session.since(74) == ["74.0 COVERED", "80.0 UNCOVERED_EARLY"]
    assert session.state.cooling is not None
    assert (session.state.phase, session.state.cooling.cover) == (Phase.COOL_DOWN, "still air")

    session.steady(81, 90, 39.0).at(90, "uncovered")
    assert session.state.phase is Phase.DONE


def test_the_cold_method_has_a_ceiling_only(cold_job: Job) -> None:
    """Prepare, then ready at once at 20 °C; 61 °C waits; no reheat, no floor (section 8)."""
    session = Session(cold_job).steady(0, 5, 20.0).at(5, "next").steady(6, 10, 20.0)
    assert session.cues[1:] == ["5.0 READY"]

    session.steady(10, 20, 61.0).steady(20, 30, 55.0)
    assert session.since(6) == ["13.0 WAIT", "23.0 READY"]


def test_after_the_planned_beads_finishing_is_offered_not_forced(hot_job: Job) -> None:
    """The plan's beads are laid: ALL_LAID, and one more may be welded (design.md)."""
    session = ready(hot_job)
    for bead in range(hot_job.plan.beads):
        start_s = 80 + bead * 40
        session.steady(start_s - 6, start_s, 262.0).at(start_s, "next")
        session.steady(start_s + 1, start_s + 34, 262.0)

    assert session.cues[-1].endswith("ALL_LAID")
    assert session.state.phase is Phase.READY
