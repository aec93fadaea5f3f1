"""The amount of cover against boxes worked out by hand; jobs made up for the tests."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.job.cover import amount, box_m3, layer_in_box_m, least_layer_m, overall_m, small_box
from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.job.warn import warnings


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
    assert made.box is not None
    assert made.box.layer_m == pytest.approx(0.080, abs=1e-6)
    assert made.box.fill_m3 == pytest.approx(42.056e-3, rel=1e-6)
    assert not made.box.small
    assert made.medium_m3 == pytest.approx(42.056e-3, rel=1e-6)
    assert made.mass_kg == pytest.approx((49.63, 61.40), abs=0.01)
    assert made.area_m2 is None
    assert made.row.id == "dry sand"
    # Common practice, no source.
    assert least_layer_m() == 0.080


@pytest.mark.parametrize("volume_l", [10.0, 30.0, 43.056, 200.0])
def test_what_is_needed_is_the_layer_whatever_box_there_is(volume_l: float) -> None:
    """Row depth (common practice): 80 mm all round is 42.056 l of sand, by hand as above."""
    made = amount(job(f'cover = "dry sand"\nvolume = "{volume_l} l"'))

    assert made is not None
    assert made.box is not None
    assert made.medium_m3 == pytest.approx(42.056e-3)
    assert made.layer_m == 0.080
    assert made.box.fill_m3 == pytest.approx((volume_l - 1.0) * 1e-3)
    assert made.box.small == (volume_l < 43.0)


PLATE = 'mass = "12 kg"\nwall = "10 mm"'
SOLID = 'mass = "12 kg"\nwall = "10 mm"\nsize = ["500 mm", "300 mm", "200 mm"]'


@pytest.mark.parametrize("cover", ["dry sand", "vermiculite"])
@pytest.mark.parametrize(
    ("part", "least_l"),
    [
        # 12 / (7200 · 0.01) m² is 408.2 mm square: 568.2 x 568.2 x 170 mm are 54.89 l.
        (PLATE, 54.89),
        # 660 x 460 x 360 mm are 109.3 l.
        (SOLID, 109.296),
    ],
)
def test_the_box_that_nobody_gave_has_room_for_the_layer(
    part: str, least_l: float, cover: str
) -> None:
    """Up to a tenth of a litre more than the part with 80 mm all round, and said so."""
    made = job_from_text(
        f'[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\n{part}\n'
        f'[cooldown]\ncover = "{cover}"\n',
        "made up",
    )
    needed = amount(made)

    assert made.cooldown.volume_m3 is not None
    assert 0.0 <= made.cooldown.volume_m3 * 1e3 - least_l < 0.11
    assert "80 mm on every side" in made.origin["cooldown.volume"]
    assert needed is not None
    assert needed.box is not None
    assert not needed.box.small
    assert small_box(made) is None


def test_a_box_too_small_for_the_layer_is_worth_a_word() -> None:
    """By hand: 421.4 x 321.4 x 221.4 mm are 29.99 l, so 30 l leave 60.7 mm round this part."""
    made = job('cover = "dry sand"\nvolume = "30 l"')
    line = small_box(made)

    assert line is not None
    assert line.startswith("cooldown.volume: 30 l leaves 60.7 mm of dry sand on every side, ")
    assert "expected 80 mm or more (row depth, common practice); take a box of 43.1 l" in line
    assert line in warnings(made)


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
