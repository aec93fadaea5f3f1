"""Arc energy, heat input and bulk rise."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat import arc

FINITE = st.floats(allow_nan=False, allow_infinity=False)

# Process, V, A, mm/s, kJ/mm with k: trade.md section 3 (arithmetic on H01-H03, SEEN-S).
WORKED = [
    ("111", 22.0, 90.0, 1.5, 1.056),
    ("141", 12.0, 120.0, 1.5, 0.576),
    ("135", 24.0, 180.0, 5.0, 0.6912),
    ("121", 30.0, 450.0, 7.5, 1.800),
]


def test_the_worked_bead_has_0_99_kj_mm_without_and_0_792_with_the_process_factor() -> None:
    """22 V, 90 A, 120 mm/min by 111: trade.md D10 and T3 (SEEN-S)."""
    assert round(arc.arc_energy_kj_mm(22.0, 90.0, 0.002), 3) == 0.990
    assert round(arc.heat_input_kj_mm(22.0, 90.0, 0.002, "111"), 3) == 0.792


@pytest.mark.parametrize(("process", "volts", "amps", "mm_s", "expected"), WORKED)
def test_heat_input_of_further_worked_beads(
    process: str, volts: float, amps: float, mm_s: float, expected: float
) -> None:
    """trade.md section 3 (arithmetic on rows H01-H03, SEEN-S); arc energy is that over k."""
    seen = arc.heat_input_kj_mm(volts, amps, mm_s / 1e3, process)

    assert seen == pytest.approx(expected, rel=1e-3)
    energy = arc.arc_energy_kj_mm(volts, amps, mm_s / 1e3)
    assert seen == pytest.approx(arc.efficiency(process) * energy)


@pytest.mark.parametrize(("mass_kg", "expected_dc"), [(1.0, 48.5), (5.0, 9.70), (20.0, 2.42)])
def test_a_bead_of_24_kj_warms_a_lump_as_worked_out_before(
    mass_kg: float, expected_dc: float
) -> None:
    """22 V x 90 A x 15 s x 0.8 = 23.76 kJ at c = 490 (trade.md section 3, arithmetic)."""
    heat_j = arc.bead_heat_j(22.0, 90.0, 15.0, "111")

    assert heat_j == pytest.approx(23760.0)
    assert arc.bulk_rise_dc(heat_j, mass_kg, 490.0) == pytest.approx(expected_dc, rel=2e-3)


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


@given(FINITE, FINITE, FINITE, FINITE, st.text(max_size=4))
def test_no_finite_input_raises_or_gives_nan_for_an_arc(
    a: float, b: float, c: float, d: float, process: str
) -> None:
    """Total: any four finite numbers and any process; negative ones count as nothing."""
    results = [
        arc.arc_energy_kj_mm(a, b, c),
        arc.heat_input_kj_mm(a, b, c, process),
        arc.bead_heat_j(a, b, c, process),
        arc.bulk_rise_dc(a, c, d),
    ]

    assert not any(math.isnan(x) for x in results)
    assert min(results) >= 0.0
