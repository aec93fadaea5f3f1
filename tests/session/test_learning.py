"""What a session learns of its part between beads, told event by event.

Numbers by hand for the hot job of conftest: 3.2 kg, bead 10 s, floor 200 °C. The rules are
design.md's "The fold" and procedure.md 3-7: common practice, no source, unless said.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import sessions
from telling import Session, opened, ready

from pacer.heat.lumped import heat_capacity_j_kgk, temp_after_c
from pacer.heat.pauses import belief, between
from pacer.heat.pauses.belief import MEAN, Estimate
from pacer.job.job import Job
from pacer.session import learning
from pacer.session.band import bead_sink_dc, needed_for_bead_c
from pacer.session.events import AnyEvent, Reading, Resumed
from pacer.session.fold import advance, begin, step
from pacer.session.forecast import outlook
from pacer.session.learning import bare
from pacer.session.state import Learned
from pacer.session.work import Phase


def learned(session: Session) -> Learned:
    """Return what the session has learned; it has learned something."""
    assert session.state.learned is not None
    return session.state.learned


def estimate(session: Session) -> Estimate:
    """Return the present estimate."""
    return learned(session).estimate


def cooling(start_c: float, from_s: float, scale: float = 1.0) -> Callable[[float], float]:
    """Return how the bare part cools, °C at a session time (heat/lumped.py)."""
    return lambda t_s: temp_after_c(start_c, t_s - from_s, 20.0, 3.2, 0.084, scale=scale)


def read(session: Session, from_s: float, to_s: float, temp_c: Callable[[float], float]) -> Session:
    """Tell a reading of 4 Hz from `from_s` up to, not including, `to_s`."""
    for quarter in range(round(4 * from_s), round(4 * to_s)):
        session.at(quarter / 4, round(temp_c(quarter / 4), 2))
    return session


def bead_dc(job: Job, arc_s: float, temp_c: float) -> float:
    """Return by how much a bead raises the part: efficiency x V x I x t / (m c)."""
    power_w = job.filler.voltage_v * job.filler.current_a * bare(job).efficiency
    return power_w * arc_s / (job.part.mass_kg * heat_capacity_j_kgk(temp_c))


def arc_heat_j(session: Session) -> float:
    """Return the arc energy of every bead in the estimate, J at the terminals."""
    return sum(
        bead.power_w * ((bead.end_s if bead.end_s is not None else bead.start_s) - bead.start_s)
        for bead in estimate(session).beads
    )


def power_w(job: Job) -> float:
    """Return the arc's power at its terminals."""
    return job.filler.voltage_v * job.filler.current_a


def test_nothing_is_learned_before_the_soak(hot_job: Job) -> None:
    """Prepare and preheat cost nothing; the filter begins with the soak (12 s)."""
    session = ready(hot_job, to_s=12)
    assert session.state.learned is None

    session.at(12, 262.0)
    assert session.state.phase is Phase.SOAK
    assert estimate(session).heated


def test_at_most_one_reading_a_second_is_taken_in(
    hot_job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    """4 Hz after a bead: some 27 steps in the first half minute, one in some seconds after it."""
    session = ready(hot_job).at(73, "arc on")
    read(session, 73.25, 83.0, lambda _: 262.0)
    session.at(83, "arc off")
    taken: list[float] = []
    real = between.took

    def counted(*args: object) -> Estimate:
        taken.append(float(args[2]))  # type: ignore[arg-type]
        return real(*args)  # type: ignore[arg-type]

    monkeypatch.setattr(between, "took", counted)
    read(session, 83.25, 203.0, cooling(262.0, 83.0))

    first = [t_s for t_s in taken if t_s < 113.0]
    rest = [t_s for t_s in taken if t_s >= 113.0]
    assert min(taken) == 85.5
    assert all(b - a >= 1.0 for a, b in pairwise(first))
    assert 25 <= len(first) <= 28
    assert all(b - a >= learning.QUIET_STEP_S for a, b in pairwise(rest))
    assert len(rest) <= 90.0 / learning.QUIET_STEP_S + 1


def test_most_readings_leave_the_state_of_the_filter_untouched(hot_job: Job) -> None:
    """Three of four readings are the same object: nothing is computed for them."""
    session = ready(hot_job)
    kept = 0
    for quarter in range(4 * 73, 4 * 93):
        before = session.state.learned
        session.at(quarter / 4, 255.0)
        kept += session.state.learned is before

    assert kept >= 60


def test_nothing_is_learned_while_the_arc_burns(hot_job: Job) -> None:
    """Arc noise does not reach the filter: its time stands still, one bead is running."""
    session = read(ready(hot_job), 73.0, 74.0, lambda _: 262.0).at(74, "arc on")
    before = estimate(session)
    read(session, 74.25, 84.0, lambda t_s: 262.0 + 40.0 * (t_s % 0.5))

    assert estimate(session) == before
    assert estimate(session).burning


def test_a_bead_by_arc_signal_brings_its_heat(hot_job: Job) -> None:
    """On at 74, off at 86: 12 s of arc in the estimate, and the mean warmer by E/(m c)."""
    session = ready(hot_job).at(74, "arc on")
    before_c = estimate(session).mean[MEAN]
    session.at(86, "arc off")

    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 12.0)
    # The part loses some 14 K a minute meanwhile (heat.md 1, CALC).
    lost_dc = 262.0 - cooling(262.0, 74.0)(86.0)
    gained_dc = estimate(session).mean[MEAN] - before_c + lost_dc
    assert gained_dc == pytest.approx(bead_dc(hot_job, 12.0, 260.0), rel=0.1)


def test_a_bead_by_presses_brings_its_heat(hot_job: Job) -> None:
    """Pressed at 74 and 82: 8 s of arc."""
    session = ready(hot_job).at(74, "next").at(82, "next")

    assert session.state.phase is Phase.PEEN
    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 8.0)


def test_an_assumed_end_counts_until_a_press_sets_it_right(hot_job: Job) -> None:
    """From 74: the plan ends it at 84; pressed at 87 the arc burnt 13 s, with that heat."""
    session = ready(hot_job).at(74, "next").steady(74.5, 87, 262.0, 0.25)
    assert session.state.phase is Phase.PEEN
    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 10.0)

    before_c = estimate(session).mean[MEAN]
    session.at(87, "next")
    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 13.0)
    gained_dc = estimate(session).mean[MEAN] - before_c
    assert gained_dc == pytest.approx(bead_dc(hot_job, 3.0, 260.0), rel=0.2)


def test_a_bead_started_by_mistake_leaves_no_heat(hot_job: Job) -> None:
    """Pressed at 74, undone at 77: no bead, and the filter is where it would be without."""
    undone = ready(hot_job).at(74, "next").at(77, "undo").steady(78, 90, 255.0, 0.25)
    never = ready(hot_job).steady(78, 90, 255.0, 0.25)

    assert estimate(undone).beads == ()
    assert estimate(undone).mean == pytest.approx(estimate(never).mean, abs=0.05)


def test_a_second_bead_started_by_mistake_leaves_the_first(hot_job: Job) -> None:
    """74-84 is laid; pressed again at 101 by mistake, undone at 104: one bead of 10 s."""
    session = ready(hot_job).at(74, "arc on").at(84, "arc off").steady(84.5, 101, 258.0, 0.25)
    assert session.state.phase is Phase.READY
    session.at(101, "next").at(104, "undo")

    assert len(estimate(session).beads) == 1
    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 10.0)


def test_a_bead_undone_after_its_assumed_end_leaves_no_heat(hot_job: Job) -> None:
    """Pressed by mistake at 74, taken as ended at 84, undone at 92: it never was."""
    undone = ready(hot_job).at(74, "next").steady(75, 92, 255.0, 0.25).at(92, "undo")
    undone.steady(92.25, 112, 255.0, 0.25)
    never = ready(hot_job).steady(75, 112, 255.0, 0.25)
    assert undone.state.work.beads == ()

    assert estimate(undone).beads == ()
    assert estimate(undone).mean[MEAN] == pytest.approx(estimate(never).mean[MEAN], abs=3.0)


def test_a_restrike_adds_only_what_burnt(hot_job: Job) -> None:
    """74-79 and, struck again, 81.5-87: 10.5 s of arc, the break left out (section 5)."""
    session = ready(hot_job).at(74, "arc on").at(79, "arc off").at(80, 262.0)
    session.at(81.5, "arc on").at(87, "arc off")

    assert len(session.state.work.beads) == 1
    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 10.5)


def test_a_typed_reading_is_taken_in_once(hot_job: Job) -> None:
    """By hand: 250 °C typed at 700 is news at 700; ten minutes of silence add nothing."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(699)
    session.at(700, "reading 250")
    after = estimate(session)
    session.at(705, "note").until(730)

    assert after.readings >= 1
    assert estimate(session) == after
    assert after.mean[MEAN] == pytest.approx(250.0, abs=12.0)


def test_lines_of_a_broken_sensor_are_no_news_of_a_typed_reading(hot_job: Job) -> None:
    """Open circuit from 75 on, 250 °C typed at 80: taken in once, whatever the sensor sends."""
    session = ready(hot_job)
    for second in range(75, 80):
        session.event(Reading(t_ms=second * 1000, raw=(None,), status="open"))
    session.at(80, "reading 250")
    taken = estimate(session).readings
    for second in range(81, 95):
        session.event(Reading(t_ms=second * 1000, raw=(None,), status="open"))

    assert taken > 0
    assert estimate(session).readings == taken


def test_typed_readings_and_assumed_ends_carry_a_repair_by_hand(hot_job: Job) -> None:
    """No instrument: the bead's heat comes from the plan, the temperature from what is typed."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(661)
    session.at(662, "reading 255").until(665).at(666, "next").until(700)
    session.at(701, "reading 250")
    ahead = outlook(session.state, 701.0)

    assert session.state.work.beads[0].ended_by == "assumed"
    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 10.0)
    assert not estimate(session).burning
    assert ahead.to_floor_s is not None
    assert not ahead.planned
    # A bare plate takes some five minutes from 260 to 200 °C (procedure.md 4, CALC).
    assert 120.0 < ahead.to_floor_s.value < 400.0


def test_a_gap_is_lived_through_with_more_doubt(hot_job: Job) -> None:
    """Lid closed from 80 to 140: the part cooled on, and more may have happened."""
    watched = read(ready(hot_job), 73, 80, lambda _: 262.0)
    asleep = read(ready(hot_job), 73, 80, lambda _: 262.0).gap(80, 140)
    calm = between.moved(bare(hot_job), estimate(watched), 140.0)

    assert estimate(asleep).t_s == 140.0
    assert estimate(asleep).mean[MEAN] == pytest.approx(calm.mean[MEAN], abs=0.5)
    assert estimate(asleep).cov[0] > calm.cov[0] + 1.0


def test_an_arc_that_a_gap_cut_off_does_not_burn_through_the_gap(hot_job: Job) -> None:
    """Struck at 74, nobody watched from 80 to 130: 6 s of arc, not 56."""
    session = ready(hot_job).at(74, "arc on").at(79, 262.0).gap(80, 130)

    assert not estimate(session).burning
    assert estimate(session).mean[MEAN] < 270.0
    assert arc_heat_j(session) == pytest.approx(power_w(hot_job) * 6.0)


def test_out_of_the_oven_and_back(hot_job: Job) -> None:
    """`out` in the soak: no flame heats it; `back`: it does; the next bead ends that."""
    session = ready(hot_job, to_s=40)
    assert estimate(session).heated
    session.at(40, "out")
    assert not estimate(session).heated
    session.at(50, "back")
    assert estimate(session).heated


@pytest.mark.parametrize("start", ["arc on", "next"])
def test_a_bead_is_laid_out_of_the_heat_whoever_starts_it(hot_job: Job, start: str) -> None:
    """`back` at 74 in READY, a bead at 80: the flame is away (procedure.md 3), by press too."""
    session = ready(hot_job).at(74, "back").steady(75, 80, 262.0)
    assert estimate(session).heated
    session.at(80, start).at(90, "arc off" if start == "arc on" else "next").at(93, 260.0)

    assert not estimate(session).heated


def test_a_wrapped_part_is_forecast_to_keep_its_heat_longer(hot_job: Job) -> None:
    """`wrap` at 80: the floor is farther off; `unwrap`: as before."""
    bare_s = outlook(read(ready(hot_job), 73, 80, lambda _: 255.0).state, 80.0).to_floor_s
    session = read(ready(hot_job), 73, 80, lambda _: 255.0).at(80, "wrap")
    wrapped_s = outlook(session.state, 80.0).to_floor_s
    again_s = outlook(session.at(80, "unwrap").state, 80.0).to_floor_s

    assert bare_s is not None
    assert wrapped_s is not None
    assert again_s is not None
    assert wrapped_s.value > 1.5 * bare_s.value
    assert again_s.value == pytest.approx(bare_s.value, abs=3.0)


def test_a_turned_part_is_doubted_anew(hot_job: Job) -> None:
    """The probe is fixed anew: where it lies is as doubtful as at first."""
    session = read(ready(hot_job), 73, 100, cooling(262.0, 73.0)).at(100, "turned")
    first = belief.begin(bare(hot_job), 0.0, 260.0, 3.0, heated=False)
    index = belief.NEAR * (belief.COUNT + 1)

    assert estimate(session).cov[index] == pytest.approx(first.cov[index])
    assert estimate(session).cov[0] > 100.0


def test_a_resumed_session_goes_on_with_what_was_learned(hot_job: Job) -> None:
    """Program gone from 200 to 380: the loss learned before is the loss believed after."""
    session = read(ready(hot_job), 73, 200, cooling(262.0, 73.0, 1.4))
    before = estimate(session).mean[belief.LOSS]
    session.gap(200, 380).event(Resumed(t_ms=380_000))
    read(session, 380.5, 384, cooling(262.0, 73.0, 1.4))

    assert before > 0.15
    assert estimate(session).mean[belief.LOSS] == pytest.approx(before, abs=0.1)


def test_after_a_long_stop_the_temperature_is_new_and_the_part_the_same(hot_job: Job) -> None:
    """Nothing heard for an hour, then preheat and soak: remembered loss, temperature as read."""
    session = read(ready(hot_job), 73, 300, cooling(262.0, 73.0, 1.4))
    before = estimate(session).mean[belief.LOSS :]
    session.gap(300, 3900)
    session.steady(3901, 3960, 262.0, 2.0)

    assert session.state.phase is Phase.SOAK
    after = estimate(session)
    assert after.mean[belief.LOSS] == pytest.approx(before[0], abs=0.1)
    assert after.mean[MEAN] + after.mean[belief.UNEVEN] == pytest.approx(262.0, abs=3.0)


def test_a_bead_is_not_called_where_the_learned_loss_ends_it_below_the_floor(
    hot_job: Job,
) -> None:
    """A part that cools twice as fast as a bare one: called off earlier than that one (section 4)."""
    session = read(ready(hot_job), 73, 100, cooling(262.0, 73.0, 2.0))
    t_s = 100.0
    while session.state.phase is Phase.READY and t_s < 400.0:
        last_c = cooling(262.0, 73.0, 2.0)(t_s)
        read(session, t_s, t_s + 1.0, cooling(262.0, 73.0, 2.0))
        t_s += 1.0
    needed_c = needed_for_bead_c(session.state, last_c)

    assert session.state.phase is Phase.REHEAT
    assert needed_c > 200.0 + bead_sink_dc(hot_job, last_c) + 0.5
    assert last_c > 200.0
    # The next planned bead of 10 s would have ended below the floor, give or take the delay.
    assert cooling(last_c, 0.0, 2.0)(10.0) < 200.5


def test_ready_stands_where_heat_on_its_way_holds_the_part_up(hot_job: Job) -> None:
    """Just after a bead near the probe less is asked for than of a bare part that only sinks."""
    session = read(ready(hot_job), 73, 330, cooling(262.0, 73.0))
    low_c = cooling(262.0, 73.0)(330.0)
    assert session.state.phase is Phase.READY
    session.at(330, "arc on")
    read(session, 330.25, 342, lambda _: low_c).at(342, "arc off")
    read(session, 342.25, 348, lambda t_s: low_c + 0.5 * (t_s - 342.0))
    sink_dc = learned(session).sink_dc

    assert sink_dc is not None
    assert sink_dc < bead_sink_dc(hot_job, low_c)
    assert needed_for_bead_c(session.state, low_c) == 200.0 + sink_dc


def test_far_above_the_floor_no_sink_is_computed(hot_job: Job) -> None:
    """Cost: at 262 °C and over no bead asks how far the part will sink."""
    session = read(ready(hot_job), 73, 80, lambda _: 285.0)

    assert learned(session).sink_dc is None


def test_a_cold_repair_is_followed_from_its_first_ready(cold_job: Job) -> None:
    """Only a ceiling: forecasts of it, none of a floor."""
    session = Session(cold_job).at(0, 25.0).at(1, "next").steady(2, 8, 25.0, 0.5)

    assert session.state.phase is Phase.READY
    assert learned(session).sink_dc is None
    assert outlook(session.state, 8.0).to_floor_s is None


def test_the_estimate_is_kept_in_the_state_by_value(hot_job: Job) -> None:
    """States compare and hash their numbers: two folds of one session are equal."""
    one = read(ready(hot_job), 73, 90, cooling(262.0, 73.0))
    two = read(ready(hot_job), 73, 90, cooling(262.0, 73.0))

    assert learned(one) == learned(two)
    assert hash(estimate(one)) == hash(estimate(two))


_FEW = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
_STORY = sessions(25)


def _hot_story(job: Job, events: list[AnyEvent]) -> list[AnyEvent]:
    """Return the hand-told way to READY, then `events`."""
    shifted: list[AnyEvent] = []
    for event in events:
        later = {"t_ms": event.t_ms + 73_000}
        if hasattr(event, "to_ms"):
            later["to_ms"] = event.to_ms + 73_000
        shifted.append(msgspec.structs.replace(event, **later))
    return [*ready(job).events, *shifted]


@pytest.mark.slow
@_FEW
@given(events=_STORY, wakes=st.lists(st.integers(0, 999), min_size=1, max_size=3))
def test_waking_more_often_learns_the_same(
    hot_job: Job, events: list[AnyEvent], wakes: list[int]
) -> None:
    """Replay equals live: extra wake-ups between any events leave `learned` identical."""
    state, _ = begin(opened(hot_job))
    awake, _ = begin(opened(hot_job))
    for event in _hot_story(hot_job, events):
        for wake in sorted(wakes):
            t_s = round(awake.t_s + (event.t_s - awake.t_s) * wake / 1000, 3)
            if t_s <= event.t_s:
                awake, _ = advance(awake, t_s)
        state, _ = step(state, event)
        awake, _ = step(awake, event)

        assert awake.learned == state.learned


@pytest.mark.slow
@_FEW
@given(events=_STORY)
def test_any_session_leaves_a_part_of_finite_numbers(hot_job: Job, events: list[AnyEvent]) -> None:
    """Total, and its beads are the session's: as many burning as the phase says."""
    state, _ = begin(opened(hot_job))
    for event in _hot_story(hot_job, events):
        state, _ = step(state, event)
        if state.learned is None:
            continue
        now = state.learned.estimate
        assert all(abs(x) < 1e9 for x in (*now.mean, *now.cov))
        if state.phase in learning.FOLLOWED:
            assert now.burning == (state.phase is Phase.BEAD)
    told = outlook(state, state.t_s)
    for ahead in (told.to_floor_s, told.to_ceiling_s, told.beads_left):
        assert ahead is None or 0.0 <= ahead.low <= ahead.value
