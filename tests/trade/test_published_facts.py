"""The trade's published figures, each held to the source and status it was written down with.

Figures are typed here from the project's list of facts (trade.md, its sections and fixture
block), not read from the tables they check. "Seen" is that list's status, not ours.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from kept import MEMORY, PRACTICE, PRIMARY, SECONDARY, values

from pacer.job.shade import shade
from pacer.trade.rows import load, row

from_memory = pytest.mark.from_memory


@pytest.mark.parametrize(("contact_s", "temp_c"), [(60, 51), (600, 48), (28800, 43)])
def test_bare_metal_may_be_held_no_longer_than_published(contact_s: float, temp_c: float) -> None:
    """T01-T03: SP 2.2.2.1327-03 annex 1, primary text; the same as ISO 13732-1 (from memory)."""
    found = [values("burns", name, PRIMARY) for name in ("T01", "T02", "T03")]

    assert {"contact_s": contact_s, "temp_c": temp_c}.items() <= next(
        known for known in found if known["contact_s"] == contact_s
    ).items()


def test_accidental_touch_is_the_regulations_row() -> None:
    """T04: SP 2.2.2.1327-03 annex 1, primary text, as in the fixture block."""
    known = values("burns", "T04", PRIMARY)

    assert dict(zip(known["contact_s"], known["temp_c"], strict=True)) == {
        1: 70, 2: 67, 3: 65, 4: 63, 5: 62, 6: 61, 7: 61, 8: 60, 9: 60, 10: 59,
    }  # fmt: skip


def test_the_longer_the_touch_the_cooler_the_metal_must_be() -> None:
    """T01-T04 together, bare metal: falling with time, and never below the 43 °C of 8 h."""
    rows = [found.values for found in load("burns")[:4]]
    pairs = sorted(
        (contact_s, temp_c)
        for known in rows
        for contact_s, temp_c in zip(
            *(
                item if isinstance(item, list) else [item]
                for item in (known["contact_s"], known["temp_c"])
            ),
            strict=True,
        )
    )

    assert len(pairs) == 13
    for (_, hotter_c), (_, cooler_c) in pairwise(pairs):
        assert hotter_c >= cooler_c >= 43.0


def test_coated_metal_and_stone() -> None:
    """T05, T06: the same annex, primary text."""
    assert values("burns", "T05", PRIMARY)["temp_c"] == [51.0, 48.0, 43.0]
    assert values("burns", "T06", PRIMARY)["temp_c"] == 56.0


@pytest.mark.parametrize(
    ("class_", "mpa"),
    [(20, 138), (25, 172), (30, 207), (35, 241), (40, 276), (45, 310), (50, 345), (55, 379), (60, 414)],
)  # fmt: skip
def test_a_class_is_its_strength_in_ksi(class_: int, mpa: float) -> None:
    """ASTM A48 by a foundry's page (secondary); 1 ksi is 6.894757 MPa (exact arithmetic)."""
    known = values("grades", f"A48-{class_}", SECONDARY)

    assert (known["class"], known["min_mpa"]) == (class_, mpa)
    assert known["min_mpa"] == pytest.approx(class_ * 6.894757, abs=0.5)


def test_two_charts_of_equal_grades_disagree_about_class_35_and_40() -> None:
    """Both secondary pages; neither is preferred."""
    first = values("grades", "ISO185-first", SECONDARY)["a48"]
    second = values("grades", "ISO185-second", SECONDARY)["a48"]

    assert {name for name in first.keys() & second.keys() if first[name] != second[name]} == {"35"}
    assert "40" not in first
    assert second["40"] == [300.0, 300.0]
    assert values("grades", "ISO185", SECONDARY)["min_mpa"] == [
        100.0, 150.0, 200.0, 225.0, 250.0, 275.0, 300.0, 350.0,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("grade", "by_wall"),
    [
        (150, {5: 155, 10: 130, 20: 110, 40: 95, 80: 80}),
        (200, {5: 205, 10: 180, 20: 155, 40: 130, 80: 115}),
        (250, {5: 250, 10: 225, 20: 195, 40: 170, 80: 155}),
        (300, {10: 270, 20: 240, 40: 210, 80: 195}),
    ],
)
def test_strength_in_the_casting_falls_with_its_wall(grade: int, by_wall: dict[int, int]) -> None:
    """EN 1561 by a pattern maker's page (secondary)."""
    known = values("grades", f"EN1561-{grade}", SECONDARY)

    assert dict(zip(known["wall_mm"], known["mpa"], strict=True)) == by_wall
    assert known["mpa"] == sorted(known["mpa"], reverse=True)


@pytest.mark.parametrize(
    ("process", "current_a", "least"),
    [("111", 59, 7), ("111", 60, 8), ("111", 159, 8), ("111", 160, 10), ("111", 200, 10),
     ("111", 300, 11), ("141", 49, 8), ("141", 90, 8), ("141", 150, 10), ("141", 500, 10),
     ("131", 59, 7), ("135", 60, 10), ("135", 500, 10)],
)  # fmt: skip
def test_the_least_shade_is_the_regulations_and_the_darker_where_two_ranges_meet(
    process: str, current_a: float, least: int
) -> None:
    """X10: 29 CFR 1910.133(a)(5), primary text; the first six are the fixture block and 160 A."""
    assert shade(process, current_a) == least


@pytest.mark.parametrize(
    ("row_id", "temp_c", "factor"),
    [("N04a", [15.5, 37.0], 1.0), ("N04b", [4.0, 15.5], 2.0), ("N04c", [37.0, 49.0], 0.5)],
)
def test_penetration_time_goes_by_the_parts_temperature(
    row_id: str, temp_c: list[float], factor: float
) -> None:
    """N04: T.O. 33B-1-1, primary text; its least times are 5 min when halved, 30 from service."""
    known = values("penetrant", row_id, PRIMARY)

    assert (known["temp_c"], known["factor"]) == (temp_c, factor)
    assert values("penetrant", "N04c", PRIMARY)["least_s"] == 5 * 60
    assert values("penetrant", "N04", PRIMARY)["least_s"] == 30 * 60
    assert values("penetrant", "N01", PRIMARY)["time_s"] == [5 * 60, 60 * 60]


@from_memory
def test_penetrants_temperatures_and_times_that_were_not_seen() -> None:
    """N06, ISO 3452-1: 10-50 °C, developer 10-30 min, from memory, confidence high."""
    known = values("penetrant", "N06", MEMORY)

    assert known["temp_c"] == [10.0, 50.0]
    assert known["developer_s"] == [10 * 60, 30 * 60]
    assert row("penetrant", "N06").confidence == "high"


@pytest.mark.parametrize(
    ("number", "place"),
    [("1011", "weld metal"), ("1012", "fusion boundary"), ("1013", "heat-affected zone"),
     ("1014", "parent metal"), ("1021", "weld metal"), ("1023", "heat-affected zone"),
     ("1024", "parent metal"), ("1031", "weld metal"), ("1033", "heat-affected zone"),
     ("1034", "parent metal")],
)  # fmt: skip
def test_a_cracks_number_says_where_it_is(number: str, place: str) -> None:
    """GOST R ISO 6520-1-2012 (identical), primary text: the fixture block's places."""
    assert values("imperfections", number, PRIMARY)["place"] == place


@pytest.mark.parametrize(
    ("number", "name"),
    [("1045", "longitudinal"), ("1046", "transverse"), ("1047", "star-shaped")],
)
def test_crater_cracks(number: str, name: str) -> None:
    """GOST R ISO 6520-1-2012 (identical), primary text: the fixture block's crater cracks."""
    assert row("imperfections", number).about == f"{name} crater crack"
    assert row("imperfections", number).status == PRIMARY


def test_there_is_no_1022() -> None:
    """A transverse crack lies in weld, heat-affected zone or parent metal: 1021, 1023, 1024."""
    numbers = {found.id for found in load("imperfections")}

    assert "1022" not in numbers
    assert {"1021", "1023", "1024"} <= numbers


def test_imperfections_by_how_far_their_line_was_seen() -> None:
    """trade.md section 5: what was only remembered or on a page of ISO 5817 is marked so."""
    by_status: dict[str, set[str]] = {}
    for found in load("imperfections"):
        by_status.setdefault(found.status, set()).add(found.id)

    assert by_status[MEMORY] == {
        "106", "200", "201", "2011", "2012", "2013", "2014", "2015", "2016", "202", "2024",
        "4011", "4012", "4013", "402", "510", "602",
    }  # fmt: skip
    assert by_status[SECONDARY] == {
        "2017", "2025", "4021", "5011", "5012", "5013", "502", "503", "504", "505", "506",
        "509", "511",
    }  # fmt: skip
    assert {"100", "401", "512", "513", "514", "515", "516", "517", "600", "601"} <= by_status[
        PRIMARY
    ]


@pytest.mark.parametrize(
    ("row_id", "key", "expected", "status"),
    [
        ("W01", "preheat_c", [600.0, 600.0], SECONDARY),
        ("W03", "preheat_c", [538.0, 649.0], PRIMARY),
        ("W04", "preheat_c", [100.0, 200.0], SECONDARY),
        ("W05", "least_c", 250.0, SECONDARY),
        ("W06", "preheat_c", [320.0, 330.0], SECONDARY),
        ("W07", "relief_c", [600.0, 620.0], SECONDARY),
        ("W12", "critical_c", 788.0, SECONDARY),
        ("W13", "preheat_c", [316.0, 649.0], SECONDARY),
        ("W14", "avoid_c", [66.0, 260.0], SECONDARY),
        ("W15", "preheat_c", [204.0, 371.0], SECONDARY),
        ("W16", "preheat_c", [149.0, 260.0], SECONDARY),
        ("W17", "preheat_c", [150.0, 170.0], SECONDARY),
        ("W18", "interpass_max_c", 38.0, SECONDARY),
        ("W19", "interpass_max_c", 316.0, SECONDARY),
        ("W20", "preheat_c", [250.0, 300.0], SECONDARY),
        pytest.param("W30", "preheat_c", [300.0, 300.0], MEMORY, marks=from_memory),
        pytest.param("W33", "preheat_c", [300.0, 330.0], MEMORY, marks=from_memory),
        pytest.param("W34", "preheat_c", [200.0, 330.0], MEMORY, marks=from_memory),
        pytest.param("W35", "preheat_c", [300.0, 330.0], MEMORY, marks=from_memory),
        pytest.param("W37", "preheat_c", [500.0, 700.0], MEMORY, marks=from_memory),
        ("B13", "interpass_max_c", 65.0, PRACTICE),
    ],
)
def test_preheats_are_kept_as_found(row_id: str, key: str, expected: object, status: str) -> None:
    """trade.md 1a: pages and a US Navy handbook; what was not seen is from memory."""
    assert values("preheat", row_id, status)[key] == expected


@pytest.mark.parametrize(
    ("row_id", "key", "expected", "status"),
    [
        ("B01", "length_mm", 30.0, SECONDARY),
        ("B02", "length_mm", 25.0, SECONDARY),
        ("B03", "length_mm", 13.0, SECONDARY),
        ("B04", "length_mm", 19.0, SECONDARY),
        ("B10", "temperature_c", [66.0, 260.0], SECONDARY),
        ("B11", "bit_mm", [6.0, 12.0], PRIMARY),
        ("B12", "peen_s", [5.0, 120.0], PRACTICE),
    ],
)
def test_beads_and_peening_are_kept_as_found(
    row_id: str, key: str, expected: object, status: str
) -> None:
    """trade.md 1b: forums, pages, a scanned AWS D1.5 and an excerpt of AWS D1.1."""
    assert values("beads", row_id, status)[key] == expected


def test_limits_of_fume_and_gas() -> None:
    """X01, X05, X08: NIOSH, 29 CFR 1910.252(c), OSHA, primary text."""
    nickel, air, gas = (values("fume", name, PRIMARY) for name in ("X01", "X05", "X08"))

    assert (nickel["pel_mg_m3"], nickel["rel_mg_m3"], nickel["idlh_mg_m3"]) == (1.0, 0.015, 10.0)
    assert (air["room_m3"], air["flow_m3_min"], air["hood_m_min"]) == (284.0, 57.0, 30.0)
    assert (gas["pel_ppm"], gas["rel_ppm"], gas["ceiling_ppm"], gas["tlv_ppm"]) == (50, 35, 200, 25)
    assert values("fume", "X09", SECONDARY)["idlh_ppm"] == 1200


def test_air_where_a_coating_is_welded_on() -> None:
    """Michigan R 325.62108 and WAC 296-24-71513(3): both texts seen; cadmium: a course's page.

    The federal rule itself, 29 CFR 1910.252(c)(6)-(9), was not found in the stored pages.
    """
    for name, words in (
        (
            "X16",
            (
                "lead or cadmium coatings local exhaust or an air-line respirator",
                "zinc or chromium",
            ),
        ),
        ("X16b", ("indoors or in a confined space", "lead paint", "local exhaust")),
    ):
        values("fume", name, PRIMARY)
        assert all(word in row("fume", name).about for word in words)
    values("fume", "X16c", SECONDARY)
    assert "cadmium" in row("fume", "X16c").about


def test_phosgene_is_cited_from_what_was_seen() -> None:
    """Two makers' manuals say it of heat and of the arc's light; OSHA's sentence was not found."""
    values("fume", "X17", SECONDARY)
    told = row("fume", "X17").told

    assert "trichloroethylene and perchloroethylene" in told
    assert "1910.252(c)(11) itself was not seen" in told


@pytest.mark.parametrize("process", ["111", "141", "135", "131"])
def test_customary_figures_of_a_process_are_not_told_as_a_pages(process: str) -> None:
    """Volts, diameters, stub and yield are common practice; only k was on a page (H03)."""
    values("processes", process, PRACTICE)


def test_never_two_sounds_at_once_is_only_a_blogs_word() -> None:
    """G13: the Norwegian and the Italian rule (primary) say the rest."""
    values("signals", "G13", PRIMARY)
    values("signals", "G13b", SECONDARY)
    assert "two sounds" not in row("signals", "G13").about
    assert "two sounds" in row("signals", "G13b").about


@from_memory
def test_post_heating_is_not_stress_relief() -> None:
    """Q05, ISO 15609-1, clause not seen: post-heating is for hydrogen, PWHT is another item."""
    values("specification", "Q05", MEMORY)
    items = values("specification", "Q01", SECONDARY)["items"]

    assert {"post-heating", "post-weld heat treatment"} <= set(items)
    assert "hydrogen" in row("specification", "Q05").about


def test_a_cold_part_doubles_the_codes_penetration_time() -> None:
    """N07, ASME V article 6 by an inspection trade's page: 50-125 °F 5 min, 40-50 °F doubled."""
    known = values("penetrant", "N07", SECONDARY)

    assert (known["temp_c"], known["time_s"]) == ([10.0, 52.0], 5 * 60)
    assert (known["cold_c"], known["cold_s"]) == ([4.0, 10.0], 2 * 5 * 60)


def test_the_institutes_words_for_ductile_iron_are_not_made_stronger() -> None:
    """W04-W06, the page read again: "is required", "may require", "may be necessary"."""
    assert "is required" in row("preheat", "W04").about
    assert "may be required" in row("preheat", "W05").about
    assert "may be necessary" in row("preheat", "W06").about


def test_a_page_is_not_made_to_say_what_shops_say() -> None:
    """The page on preparing cast iron, read again: paraffin, 450 °C, 15 min; flame and brush."""
    burnt, smeared = row("repair", "R01"), row("repair", "R03")

    assert values("repair", "R01", SECONDARY) == {"temp_c": 450.0, "hold_s": 15 * 60}
    assert "paraffin" in burnt.about
    assert "smoke" not in burnt.about
    assert "oxidising flame" in smeared.about
    for name in ("R01b", "R03b"):
        values("repair", name, PRACTICE)


def test_how_hot_a_casting_may_get_is_kept() -> None:
    """W02 (an oxy-fuel handbook's page) and W12 (a maker's guideline, 1450 °F): upper warnings."""
    values("preheat", "W02", SECONDARY)

    assert "dull red" in row("preheat", "W02").about
    assert values("preheat", "W12", SECONDARY)["critical_c"] == 788.0


@from_memory
def test_nickel_in_the_deposit() -> None:
    """F04: AWS A5.15's composition table was not seen; from memory, confidence high."""
    assert values("fillers", "F04a", MEMORY)["least_nickel_percent"] == 85.0
    assert values("fillers", "F04b", MEMORY)["nickel_percent"] == [45.0, 60.0]
    assert values("fillers", "F04g", MEMORY)["nickel_percent"] == [60.0, 70.0]


def test_customary_currents_are_no_published_ones() -> None:
    """F06: makers differ, common practice; one shop's 110-120 A (F07, secondary) is above it."""
    ranges = [values("fillers", f"F06{letter}", PRACTICE)["current_a"] for letter in "abc"]

    assert ranges == [[50.0, 80.0], [70.0, 110.0], [100.0, 140.0]]
    assert values("fillers", "F07", SECONDARY)["shop_current_a"][1] > ranges[1][1]
