"""Layers of a plan: every run in one layer, sides in turn, the root named for the peen."""

from __future__ import annotations

import math
from typing import get_args

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.job.file.read import job_from_text
from pacer.job.job import BeadPlan, Job, Joint, Preparation
from pacer.job.layers import (
    WIDE_TO_THICK,
    Layer,
    bead_size_m,
    coated,
    is_peened,
    layers,
    runs_to_coat,
    unpeened_runs,
)

BASE = job_from_text(
    '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "8 kg"\nwall = "12 mm"\n'
    '[joint]\ndepth = "10 mm"\ncrack_length = "120 mm"\n',
    "made up",
)
ANGLES_DEG = {"U": 20.0, "square": 0.0, "fillet weld": 90.0}


def job(
    preparation: Preparation = "single-V", runs: int = 10, *, butter: bool = False, **joint: object
) -> Job:
    """A job of so many runs; the numbers are made up for the tests."""
    fields = {
        "preparation": preparation,
        "angle_deg": ANGLES_DEG.get(preparation, 60.0),
        "gap_m": 0.002 if preparation == "square" else 0.0,
        "butter": butter,
        **joint,
    }
    return msgspec.structs.replace(
        BASE,
        joint=msgspec.structs.replace(BASE.joint, **fields),
        plan=BeadPlan(runs, 5, BASE.plan.order),
    )


def names(made: tuple[Layer, ...]) -> list[tuple[str, int, int]]:
    """Name, first and last run."""
    return [(layer.name, layer.first, layer.last) for layer in made]


def peened(job_: Job, which: str) -> Job:
    """The job with another choice of runs to peen."""
    return msgspec.structs.replace(job_, bead=msgspec.structs.replace(job_.bead, peen_runs=which))


def test_the_example_groove_by_hand() -> None:
    """63.5 mm² in 10 runs: 6.35 mm² each, 4.36 mm wide, 1.45 mm thick.

    The root fills 60° up to 3.3 mm (3.3² x 0.577 = 6.3). It is 3.8 mm wide there: 1 run; at
    4.8 mm 5.5 wide: 1; at 6.2 mm 7.2 wide: 2; at 7.7 mm 8.9 wide: 2. The top is 11.5 mm: 3.
    """
    made = job()
    assert bead_size_m(made) == pytest.approx((4.365e-3, 1.455e-3), abs=1e-6)
    assert names(layers(made)) == [
        ("root", 1, 1),
        ("fill", 2, 2),
        ("fill", 3, 3),
        ("fill", 4, 5),
        ("fill", 6, 7),
        ("cap", 8, 10),
    ]


def test_each_face_is_coated_first_where_that_is_asked() -> None:
    """A face is 10 / cos 30° = 11.5 mm, 2.6 beads: 3 runs on each of two faces, then the root.

    The top is as wide: 3 runs of cap. With 12 runs, of 3.98 mm each, 2 are left to fill with.
    """
    assert names(layers(job(butter=True))) == [
        ("butter", 1, 6),
        ("root", 7, 7),
        ("cap", 8, 10),
    ]
    assert names(layers(job(runs=12, butter=True))) == [
        ("butter", 1, 6),
        ("root", 7, 7),
        ("fill", 8, 8),
        ("fill", 9, 9),
        ("cap", 10, 12),
    ]
    assert names(layers(job(butter=False)))[0] == ("root", 1, 1)


@pytest.mark.parametrize(("runs", "coat"), [(1, 0), (3, 0), (5, 0), (6, 4), (7, 4), (8, 4), (9, 6)])
def test_a_groove_too_small_for_coats_root_and_cap_has_no_coat(runs: int, coat: int) -> None:
    """By hand: a face is 11.55 mm; 5 runs are 6.17 mm wide, 2 a face leave a root and no cap.

    6 runs are 5.64 mm wide: 2 a face, 1 root, 1 of cap. 7: 5.22 mm, one more of cap, 8: 4.88 mm,
    one more to fill. 9: 4.6 mm, 2.51 and so 3 a face, which leaves a root and 2 of cap.
    """
    made = layers(job(runs=runs, butter=True))
    assert sum(layer.runs for layer in made if layer.name == "butter") == coat
    if coat:
        assert [layer.name for layer in made[:2]] == ["butter", "root"]
        assert made[-1].name == "cap"
    else:
        assert names(made) == names(layers(job(runs=runs)))


def test_a_double_v_is_turned_after_the_root_and_after_each_pair_of_layers() -> None:
    """The project's notes on the trade, section 5; the sides of a deep one, layer by layer."""
    made = layers(job("double-V", 24, depth_m=0.03, access="both sides"))
    sides = [layer.side for layer in made]
    assert made[0] == Layer("root", 1, 1, 1)
    assert sides[:9] == [1, 2, 2, 1, 1, 2, 2, 1, 1]
    assert [layer.name for layer in made if layer.side == 2][-1] == "cap"
    assert [layer.name for layer in made if layer.side == 1][-1] == "cap"
    by_side = [sum(layer.runs for layer in made if layer.side == side) for side in (1, 2)]
    assert by_side == [12, 12]


def test_a_small_double_v_keeps_a_cap_on_each_side() -> None:
    """10 mm deep, 10 runs 3.09 mm wide, a face 1.87: 2 on each of 4 leave no cap on one side.

    With 11, of 2.95 mm, there is one: 8, 1, 1 and 1; 13, of 2.71 mm, leave 2 and 2.
    """
    few = job("double-V", 10, butter=True)
    assert layers(few) == layers(job("double-V", 10))
    assert (coated(few), runs_to_coat(few)) == (False, 11)
    least = [(layer.name, layer.runs) for layer in layers(job("double-V", 11, butter=True))]
    assert least == [("butter", 4), ("butter", 4), ("root", 1), ("cap", 1), ("cap", 1)]
    made = layers(job("double-V", 13, butter=True))
    assert [(layer.name, layer.runs, layer.side) for layer in made] == [
        ("butter", 4, 2),
        ("butter", 4, 1),
        ("root", 1, 1),
        ("cap", 2, 2),
        ("cap", 2, 1),
    ]


def test_a_double_v_s_faces_are_coated_back_side_first() -> None:
    """So that one turn less is needed: butter 2, turn, butter 1, root 1."""
    made = layers(job("double-V", 16, butter=True))
    assert [(layer.name, layer.side) for layer in made[:3]] == [
        ("butter", 2),
        ("butter", 1),
        ("root", 1),
    ]


@settings(max_examples=150)
@given(
    preparation=st.sampled_from(get_args(Preparation)),
    runs=st.integers(1, 60),
    butter=st.booleans(),
    depth_mm=st.floats(1.0, 60.0),
)
def test_every_run_is_in_one_layer_and_in_order(
    preparation: Preparation, runs: int, butter: bool, depth_mm: float
) -> None:
    """No run is missing, none is in two; one root of one run; both caps last on their side."""
    made = layers(job(preparation, runs, butter=butter, depth_m=depth_mm / 1e3))

    laid = [run for layer in made for run in range(layer.first, layer.last + 1)]
    assert laid == list(range(1, runs + 1))
    assert [(layer.runs, layer.side) for layer in made if layer.name == "root"] == [(1, 1)]
    if made[0].name == "butter":
        # Each face alike, and on each side a cap over it.
        sides = {layer.side for layer in made}
        coats = {layer.runs for layer in made if layer.name == "butter"}
        assert len(coats) == 1
        assert coats.pop() % 2 == 0
        assert {layer.side for layer in made if layer.name == "cap"} == sides
    for side in (1, 2):
        on_it = [layer.name for layer in made if layer.side == side]
        assert on_it == sorted(on_it, key=["butter", "root", "fill", "cap"].index)
        assert on_it.count("cap") <= 1
    assert {layer.side for layer in made} <= ({1, 2} if preparation == "double-V" else {1})


@given(preparation=st.sampled_from(get_args(Preparation)), runs=st.integers(1, 40))
def test_the_beads_planned_fill_the_weld(preparation: Preparation, runs: int) -> None:
    """Width times thickness of a bead, times the runs, is the weld's cross-section."""
    from pacer.job.groove import weld_area_m2

    made = job(preparation, runs)
    wide_m, thick_m = bead_size_m(made)
    assert wide_m == pytest.approx(WIDE_TO_THICK * thick_m)
    assert wide_m * thick_m * runs == pytest.approx(weld_area_m2(made.joint))


def test_a_groove_of_nothing_has_its_runs_all_the_same() -> None:
    """A damaged recording may hold a square joint without a gap: nothing is divided by 0."""
    made = job("square", 4, gap_m=0.0, butter=True)
    assert layers(made)[-1].last == 4
    assert runs_to_coat(made) is None
    assert unpeened_runs(peened(made, "not root nor last"))


def test_which_runs_are_left_unpeened() -> None:
    """Row B10 (AWS D1.5, steel bridges): neither root nor last; shop texts peen all."""
    made = job()
    assert unpeened_runs(made) == ()
    assert unpeened_runs(peened(made, "not root")) == (1,)
    assert unpeened_runs(peened(made, "not root nor last")) == (1, 10)
    buttered = job(butter=True)
    assert unpeened_runs(peened(buttered, "not root nor last")) == (7, 10)
    assert not is_peened(peened(made, "not root nor last"), 11)
    assert is_peened(peened(made, "not root"), 11)
    assert unpeened_runs(peened(job(runs=1), "not root nor last")) == (1,)


@pytest.mark.parametrize("steps", range(-4, 5))
def test_an_exact_half_does_not_hang_on_the_last_bit(steps: int) -> None:
    """By hand: 4 mm x 3.3 mm, a tenth more is 14.52 mm²; 25 runs are 1.32 mm wide, a face 2.5.

    A half goes to the even number, so 2 on each of two faces and the root is run 5, also where a
    processor has the depth some last bits off. Either way 3 runs of cap.
    """
    depth_m = 0.0033
    for _ in range(abs(steps)):
        depth_m = math.nextafter(depth_m, math.copysign(1.0, steps))
    made = job("square", 25, butter=True, gap_m=0.004, depth_m=depth_m, root_face_m=0.0)

    assert names(layers(made))[:2] == [("butter", 1, 4), ("root", 5, 5)]
    assert unpeened_runs(peened(made, "not root")) == (5,)


def test_a_joint_of_an_older_recording_has_layers() -> None:
    """Without a root opening, which older jobs did not have."""
    old = Joint(
        "crack", "one side", 0.12, "none", "both in the wall", "single-V", 60.0, 0.002, 0.01
    )
    assert layers(msgspec.structs.replace(job(), joint=old)) == layers(job())
