"""No nuisance: few false alarms, none that chatters, true ones in time (reliability.md T-29, T-33).

The figures are those of T-33, taken there from alarm practice (EEMUA grid, SEEN-S): a guide,
not a law. The noise is invented (`noise.py`).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from noise import Kind, Noise
from nuisance import (
    ALARMS,
    HELD_FROM_S,
    Figures,
    Run,
    figures,
    held,
    in_hold,
    practised,
)
from telling import Session

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.sensor.practice.source import practice_job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent, Reading
from pacer.session.fold import fold
from pacer.session.state import State
from pacer.session.work import Phase

K = CueKind
BAD_DAY = Kind(
    sigma_dc=1.0, spikes=0.05, burst=6, garbled=0.02, drop_every_s=600.0, frozen_every_s=1200.0
)
WORSE = Kind(sigma_dc=0.5, spikes=0.20, burst=6)
HOPELESS = Kind(sigma_dc=0.5, spikes=0.45, burst=6)
LOOSE_PLUG = Kind(sigma_dc=0.5, plug_every_s=600.0)


@pytest.fixture(scope="module")
def kept_warm(hot_job: Job) -> State:
    """A hot job in its hold: floor 200 °C, ceiling 300 °C."""
    return in_hold(hot_job)


def quiet(found: Figures) -> None:
    """Assert the five figures of T-33."""
    calm(found)
    assert found.true_share >= 0.95, found


def calm(found: Figures) -> None:
    """Assert four of them: in a hold hardly any cue is true, so their share says nothing."""
    assert found.per_10_min <= 1.0, found
    assert found.in_a_minute <= 2, found
    assert found.chattering == {}, found
    assert found.stale == 0, found


@pytest.mark.slow
def test_a_practice_session_on_a_bad_day() -> None:
    """T-33: sigma 1 K, 5 % spikes, bursts, garbled lines, drop-outs and a stuck meter."""
    quiet(figures([practised(practice_job(), BAD_DAY, 1)]))


@pytest.mark.slow
def test_an_hour_of_hold_with_every_fifth_reading_spiked(kept_warm: State) -> None:
    """T-33 and T-29: false cues at most 1 per 20 min with up to 20 % spikes."""
    found = figures([held(kept_warm, WORSE, 3, lambda t_s: 262.0, 3600.0)])

    calm(found)
    assert found.per_10_min <= 0.5, found


def test_a_hold_with_nearly_every_second_reading_spiked(kept_warm: State) -> None:
    """T-33: a filter can do nothing here; then temperature is not told at all."""
    found = figures([held(kept_warm, HOPELESS, 4, lambda t_s: 262.0, 600.0)])

    calm(found)
    assert found.untrue == {}, found


def test_a_loose_plug_does_not_chatter(kept_warm: State) -> None:
    """T-33: six drop-outs of 2-4 s in a minute need no answer, so none is told.

    Longer ones are told once: `test_prompts.test_a_loose_plug_is_told_once`.
    """
    run = held(kept_warm, LOOSE_PLUG, 5, lambda t_s: 262.0, 1200.0)
    lost = [told.cue.t_s for told in run.told if told.cue.kind is K.NO_READING]

    assert lost == []


def triangle(middle_c: float) -> Callable[[float], float]:
    """Return 10 K above to 10 K below and back, at 0.05 K/s: 400 s each way."""

    def true_c(t_s: float) -> float:
        leg, part = divmod(t_s / 400.0, 1.0)
        return middle_c + 10.0 - 20.0 * (part if leg % 2 == 0 else 1.0 - part)

    return true_c


def hovering(middle_c: float) -> Callable[[float], float]:
    """Return 1.5 K up and down in two minutes."""
    return lambda t_s: middle_c + 1.5 * math.sin(math.tau * t_s / 120.0)


@pytest.mark.parametrize("sigma_dc", [0.5, pytest.param(1.0, marks=pytest.mark.full), 2.0])
@pytest.mark.parametrize(("limit_c", "kind"), [(200.0, K.TOO_COLD), (300.0, K.TOO_HOT)])
@pytest.mark.parametrize("course", [triangle, hovering])
def test_a_slow_crossing_is_told_once(
    kept_warm: State,
    course: Callable[[float], Callable[[float], float]],
    limit_c: float,
    kind: CueKind,
    sigma_dc: float,
) -> None:
    """T-33: 800 s hold one excursion past either limit; a hovering part may be told twice."""
    run = held(kept_warm, Kind(sigma_dc), 6, course(limit_c), 800.0)
    told = [t for t in run.told if t.cue.kind is kind and not t.cue.again]

    # The triangle begins above the ceiling and comes back to it at its end.
    most = 2 if course is hovering or kind is K.TOO_HOT else 1
    assert 1 <= len(told) <= most
    assert all(t.true for t in told)
    assert figures([run]).chattering == {}


def ramp(limit_c: float, rate_dc_s: float, at_s: float) -> Callable[[float], float]:
    """Return a course that passes the limit at `at_s`, from 25 K on its right side."""
    sign = math.copysign(1.0, rate_dc_s)
    return lambda t_s: limit_c + max(sign * rate_dc_s * (t_s - at_s), -25.0) * sign


@pytest.mark.slow
@pytest.mark.parametrize("spikes", [0.0, 0.05, 0.20])
def test_a_true_crossing_is_told_within_four_seconds(kept_warm: State, spikes: float) -> None:
    """T-29: p95 at most 4 s up to 20 % spikes, at 1 to 2 K/s (an arc's or a flame's rate)."""
    late_s, early = [], 0
    for seed in range(20):
        chance = np.random.default_rng(seed)
        rate, at_s = float(chance.uniform(1.0, 2.0)), float(chance.uniform(34.0, 36.0))
        limit_c, kind = (300.0, K.TOO_HOT) if seed % 2 else (200.0, K.TOO_COLD)
        course = ramp(limit_c, rate if seed % 2 else -rate, at_s)
        run = held(kept_warm, Kind(0.5, spikes), seed, course, 46.0)
        times = [t.cue.t_s - HELD_FROM_S - at_s for t in run.told if t.cue.kind is kind]
        early += sum(t_s < -2.0 for t_s in times)
        late_s.append(min(times, default=math.inf))

    assert early == 0
    assert float(np.percentile(late_s, 95)) <= 4.0, late_s


def test_forty_beads_need_few_presses(hot_job: Job) -> None:
    """DEVELOPERS.md, Decisions: forty beads must not need two hundred presses.

    No arc signal: he presses to start each bead, the rhythm does the rest.
    """
    session, presses, t_s = Session(hot_job).at(0, 20.0).at(1, "next"), 1, 2.0
    while session.state.work.laid < 40 and t_s < 4000.0:
        session.at(t_s, 150.0 if t_s < 9.0 else 262.0)
        work = session.state.work
        if work.phase is Phase.READY and t_s - work.entered_s >= 2.0:
            session.at(t_s + 0.5, "next")
            presses += 1
        t_s += 1.0

    assert session.state.work.laid == 40
    assert presses <= 2 * 40


def noisy(events: list[AnyEvent], kind: Kind, seed: int) -> list[AnyEvent]:
    """Return a recording's facts with noise on its readings up to the covering."""
    noise, arc, covered = Noise(kind, seed), False, False
    out: list[AnyEvent] = []
    for event in events:
        if isinstance(event, Act) and event.deed in {"arc on", "arc off"}:
            arc = event.deed == "arc on"
        covered = covered or (isinstance(event, Act) and event.deed == "covered")
        if not covered and isinstance(event, Reading) and isinstance(event.raw[0], float):
            sent = noise.sent(event.t_s, event.raw[0], arc=arc)
            out.extend([] if sent is None else [sent])
        else:
            out.append(event)
    return out


@pytest.mark.full
@pytest.mark.parametrize("name", ["practice-good.jsonl", "practice-uncovered-early.jsonl"])
def test_the_kept_recordings_with_noise_alarm_as_without(root: Path, name: str) -> None:
    """T-33, golden jobs: no kind of alarm that the recording itself doesn't have."""
    recording = Recording(root / "recordings" / name)
    events = list(recording.events())
    welding = Kind(sigma_dc=0.5, spikes=0.05, burst=6, garbled=0.02)

    def alarms(cues: tuple[Cue, ...]) -> set[CueKind]:
        return {cue.kind for cue in cues if cue.urgency in ALARMS}

    _, cues = fold(recording.head, events)
    for seed in range(3):
        _, noisy_cues = fold(recording.head, noisy(events, welding, seed))
        assert alarms(noisy_cues) <= alarms(cues)


@pytest.mark.full
@pytest.mark.parametrize("kind", [BAD_DAY, WORSE, HOPELESS, LOOSE_PLUG])
def test_six_hours_of_each_noise(kind: Kind) -> None:
    """T-33: 24 h of simulated noisy jobs in all."""
    runs: list[Run] = []
    while sum(run.hours for run in runs) < 6.0:
        runs.append(practised(practice_job(), kind, 100 + len(runs)))
    quiet(figures(runs))


@pytest.mark.full
def test_whole_jobs_with_their_cool_down() -> None:
    """T-33: the readings come 10 s apart there; 2 % spikes, since no arc burns."""
    calm = Kind(sigma_dc=0.5, spikes=0.02, garbled=0.02)
    quiet(figures([practised(practice_job(), calm, seed, to_the_end=True) for seed in range(5)]))
