"""Arc energy, heat input and bulk rise."""

from __future__ import annotations

import math

import pytest

from pacer.heat import arc


def test_the_worked_bead_has_0_99_kj_mm_without_and_0_792_with_the_process_factor() -> None:
    """22 V, 90 A, 120 mm/min by 111: trade.md D10 and T3 (SEEN-S)."""
    assert round(arc.arc_energy_kj_mm(22.0, 90.0, 0.002), 3) == 0.990
    assert round(arc.heat_input_kj_mm(22.0, 90.0, 0.002, "111"), 3) == 0.792


@pytest.mark.parametrize(("process", "k"), [("111", 0.8), ("135", 0.8), ("121", 1.0), ("141", 0.6)])
def test_process_factors_are_those_of_en_1011_1(process: str, k: float) -> None:
    """trade.md H03 (SEEN-S, a steel maker's page naming EN 1011-1)."""
    assert arc.efficiency(process) == k


@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("process", "k"), [("131", 0.8), ("136", 0.8), ("138", 0.8), ("114", 0.8), ("15", 0.6)]
)
def test_further_process_factors_are_those_of_en_1011_1(process: str, k: float) -> None:
    """trade.md H03, full list from memory."""
    assert arc.efficiency(process) == k


def test_eleven_kj_warm_a_part_of_3_2_kg_by_6_3_degrees() -> None:
    """heat.md 1 (CALC), c at 240 °C."""
    assert arc.bulk_rise_dc(11e3, 3.2, 546.0) == pytest.approx(6.3, abs=0.01)


def test_a_bead_leaves_its_heat_input_times_its_length_in_the_part() -> None:
    """Two ways to the same joules: 25 mm at 120 mm/min take 12.5 s."""
    along_j = 25.0 * 1000.0 * arc.heat_input_kj_mm(22.0, 65.0, 0.002, "111")

    assert arc.bead_heat_j(22.0, 65.0, 12.5, "111") == pytest.approx(along_j)


def test_an_arc_that_stands_still_has_no_finite_heat_input() -> None:
    """Not a division by zero."""
    assert math.isinf(arc.heat_input_kj_mm(22.0, 65.0, 0.0, "111"))
