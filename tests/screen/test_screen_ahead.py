"""What lies ahead as it is read: a figure with its range, seconds only from an instrument."""

from __future__ import annotations

import fake_desk as fd
import pytest

from pacer.screen.parts.ahead import Foreseen
from pacer.screen.view import View, view
from pacer.session.forecast import Course, Outlook, Range
from pacer.session.work import Phase
from pacer.units import Shown

FLOOR = Outlook(Range(240.0, 185.0, 312.0), None, None, Range(3, 2, 5), planned=False)


def seen(session: fd.Session, pause: Outlook, later_s: float = 0.0) -> View:
    """The view with this forecast, made `later_s` ago."""
    snapshot = session.snapshot()
    foreseen = Foreseen(pause=pause, made_s=snapshot.t_s - later_s)
    return view(snapshot, Shown("metric"), foreseen)


def test_ready_shows_the_time_to_the_floor_with_its_range_and_the_beads() -> None:
    """4:00 to the floor, 80 % from 3:00 to 5:20 in tens of seconds outward."""
    shown = seen(fd.ready(), FLOOR)

    assert (shown.clock, shown.clock_unit) == ("4:00", "")
    assert shown.clock_label == "floor forecast, 3:00-5:20; 3 beads"


def test_the_figure_runs_down_between_two_forecasts_and_never_below_nothing() -> None:
    """30 s after it was made there are 30 s less; after 10 min nothing is left."""
    assert seen(fd.ready(), FLOOR, 30.0).clock == "3:30"
    assert seen(fd.ready(), FLOOR, 600.0).clock == "0:00"


def test_typed_readings_give_minutes_never_seconds() -> None:
    """heat.md section 4.5: in manual mode a coarse range."""
    session = fd.Session(hand=True)
    for _ in range(3):
        session.press("next")
    session.press("reading", temp_c=262.0).press("next").wait(80.0)
    shown = seen(session, FLOOR)

    assert session.state.phase is Phase.READY
    assert (shown.clock, shown.clock_unit) == ("4", "min")
    assert shown.clock_label == "floor forecast, 3-6 min; 3 beads"


def test_what_only_the_plan_says_is_called_so() -> None:
    """With no reading behind it the figure is the plan's, in minutes."""
    planned = Outlook(Range(240.0, 100.0, 600.0), None, None, Range(1, 1, 2), planned=True)

    assert seen(fd.ready(), planned).clock_label == "floor plan only, 1-10 min; 1 bead"


def test_without_an_upper_bound_the_range_is_open() -> None:
    """One draw in ten never gets there."""
    heating = Outlook(None, None, Range(600.0, 300.0, None), None, planned=False)
    shown = seen(fd.preheating(), heating)

    assert (shown.clock, shown.clock_unit) == ("10", "min")
    assert shown.clock_label == "target forecast, 5 min or more"


@pytest.mark.parametrize("make", [fd.waiting, fd.reheating])
def test_without_a_forecast_the_time_passed_is_shown(make: object) -> None:
    """Nothing is made up."""
    assert callable(make)
    shown = seen(make(), Outlook(None, None, None, None, planned=True))

    assert "of" in shown.clock_label


def test_a_cool_down_shows_its_rate_beside_the_usual_and_the_curve_ahead() -> None:
    """The 30-minute mean, what this cover does here, and dots for what comes."""
    snapshot = fd.cooling().snapshot()
    t_s = snapshot.t_s
    goes = Course(
        46.2, (31.0, 52.4, 249.0), ((t_s, 80.0, 78.0, 82.0), (t_s + 600, 70.0, 66.0, 74.0))
    )
    foreseen = Foreseen(cool=fd.Forecast(9000.0, 8000.0, 12000.0), course=goes)
    shown = view(snapshot, Shown("metric"), foreseen)

    assert shown.rate == "30 min mean 46 K/h, dry sand here 52"
    assert shown.trend.ahead == ((t_s, 80.0), (t_s + 600, 70.0))
    assert shown.trend.to_s == t_s + 600
    us = view(snapshot, Shown("us"), foreseen)
    assert us.rate == "30 min mean 83 °F/h, dry sand here 94"


def test_a_planned_cool_down_is_called_the_plans() -> None:
    """No reading stands behind it."""
    snapshot = fd.cooling().snapshot()
    foreseen = Foreseen(cool=fd.Forecast(9000.0, 7800.0, 11100.0, planned=True))
    shown = view(snapshot, Shown("metric"), foreseen)

    assert shown.words.startswith("Plan only: cool enough in ")
    assert shown.clock_label == "about, plan only"
