"""Hot or cold: limits that are never mixed, and the waiting that cold means."""

from __future__ import annotations

from words import job, lines_of, said, value

from pacer.heat import arc, lumped
from pacer.job.plan import plan
from pacer.job.preheat import cooling_part
from pacer.job.sheet.records import Entry
from pacer.job.sheet.sections import method


def test_both_interpass_limits_are_shown_as_two_methods() -> None:
    """Disagreement D03: 38 °C cold (row W18), 316 °C hot (row W19), both secondary pages."""
    for name in ("hot", "cold"):
        text = said(method.lines, job(name))
        assert "near 38 °C" in text
        assert "at most 316 °C with nickel-iron" in text
        assert "never merged" in text
        assert "No change half-way without a new plan" in text


def test_cold_shows_both_ceilings_beside_the_chosen_one() -> None:
    """38 °C by row W18 (secondary page), 65 °C by row B13 (common practice)."""
    lines = lines_of(method.lines, job("cold", band='ceiling = "55 degC"'))

    assert value(lines, "ceiling") == "55 °C"
    assert value(lines, "one page says") == "38 °C"
    assert value(lines, "said in shops") == "65 °C"


def test_cold_tells_the_wait_that_the_plan_forecasts_with_its_range() -> None:
    """Four to nine minutes a bead for 3.2 kg, procedure notes section 8 (calculated there)."""
    made = job(
        "cold",
        part='wall = "12 mm"',
        filler='current = "65 A"',
        bead='length = "20 mm"',
    )
    (wait,) = [
        line
        for line in lines_of(method.lines, made)
        if isinstance(line, Entry) and line.label == "waiting"
    ]
    minutes = int(wait.value.split(" min")[0])

    assert 4 <= minutes <= 9
    assert wait.value.endswith("a bead")
    assert " min to " in wait.why


def test_hot_says_what_cold_would_mean_by_the_part_s_own_loss() -> None:
    """By hand: down from one bead's rise above 60 °C back to 60 °C, in still air at 20 °C."""
    made = job("hot", part='wall = "12 mm"')
    heat_j = arc.bead_heat_j(
        made.filler.voltage_v, made.filler.current_a, made.bead.planned_s, made.filler.process
    )
    rise_dc = heat_j / (3.2 * lumped.heat_capacity_j_kgk(60.0))
    by_hand_s = lumped.time_to_cool_s(
        60.0 + rise_dc, 60.0, 20.0, 3.2, cooling_part(made).plate_area_m2
    )
    text = value(lines_of(method.lines, made), "cold instead")

    assert text == f"{round(by_hand_s / 60)} min a bead"
    assert plan(made).wait_s.value == 0.0  # the hot plan itself waits for nothing


def test_a_shop_too_warm_for_cold_is_said_instead_of_an_endless_wait() -> None:
    """Row C10, our choice: less than 10 K above the shop iron hardly cools."""
    text = said(method.lines, job("hot", cooldown='ambient = "55 degC"\nuntil = "65 degC"'))

    assert "the shop is too warm for it" in text
    assert "a bead" not in text


def test_cold_s_rules_are_the_procedure_s() -> None:
    """Procedure notes section 8, its rows: B02, B03, W18 (secondary pages), T03, practice."""
    text = said(method.lines, job("cold"))

    for words in (
        "25 mm from the joint",
        "13 mm (very thin castings) to 25 mm",
        "the smallest rod, the least current",
        "a cool place far from the last one; peen each at once",
        "Never a fan, never water",
        "No touch test above 43 °C",
        "No preheat, no floor, no reheat",
        "cannot be worked cold",
        "without preheat where only short lengths are welded",
    ):
        assert words in text, words


def test_grey_iron_s_permission_to_weld_cold_is_no_other_metal_s() -> None:
    """Row W36 (from memory) speaks of grey iron; W21 (secondary page) of any cast iron."""
    for metal, irons in (("ductile iron", True), ("malleable iron", True), ("mild steel", False)):
        text = said(method.lines, job("cold", metal))

        assert "Grey iron may be arc welded without preheat" not in text
        assert ("cannot be worked cold" in text) == irons
        assert f"the preheat of {metal} stands under Temperatures" in text


def test_us_units_reach_every_quantity_of_the_page() -> None:
    """25 mm is 0.984 in, 60 °C is 140 °F, 43 °C is 109 °F by arithmetic."""
    text = said(method.lines, job("cold"), "us")

    assert "0.984 in from the joint" in text
    assert "ceiling 140 °F" in text
    assert "No touch test above 109 °F" in text
    assert "°C" not in text
    assert " mm" not in text
