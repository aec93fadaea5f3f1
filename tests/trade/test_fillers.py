"""Fillers by their exact designation: of one kind each, never described by another's figures."""

from __future__ import annotations

from collections import Counter

import pytest
from kept import MEMORY, SECONDARY, values

from pacer.job.file.fill import DESIGNATIONS
from pacer.trade.fillers import Element, figures, kind, may_hold, symbol
from pacer.trade.rows import load, row

from_memory = pytest.mark.from_memory


def test_each_designation_is_of_exactly_one_kind() -> None:
    """Rows F10: a filler that is two things would be told as either."""
    kinds = [found for found in load("fillers") if "kind" in found.values]
    named = Counter(name for found in kinds for name in found.values["designations"])

    assert named
    assert set(named.values()) == {1}
    for found in kinds:
        for name in found.values["designations"]:
            assert kind(name) is found


def test_every_designation_with_figures_has_a_kind() -> None:
    """Rows F01 and F04 speak of designations too: none of them is left without a kind."""
    named = {name for found in load("fillers") for name in found.values.get("designations", ())}

    assert all(kind(name) for name in named)


def test_the_defaults_are_known() -> None:
    """What a job file gets when it names no filler must not be a stranger."""
    assert all(kind(name) for name in DESIGNATIONS.values())


@from_memory
@pytest.mark.parametrize(
    ("designation", "expected"),
    [
        ("ENi-CI", "nickel"),
        ("ERNi-1", "nickel"),
        ("ENiFe-CI", "nickel-iron"),
        ("AWS A5.15 ENiFe-CI", "nickel-iron"),
        ("ISO 1071: S C NiFe-1", "nickel-iron"),
        ("enife-ci", "nickel-iron"),
        ("ENiFeMn-CI", "nickel-iron-manganese"),
        ("ENiCu-B", "nickel-copper"),
        ("ENiCrFe-3", "nickel-chromium"),
        ("ERCuNi", "copper-nickel"),
        ("ERCuSi-A", "copper"),
        ("ESt", "steel"),
        ("ER70S-6", "steel"),
    ],
)
def test_a_filler_is_of_its_own_kind(designation: str, expected: str) -> None:
    """AWS A5 and ISO 1071 designations, from memory; their tables were not seen."""
    found = kind(designation)

    assert found is not None
    assert found.values["kind"] == expected
    assert found.status == MEMORY


@pytest.mark.parametrize(
    "designation", ["mystery 7", "ENiFe", "ENiFe-CI-B", "E C NiFe-3", "Ni", ""]
)
def test_what_is_not_known_exactly_is_unknown(designation: str) -> None:
    """A name that only looks like a known one is no known one."""
    assert kind(designation) is None
    assert figures(designation) == ()


@pytest.mark.parametrize(
    "designation", ["ENiFeMn-CI", "ENiFe-CI-A", "ENiCrFe-3", "ERNi-CI", "ERCuNi"]
)
def test_no_filler_has_the_nominal_figures_of_another(designation: str) -> None:
    """F01a and F01b (secondary page) speak of ENi-CI and ENiFe-CI only."""
    assert not any("nominal_nickel_percent" in found.values for found in figures(designation))


@from_memory
def test_nickel_iron_manganese_has_its_own_nickel() -> None:
    """F04, AWS A5.15, from memory: 35 to 45 %, not a nominal 55 %."""
    (found,) = figures("ENiFeMn-CI")

    assert found.values["nickel_percent"] == [35.0, 45.0]


@pytest.mark.parametrize(
    ("designation", "nickel", "chromium"),
    [
        ("E312-16", True, True),
        ("ENiFe-CI", True, False),
        pytest.param("ENiCrFe-3", True, True, marks=from_memory),
        pytest.param("ERCuNi", True, False, marks=from_memory),
        pytest.param("ESt", False, False, marks=from_memory),
        pytest.param("ERCuSi-A", False, False, marks=from_memory),
        ("mystery 7", True, True),
    ],
)
def test_what_a_filler_may_hold(designation: str, nickel: bool, chromium: bool) -> None:
    """E312-16: a seller's data sheet (secondary); the others from memory; a stranger may."""
    expected: dict[Element, bool] = {"nickel": nickel, "chromium": chromium}

    assert {element: may_hold(designation, element) for element in expected} == expected


def test_the_data_sheet_of_a_stainless_electrode() -> None:
    """E312-16, a seller's data sheet seen: 28.0-32.0 % chromium, 8.0-10.5 % nickel."""
    known = values("fillers", "F10g", SECONDARY)

    assert known["chromium_percent"] == [28.0, 32.0]
    assert known["nickel_percent"] == [8.0, 10.5]


def test_that_the_steel_electrode_has_no_nickel_is_only_remembered() -> None:
    """F04: ESt none, from memory; the maker's page (F01) says that it can't be machined."""
    assert "nickel" not in row("fillers", "F01c").told
    assert row("fillers", "F04h").status == MEMORY
    assert [found.id for found in figures("ESt")] == ["F01c", "F04h"]


def test_the_makers_page_is_not_made_to_speak_for_another_standard() -> None:
    """F05: ISO 1071's symbols are from memory, confidence low; F01's page names AWS ones."""
    for name in ("F01a", "F01b"):
        assert all(
            symbol(one).startswith("ENi") for one in row("fillers", name).values["designations"]
        )
    for name in ("F10k", "F10l", "F10m"):
        assert row("fillers", name).confidence == "low"
