"""Published figures of heat and its measuring, each held to the source and status it was written down with.

Figures are typed here from the project's list of facts (trade.md, its sections and fixture
block), not read from the tables they check. "Seen" is that list's status, not ours.
"""

from __future__ import annotations

import ht
import pytest
from kept import COMPUTED, MEMORY, PRACTICE, PRIMARY, SECONDARY, values

from pacer.heat.arc import EFFICIENCY, arc_energy_kj_mm, efficiency, heat_input_kj_mm
from pacer.heat.t85 import SHAPE_FACTORS
from pacer.job.measuring import iso13916
from pacer.trade.rows import load, row

from_memory = pytest.mark.from_memory


def test_ranges_of_stress_relief_overlap_where_the_list_says() -> None:
    """D06 is arithmetic: the least of S01 to the most of S06, inside S02 and S05 (secondary)."""
    slow_below_c = values("stress_relief", "S01", PRIMARY)["little_below_c"]
    weakens_above_c = values("stress_relief", "S06", SECONDARY)["relief_c"][1]
    plain_c = values("stress_relief", "S05", SECONDARY)["relief_c"]

    assert values("stress_relief", "D06", COMPUTED)["relief_c"] == [538.0, 550.0]
    assert [slow_below_c, weakens_above_c] == [538.0, 550.0]
    assert plain_c[0] <= slow_below_c < weakens_above_c <= plain_c[1]
    assert values("stress_relief", "S02", SECONDARY)["relief_c"][0] == weakens_above_c


@pytest.mark.parametrize(("rate_c_h", "hours"), [(20, 20.0), (30, 13.333), (40, 10.0)])
def test_hours_from_550_to_150_at_a_published_rate(rate_c_h: float, hours: float) -> None:
    """S04: a foundry's page (secondary) gives 20-40 K/h; hours are arithmetic (trade.md 1c)."""
    known = values("stress_relief", "S04", SECONDARY)

    assert known["rate_c_h"] == [20.0, 40.0]
    assert known["rate_c_h"][0] <= rate_c_h <= known["rate_c_h"][1]
    assert (550 - known["to_c"][0]) / rate_c_h == pytest.approx(hours, abs=1e-3)


@pytest.mark.parametrize(
    ("wall_mm", "away_mm"), [(3, 12), (5, 20), (10, 40), (12.5, 50), (25, 50), (50, 50)]
)
def test_where_to_measure(wall_mm: float, away_mm: float) -> None:
    """M01: ISO 13916 clause 4.1 in its AS ISO adoption, primary text; distances by arithmetic."""
    assert row("measuring", "M01").status == PRIMARY
    assert iso13916(wall_mm / 1e3).distance_m == pytest.approx(away_mm / 1e3)


@pytest.mark.parametrize(
    ("process", "k", "volts", "amps", "v_mm_s", "kj_mm"),
    [
        ("111", 0.8, 22, 90, 2.0, 0.792),
        ("111", 0.8, 22, 90, 1.5, 1.056),
        ("141", 0.6, 12, 120, 1.5, 0.576),
        ("135", 0.8, 24, 180, 5.0, 0.6912),
        ("121", 1.0, 30, 450, 7.5, 1.8),
    ],
)
def test_heat_input_by_the_published_k(
    process: str, k: float, volts: float, amps: float, v_mm_s: float, kj_mm: float
) -> None:
    """H03: a steel maker's page (secondary); Q by arithmetic, as in the fixture block."""
    assert values("heat_input", "H03", SECONDARY)["k"][process] == k
    assert heat_input_kj_mm(volts, amps, v_mm_s / 1e3, process) == pytest.approx(kj_mm)
    assert arc_energy_kj_mm(volts, amps, v_mm_s / 1e3) == pytest.approx(kj_mm / k)


def test_what_is_computed_with_is_what_the_tables_hold() -> None:
    """k of every process is a published one (H03) or a remembered one (H03b), never a custom."""
    kept = {
        **values("heat_input", "H03", SECONDARY)["k"],
        **values("heat_input", "H03b", MEMORY)["k"],
    }

    assert kept == EFFICIENCY
    for process in load("processes"):
        assert process.status == PRACTICE
        assert "k" not in process.values
        assert kept[process.id] == efficiency(process.id)


def test_whose_k_was_seen() -> None:
    """trade.md H03: 111, 135, 141 and 121 on a steel maker's page; 131 only from memory."""
    assert set(row("heat_input", "H03").values["k"]) == {"111", "135", "121", "141"}
    assert "131" in row("heat_input", "H03b").values["k"]


@from_memory
def test_shape_factors_of_the_cooling_time() -> None:
    """H07, EN 1011-2's table: from memory, confidence medium; a T fillet takes its upper end."""
    known = values("heat_input", "H07", MEMORY)
    kept = {run: (known["f2"][run][1], known["f3"][run]) for run in known["f2"]}

    assert kept == SHAPE_FACTORS


@pytest.mark.parametrize(
    ("row_id", "name"),
    [
        ("P10", "Loose fill, Vermiculite, exfoliated, 80 kg/m^3"),
        ("P11", "Loose fill, Vermiculite, exfoliated, 120 kg/m^3"),
        ("P19", "Solids, sand and gravel"),
    ],
)
def test_conductivities_are_those_of_the_library(row_id: str, name: str) -> None:
    """P10, P11 (ASHRAE), P19 (DIN EN 12524): values seen in the `ht` library, asked here itself."""
    asked = ht.k_material(name)  # type: ignore[no-untyped-call]

    assert values("covers", row_id, PRIMARY)["k_w_mk"] == asked


def test_the_grounds_sand_is_the_trap_it_is_said_to_be() -> None:
    """D19: the library's sand conducts eight times what dry sand does (secondary, from memory)."""
    ground = values("covers", "P19", PRIMARY)["k_w_mk"]

    assert ground / values("covers", "P17", SECONDARY)["k_w_mk"] == pytest.approx(8.0)
    low, high = values("covers", "dry sand", SECONDARY)["k_w_mk"]
    assert low < values("covers", "P18", MEMORY)["k_w_mk"] < high < ground
