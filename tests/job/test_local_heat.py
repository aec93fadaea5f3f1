"""The hottest place at the cold method's real beat, and the beat that keeps it below the ceiling.

Jobs are made up. The model of the plate is asked elsewhere (`tests/heat/`); here it is what
the plan makes of it.
"""

from __future__ import annotations

import pytest
from scipy.integrate import solve_ivp

from pacer.heat import lumped
from pacer.job import local_heat as module
from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.job.local_heat import local_heat, start_below
from pacer.job.plan import plan
from pacer.job.preheat import cooling_part
from pacer.job.sheet.records import Entry, Step
from pacer.job.sheet.sections import hottest_place
from pacer.job.walk import bead_rise_dc, beat_s, wait_time, waited_beat_s
from pacer.units import Shown


def cold(
    mass: str = "2 kg",
    wall: str = "4 mm",
    crack: str = "60 mm",
    ceiling: str = "60 degC",
    more: str = "",
) -> Job:
    """A cold job, its crack running in from an edge, in a shop of 25 °C."""
    return job_from_text(
        f'[job]\nmethod = "cold"\n[part]\nmetal = "grey iron"\nmass = "{mass}"\nwall = "{wall}"\n'
        f'[joint]\nends = "one at an edge"\ncrack_length = "{crack}"\n[band]\nceiling = "{ceiling}"\n'
        f'[cooldown]\nambient = "25 degC"\nuntil = "35 degC"\n{more}',
        "made up",
    )


OVERDONE = cold("20 kg", "3 mm", "120 mm", "35 degC", '[filler]\ncurrent = "160 A"\n')
"Far too much current on a large thin plate: its places heat, the part hardly."


def told(job: Job) -> tuple[dict[str, Entry], str]:
    """The lines' entries by label, and all steps in one text."""
    lines = hottest_place.lines(plan(job), job, Shown("metric"))
    entries = {line.label: line for line in lines if isinstance(line, Entry)}
    return entries, " ".join(line.text for line in lines if isinstance(line, Step))


def test_the_cold_beat_holds_the_wait_that_the_plan_tells() -> None:
    """Arc and wait, one after the other; a hot job's beat is what the hands take."""
    job = cold()
    assert waited_beat_s(job) == pytest.approx(job.bead.planned_s + wait_time(job).value, abs=1.0)
    assert plan(job).wait_s == wait_time(job)
    assert waited_beat_s(job) > 1.5 * beat_s(job)
    hot = job_from_text(
        '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "2 kg"\n', "made up"
    )
    assert waited_beat_s(hot) == beat_s(hot)


def test_the_hottest_place_is_forecast_for_that_beat() -> None:
    """Less than half of what it would be if nothing were waited for."""
    job = cold()
    waited, unwaited = local_heat(job), local_heat(job, beat_s(job))
    assert waited is not None
    assert unwaited is not None
    assert waited.rise_dc < 0.5 * unwaited.rise_dc
    assert waited == local_heat(job, waited_beat_s(job))


def test_in_the_beat_that_holds_the_part_comes_down_far_enough() -> None:
    """By an integration of the loss in still air, without the program's own: within a few percent.

    From where a bead leaves the part, until its hottest place is at the ceiling.
    """
    job = cold()
    start = start_below(job)
    assert start is not None
    heat = local_heat(job, start.beat_s)
    assert heat is not None
    until_c, mass_kg = job.band.ceiling_c - heat.rise_dc, job.part.mass_kg
    area_m2 = cooling_part(job).plate_area_m2

    def rate(_t: float, y: list[float]) -> list[float]:
        lost_w = lumped.loss_w(float(y[0]), job.cooldown.ambient_c, area_m2)
        return [-lost_w / (mass_kg * lumped.heat_capacity_j_kgk(float(y[0])))]

    def there(_t: float, y: list[float]) -> float:
        return float(y[0]) - until_c

    there.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(rate, (0.0, 7200.0), [until_c + bead_rise_dc(job)], events=there, rtol=1e-8)
    needed_s = job.bead.planned_s + float(solved.t_events[0][0])

    assert start.beat_s == pytest.approx(needed_s, rel=0.03)
    assert job.cooldown.ambient_c < start.below_c < job.band.ceiling_c


def test_a_start_is_told_with_the_beat_it_means() -> None:
    """The start printed is the ceiling less what the hottest place is above the sensor."""
    job = cold()
    heat, start = local_heat(job), start_below(job)
    assert heat is not None
    assert start is not None
    entries, steps = told(job)
    told_c = entries["start beads below"]
    assert told_c.value == f"{60.0 - heat.over_sensor_dc:.0f} °C"
    beat = Shown("metric").duration(start.beat_s)
    assert f"a bead every {beat}" in told_c.note
    assert f"Keep a bead every {beat} from the first one on" in steps
    assert "can't keep" not in steps


def test_a_start_below_the_shop_is_never_printed() -> None:
    """Where the sum says 12 °C in a shop of 25 °C the plan says that the order can't, and what could."""
    heat = local_heat(OVERDONE)
    assert heat is not None
    assert OVERDONE.band.ceiling_c - heat.over_sensor_dc < OVERDONE.cooldown.ambient_c
    entries, steps = told(OVERDONE)
    assert "start beads below" not in entries
    assert "this order can't keep every place below the ceiling of 35 °C" in steps
    assert "longer waits, shorter beads, or less current. A bead every" in steps


@pytest.mark.parametrize("floor", ["290 degC", "295 degC"])
def test_a_hot_start_is_never_told_below_the_floor(floor: str) -> None:
    """A narrow band over a place's own heat: the same words, since the part has no start so cool."""
    job = job_from_text(
        f'[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "2 kg"\nwall = "5 mm"\n[joint]\n'
        f'ends = "one at an edge"\ncrack_length = "120 mm"\n[band]\nfloor = "{floor}"\n'
        'ceiling = "300 degC"\n',
        "made up",
    )
    entries, steps = told(job)
    assert "start beads below" not in entries
    assert "of 300 °C" in steps
    assert "from the first one on" not in steps


def test_where_no_sensible_beat_holds_it_is_said_as_such(monkeypatch: pytest.MonkeyPatch) -> None:
    """With nobody waiting longer than the session's own wait, nothing keeps this plate cool."""
    monkeypatch.setattr(module, "LONGEST_BEAT_S", waited_beat_s(OVERDONE))
    assert start_below(OVERDONE) is None
    entries, steps = told(OVERDONE)
    assert "start beads below" not in entries
    assert "No start keeps every place below the ceiling of 35 °C" in steps
