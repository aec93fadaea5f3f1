"""A cool-down is looked at from time to time; a departure is told once, a normal one is silent."""

from __future__ import annotations

import numpy as np
import pytest
from telling import Session, ready

from pacer.heat.cooldown.curves import curves_of
from pacer.job.job import Job
from pacer.session.cooling import FIRST_LOOK_S, cooldown_prior
from pacer.session.fold import advance, step
from pacer.session.forecast import cooldown, course

COVERED_S = 100.0
DAMP_SD = 5.5
"""Five times the conductivity of dry sand: damp sand is 0.5-2.4 W/mK (P20 in trade.md, SEEN-S)."""


def buried(job: Job, temps_c: list[float], every_s: float = 30.0) -> Session:
    """A session covered at 100 s whose probe reads these temperatures from then on."""
    session = ready(job).steady(73, COVERED_S, 262.0).at(COVERED_S, "covered")
    for i, temp_c in enumerate(temps_c):
        session.at(COVERED_S + every_s * (i + 1), temp_c)
    return session


def curve_c(job: Job, hours: float, k_sd: float = 0.0, every_s: float = 30.0) -> list[float]:
    """What the cover's own model gives, its conductivity so many sd from the prior."""
    times = np.arange(every_s, hours * 3600.0, every_s, dtype=np.float64)
    prior = cooldown_prior(job, job.cooldown.cover, 262.0)
    z = np.zeros((1, len(prior.mean)))
    z[0, prior.names.index("ln k_w_mk")] = k_sd
    return [round(float(c), 1) for c in curves_of(prior, z).at(times)[0]]


def kinds(session: Session, since_s: float = COVERED_S) -> list[str]:
    """The kinds of the cues told since."""
    return [cue.split()[1] for cue in session.since(since_s)]


@pytest.mark.slow
def test_a_burial_that_goes_as_planned_is_silent(hot_job: Job) -> None:
    """procedure.md section 9: a normal burial raises no cue (common practice, no source)."""
    session = buried(hot_job, curve_c(hot_job, 3.0))

    assert kinds(session) == ["COVERED"]
    assert session.state.cooling is not None
    assert session.state.cooling.departs == ""
    assert 30 <= session.state.cooling.looks <= 45


@pytest.mark.slow
def test_damp_sand_is_told_once_and_not_in_the_first_quarter_hour(hot_job: Job) -> None:
    """Never in the first 15 min of a burial (procedure.md section 9); then once, not at each look."""
    session = buried(hot_job, curve_c(hot_job, 1.0, DAMP_SD))
    told = [cue for cue in session.told if cue.kind == "COOLING_FAST"]

    assert len(told) == 1
    assert told[0].t_s > COVERED_S + FIRST_LOOK_S
    assert told[0].values["off_dc"] < 0.0


@pytest.mark.slow
def test_looks_are_the_same_however_often_somebody_wakes(hot_job: Job) -> None:
    """A look is a named timer: more wakings change neither cues nor where the fit ended."""
    once = buried(hot_job, curve_c(hot_job, 0.7, DAMP_SD))
    again = ready(hot_job)
    state, told = again.state, list(again.told)
    for event in once.events[len(again.events) :]:
        for _ in range(2):
            state, cues = advance(state, max(state.t_s, event.t_s - 7.0))
            told += cues
        state, cues = step(state, event)
        told += cues

    assert state.cooling == once.state.cooling
    assert [cue.t_s for cue in told] == [cue.t_s for cue in once.told]


@pytest.mark.slow
def test_the_rate_is_told_beside_what_the_cover_usually_does(hot_job: Job) -> None:
    """A burial as planned cools at the likely rate: within a tenth of its own prior."""
    session = buried(hot_job, curve_c(hot_job, 2.0))
    t_s = session.state.t_s
    found = cooldown(session.state, t_s)
    assert found is not None
    goes = course(session.state, found, t_s)

    assert goes.rate_c_h is not None
    assert goes.usual_c_h is not None
    low, likely, high = goes.usual_c_h
    assert low < likely < high
    assert goes.rate_c_h == pytest.approx(likely, rel=0.1)
    assert [row[0] for row in goes.curve] == sorted(row[0] for row in goes.curve)
    assert all(low_c <= temp_c <= high_c for _, temp_c, low_c, high_c in goes.curve)


def test_without_a_reading_the_plan_is_forecast_and_called_so(hot_job: Job) -> None:
    """Nothing typed, no instrument: the cool-down starts from the post-heat temperature."""
    session = Session(hot_job, hand=True).at(1, "next").at(2, "next").at(3, "next")
    session.at(4, "finish").at(5, "next").at(6, "covered")
    found = cooldown(session.state, 10.0)

    assert found is not None
    assert found.planned
    assert found.low_s < found.eta_s


@pytest.mark.slow
def test_after_an_early_uncovering_departures_are_told_again(hot_job: Job) -> None:
    """What was told of the sand says nothing about the part in still air."""
    session = buried(hot_job, curve_c(hot_job, 0.5, DAMP_SD)).at(2000, "uncovered")

    assert "COOLING_FAST" in {cue.kind for cue in session.told}
    assert not any("faster" in name for name in session.state.work.told)
