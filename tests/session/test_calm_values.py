"""A value as nearly all are passes `hearing.update` by a shorter way; it must come to the same."""

from __future__ import annotations

import random  # noqa: TID251 - seeded noise

import pytest
from written import head_of

from pacer.job.job import Job
from pacer.session import hearing
from pacer.session.events import AnyEvent, Reading, SensorChanged, Status
from pacer.session.fold import begin, step
from pacer.session.state import State


def _readings(seed: int, spikes: float) -> list[AnyEvent]:
    """Ten minutes of two channels at 4 Hz (invented): spikes, open circuits, silences, steps, a
    port that is opened again."""
    chance, t_ms, temp_c = random.Random(seed), 0, 240.0
    readings: list[AnyEvent] = []
    for n_th in range(2400):
        if n_th % 240 == 239:
            readings.append(SensorChanged(t_ms=t_ms, state="opened"))
        t_ms += 250 if chance.random() > 0.002 else chance.choice((1500, 2250, 2500, 40_000))
        temp_c += chance.gauss(0.0, 0.1) + (chance.choice((-60, 60)) * (chance.random() < 0.002))
        raw = [round(temp_c + chance.gauss(0.0, 0.3), 2) for _ in range(2)]
        status: list[Status] = ["ok", "ok"]
        for n in range(2):
            if chance.random() < spikes:
                raw[n] += chance.choice((-1, 1)) * chance.uniform(5, 400)
            if chance.random() < spikes / 4:
                status[n] = "open"
        readings.append(Reading(t_ms=t_ms, raw=tuple(raw), status=tuple(status)))
    return readings


def _states(job: Job, readings: list[AnyEvent]) -> list[State]:
    state, _ = begin(head_of(job))
    states = []
    for reading in readings:
        state, _ = step(state, reading)
        states.append(state)
    return states


@pytest.mark.slow
@pytest.mark.parametrize("spikes", [0.0, 0.02, 0.2])
def test_the_shorter_way_comes_to_the_same(
    hot_job: Job, monkeypatch: pytest.MonkeyPatch, spikes: float
) -> None:
    """Every state after every line is the one that the whole way makes; and it is taken."""
    readings = _readings(3, spikes)
    taken = []
    shorter = hearing._calm

    def counted(*args: object) -> object:
        track = shorter(*args)  # type: ignore[arg-type]
        taken.append(track is not None)
        return track

    monkeypatch.setattr(hearing, "_calm", counted)
    found = _states(hot_job, readings)
    assert sum(taken) > len(taken) / 8
    monkeypatch.setattr(hearing, "_calm", lambda *args: None)
    assert found == _states(hot_job, readings)
