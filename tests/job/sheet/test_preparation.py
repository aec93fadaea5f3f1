"""Preparation: the steps in their order, penetrant by the published times, stop holes, oil."""

from __future__ import annotations

import pytest
from words import job, lines_of, said, steps, text_of, value

from pacer.job.sheet.sections import at_hand, preparation

ORDER = (
    "Find out why it broke",  # a
    "Mark how it bolts down",  # b
    "Degrease, then brush",  # c
    "true ends with penetrant",  # d
    "Clean all of the penetrant off",  # d
    "Drill the stop holes",  # e
    "Vent every closed one",
    "Earlier braze, solder or glue",
    "Groove to sound metal",  # f
    "Casting skin, paint and rust off",  # g
    "heat slowly until the smoking stops, cool, wipe",  # h
    "Lay a trial bead",  # i
)
"Procedure notes section 1, a to i; hollow spaces before any heat, section 12."


def test_the_steps_are_those_of_the_procedure_in_its_order() -> None:
    """Each found once among the numbered steps, one after the other."""
    told = [step.text for step in steps(lines_of(preparation.lines, job()), "do")]
    found = [next(i for i, text in enumerate(told) if words in text) for words in ORDER]

    assert found == sorted(found)
    assert len(set(found)) == len(ORDER)


def test_a_blind_hole_is_closed_by_our_reasoning_not_by_the_rule() -> None:
    """29 CFR 1910.252(a)(3)(ii) is of hollow spaces; that a blind hole is one is ours."""
    told = {step.text: step.source for step in steps(lines_of(preparation.lines, job()), "say")}
    (source,) = [told[text] for text in told if text.startswith("A blind hole")]

    assert source == "row trapped: our reasoning from the rule on hollow spaces; common practice"


def test_no_heat_comes_before_the_stop_holes() -> None:
    """Procedure notes section 1e: a crack runs when it is heated."""
    told = [step.text for step in steps(lines_of(preparation.lines, job()), "do")]
    holes = next(i for i, text in enumerate(told) if "stop holes" in text)

    assert "past the true end" in told[holes]
    assert not any("heat slowly" in text or "trial bead" in text for text in told[:holes])


@pytest.mark.parametrize(
    ("maker", "ambient", "leave"),
    [
        # Row N04 (T.O. 33B-1-1, primary text): a crack from service 30 min at least.
        ("", "20 degC", "at least 30 min"),
        ("10 min", "20 degC", "at least 30 min"),
        ("40 min", "20 degC", "at least 40 min"),
        # 4 to 15.5 °C: twice the maker's time.
        ("20 min", "10 degC", "at least 40 min"),
    ],
)
def test_penetrant_stays_on_by_temperature_and_no_less_than_for_a_crack_from_service(
    maker: str, ambient: str, leave: str
) -> None:
    """The strict choice of disagreement D13, worked out for the shop's temperature."""
    joint = f'penetrant = "{maker}"' if maker else ""
    made = job(joint=joint, cooldown=f'ambient = "{ambient}"')

    assert value(lines_of(preparation.lines, made), "so here") == leave


def test_the_sources_of_the_dwell_are_all_shown() -> None:
    """D13: ISO 3452-1 5 to 60 min and T.O. 33B-1-1 30 min (primary), ASME V 5 min (secondary)."""
    lines = lines_of(preparation.lines, job())

    assert value(lines, "leave it on") == "5 min to 1 h"
    assert value(lines, "crack from service") == "at least 30 min"
    assert value(lines, "welds in steel") == "5 min"


def test_developer_times_of_both_rules_are_shown_and_count_from_dry() -> None:
    """D14: 10 to 30 min (ISO 3452-1, from memory), 10 to 60 min (ASME V, secondary page)."""
    lines = lines_of(preparation.lines, job())

    assert value(lines, "look after") == "10 min to 30 min"
    assert value(lines, "look after, ASME V") == "10 min to 1 h"
    assert "counts from when its coat is dry" in text_of(lines)


def test_a_shop_too_cold_for_penetrant_gives_no_time_at_all() -> None:
    """Row N04: nothing below 4 °C; the fixture refuses at 3 °C."""
    lines = lines_of(preparation.lines, job(cooldown='ambient = "3 degC"'))

    assert "so here" not in text_of(lines)
    assert any("No penetrant on a surface at 3 °C" in step.text for step in steps(lines, "decide"))


def test_between_four_and_ten_degrees_the_narrower_rules_are_named() -> None:
    """Row N06 (from memory) begins at 10 °C; N07 (secondary) doubles its time from 4 to 10 °C."""
    lines = lines_of(preparation.lines, job(cooldown='ambient = "6 degC"'))
    others = [step for step in steps(lines, "decide") if "Another rule" in step.text]

    assert [step.sources[0].row for step in others] == ["N06"]
    assert value(lines, "welds in steel") == "10 min"


def test_longer_than_the_standard_s_longest_is_remarked() -> None:
    """Row N01 (ISO 3452-1, primary text): 5 min to 1 h; twice 60 min at 10 °C leaves it."""
    twice = lines_of(
        preparation.lines,
        job(joint='penetrant = "60 min"', cooldown='ambient = "10 degC"'),
    )
    once = lines_of(preparation.lines, job(joint='penetrant = "60 min"'))

    assert value(twice, "so here") == "at least 2 h"
    (remark,) = [step for step in steps(twice, "decide") if "is more than the" in step.text]
    assert "2 h is more than the 1 h" in remark.text
    assert remark.sources[0].row == "N01"
    assert "is more than the" not in text_of(once)


@pytest.mark.parametrize(
    ("joint", "words"),
    [
        ('ends = "both in the wall"', "one beyond each end"),
        ('ends = "one at an edge"', "one beyond the end in the wall"),
        ('ends = "through"', "No stop holes"),
        ('repair = "break"', "No stop holes"),
        ('repair = "patch"', "No stop holes"),
    ],
)
def test_stop_holes_are_where_the_joint_ends_in_the_wall(joint: str, words: str) -> None:
    """Procedure notes section 1e."""
    made = job(joint=joint)

    assert words in said(preparation.lines, made)
    drilled = "Stop holes drilled beyond the true ends" in at_hand.prepared(made)
    assert drilled == (words != "No stop holes")


@pytest.mark.parametrize(
    ("oil", "words", "mark"),
    [
        ("", "If the iron is oily: heat slowly", "do"),
        ('oil = "burns out"', "Oil in the iron: heat slowly", "do"),
        ('oil = "none seen"', "No oil seen. If it smokes", "say"),
    ],
)
def test_oil_is_burnt_out_in_a_heat_of_its_own(oil: str, words: str, mark: str) -> None:
    """Each way with its own status: row R01b common practice, R01 an institute's page (secondary)."""
    lines = lines_of(preparation.lines, job(part=oil))
    (step,) = [step for step in steps(lines, mark) if words in step.text]
    (page,) = [step for step in steps(lines, "say") if "paraffin" in step.text]

    assert "not the preheat" in step.text
    assert "450" not in step.text
    assert [source.row for source in step.sources] == ["R01b"]
    assert step.sources[0].status.startswith("common practice")
    assert "about 450 °C for about 15 min" in page.text
    assert page.sources[0].row == "R01"
    assert page.sources[0].status == "seen in a secondary page"
    assert "silt" in text_of(lines).lower()


def test_each_cure_of_a_ground_face_has_its_own_status() -> None:
    """Row R03 (secondary page): an oxidising flame, then a brush; a file or burr is R03b, practice."""
    lines = steps(lines_of(preparation.lines, job()), "say")
    (flame,) = [step for step in lines if "oxidising flame" in step.text]
    (burr,) = [step for step in lines if "burr" in step.text]

    assert flame.sources[0].status == "seen in a secondary page"
    assert burr.sources[0].status.startswith("common practice")


def test_a_coating_whose_fume_is_poison_comes_off_before_any_heat() -> None:
    """Procedure notes section 12 (from memory); what nobody looked at is to be found out."""
    zinc = steps(lines_of(preparation.lines, job(part='coating = "zinc"')), "do")
    assert any("The coating is zinc: all of it off before any heat" in step.text for step in zinc)
    assert "(part.coating)" in text_of(steps(lines_of(preparation.lines, job()), "decide"))
    assert "(part.coating)" not in said(preparation.lines, job(part='coating = "paint"'))


def test_hollow_spaces_are_vented_unless_there_are_none() -> None:
    """29 CFR 1910.252(a)(3)(ii), secondary page."""
    assert "Vent every closed one" in said(preparation.lines, job(part='hollow = "closed"'))
    assert "Check that the vents are open" in said(preparation.lines, job(part='hollow = "vented"'))
    assert "Hollow" not in said(preparation.lines, job(part='hollow = "none"'))


def test_what_the_welder_wrote_stands_beside_its_step() -> None:
    """Cause, earlier repair, oil, stop holes, in his words."""
    text = said(
        preparation.lines,
        job(
            history='cause = "frost"\nload = "will be changed"\nearlier_repair = "glued"\noil = "wiped"',
            joint='stop_holes = "both ends, 4 mm"',
        ),
    )

    assert "What broke it: frost. The load that broke it: will be changed." in text
    assert "Mended before: glued." in text
    assert "Noted: wiped." in text
    assert "stop holes both ends, 4 mm" in text


def test_us_units_reach_every_quantity() -> None:
    """450 °C is 842 °F, 25 mm 0.984 in; 1076 lx was published as 100 foot-candles (row N08)."""
    lines = lines_of(preparation.lines, job(), "us")
    text = text_of(lines)

    assert "about 842 °F" in text
    assert "0.787 in to 0.984 in on each side" in text
    assert value(lines, "light") == "100 foot-candles or more"
    assert "°C" not in text
    assert " mm" not in text


def test_the_short_lines_fit_and_follow_the_same_order() -> None:
    """At most 60 characters; the cold method also asks for a dry part that is not cold."""
    for made in (job(), job("cold"), job(part='hollow = "none"\noil = "none seen"')):
        short = at_hand.prepared(made)
        assert all(len(text) <= 60 for text in short)
        assert len(set(short)) == len(short)
    assert any(text.startswith("Dry, and not cold") for text in at_hand.prepared(job("cold")))
    ends = [i for i, text in enumerate(at_hand.prepared(job())) if "ends" in text]
    assert ends == [3, 4]


def test_a_shop_too_cold_for_the_cold_method_is_to_be_decided() -> None:
    """Common practice: not below 15 to 20 °C."""
    cold_shop = lines_of(preparation.lines, job("cold", cooldown='ambient = "8 degC"'))
    warm_shop = lines_of(preparation.lines, job("cold", cooldown='ambient = "18 degC"'))

    assert any("not below 15 °C" in step.text for step in steps(cold_shop, "decide"))
    assert any("not below 15 °C" in step.text for step in steps(warm_shop, "do"))
