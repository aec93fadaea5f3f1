"""Places measured in a soak, crayons that say "at least", and a part taken out of its heat."""

from __future__ import annotations

from telling import Session, ready

from pacer.job.job import Job
from pacer.session.events import Act
from pacer.session.forecast import outlook
from pacer.session.track import places_c
from pacer.session.work import Phase


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


def test_at_least_is_never_cool_enough(hot_job: Job) -> None:
    """ "At least 40 °C" is no end of a cool-down, "at least 220 °C" no end of a wait."""
    hand = Session(hot_job, hand=True)
    for t_s, deed in ((1, "next"), (2, "next"), (3, "next"), (4, "finish"), (5, "next")):
        hand.at(t_s, deed)
    hand.at(6, "covered")
    typed(hand, 5000, 40.0, side=1).until(5100)
    assert "UNCOVER" not in {cue.kind for cue in hand.told}
    assert typed(hand, 5200, 40.0, side=-1).until(5300).cues[-1] == "5202.0 UNCOVER"

    wait = Session(hot_job, hand=True).at(1, "next").at(2, "next")
    typed(wait, 3, 320.0).at(5, "next")
    assert wait.state.phase is Phase.WAIT
    typed(wait, 10, 220.0, side=1).until(20)
    assert wait.state.phase is Phase.WAIT


def test_below_is_never_hot_enough(hot_job: Job) -> None:
    """ "Below 300 °C" neither ends a preheat nor calls a bead: it could be cold."""
    hand = typed(Session(hot_job, hand=True).at(1, "next"), 300, 300.0, side=-1).until(400)
    assert hand.state.phase is Phase.PREHEAT

    hand.at(401, "next").at(402, "next")
    typed(hand, 403, 290.0, side=-1).at(405, "next")
    assert str(hand.state.phase) == "wait"
    assert hand.cues[-1] == "405.0 TYPE_A_READING"
    typed(hand, 406, 210.0, side=1).at(408, "next")
    typed(hand, 409, 250.0).until(412)
    assert str(hand.state.phase) == "ready"


def test_a_typed_reading_that_takes_over_is_judged_before_anything_is_decided(hot_job: Job) -> None:
    """Instrument at 288 °C, typed 150 °C; the instrument falls silent: one REHEAT, not fifty."""
    session = ready(hot_job).at(73, "next").at(83, "next").steady(84, 100, 180.0)
    session.steady(100, 104, 288.0)
    session.at(103.5, "reading 150").until(140)

    # Held for 2 s from 101 it was ready at 103; silent from 106 the typed 150 decides at 108.
    assert session.since(102) == ["103.0 READY", "108.0 NO_READING", "108.0 REHEAT"]


def test_wrapping_before_the_soak_is_kept(hot_job: Job) -> None:
    """Said in the preheat, heard when the filter begins; and through a long silence."""
    session = Session(hot_job).at(0, 20.0).at(1, "next").at(5, "wrap")
    session.steady(6, 9, 150.0).steady(9, 20, 262.0)
    assert session.state.learned is not None
    assert session.state.learned.estimate.wrapped

    session.at(2000, 250.0)
    assert session.state.learned.estimate.wrapped


def test_a_note_after_a_silence_is_no_new_beginning(hot_job: Job) -> None:
    """Held at 230 °C, then silent for an hour: the part is not back at its preheat target."""
    session = ready(hot_job).at(73.5, "hold").steady(74, 90, 230.0).at(3700, "note")
    ahead = outlook(session.state, 3700.0)

    assert not ahead.planned
    learned = session.state.learned
    assert learned is not None
    assert learned.estimate.readings > 3


def test_an_undone_end_of_a_bead_lets_it_burn_on(hot_job: Job) -> None:
    """Pressed at 79 by mistake, undone at 81, out at 86: one bead of 12 s from 74."""
    session = ready(hot_job).at(74, "next").at(79, "next").at(81, "undo").at(86, "next")
    session.steady(87, 95, 265.0)
    assert session.state.learned is not None
    (bead,) = session.state.learned.estimate.beads

    assert bead.end_s is not None
    assert (bead.start_s, bead.end_s) == (74.0, 86.0)
