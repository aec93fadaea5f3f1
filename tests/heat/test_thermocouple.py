"""Thermocouple voltages against the NIST tables, and what wrong wires and leads would show.

The tables' provenance is in tests/data/nist/README.md.
"""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat.thermocouple import LETTERS, Letter, emf_mv, looks_like, reversed_c, temp_c

NIST = Path(__file__).parent.parent / "data" / "nist"
ROUNDING_MV = 0.0005 + 1e-9
"Half of the tables' last digit."

POINTS = {"B": 1821, "E": 1271, "J": 1411, "K": 1643, "N": 1571, "R": 1819, "S": 1819, "T": 671}
"""Whole degrees from a type's lowest to its highest temperature, both counted."""


def table(letter: str) -> dict[int, float]:
    """Return the printed mV at each °C; the heading above says which way the columns count.

    The last column of a line repeats the first of the next.
    """
    points: dict[int, float] = {}
    columns: list[int] = []
    for line in (NIST / f"type_{letter.lower()}.tab").read_text("latin-1").splitlines():
        cells = line.split()
        if cells[:1] == ["°C"]:
            columns = [int(cell) for cell in cells[1:]]
        elif len(cells) > 1 and cells[0].lstrip("-").isdigit():
            for column, cell in zip(columns, cells[1:], strict=False):
                at_c = int(cells[0]) + column
                assert points.setdefault(at_c, float(cell)) == float(cell)
    return points


TABLES: dict[str, dict[int, float]] = {letter: table(letter) for letter in LETTERS}


def test_the_tables_hold_all_points_that_nist_printed() -> None:
    """12,026 points; a range such as -270 to 1372 °C for type K has no hole."""
    assert {letter: len(points) for letter, points in TABLES.items()} == POINTS
    for points in TABLES.values():
        assert sorted(points) == list(range(min(points), max(points) + 1))
    assert sum(POINTS.values()) == 12026


def test_every_nist_point_gives_its_voltage() -> None:
    """12,026 points from °C to mV, each within half of the last printed digit."""
    asserted = 0
    for letter, points in TABLES.items():
        for at_c, mv in points.items():
            found_mv = emf_mv(letter, float(at_c))
            assert found_mv is not None
            assert abs(found_mv - mv) <= ROUNDING_MV, f"{letter} at {at_c} °C"
            asserted += 1

    assert asserted == 12026


@pytest.mark.slow
def test_every_nist_point_gives_its_temperature_back() -> None:
    """12,026 points from mV to °C, each within the printed rounding divided by the slope there.

    The exceptions are asserted too. Below 250 °C (0.291 mV) type B answers nothing: its voltage
    falls until 21 °C and is the same at 0 and 42 °C, so one voltage may be two temperatures.
    At the two ends of a range the printed voltage, being rounded, may lie outside: no answer either.
    """
    asserted, none = 0, []
    for letter, points in TABLES.items():
        for at_c, mv in points.items():
            found_c = temp_c(letter, mv, 0.0)
            asserted += 1
            if found_c is None:
                none.append((letter, at_c))
                continue
            slope_mv_c = min(_slope_mv_c(letter, at_c - 0.5), _slope_mv_c(letter, at_c + 0.5))
            assert abs(found_c - at_c) <= ROUNDING_MV / slope_mv_c, f"{letter} at {mv} mV"

    assert asserted == 12026
    assert [at_c for letter, at_c in none if letter == "B"] == list(range(250))
    ends = [(letter, at_c) for letter, at_c in none if letter != "B"]
    assert len(ends) == 7
    for letter, at_c in ends:
        end_mv = emf_mv(letter, float(at_c))
        assert at_c in (min(TABLES[letter]), max(TABLES[letter]))
        assert end_mv is not None
        assert (TABLES[letter][at_c] - end_mv) * at_c > 0


def _slope_mv_c(letter: str, at_c: float) -> float:
    """The slope between the two ends of half a degree, inside the type's range."""
    low, high = min(TABLES[letter]), max(TABLES[letter])
    a_c, b_c = max(low, at_c - 0.25), min(high, at_c + 0.25)
    a_c, b_c = (low, low + 0.25) if b_c <= a_c and at_c < low + 1 else (a_c, b_c)
    a_c, b_c = (high - 0.25, high) if b_c <= a_c else (a_c, b_c)
    a_mv, b_mv = emf_mv(letter, a_c), emf_mv(letter, b_c)
    assert a_mv is not None
    assert b_mv is not None
    return (b_mv - a_mv) / (b_c - a_c)


def test_a_cold_junction_at_23_c_is_added() -> None:
    """12.209 mV of type K on a meter at 23 °C: 322.128 °C (ecosystem.md section 3)."""
    assert temp_c("K", 12.209, 23.0) == pytest.approx(322.128, abs=0.0005)


def test_a_cold_junction_is_added_as_voltage_as_the_nist_tables_say() -> None:
    """By hand from the printed table of K: 12.209 + 0.919 (23 °C) = 13.128 mV.

    That lies between 13.123 mV (322 °C) and 13.165 mV (323 °C).
    """
    k = TABLES["K"]
    assert (k[23], k[322], k[323]) == (0.919, 13.123, 13.165)
    by_hand_c = 322 + (12.209 + k[23] - k[322]) / (k[323] - k[322])

    found_c = temp_c("K", 12.209, 23.0)

    assert found_c == pytest.approx(by_hand_c, abs=0.001 / (k[323] - k[322]))


@pytest.mark.parametrize("cj_c", [0.0, 23.0, 41.5])
@pytest.mark.parametrize("letter", LETTERS)
def test_voltage_and_temperature_are_each_other_s_inverse(letter: Letter, cj_c: float) -> None:
    """From 300 °C, where type B has an answer too."""
    for hot_c in (300.0, 600.0, 399.5):
        hot_c = min(hot_c, 400.0) if letter == "T" else hot_c
        mv = emf_mv(letter, hot_c, cj_c)
        assert mv is not None
        assert temp_c(letter, mv, cj_c) == pytest.approx(hot_c, abs=1e-6)


@pytest.mark.parametrize(
    ("letter", "mv", "cj_c"),
    [
        ("K", 60.0, 23.0),
        ("K", -8.0, 23.0),
        ("K", math.nan, 23.0),
        ("K", math.inf, 23.0),
        ("K", 10.0, math.nan),
        ("K", 10.0, -300.0),
        ("K", 10.0, 5000.0),
        ("B", 0.1, 23.0),
    ],
)
def test_outside_a_type_s_range_there_is_no_answer(letter: str, mv: float, cj_c: float) -> None:
    """None, never an exception: the fold calls it."""
    assert temp_c(letter, mv, cj_c) is None


@pytest.mark.parametrize("hot_c", [-300.0, 1400.0, math.nan, math.inf, -math.inf])
def test_outside_a_type_s_range_there_is_no_voltage(hot_c: float) -> None:
    """Type K ends at 1372 °C."""
    assert emf_mv("K", hot_c) is None
    assert emf_mv("K", 20.0, hot_c) is None


def _from_tables_c(letter: str, mv: float) -> float:
    """Interpolate a table backwards, above 0 °C; the printed digits only."""
    points = [(at_c, v) for at_c, v in sorted(TABLES[letter].items()) if at_c >= 0]
    for (a_c, a_mv), (_, b_mv) in itertools.pairwise(points):
        if a_mv <= mv <= b_mv:
            return a_c + (mv - a_mv) / (b_mv - a_mv)
    raise AssertionError(f"{mv} mV is not in the table of {letter}")


@pytest.mark.parametrize(
    ("wire", "set_to"), [("J", "K"), ("K", "J"), ("N", "K"), ("E", "K"), ("T", "K")]
)
@pytest.mark.parametrize("true_c", [200, 260, 300])
def test_the_wire_s_type_is_found_from_what_the_wrong_setting_shows(
    wire: Letter, set_to: Letter, true_c: int
) -> None:
    """The shown value is made from the printed tables, cold junction 23 °C, not by the program."""
    mv = TABLES[wire][true_c] - TABLES[wire][23]
    shown_c = _from_tables_c(set_to, mv + TABLES[set_to][23])

    assert looks_like(shown_c, float(true_c), 23.0, set_to)[0] == wire
    assert looks_like(shown_c, true_c + 4.0, 23.0, set_to)[0] == wire


def test_no_type_is_named_where_none_fits() -> None:
    """A contact lost, a wrong unit: 231 °C shown as 60 or as 447.8 °C on a K setting."""
    assert looks_like(60.0, 231.0, 23.0, "K") == ()
    assert looks_like(447.8, 231.0, 23.0, "K") == ()


def test_the_set_type_itself_is_never_named() -> None:
    """A meter that reads right is no other wire's."""
    assert "K" not in looks_like(260.0, 260.0, 23.0, "K")


def test_r_and_s_can_hardly_be_told_apart_and_both_are_named() -> None:
    """At 600 °C their voltages differ by 6 % (NIST: 5.583 and 5.239 mV)."""
    mv = TABLES["S"][600] - TABLES["S"][23]
    shown_c = _from_tables_c("K", mv + TABLES["K"][23])

    assert looks_like(shown_c, 590.0, 23.0, "K") == ("S",)
    assert set(looks_like(shown_c, 585.0, 23.0, "K")) <= {"S", "R"}


def test_swapped_leads_read_as_far_below_the_cold_junction_as_the_voltage_is_above() -> None:
    """By the printed table of K: at 100 °C and 23 °C 3.177 mV, so 0.919 - 3.177 = -2.258 mV.

    That lies between -2.243 mV (-60 °C) and -2.278 mV (-61 °C).
    """
    k = TABLES["K"]
    mv = k[23] - (k[100] - k[23])
    assert k[-61] < mv < k[-60]

    shown_c = reversed_c("K", 100.0, 23.0)

    assert shown_c is not None
    assert -61 < shown_c < -60
    assert reversed_c("K", shown_c, 23.0) == pytest.approx(100.0, abs=1e-6)


def test_swapped_leads_on_a_hot_part_are_below_what_the_type_can_read() -> None:
    """K at 260 °C: 0.919 - 9.642 mV is below -6.458 mV, the type's lowest: no number at all."""
    assert reversed_c("K", 260.0, 23.0) is None


FLOATS = st.floats(allow_nan=True, allow_infinity=True)


@given(FLOATS, FLOATS, FLOATS, st.sampled_from(LETTERS))
def test_any_number_has_an_answer(a: float, b: float, c: float, letter: Letter) -> None:
    """Pure and total: the fold never fails on a reading."""
    assert all(found in LETTERS and found != letter for found in looks_like(a, b, c, letter))
    back = reversed_c(letter, a, c)
    assert back is None or math.isfinite(back)


@given(st.floats(-300, 2000), st.floats(-300, 2000), st.floats(-50, 80), st.sampled_from(LETTERS))
def test_any_temperature_has_an_answer(a: float, b: float, c: float, letter: Letter) -> None:
    """The same in the range where the types have voltages."""
    for found in looks_like(a, b, c, letter):
        mv = emf_mv(letter, a, c)
        assert mv is not None
        like_c = temp_c(found, mv, c)
        assert like_c is not None
        assert abs(like_c - b) <= max(5.0, 0.02 * abs(b))
