"""Places measured in a soak, crayons that say "at least", and a part taken out of its heat."""

from __future__ import annotations

from telling import Session, ready

from pacer.job.job import Job
from pacer.session.events import Act
from pacer.session.forecast import outlook
from pacer.session.state import Phase
from pacer.session.track import places_c


def typed(session: Session, t_s: float, temp_c: float, side: int = 0) -> Session:
    """One typed reading: plain, at least (1) or below (-1)."""
    return session.event(Act(t_ms=round(t_s * 1000), deed="reading", temp_c=temp_c, side=side))


def test_a_far_place_typed_cold_holds_the_soak_until_it_is_even(hot_job: Job) -> None:
    """Half of the band is 50 K (common practice, no source): 262 and 205 differ by 57."""
    session = ready(hot_job, to_s=60)
    typed(session, 60, 205.0).steady(61, 90, 262.0)
    assert session.state.phase is Phase.SOAK
    assert places_c(session.state, 89.0) == (262.0, 205.0)

    for t_s, temp_c in ((90.5, 240.0), (91.5, 245.0), (92.5, 250.0)):
        typed(session.at(t_s - 0.5, 262.0), t_s, temp_c)
    session.steady(93, 100, 262.0)
    # Three places are asked for: the newest three count, and with the third they are even.
    assert session.since(72)[0] == "94.5 READY"


def test_typed_places_of_an_earlier_soak_are_forgotten(hot_job: Job) -> None:
    """A soak after a long stop starts with no place known but the channel's."""
    session = typed(ready(hot_job, to_s=60), 60, 205.0).at(61, "next").gap(62, 400)
    session.steady(401, 405, 262.0)

    assert session.state.phase is Phase.SOAK
    assert places_c(session.state, 405.0) == (262.0,)


def test_a_crayon_that_melted_is_hot_enough_and_not_too_cold(hot_job: Job) -> None:
    """ "At least 260 °C" ends the preheat after the on-delay of 2 s, without an instrument."""
    session = typed(Session(hot_job, hand=True).at(1, "next"), 300, 260.0, side=1).until(310)

    assert session.since(2) == ["302.0 SOAK"]


def test_a_crayon_that_did_not_melt_says_below(hot_job: Job) -> None:
    """ "Below 200 °C" is below the floor of 200 °C, not at it: reheat, and no bead."""
    session = Session(hot_job, hand=True).at(1, "next").at(2, "next").at(3, "next").at(4, "hold")
    typed(session, 5, 200.0, side=-1).at(7, "next")

    assert session.state.phase is Phase.REHEAT


def test_a_crayon_moves_the_forecast_only_where_it_says_something_new(hot_job: Job) -> None:
    """A one-sided reading that agrees with the estimate leaves it; one that doesn't lifts it."""

    def after(temp_c: float) -> tuple[float, ...]:
        hand = Session(hot_job, hand=True).at(1, "next").at(2, "next").at(3, "next")
        learned = typed(hand, 10, temp_c, side=1).state.learned
        assert learned is not None
        return learned.estimate.mean

    # Ready by the plan is 260 °C, give or take 20.
    assert after(240.0) == after(150.0)
    assert after(300.0)[0] > after(240.0)[0] + 10.0


def test_a_part_out_of_the_oven_is_put_back_when_the_floor_is_near(hot_job: Job) -> None:
    """`!out` makes the reheat of procedure.md section 3 a PUT BACK; `!back` is in the heat again."""
    session = ready(hot_job).at(73, "out").at(73.5, "next").at(83.5, "next").steady(84, 100, 180.0)
    assert session.since(98)[0] == "98.5 PUT_BACK"
    assert session.state.learned is not None
    assert not session.state.learned.estimate.heated

    session.at(101, "back").steady(102, 104, 182.0)
    assert session.state.learned.estimate.heated


def test_with_no_reading_at_all_the_plan_is_forecast_and_called_so(hot_job: Job) -> None:
    """READY by the welder's own word: time to the floor from the plan, widely."""
    session = Session(hot_job, hand=True).at(1, "next").at(2, "next").at(3, "next").at(10, "next")
    ahead = outlook(session.state, 11.0)

    assert ahead.planned
    assert ahead.to_floor_s is not None
    assert ahead.to_floor_s.high is not None
    assert ahead.to_floor_s.low < 0.6 * ahead.to_floor_s.value < ahead.to_floor_s.high


def test_heating_is_forecast_as_a_range_that_readings_narrow(hot_job: Job) -> None:
    """To the preheat target: from the plan first, from readings later; never a bare number."""
    session = Session(hot_job).at(0, 20.0).at(1, "next")
    planned = outlook(session.state, 1.5)
    for t_s in range(2, 300):
        session.at(t_s, 20.0 + 0.5 * t_s)
    read = outlook(session.state, 300.0)

    assert planned.to_target_s is not None
    assert read.to_target_s is not None
    assert planned.planned
    assert not read.planned
    for ahead in (planned.to_target_s, read.to_target_s):
        assert ahead.low <= ahead.value <= (ahead.high or 1e9)
