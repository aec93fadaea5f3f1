"""Published figures of iron, covers, fume and signals, each held to its source and status.

Figures are typed here from the project's list of facts (trade.md, sections 1c, 8, 11 and 12), not
read from the tables they check. "Seen" is that list's status, not ours.
"""

from __future__ import annotations

import ht
import pytest
from kept import MEMORY, PRIMARY, SECONDARY, values

from pacer.trade.rows import row

from_memory = pytest.mark.from_memory


def test_a_furnace_s_heating_rate() -> None:
    """S03: a foundry's page (secondary), 60 to 120 K/h."""
    assert values("stress_relief", "S03", SECONDARY) == {"heating_c_h": [60.0, 120.0]}


@pytest.mark.parametrize(
    ("row_id", "figures"),
    [
        # CIBSE guide A table 3.36, a scanned copy.
        ("P01", {"k_w_mk": 56.0, "rho_kg_m3": 7500.0, "cp_j_kgk": 530.0}),
        # A materials data page, all grades; α in µm/mK.
        ("P02", {"k_w_mk": 46.0, "rho_kg_m3": 7500.0, "cp_j_kgk": 490.0, "solidus_c": 1180.0,
                 "liquidus_c": 1380.0, "latent_kj_kg": 280.0, "expansion_um_mk": 11.0}),
        # The same site's older page, ISO 150.
        ("P03", {"k_w_mk": 46.0, "rho_kg_m3": 7200.0, "cp_j_kgk": 450.0, "solidus_c": 1090.0}),
        # A metals seller's page, SCh35.
        ("P04", {"k_w_mk": 42.0, "rho_kg_m3": 7400.0, "cp_j_kgk": 545.0}),
        # A paper's excerpt: the conductivity falls up to 400 °C.
        ("P05", {"to_c": 400.0}),
        # A thermal camera's manual.
        ("P07", {"as_cast_emissivity": 0.81, "oxidised_emissivity": [0.63, 0.64, 0.66, 0.76],
                 "oxidised_at_c": [38.0, 100.0, 260.0, 538.0], "polished_emissivity": 0.21}),
        # An infrared thermometer's manual, 8 to 14 µm.
        ("P08", {"oxidised_emissivity": [0.6, 0.95], "bare_emissivity": 0.2}),
    ],
)  # fmt: skip
def test_iron_s_properties_are_kept_as_found(row_id: str, figures: dict[str, object]) -> None:
    """trade.md section 8, secondary pages: they disagree, and none is preferred."""
    assert values("iron", row_id, SECONDARY) == figures


def test_emissivities_that_stand_only_in_words() -> None:
    """P07: oxidised at 600 °C 0.64 to 0.78, machined at 800 to 1000 °C 0.60 to 0.70 (secondary)."""
    about = row("iron", "P07").about

    assert "0.64 to 0.78" in about
    assert "0.60 to 0.70 at 800 to 1000 °C" in about


@from_memory
@pytest.mark.parametrize(
    ("row_id", "k_w_mk", "rho_kg_m3"),
    [
        ("P06a", [52.5, 51.0, 50.0, 49.0, 48.5], 7100.0),
        ("P06b", [50.0, 49.0, 48.0, 47.0, 46.0], 7150.0),
        ("P06c", [48.5, 47.5, 46.5, 45.0, 44.5], 7200.0),
        ("P06d", [47.5, 46.0, 45.0, 44.0, 43.0], 7250.0),
    ],
)
def test_grades_conduct_less_when_hot(row_id: str, k_w_mk: list[float], rho_kg_m3: float) -> None:
    """P06: EN 1561's thermal annex was not seen; from memory, confidence medium."""
    known = values("iron", row_id, MEMORY)

    assert (known["k_w_mk"], known["rho_kg_m3"]) == (k_w_mk, rho_kg_m3)
    assert known["at_c"] == [100.0, 200.0, 300.0, 400.0, 500.0]
    assert row("iron", row_id).confidence == "medium"


@from_memory
def test_a_grade_s_specific_heat() -> None:
    """P06: 460 J/kgK up to 200 °C and 535 up to 600 °C, from memory."""
    assert values("iron", "P06a", MEMORY)["cp_j_kgk"] == [460.0, 535.0]


@pytest.mark.parametrize(
    ("row_id", "status", "figures"),
    [
        # An infrared thermometer's manual.
        ("P09", SECONDARY, {"emissivity": 0.76}),
        # A paper's abstract.
        ("P12", SECONDARY, {"k_w_mk": [0.0633, 0.0738]}),
        # ASTM C516-80, its scope.
        ("P13", PRIMARY, {"max_c": 760.0}),
        # A ground-loop design page after CRREL 82-8.
        ("P20", SECONDARY, {"k_w_mk": [0.9, 1.9], "rho_kg_m3": 1300.0, "water_percent": 5.0,
                            "times": [4.0, 7.0]}),
        # A round robin's abstract: 48 results of 7 laboratories, and calcium silicate.
        ("P22", SECONDARY, {"spread_percent": [7.4, 8.0]}),
        # No data sheet seen.
        pytest.param("P21", MEMORY, {"rho_kg_m3": 128.0, "k_w_mk": [0.06, 0.1, 0.15, 0.22],
                                     "at_c": [200.0, 400.0, 600.0, 800.0],
                                     "cp_j_kgk": [1000.0, 1130.0]}, marks=from_memory),
    ],
)  # fmt: skip
def test_covers_are_kept_as_found(row_id: str, status: str, figures: dict[str, object]) -> None:
    """trade.md section 8."""
    assert values("covers", row_id, status) == figures


@pytest.mark.parametrize(
    ("at", "name"),
    [(0, "Loose fill, Perlite, expanded, 50 kg/m^3"), (1, "Loose fill, Perlite, expanded, 100 kg/m^3"),
     (2, "Loose fill, Perlite, expanded, 150 kg/m^3")],
)  # fmt: skip
def test_perlite_s_figures_are_the_library_s(at: int, name: str) -> None:
    """P14: values of the `ht` library, asked here itself."""
    known = values("covers", "P14", PRIMARY)

    assert known["k_w_mk"][at] == pytest.approx(ht.k_material(name))  # type: ignore[no-untyped-call]


def test_bricks_figures() -> None:
    """P15, P16: the `ht` library's VDI tables, at 400 to 1200 °C; typed here and asked there."""
    light, clay = (values("covers", name, PRIMARY) for name in ("P15", "P16"))
    conducts, holds = ht.refractory_VDI_k, ht.refractory_VDI_Cp
    asked = [conducts("L1260", at_c + 273.15) for at_c in light["at_c"]]  # type: ignore[no-untyped-call]

    assert light["k_w_mk"] == pytest.approx(asked)
    assert clay["k_w_mk"] == pytest.approx(conducts("Fireclay", 673.15))  # type: ignore[no-untyped-call]
    assert clay["cp_j_kgk"] == pytest.approx(holds("Fireclay", 673.15))  # type: ignore[no-untyped-call]
    assert dict(zip(light["at_c"], light["k_w_mk"], strict=True)) == {
        400: 0.14, 600: 0.16, 800: 0.18, 1000: 0.20, 1200: 0.22,
    }  # fmt: skip
    assert light["rho_kg_m3"] == 490.0
    assert clay == {"k_w_mk": 1.05, "rho_kg_m3": 2150.0, "cp_j_kgk": 956.0, "at_c": 400.0}


@pytest.mark.parametrize(
    ("row_id", "status", "figures"),
    [
        # GOST R ISO 7731-2007.
        ("G01", PRIMARY, {"ambient_dba": 100.0, "most_dba": 118.0}),
        # NUREG-0700 revision 2, four places.
        ("G04", PRIMARY, {"above_db": 20.0, "band_hz": [200.0, 5000.0], "most_dba": [90.0, 115.0]}),
        ("G05", PRIMARY, {"rates": 3, "pulse_hz": [1.0, 8.0], "factor": 2.0}),
        ("G06", PRIMARY, {"apart_percent": 20.0}),
        ("G07", PRIMARY, {"rates": 2, "apart_hz": 2.0, "flash_hz": [0.8, 5.0],
                          "single_hz": [2.0, 3.0], "least_on_s": 0.05}),
        # A question-and-answer page citing WCAG 2.0.
        ("G08", SECONDARY, {"most_hz": 3.0}),
        # IEC 60601-1-8 in its GOST adoption.
        ("G09", PRIMARY, {"band_hz": [200.0, 5000.0], "better_hz": [500.0, 3000.0]}),
        # ISO 7731, IEC 60073 and ISO 11429: their figures were not seen.
        pytest.param("G03", MEMORY, {"least_dba": 65.0, "above_db": [10.0, 13.0, 15.0],
                                     "band_hz": [500.0, 2500.0], "pulse_hz": [0.5, 4.0]},
                     marks=from_memory),
        pytest.param("G14", MEMORY, {"slow_hz": [0.4, 0.8], "fast_hz": [1.4, 2.8]}, marks=from_memory),
        pytest.param("G15", MEMORY, {"clear_s": 30.0}, marks=from_memory),
    ],
)  # fmt: skip
def test_signals_are_kept_as_found(row_id: str, status: str, figures: dict[str, object]) -> None:
    """trade.md section 11."""
    assert values("signals", row_id, status) == figures


def test_silica_s_limit() -> None:
    """X15: 0.05 mg/m³ over 8 h, action from 0.025, two pages on 29 CFR 1926.1153 (secondary)."""
    known = values("fume", "X15", SECONDARY)

    assert known == {"pel_mg_m3": 0.05, "action_mg_m3": 0.025}
    assert row("cautions", "sand dust").values["pel_mg_m3"] == 0.05


@from_memory
def test_hexavalent_chromium_s_limit() -> None:
    """X18: 0.005 mg/m³, 5 µg, over 8 h; 29 CFR 1910.1026's limit is from memory, confidence high."""
    assert values("fume", "X18", MEMORY) == {"pel_mg_m3": 0.005}
    assert values("cautions", "chromium fume", MEMORY)["pel_mg_m3"] == 0.005


def test_what_nickel_and_fume_do_is_on_every_plan_with_nickel() -> None:
    """X02: ACGIH 1.5 mg/m³, a data sheet; X03: IARC group 1 and 2B; X04: group 1. Secondary pages."""
    assert values("fume", "X02", SECONDARY)["tlv_mg_m3"] == 1.5
    assert values("cautions", "nickel inhaled", SECONDARY)["tlv_mg_m3"] == 1.5
    for table, name in (("fume", "X03"), ("cautions", "nickel and cancer")):
        values(table, name, SECONDARY)
        about = row(table, name).about
        assert "ickel compounds cause cancer (group 1" in about or "(IARC group 1)" in about
        assert "group 2B" in about
    for table, name in (("fume", "X04"), ("cautions", "fume and cancer")):
        values(table, name, SECONDARY)
        assert "cause cancer" in row(table, name).about
        assert "group 1" in row(table, name).about


@pytest.mark.parametrize(
    "advice", ["burns", "fume", "nickel fume", "monoxide", "peening", "trapped"]
)
def test_advice_is_not_told_as_the_limit_s_source(advice: str) -> None:
    """No text that was seen says these: gloves, plume, exhaust anywhere, an alarm, ears, holes."""
    found = row("cautions", advice)

    assert found.status == "common practice"
    assert not any(name.endswith(("_c", "_m3", "_ppm")) for name in found.values)


def test_what_puts_a_fire_out_is_a_rule_s() -> None:
    """WAC 296-307-49503(2), read on the legislature's pages: ready for instant use; water pails,
    sand, hose or extinguishers."""
    values("cautions", "extinguisher", PRIMARY)
    assert "ready for instant use" in row("cautions", "extinguisher").about
