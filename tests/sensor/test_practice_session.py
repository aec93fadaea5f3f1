"""The whole practice session, folded: every phase, every mishap, the same for the same seed."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import msgspec
import pytest

from pacer.errors import UserInputError
from pacer.job.file.read import read_job
from pacer.job.job import Job
from pacer.sensor.practice.source import PracticePart, open_practice, practice_job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent, Opened, Reading, SensorChanged
from pacer.session.fold import advance, begin, deadline, step
from pacer.session.state import State
from pacer.session.work import Phase

MELTS_C = 1150.0
"Grey iron begins to melt at its eutectic (iron-carbon diagram, from memory)."

CONFIGS = Path(__file__).parents[2] / "configs"
SEEDS = [1, *(pytest.param(seed, marks=pytest.mark.full) for seed in (2, 3, 4, 5))]

Slice = Callable[[State, float], float | None]


class Session(NamedTuple):
    """One session as its driver saw it."""

    state: State
    events: tuple[AnyEvent, ...]
    cues: tuple[Cue, ...]
    phases: tuple[Phase, ...]
    "After each event."
    believed_c: tuple[float | None, ...]
    truth_c: tuple[float, float]
    "Coldest and hottest place the plate ever had, looked at with every tenth event."
    cpu_s: float


def as_it_comes(state: State, now_s: float) -> float | None:
    """Wait for the next item."""
    return None


def by_deadline(state: State, now_s: float) -> float | None:
    """Wait no longer than for the next timer."""
    timer = deadline(state)
    return timer.t_s if timer else None


def finely(state: State, now_s: float) -> float | None:
    """Wait in crumbs that fit no reading's period, up to the next timer."""
    until_s = now_s + (3.3 if state.phase is Phase.COOL_DOWN else 0.07)
    timer = deadline(state)
    return min(until_s, timer.t_s) if timer else until_s


def drive(job: Job, source: PracticePart, sliced: Slice, most_events: float = math.inf) -> Session:
    """Fold a practice session to its end or so far; cues are heard right after each step."""
    opened = Opened(
        v=(1, 0),
        sid="0" * 16,
        app="test",
        wall="2025-01-01T00:00:00Z",
        job=job,
        channel=source.channel,
        clk=source.clk,
        period_s=source.period_s,
        invented=source.invented,
    )
    began_s = time.process_time()
    state, told = begin(opened)
    events: list[AnyEvent] = []
    cues, phases, believed = list(told), [], []
    coldest, hottest = 1e9, -1e9
    for cue in told:
        source.hear(cue)
    while not source.finished and len(events) < most_events:
        heard = source.read(sliced(state, source.clock()))
        for item in heard:
            event = msgspec.structs.replace(item.event, t_ms=round(item.t_s * 1000))
            state, told = step(state, event)
            events.append(event)
            phases.append(state.phase)
            believed.append(state.control.value_c if state.control else None)
            cues.extend(told)
            for cue in told:
                source.hear(cue)
            if len(events) % 10 == 0:
                temps = source.casting.plate.temps_c
                coldest, hottest = min(coldest, temps.min()), max(hottest, temps.max())
        if not heard:
            state, told = advance(state, source.clock())
            cues.extend(told)
            for cue in told:
                source.hear(cue)
    used_s = time.process_time() - began_s
    return Session(
        state,
        tuple(events),
        tuple(cues),
        tuple(phases),
        tuple(believed),
        (coldest, hottest),
        used_s,
    )


@lru_cache(maxsize=8)
def session(seed: int) -> Session:
    """The default job under a seed, driven once."""
    job = practice_job()
    return drive(job, open_practice(job, seed, 0.0), as_it_comes)


def kinds(cues: tuple[Cue, ...]) -> list[CueKind]:
    """The kinds of some cues."""
    return [cue.kind for cue in cues]


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_every_phase_is_seen(seed: int) -> None:
    """The default job passes through every phase of a day (design: Headless; no figure).

    New cracks are looked for after a long stop only, and a day's practice has none.
    """
    seen = set(session(seed).phases) | {Phase.PREPARE}
    assert seen == set(Phase) - {Phase.INSPECT}
    assert session(seed).state.phase is Phase.DONE
    assert session(seed).state.work.laid == practice_job().plan.beads


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_one_arc_is_lost_in_mid_bead_and_not_struck_again_at_once(seed: int) -> None:
    """Arc lost: a counted bead, shorter than planned, no arc for 3 s (procedure, section 5)."""
    ran = session(seed)
    lost = [bead for bead in ran.state.work.beads if bead.lost]
    assert len(lost) == kinds(ran.cues).count(CueKind.ARC_LOST) == 1
    assert lost[0].counted
    assert lost[0].ended_by == "arc"
    ended_s = lost[0].ended_s or 0.0
    struck = [e.t_s for e in ran.events if isinstance(e, Act) and e.deed == "arc on"]
    assert min(t for t in struck if t > ended_s) > ended_s + 3.0


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_the_part_sinks_below_the_floor_once(seed: int) -> None:
    """Dawdled at READY: REHEAT is called, and the part is below the floor before it helps."""
    ran, floor_c = session(seed), practice_job().band.floor_c
    assert floor_c is not None
    at = kinds(ran.cues).index(CueKind.REHEAT)
    assert ran.cues[at - 1].kind is CueKind.READY
    in_reheat = [
        c for c, p in zip(ran.believed_c, ran.phases, strict=True) if p is Phase.REHEAT and c
    ]
    assert min(in_reheat) < floor_c


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_the_flame_is_left_on_once_after_a_reheat(seed: int) -> None:
    """After REHEAT comes READY, then WAIT above the ceiling with no arc between."""
    ran = session(seed)
    told = tuple(cue for cue in ran.cues if not cue.again)
    at = kinds(told).index(CueKind.REHEAT)
    after = told[at : at + 3]
    assert kinds(after) == [CueKind.REHEAT, CueKind.READY, CueKind.WAIT]
    assert after[2].values["temp_c"] > practice_job().band.ceiling_c
    between = [e for e in ran.events if isinstance(e, Act) and after[0].t_s < e.t_s < after[2].t_s]
    assert between == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_one_break_and_one_note_are_taken(seed: int) -> None:
    """`hold` and `note` happen once each, by the practice welder."""
    deeds = [e.deed for e in session(seed).events if isinstance(e, Act) and e.by == "practice"]
    assert deeds.count("hold") == 1
    assert deeds.count("note") == 1


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_a_normal_burial_is_silent(seed: int) -> None:
    """No cue between COVERED and UNCOVER (procedure, section 9), and a reading each 10 s."""
    ran = session(seed)
    assert kinds(ran.cues)[-3:] == [CueKind.COVERED, CueKind.UNCOVER, CueKind.DONE]
    paced = [e for e in ran.events if isinstance(e, SensorChanged)]
    assert [(e.state, e.period_s) for e in paced] == [("paced", 10.0)]
    covered_s = ran.cues[-3].t_s
    times = [e.t_ms for e in ran.events if isinstance(e, Reading) and e.t_s > covered_s + 1.0]
    assert {b - a for a, b in pairwise(times)} == {10_000}


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_told_is_a_refusal_or_a_lost_sensor(seed: int) -> None:
    """Arc spikes and covering make no NO READING, the welder asks for nothing he can't have."""
    assert not {CueKind.CANNOT, CueKind.NO_READING, CueKind.TOO_COLD, CueKind.SHORT_BEAD} & set(
        kinds(session(seed).cues)
    )


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_the_plate_stays_between_its_room_and_melting(seed: int) -> None:
    """Every cell is a finite temperature from ambient (20 +- 3 °C) to below 1150 °C (from memory)."""
    coldest_c, hottest_c = session(seed).truth_c
    assert 16.9 < coldest_c < 23.1
    assert 400.0 < hottest_c < MELTS_C


@pytest.mark.slow
def test_the_arc_shows_as_spikes_and_nothing_else_does() -> None:
    """Jumps of over 100 °C between readings happen only within an arc or just after one began."""
    ran = session(1)
    last: Reading | None = None
    arc, jumps = False, 0
    for event in ran.events:
        if isinstance(event, Act) and event.deed in {"arc on", "arc off"}:
            arc = event.deed == "arc on"
            continue
        if not isinstance(event, Reading):
            continue
        now = event.raw[0]
        assert isinstance(now, float)
        assert now * 4.0 == round(now * 4.0)
        if last is not None and isinstance(last.raw[0], float) and abs(now - last.raw[0]) > 100.0:
            jumps += 1
            # The reading after the arc's last one may come down from a spike.
            assert arc or event.t_s - last.t_s < 0.5
        last = event
    assert jumps >= len(ran.state.work.beads)


@pytest.mark.slow
@pytest.mark.parametrize(
    "sliced", [pytest.param(by_deadline, marks=pytest.mark.full), finely]
)  # the fine slices end at deadlines too
def test_the_session_does_not_depend_on_how_the_driver_waits(sliced: Slice) -> None:
    """Same seed, other slices of waiting: byte for byte the same events, and the same cues."""
    job = practice_job()
    other, same = drive(job, open_practice(job, 1, 0.0), sliced), session(1)
    assert msgspec.json.encode(other.events) == msgspec.json.encode(same.events)
    assert other.cues == same.cues


@pytest.mark.slow
def test_another_seed_is_another_session() -> None:
    """Seeds matter: other readings, other times; already in the preheat."""
    job = practice_job()
    other = drive(job, open_practice(job, 2, 0.0), as_it_comes, most_events=500).events
    same = drive(job, open_practice(job, 1, 0.0), as_it_comes, most_events=500).events
    assert same == session(1).events[: len(same)]
    assert msgspec.json.encode(other) != msgspec.json.encode(same)


@pytest.mark.slow
def test_the_whole_job_takes_under_20_s_of_the_processor() -> None:
    """Design: Headless, within 20 s; processor time, so that a busy machine doesn't fail it."""
    assert session(1).cpu_s < 20.0


@pytest.mark.full
@pytest.mark.parametrize("name", sorted(path.name for path in CONFIGS.glob("*.toml")))
def test_every_example_job_comes_to_its_end(name: str) -> None:
    """Hot or cold, sand, vermiculite or blanket: the practice welder gets to DONE."""
    job = read_job(CONFIGS / name)
    ran = drive(job, open_practice(job, 1, 0.0), as_it_comes)
    assert ran.state.phase is Phase.DONE
    assert ran.state.work.laid == job.plan.beads


@pytest.mark.full
@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"gas grill"', '"torch"'),
        ('"gas grill"', '"oven"'),
        ('"gas grill"', '"hot plate"'),
        ('"cold"', '"hot"'),
        ('cover = "dry sand"\nvolume = "20 l"', 'cover = "still air"'),
        ('cover = "dry sand"\nvolume = "20 l"', 'cover = "furnace"'),
    ],
)
def test_every_heat_source_tack_and_cover_comes_to_its_end(
    old: str, new: str, tmp_path: Path
) -> None:
    """The default job with one thing changed: nothing hangs, nothing is refused."""
    from pacer.sensor.practice.source import DEFAULT_JOB

    text = DEFAULT_JOB.read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "job.toml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    job = read_job(path)
    ran = drive(job, open_practice(job, 1, 0.0), as_it_comes)
    assert ran.state.phase is Phase.DONE
    assert CueKind.CANNOT not in kinds(ran.cues)


@pytest.mark.parametrize(
    ("url", "found"),
    [
        ("practice:?seed=seven", 'seed="seven"'),
        ("practice:?seed=1.5", 'seed="1.5"'),
        ("practice:?sed=3", "sed="),
        ("practice:bench", '"bench"'),
    ],
)
def test_a_wrong_url_is_told_in_one_line(url: str, found: str) -> None:
    """The line names the URL and what was found in it."""
    with pytest.raises(UserInputError) as wrong:
        open_practice(practice_job(), url=url)
    assert url in str(wrong.value)
    assert found in str(wrong.value)
    assert "\n" not in str(wrong.value)


def test_the_seed_comes_from_the_call_then_from_the_url() -> None:
    """The head of a recording says that the part is simulated, and with which seed."""
    job = practice_job()
    assert open_practice(job, url="practice:?seed=7").invented == "practice part, seed 7"
    assert open_practice(job, 3, url="practice:?seed=7").invented == "practice part, seed 3"


def test_readings_can_come_in_another_unit() -> None:
    """`unit=degF`: raw values are °F and the channel turns them back to the shop's 20 °C."""
    part = open_practice(practice_job(), 1, 0.0, "practice:?unit=degF")
    reading = part.read(None)[0].event
    assert isinstance(reading, Reading)
    raw = reading.raw[0]
    assert isinstance(raw, float)
    assert 60.0 < raw < 77.0
    assert 16.0 < part.channel.scale * raw + part.channel.offset_c < 24.0


def test_nobody_to_hear_leaves_in_the_end() -> None:
    """A driver that never tells a cue is not kept for ever: finished after simulated hours."""
    part = open_practice(practice_job(), 1, 0.0)
    assert part.read(6.5 * 3600.0)
    part._pace.until(6.5 * 3600.0, lambda: False)
    assert part.finished
    assert part.read(None) == []
