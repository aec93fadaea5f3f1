"""The walk through the planned beads and the heat before it, by hand and by finer steps."""

from __future__ import annotations

import functools

import msgspec
import pytest
from scipy.integrate import quad, solve_ivp

from pacer.heat import lumped
from pacer.job.file.read import job_from_text
from pacer.job.forecast import Forecast, spread
from pacer.job.job import Job
from pacer.job.preheat import (
    cooling_part,
    heat_in_iron_j,
    heating_time_s,
    power_w,
    preheat_energy,
    preheat_time,
)
from pacer.job.walk import (
    bead_heat_j,
    bead_rise_dc,
    beat_s,
    reheats,
    session_time,
    wait_time,
    walk,
)

PLATE = (
    '[job]\nmethod = "{method}"\n[part]\nmetal = "grey iron"\nmass = "3.2 kg"\nwall = "12 mm"\n'
    '[joint]\ncrack_length = "120 mm"\n[filler]\ncurrent = "65 A"\nvoltage = "22 V"\n'
    '[bead]\nlength = "25 mm"\ntravel = "120 mm/min"\npeen = "15 s"\n'
)


@functools.cache
def job_of(method: str = "hot", more: str = "") -> Job:
    """A plate of 3.2 kg; 22 V x 65 A x 12.5 s x 0.8 = 14.3 kJ a bead."""
    return job_from_text(PLATE.format(method=method) + more, "x")


def fine_walk(job: Job, beads: int, handling_s: float, loss: float) -> tuple[float, int]:
    """The same rules in steps of a second by an explicit scheme: time, s, and reheats."""
    band, area_m2 = job.band, cooling_part(job).plate_area_m2
    assert band.preheat_c is not None
    assert band.floor_c is not None
    temp_c, time_s, count = band.preheat_c, 0.0, 0

    def cooled_c(temp_c: float, seconds: float, heat_w: float = 0.0) -> float:
        left_s = seconds
        while left_s > 0.0:
            step_s = min(0.5, left_s)
            lost_w = lumped.loss_w(temp_c, job.cooldown.ambient_c, area_m2, scale=loss)
            capacity_j_k = job.part.mass_kg * lumped.heat_capacity_j_kgk(temp_c)
            temp_c += step_s * (heat_w - lost_w) / capacity_j_k
            left_s -= step_s
        return temp_c

    for _ in range(beads):
        if cooled_c(temp_c, job.bead.planned_s) < band.floor_c:
            target_c = band.preheat_c - band.deadband_dc
            flame_w = power_w(job, target_c, loss=loss)
            while temp_c < target_c:
                temp_c, time_s = cooled_c(temp_c, 0.5, flame_w), time_s + 0.5
            count += 1
        temp_c = cooled_c(temp_c, job.bead.planned_s, bead_heat_j(job) / job.bead.planned_s)
        temp_c = cooled_c(temp_c, job.bead.peen_s)
        time_s += job.bead.planned_s + job.bead.peen_s
        waited_s, hot = 0.0, temp_c > band.ceiling_c
        while waited_s < handling_s or (hot and temp_c > band.ceiling_c - band.deadband_dc):
            temp_c, waited_s = cooled_c(temp_c, 0.5), waited_s + 0.5
        time_s += waited_s
    return time_s, count


@pytest.mark.slow
@pytest.mark.parametrize(
    ("handling_s", "loss"), [(10.0, 0.65), (25.0, 1.0), (60.0, 1.0), (60.0, 1.45)]
)
def test_the_walk_counts_what_a_walk_in_half_seconds_counts(handling_s: float, loss: float) -> None:
    """The same balance and rules in another scheme: no reheats, waits, some, many."""
    walked = walk(job_of(), 50, handling_s, loss)
    time_s, count = fine_walk(job_of(), 50, handling_s, loss)

    assert abs(walked.reheats - count) <= 1
    assert walked.time_s == pytest.approx(time_s, rel=0.02)


def test_without_the_arc_s_heat_the_reheats_are_the_fall_over_the_band() -> None:
    """By hand: each reheat buys 55 K less what the next bead would need, some 10 K a cycle.

    50 cycles of 52.5 s at some 11 K/min (230 °C; 11 K/min calculated in heat.md 1) fall
    480 K; the band gives 255 to 203 °C, in whole cycles five: nine or ten times.
    """
    assert walk(job_of(), 50, heat=0.0).reheats == pytest.approx(9.5, abs=1.6)


def test_more_loss_and_slower_hands_mean_more_reheats() -> None:
    """Monotonies, no published number."""
    base = walk(job_of(), 50).reheats

    assert walk(job_of(), 50, handling_s=60.0).reheats > base
    assert walk(job_of(), 50, loss=1.45).reheats > base
    assert walk(job_of(), 50, heat=0.7).reheats > base


def test_a_fast_hand_on_a_small_loss_waits_for_the_ceiling() -> None:
    """Beads that come faster than their heat leaves: time is ruled by the loss, not the hand."""
    quick = walk(job_of(), 50, handling_s=5.0, loss=0.65)
    by_hand_s = 50 * (12.5 + 15.0 + 5.0)
    leaving_w = lumped.loss_w(297.5, 20.0, cooling_part(job_of()).plate_area_m2, scale=0.65)

    assert quick.reheats == 0
    assert quick.time_s > 1.1 * by_hand_s
    # In the end each bead's heat has to go before the next (at 295 to 300 °C).
    extra_s = walk(job_of(), 60, 5.0, 0.65).time_s - quick.time_s
    assert extra_s == pytest.approx(10 * bead_heat_j(job_of()) / leaving_w, rel=0.1)


def test_the_cold_method_never_reheats() -> None:
    """It has no floor (procedure notes section 8)."""
    assert reheats(job_of("cold"), (50, 40, 65)) == Forecast(0.0, 0.0, 0.0)


def test_a_cold_session_is_ruled_by_the_wait_between_beads() -> None:
    """Once at the ceiling a bead each wait: ten more beads take ten waits and arcs."""
    job = job_of("cold", '[band]\nceiling = "60 degC"\n')
    ten_s = walk(job, 50).time_s - walk(job, 40).time_s

    assert ten_s == pytest.approx(10 * (wait_time(job).value + 12.5), rel=0.15)


@pytest.mark.parametrize(("which", "left"), [("all", 0), ("not root", 1), ("not root nor last", 2)])
def test_a_run_that_is_left_unpeened_takes_no_time_to_peen(which: str, left: int) -> None:
    """10 runs of 5 places, 15 s of peening each, no wait and no loss: 75 s less for each run."""
    job = job_of(more=f'peen_runs = "{which}"\n')
    assert (job.plan.runs, job.plan.places) == (10, 5)

    longer_s = walk(job_of(), 50, loss=0.01, heat=0.01).time_s
    assert longer_s == pytest.approx(50 * (12.5 + 15.0 + 25.0))
    assert walk(job, 50, loss=0.01, heat=0.01).time_s == pytest.approx(longer_s - left * 75.0)
    assert beat_s(job) == pytest.approx(52.5 - left * 1.5)
    assert walk(job, 50).reheats <= walk(job_of(), 50).reheats


def test_a_plan_without_peening_is_the_shorter_by_it() -> None:
    """The forecast of the whole session and of its reheats, not the walk alone."""
    none, peened = job_of(), job_of()
    none = msgspec.structs.replace(none, bead=msgspec.structs.replace(none.bead, peen_s=0.0))
    one_run = job_of(more='peen_runs = "not root"\n')
    one_run = msgspec.structs.replace(
        one_run, plan=msgspec.structs.replace(one_run.plan, runs=1, places=50)
    )
    beads = (50.0, 50.0, 50.0)

    assert session_time(one_run, beads) == session_time(none, beads)
    assert reheats(one_run, beads) == reheats(none, beads)
    assert session_time(one_run, beads).value < session_time(peened, beads).value


def test_a_long_job_goes_on_as_it_began() -> None:
    """Two thousand beads take ten times as long as two hundred."""
    few, many = walk(job_of(), 200), walk(job_of(), 2000)

    assert many.time_s == pytest.approx(10.0 * few.time_s)
    assert many.reheats == pytest.approx(10.0 * few.reheats)


def test_reheats_have_a_range_that_holds_what_hand_and_loss_alone_do() -> None:
    """Range over loss, handling, arc heat and bead count: no single cause leaves it."""
    found = reheats(job_of(), (50, 40, 65))

    assert found.high is not None
    for handling_s, loss in ((10.0, 1.0), (60.0, 1.0), (25.0, 0.65), (25.0, 1.45)):
        assert found.low <= walk(job_of(), 50, handling_s, loss).reheats <= found.high


def test_a_session_is_at_least_its_parts() -> None:
    """Preheat, soak, arc and peen, hold: by sum."""
    job = job_of()
    parts_s = job.band.soak_s + job.postheat.hold_s + 50 * (12.5 + 15.0)

    assert session_time(job, (50, 40, 65)).value > preheat_time(job).value + parts_s


def test_the_heat_in_the_iron_is_the_integral_of_its_specific_heat() -> None:
    """3.2 kg from 20 to 260 °C, c = 450 + 0.4 T (from memory): 388.6 kJ by hand and by quadrature."""
    by_quadrature = 3.2 * quad(lumped.heat_capacity_j_kgk, 20.0, 260.0)[0]

    assert heat_in_iron_j(job_of()) == pytest.approx(388.6e3, rel=1e-3)
    assert heat_in_iron_j(job_of()) == pytest.approx(by_quadrature, rel=1e-6)


def test_what_is_given_is_what_stays_and_what_is_lost() -> None:
    """Balance of the preheat, the loss summed along a solved heat-up."""
    job = job_of()
    area_m2, seconds = cooling_part(job).plate_area_m2, heating_time_s(job, 20.0, 260.0)

    def rates(_t: float, y: list[float]) -> list[float]:
        lost_w = lumped.loss_w(float(y[0]), 20.0, area_m2)
        capacity_j_k = 3.2 * lumped.heat_capacity_j_kgk(float(y[0]))
        return [(power_w(job, 260.0) - lost_w) / capacity_j_k, lost_w]

    solved = solve_ivp(rates, (0.0, seconds), [20.0, 0.0], rtol=1e-8)
    given_j = heat_in_iron_j(job) + float(solved.y[1, -1])

    assert preheat_energy(job).value == pytest.approx(given_j, rel=5e-3)


def test_a_torch_loses_less_on_the_way_than_a_grill() -> None:
    """Faster heating, less time to lose in: a monotony, no published number."""
    torch = job_of("hot", '[heating]\nwith = "torch"\n')

    assert preheat_energy(torch).value < preheat_energy(job_of()).value
    assert preheat_time(torch).value < preheat_time(job_of()).value


def test_the_cold_method_needs_no_preheat() -> None:
    """No time, no energy (procedure notes section 8)."""
    nothing = Forecast(0.0, 0.0, 0.0)
    assert preheat_time(job_of("cold")) == nothing
    assert preheat_energy(job_of("cold")) == nothing


def test_independent_doubts_add_in_quadrature() -> None:
    """3 and 4 make 5 (textbook rule for independent errors); a limit holds."""

    def total(a: float, b: float) -> float:
        return a + b

    causes = ((50.0, 47.0, 53.0), (50.0, 54.0, 46.0))
    assert spread(total, *causes) == Forecast(100.0, 95.0, 105.0)
    assert spread(total, *causes, least=98.0, most=101.0) == Forecast(100.0, 98.0, 101.0)


def test_one_bead_s_rise_is_its_heat_over_the_part_s() -> None:
    """14.3 kJ over 3.2 kg x 554 J/kgK = 8.07 K, by hand."""
    assert bead_rise_dc(job_of()) == pytest.approx(8.07, abs=0.005)
