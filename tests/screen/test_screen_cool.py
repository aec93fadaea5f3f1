"""The cool-down as it is read: a range called a forecast, the fire watch, uncovering."""

from __future__ import annotations

import fake_desk as fd
import pytest

from pacer.screen.view import Foreseen, View, view
from pacer.units import Shown


def seen(session: fd.Session, forecast: fd.Forecast | None = None) -> View:
    """Return the view of a session's moment."""
    return view(session.snapshot(), Shown("metric"), Foreseen(cool=forecast))


@pytest.mark.parametrize(
    ("forecast", "line", "clock"),
    [
        # 600 s have passed: 8400 s left of 9000, 7200 and 10 500 s of the interval.
        (
            fd.Forecast(9000.0, 7800.0, 11100.0),
            "Forecast: cool enough in 2 h to 2 h 55 min (80 %)",
            "2h20",
        ),
        (
            fd.Forecast(15000.0, 13800.0, None),
            "Forecast: 40 °C at the probe not before 3 h 40 min (no upper bound)",
            "3h40",
        ),
        (
            fd.Forecast(900.0, 620.0, 1800.0),
            "Forecast: cool enough within 20 min (80 %)",
            "5",
        ),
        (
            fd.Forecast(400.0, 300.0, 500.0),
            "Later than was forecast for 40 °C at the probe: measure before you uncover",
            "",
        ),
    ],
)
def test_the_cool_down_is_a_range_and_called_a_forecast(
    forecast: fd.Forecast, line: str, clock: str
) -> None:
    """Times count from the cover, in whole minutes; sums by hand."""
    shown = seen(fd.cooling(), forecast)
    assert (shown.words, shown.clock) == (line, clock)


def test_with_nothing_measured_the_far_end_of_a_wide_range_is_shown() -> None:
    """From the table "5 min" reads as nearly cool; ten minutes on 1800 s are 1200 s away."""
    wide = fd.Forecast(900.0, 620.0, 1800.0)
    silent = fd.burying().press("covered").wait(600.0)
    shown = seen(silent, wide)
    assert (shown.clock, shown.clock_unit, shown.clock_label) == (
        "20",
        "min",
        "at the latest, forecast",
    )
    narrow = fd.Forecast(1500.0, 1200.0, 1800.0)
    assert seen(silent, narrow).clock == "15"


def test_the_word_to_uncover_says_what_it_means_after_a_stop_as_well() -> None:
    """ "Nobody watched" is told, but does not stand in its place from then on."""
    session = fd.cool()
    before = seen(session)
    after = seen(session.gap(21.0).read(39.0, 10.0))
    assert (after.word, after.words) == (before.word, before.words)


def test_a_cool_down_without_a_forecast_shows_the_time_covered() -> None:
    """Ten minutes after the cover."""
    shown = seen(fd.cooling())
    assert (shown.clock, shown.clock_unit, shown.clock_label) == ("10", "min", "so far")
    assert "No forecast yet" in shown.words


def test_the_fire_watch_counts_from_the_last_arc() -> None:
    """At least 30 min after the last arc: 29 CFR 1910.252(a)(2)(iii)(B), seen in a secondary page."""
    session = fd.cooling()
    assert session.state.work.bead is not None
    ended_s = session.state.work.bead.ended_s
    assert ended_s is not None
    minutes = -(-(ended_s + 1800.0 - session.t_s) // 60)
    assert f"at least {minutes:.0f} min more" in seen(session).caution
    assert "Fire watch" not in seen(session.read(120.0, 1800.0)).caution


def test_an_uncovering_too_early_is_told_and_stays_hot() -> None:
    """A warning for a moment, then the forecast again; draughts and water are named."""
    session = fd.cooling().press("uncovered")
    shown = seen(session)
    assert shown.word == "HOT"
    assert shown.words.startswith("Uncovered at 240 °C")
    assert "never quench" in shown.caution
