"""The amount of cover against boxes worked out by hand; jobs made up for the tests."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.job.cover import amount, box_m3, layer_in_box_m, least_layer_m, overall_m
from pacer.job.file.read import job_from_text
from pacer.job.job import Job


def job(cooldown: str, size: str = 'size = ["300 mm", "200 mm", "100 mm"]\n') -> Job:
    """A hot job of 7.2 kg, which is a litre of iron at 7,200 kg/m³."""
    return job_from_text(
        '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "7.2 kg"\nwall = "10 mm"\n'
        f"{size}[cooldown]\n{cooldown}\n",
        "made up",
    )


def test_sand_by_the_box() -> None:
    """A box of 460 x 360 x 260 mm holds 43.056 l: 80 mm all round, 42.056 l of sand beside the
    litre of iron; at 1,180-1,460 kg/m³ (row `dry sand`, secondary page) 49.6-61.4 kg."""
    made = amount(job('cover = "dry sand"\nvolume = "43.056 l"'))

    assert made is not None
    assert made.layer_m == pytest.approx(0.080, abs=1e-6)
    assert made.medium_m3 == pytest.approx(42.056e-3, rel=1e-6)
    assert made.mass_kg == pytest.approx((49.63, 61.40), abs=0.01)
    assert made.area_m2 is None
    assert made.row.id == "dry sand"
    # Common practice, no source.
    assert least_layer_m() == 0.080


def test_vermiculite_is_lighter() -> None:
    """The same box: 42.056 l at 80-120 kg/m³ (row `vermiculite`) weigh 3.4-5.0 kg."""
    made = amount(job('cover = "vermiculite"\nvolume = "43.056 l"'))
    assert made is not None
    assert made.mass_kg == pytest.approx((3.364, 5.047), abs=1e-3)


def test_a_blanket_by_its_area() -> None:
    """50 mm all round 300 x 200 x 100: 400 x 300 x 200 less 6 l is 18 l, as 25 mm blanket 0.72 m²;
    at 64-160 kg/m³ (from memory) 1.15-2.88 kg."""
    made = amount(job('cover = "ceramic blanket"\nthickness = "50 mm"'))
    assert made is not None
    assert made.area_m2 == pytest.approx(0.72)
    assert made.layer_m == 0.050
    assert made.mass_kg == pytest.approx((1.152, 2.88))


@pytest.mark.parametrize("cover", ["still air", "furnace"])
def test_nothing_is_filled_in_air_or_a_furnace(cover: str) -> None:
    """No amount, rather than a zero."""
    assert amount(job(f'cover = "{cover}"')) is None


def test_without_sizes_the_part_is_a_square_plate() -> None:
    """A litre of iron, 10 mm thick: 0.1 m², so 316 x 316 mm."""
    part = job('cover = "dry sand"', size="").part
    assert overall_m(part) == pytest.approx((0.3162, 0.3162, 0.010), abs=1e-4)


@given(
    sizes=st.tuples(*[st.floats(0.01, 2.0)] * 3),
    layer_m=st.floats(0.001, 0.5),
)
def test_the_layer_found_fills_the_box(sizes: tuple[float, float, float], layer_m: float) -> None:
    """A box with so much room all round is found to have it."""
    assert layer_in_box_m(sizes, box_m3(sizes, layer_m)) == pytest.approx(layer_m, rel=1e-6)


def test_a_box_smaller_than_the_part_leaves_no_layer() -> None:
    """Such a job is refused; an old recording may hold it."""
    assert layer_in_box_m((0.3, 0.2, 0.1), 0.005) == 0.0
