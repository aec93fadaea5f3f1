"""The order of beads: what the trade's rules leave, and that the coolest of it is taken."""

from __future__ import annotations

import itertools
from typing import get_args

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat.places import Rises
from pacer.job import order as made
from pacer.job.file.read import job_from_text
from pacer.job.job import BeadPlan, Job
from pacer.job.local_heat import local_heat
from pacer.job.order import (
    Way,
    keeps_last,
    mirrored,
    neighbours,
    ordered,
    rule,
    runs_allowed,
    simple_order,
    way_of,
)
from pacer.job.plan import plan as planned
from pacer.job.sheet.records import Entry, Step
from pacer.job.sheet.sections.beads import lines
from pacer.units import Shown

WAYS = st.sampled_from(get_args(Way))


def job_of(
    places: int, ends: str = "both in the wall", repair: str = "crack", more: str = ""
) -> Job:
    """Return a job with so many places of 25 mm; numbers made up for the tests."""
    return job_from_text(
        f'[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "8 kg"\nwall = "12 mm"\n'
        f'size = ["440 mm", "200 mm", "40 mm"]\n[joint]\nrepair = "{repair}"\nends = "{ends}"\n'
        f'crack_length = "{places * 25 - 5} mm"\n[bead]\nlength = "{25 if places > 1 else 20} mm"\n'
        + more,
        "made up",
    )


ORDERS: tuple[tuple[int, Way, tuple[int, ...]], ...] = (
    (5, "inward", (0, 4, 1, 3, 2)),
    (4, "inward", (0, 3, 1, 2)),
    (4, "to the edge", (0, 1, 2, 3)),
    (5, "outward", (2, 3, 1, 4, 0)),
    (3, "outward", (1, 2, 0)),
    (6, "opposite sides", (0, 3, 1, 4, 2, 5)),
    (5, "opposite sides", (0, 3, 1, 4, 2)),
    (1, "outward", (0,)),
)


@pytest.mark.parametrize(("places", "way", "order"), ORDERS)
def test_in_one_pass_beads_follow_the_order_of_the_trade(
    places: int, way: Way, order: tuple[int, ...]
) -> None:
    """Ends to middle: row B06, seen in a secondary page; the others common practice, no source."""
    assert simple_order(places, way) == order
    assert runs_allowed(places, way)[0] == order


@pytest.mark.slow
@given(places=st.integers(1, 60), way=WAYS)
def test_every_run_visits_each_place_once(places: int, way: Way) -> None:
    """An order is a permutation of the places, whatever the rule; none comes twice."""
    runs = runs_allowed(places, way)
    assert len(set(runs)) == len(runs) > 0
    assert all(sorted(run) == list(range(places)) for run in (*runs, mirrored(runs[-1])))


@given(places=st.integers(3, 60))
def test_a_crack_in_the_wall_is_closed_at_its_ends_first_and_in_the_middle_last(
    places: int,
) -> None:
    """Row B06 (seen in a secondary page): each end first, then toward the middle."""
    for run in runs_allowed(places, "inward"):
        assert set(run[:2]) == {0, places - 1}
        assert run[-1] in {(places - 1) // 2, places // 2}


@pytest.mark.slow
@given(places=st.integers(3, 60), way=st.sampled_from(["inward", "to the edge", "outward"]))
def test_every_pass_goes_the_way_of_the_rule(places: int, way: Way) -> None:
    """Back against the rule's way it goes only to begin a new pass, of which there are at most 4."""
    far = {place: step for step, place in enumerate(simple_order(places, way))}
    for run in runs_allowed(places, way):
        # Both sides of one pass are one step apart, in either order.
        steps = [far[place] if way == "to the edge" else far[place] // 2 for place in run]
        turns = sum(later < earlier for earlier, later in itertools.pairwise(steps))
        assert turns <= 3


@pytest.mark.slow
@given(places=st.integers(3, 60))
def test_an_edge_is_reached_last(places: int) -> None:
    """The blind end first, the edge last; through: both edges last (common practice, no source)."""
    for run in runs_allowed(places, "to the edge"):
        assert (run[0], run[-1]) == (0, places - 1)
    for run in runs_allowed(places, "outward"):
        assert set(run[-2:]) == {0, places - 1}


@given(half=st.integers(2, 30))
def test_round_a_patch_opposite_sides_follow_each_other(half: int) -> None:
    """Common practice, no source: bead and bead opposite make a pair."""
    for run in runs_allowed(2 * half, "opposite sides"):
        pairs = zip(run[0::2], run[1::2], strict=True)
        assert all(abs(a - b) == half for a, b in pairs)


def test_the_example_crack_goes_from_its_ends_to_its_middle() -> None:
    """120 mm, both ends in the wall: row B06 leaves five places no other order worth taking."""
    assert job_of(5).plan.order == (0, 4, 1, 3, 2)


CASES = [
    (places, ends, repair)
    for places in (4, 6, 8, 12)
    for ends, repair in (
        ("both in the wall", "crack"),
        ("one at an edge", "crack"),
        ("through", "break"),
        ("both in the wall", "patch"),
    )
]


@pytest.mark.parametrize(("places", "ends", "repair"), CASES)
def test_no_order_that_the_rule_leaves_is_clearly_cooler(
    places: int, ends: str, repair: str
) -> None:
    """All of them weighed over four runs, without the search's short cuts: within 5 % or 1 K."""
    job = job_of(places, ends, repair)
    rises, way = Rises(made.row_of(job)), way_of(job)

    def worst_dc(order: tuple[int, ...]) -> float:
        return max(rises.before_each_dc((order * 4)[: 4 * places]))

    alone = runs_allowed(places, way)
    twice = [(*run, *mirrored(run)) for run in alone if way != "to the edge"]
    coolest_dc = min(worst_dc(order) for order in (*alone, *twice))
    limit_dc = coolest_dc + max(1.0, 0.05 * coolest_dc) + 0.15
    assert worst_dc(job.plan.order) <= limit_dc
    simpler = alone[: alone.index(job.plan.order)] if job.plan.order in alone else alone
    assert all(worst_dc(order) > limit_dc - 0.3 for order in simpler)


def test_a_long_crack_in_passes_stays_cooler_than_neighbour_after_neighbour() -> None:
    """300 mm: what passes are for. By the model itself; the finer plate is asked elsewhere."""
    heat = local_heat(job_of(12))
    assert heat is not None
    assert heat.rise_dc < 0.5 * heat.in_row_dc


def test_the_mirror_is_laid_where_a_run_would_begin_beside_its_last_bead() -> None:
    """Through, six places: the run ends far from where its mirror begins; two runs are cycled."""
    job = job_from_text(
        '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "4 kg"\nwall = "12 mm"\n'
        '[joint]\nends = "through"\ncrack_length = "180 mm"\n[bead]\nlength = "30 mm"\n',
        "made up",
    )
    plan = job.plan
    assert len(plan.order) == 12
    assert plan.order[6:] == mirrored(plan.order[:6])
    assert [plan.place_of(n) for n in (1, 7, 13)] == [plan.order[0], plan.order[6], plan.order[0]]
    assert [plan.run_of(n) for n in (6, 7, 12, 13)] == [1, 2, 2, 3]


def test_a_plan_of_an_older_recording_is_read_as_it_was() -> None:
    """One run's order, cycled, as recordings had it before orders of two runs."""
    old = msgspec.convert({"runs": 4, "places": 3, "order": [1, 2, 0]}, BeadPlan)
    assert [old.place_of(n) for n in range(1, 8)] == [1, 2, 0, 1, 2, 0, 1]


@pytest.mark.parametrize("places", [1, 2, 5, 12, 40])
@pytest.mark.parametrize("ends", ["both in the wall", "through"])
def test_the_same_job_has_the_same_order(places: int, ends: str) -> None:
    """No chance and no leftover of an earlier search in it."""
    job = job_of(places, ends)
    made._coolest.cache_clear()
    assert ordered(job) == job.plan


def test_rules_tell_their_source_and_status() -> None:
    """A rule without a source says so."""
    assert "secondary page" in rule("inward")[1]
    assert all("no source" in rule(way)[1] for way in get_args(Way) if way != "inward")


def test_the_plan_tells_order_rule_and_local_heat_against_the_ceiling() -> None:
    """The sum printed is the preheat target and what the place is above the sensor."""
    job = job_of(5)
    heat = local_heat(job)
    assert heat is not None
    told = lines(planned(job), job, Shown("metric"))
    steps = " ".join(line.text for line in told if isinstance(line, Step))
    values = {line.label: line for line in told if isinstance(line, Entry)}
    assert "counted from the left: 1-5-2-4-3." in steps
    assert "Weld each end of a crack first" in steps
    assert values["a place's excess"].value == f"up to {heat.rise_dc:.0f} K"
    assert values["hottest place"].value == f"{260.0 + heat.over_sensor_dc:.0f} °C"
    assert "with the sensor at the preheat target" in values["hottest place"].why
    assert values["start beads below"].value == f"{300.0 - heat.over_sensor_dc:.0f} °C"


def test_a_patch_and_an_order_that_is_no_run_have_no_local_forecast() -> None:
    """Where the sensor lies to a patch isn't known; a foreign plan isn't guessed at."""
    patch = job_of(6, repair="patch")
    assert local_heat(patch) is None
    told = lines(planned(patch), patch, Shown("metric"))
    assert not any(isinstance(line, Entry) and line.label == "hottest place" for line in told)
    odd = msgspec.structs.replace(job_of(3), plan=BeadPlan(2, 3, (0, 0, 1)))
    assert local_heat(odd) is None


def cold_job(places: int, ends: str) -> Job:
    """Return a cold job with so many places of 25 mm; numbers made up for the tests."""
    return job_from_text(
        '[job]\nmethod = "cold"\n[part]\nmetal = "grey iron"\nmass = "8 kg"\nwall = "12 mm"\n'
        f'[joint]\nends = "{ends}"\ncrack_length = "{places * 25 - 5} mm"\n'
        '[bead]\nlength = "25 mm"\n',
        "made up",
    )


@pytest.mark.parametrize("places", range(5, 13))
def test_cold_each_next_bead_to_an_edge_is_far_from_the_last(places: int) -> None:
    """Common practice, no source (the project's notes on the trade, section 8); also run to run.

    The blind end is first as ever; the edge is last wherever the passes leave that.
    """
    job = cold_job(places, "one at an edge")
    order = job.plan.order
    assert (len(order), order[0]) == (places, 0)
    assert all(abs(a - b) > 1 for a, b in itertools.pairwise((*order, order[0])))
    assert keeps_last(job) is (order[-1] == places - 1) is (places not in {5, 7})


@pytest.mark.parametrize(
    ("places", "ends", "least"),
    [
        (2, "one at an edge", 2),
        (3, "one at an edge", 2),
        (4, "one at an edge", 1),
        (5, "both in the wall", 1),
        (8, "both in the wall", 0),
        (5, "through", 1),
    ],
)
def test_cold_a_rule_that_leaves_neighbours_is_kept_with_the_fewest(
    places: int, ends: str, least: int
) -> None:
    """Of all orders in passes; with three places the middle one is beside both others."""
    job = cold_job(places, ends)
    plan, way = job.plan, way_of(job)
    assert neighbours(plan.order) == least * len(plan.order) // places
    free = runs_allowed(places, way, keep_last=False)
    assert min(map(neighbours, free)) >= least
    assert keeps_last(job)
    steps = " ".join(
        line.text for line in lines(planned(job), job, Shown("metric")) if isinstance(line, Step)
    )
    assert ("follow on one beside them" in steps) is (least > 0)
    assert "goes before that" not in steps


def test_cold_the_plan_tells_which_rule_won() -> None:
    """Five places to an edge: far from the last bead, so the edge isn't last."""
    job = cold_job(5, "one at an edge")
    steps = [
        line.text for line in lines(planned(job), job, Shown("metric")) if isinstance(line, Step)
    ]
    assert job.plan.order == (0, 2, 4, 1, 3)
    assert any("goes before that" in text and "the edge is not kept" in text for text in steps)
    hot = job_of(5, "one at an edge")
    assert hot.plan.order[-1] == 4
    told = [
        line.text for line in lines(planned(hot), hot, Shown("metric")) if isinstance(line, Step)
    ]
    assert not any("goes before that" in text for text in told)
