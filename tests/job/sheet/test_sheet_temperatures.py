"""The band beside the sources that disagree about it, and where and when to measure."""

from __future__ import annotations

import pytest

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.records import Drawing, Entry, Line, Step
from pacer.job.sheet.sections.circuit import FELL_DC, FELL_WITHIN_S
from pacer.job.sheet.sections.temperatures import EVEN_SHARE, lines
from pacer.session.band import SPREAD_SHARE
from pacer.session.guard.steps import KNOCKED_OFF_DC, KNOCKED_OFF_S
from pacer.units import Shown, System


def job_of(metal: str = "grey iron", method: str = "hot", more: str = "") -> Job:
    """Return a job of a metal; its mass made up."""
    text = f'[job]\nmethod = "{method}"\n[part]\nmetal = "{metal}"\nmass = "3 kg"\n{more}'
    return job_from_text(text, "x")


def section(job: Job, system: System = "metric") -> tuple[Line, ...]:
    """Return the section about temperatures."""
    return lines(plan(job), job, Shown(system))


def values(job: Job, system: System = "metric") -> dict[str, str]:
    """Return label -> value."""
    found = section(job, system)
    return {line.label: line.value for line in found if isinstance(line, Entry)}


def words(job: Job) -> str:
    """Return every step in one text."""
    return " ".join(line.text for line in section(job) if isinstance(line, Step))


GREY = {
    # trade.md section 1a, °C from the page's °F: seen in secondary pages, W30 and W33 from memory.
    "W13": "316 to 649 °C",
    "W14": "not between 66 and 260 °C",
    "W15": "204 to 371 °C",
    "W16": "149 to 260 °C",
    "W17": "150 to 170 °C",  # of steel-cored and iron-cored rods: a side of D01 whatever the filler
    "W20": "250 to 300 °C",
    "W30": "300 °C",
    "W33": "300 to 330 °C",
}


@pytest.mark.from_memory
def test_grey_iron_shows_every_source_s_range_and_no_middle() -> None:
    """D01: no single number can be defended."""
    job = job_of()

    shown = values(job)
    assert {name: shown[name] for name in GREY} == GREY
    assert "W19" in shown  # with nickel-iron: at most 316 °C
    assert "Sources disagree. No single number can be defended." in words(job)
    entries = [line for line in section(job) if isinstance(line, Entry)]
    fused = [line.value for line in entries if line.label == "gas fusion, not arc"]
    assert fused == ["about 600 °C", "538 to 649 °C", "704 °C and above"]  # D02, every side


def test_a_band_nobody_has_chosen_is_to_be_decided() -> None:
    """A default is ours; given, it is only shown beside the sources."""
    default, given = job_of(), job_of(more='[band]\npreheat = "260 degC"\n')

    assert [line.mark for line in section(default) if isinstance(line, Step)].count("decide") == 1
    assert "decide" not in [line.mark for line in section(given) if isinstance(line, Step)]


def test_us_units_show_what_the_page_printed() -> None:
    """W13's page says 600-1200 °F, W14's 150 and 500; converted back they would be odd numbers."""
    shown = values(job_of(), "us")

    assert shown["W13"] == "600 to 1200 °F"
    assert shown["W14"] == "not between 150 and 500 °F"


@pytest.mark.from_memory
def test_other_metals_have_other_rows() -> None:
    """W04-W06: an institute's answers page (secondary); W31, W34: its table, from memory."""
    ductile = values(job_of("ductile iron"))

    assert (ductile["W04"], ductile["W05"]) == ("100 to 200 °C", "at least 250 °C")
    assert (ductile["W06"], ductile["W34"]) == ("320 to 330 °C", "200 to 330 °C")
    assert not set(GREY) & set(ductile)
    assert "braze it" in words(job_of("malleable iron"))
    assert "No published range for cast steel" in words(job_of("cast steel"))


def test_the_cold_method_has_its_ceiling_and_points_to_what_is_said_of_it() -> None:
    """Once is enough: the sides and the rules stand where the method is chosen."""
    shown = values(job_of(method="cold"))

    assert shown["ceiling"] == "60 °C"
    assert not {"W18", "B13", "floor", "preheat target"} & set(shown)
    assert "Hot or cold" in words(job_of(method="cold"))


def test_other_rules_for_where_the_heat_must_be_are_named() -> None:
    """D11: a steel code's and a heat-treatment manual's beside the standard's."""
    told = words(job_of())

    assert "at least the thickness and at least 75 mm in all directions" in told
    assert "2 thicknesses or 100 mm" in told


def test_evenness_is_the_session_s() -> None:
    """One rule in two floors that may not see each other."""
    assert EVEN_SHARE == SPREAD_SHARE
    assert values(job_of())["even within"] == "50 K"


@pytest.mark.parametrize(
    ("source", "note"),
    [
        ("torch", "worst spread, 200 K in simulation"),
        ("gas grill", "19 K of spread in simulation"),
        ("oven", "Out of the oven in trips"),
        ("hot plate", "Left on or off while welding"),
    ],
)
def test_each_heat_source_has_its_note(source: str, note: str) -> None:
    """Procedure notes section 3; spreads are simulated."""
    told = words(job_of(more=f'[heating]\nwith = "{source}"\n'))

    assert note in told
    assert "No limit is set to the heating rate" in told
    assert "starts when the coldest known place is at the floor" in told


def test_the_sensor_is_told_to_be_part_of_the_welding_circuit() -> None:
    """Procedure notes section 13, from memory and common practice; not of one read by hand."""
    wired = job_of(more='[sensor]\nurl = "serial:///dev/ttyUSB0?baud=9600"\n')

    assert "insulated junction or isolated converter" in words(wired)
    assert "welding circuit" not in words(job_of())
    # Steps are asked about in any session, and only where somebody strikes.
    assert "within 10 s of peening" in words(job_of())
    assert "of peening" not in words(job_of(more='[bead]\npeen = "0 s"\n'))


def test_the_step_after_peening_is_the_session_s() -> None:
    """One rule in two floors that may not see each other."""
    assert (FELL_DC, FELL_WITHIN_S) == (KNOCKED_OFF_DC, KNOCKED_OFF_S)


@pytest.mark.parametrize(
    ("face", "remarked"),
    [("facing the welder", False), ("opposite face", True), ("edge", True)],
)
def test_a_sensor_on_another_face_than_the_standard_s_is_remarked(
    face: str, remarked: bool
) -> None:
    """Row M01, ISO 13916 clause 4.1 (primary text): on the face towards the welder."""
    made = job_of(more=f'[sensor]\nface = "{face}"\n')

    assert values(made)["sensor's face"] == face
    assert (f"not on the {face}" in words(made)) == remarked
    # Row M07, from memory: away from the heat while it is heated.
    assert ("the face away from the heat" in words(made)) == (face == "opposite face")
    (place,) = [
        line.note
        for line in section(made)
        if isinstance(line, Entry) and line.label == "measure at"
    ]
    assert place.startswith("on the face towards the welder, from the groove's edge")


@pytest.mark.parametrize(("fixing", "remarked"), [("Magnet", True), ("a clamp", False)])
def test_a_magnet_is_remarked(fixing: str, remarked: bool) -> None:
    """Procedure notes section 13, from memory and common practice."""
    told = words(job_of(more=f'[sensor]\nfixing = "{fixing}"\n'))

    assert ("Magnets hold badly hot" in told) == remarked


@pytest.mark.from_memory
@pytest.mark.parametrize("metal", ["ductile iron", "malleable iron"])
def test_a_metal_that_asks_for_preheat_says_so_in_the_cold_method_too(metal: str) -> None:
    """Rows W04-W06, W09-W11 (secondary pages), W31-W35 (from memory): the same as when hot."""
    cold, hot = section(job_of(metal, "cold")), section(job_of(metal))
    sources = [
        {source.row for line in lines if not isinstance(line, Drawing) for source in line.sources}
        for lines in (cold, hot)
    ]
    rows = {"ductile iron": {"W04", "W05", "W06", "W31", "W34"}}
    asked = rows.get(metal, {"W09", "W10", "W11", "W32", "W35"})

    assert asked <= sources[0]
    assert asked <= sources[1]
    assert "Is cold right here?" in words(job_of(metal, "cold"))
    assert "Is cold right here?" not in words(job_of(metal))


def test_steel_is_told_in_the_cold_method_too_that_nothing_is_kept_of_it() -> None:
    """Nothing of iron is shown as if it were steel's."""
    assert "No published range for mild steel" in words(job_of("mild steel", "cold"))
