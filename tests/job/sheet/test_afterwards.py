"""After the last bead: no stress relief claimed, the cover's amount, marks, watch, looks."""

from __future__ import annotations

import re

import pytest
from words import job, lines_of, said, steps, text_of, value

from pacer.job.sheet.sections import afterwards, short

SAND = 'cover = "dry sand"\nvolume = "30 l"'


def test_the_hold_is_no_stress_relief_and_relief_s_sources_stand_beside_it() -> None:
    """Rows S01 (primary text), S02, S05, S06 (secondary pages), D06 the overlap."""
    lines = lines_of(afterwards.lines, job(postheat='hold = "25 min"'))
    text = text_of(lines)

    assert value(lines, "hold it for") == "25 min"
    assert "evens the heat out; it is no stress relief" in text
    assert "very slow below 538 °C" in text
    assert value(lines, "relief") == "550 °C"
    assert value(lines, "relief, lexicon") == "500 °C to 600 °C"
    assert value(lines, "relief, foundry") == "500 °C to 550 °C for 2 h to 8 h"
    assert value(lines, "where they agree") == "538 °C to 550 °C"
    assert value(lines, "furnace cools at") == "20 K/h to 40 K/h, down to 150 °C to 200 °C"


def test_ductile_iron_has_its_own_relief_temperatures() -> None:
    """Row S05 (secondary page): ferritic 550 to 650 °C, pearlitic 500 to 550 °C."""
    lines = lines_of(afterwards.lines, job(metal="ductile iron"))

    assert value(lines, "relief, ferritic") == "550 °C to 650 °C"
    assert value(lines, "relief, pearlitic") == "500 °C to 550 °C"
    assert value(lines, "relief, institute") == "600 °C to 620 °C"  # W07, the third side of D06
    assert "relief, foundry" not in text_of(lines)


def test_no_metal_gets_another_s_relief() -> None:
    """Malleable iron has no row, so grey iron's stand nowhere in its plan."""
    text = said(afterwards.lines, job(metal="malleable iron"))

    assert "No published figures of stress relief for malleable iron" in text
    assert "relief, foundry" not in text


def test_every_side_of_the_furnace_s_cooling_is_shown() -> None:
    """D07: S04 (secondary page), 37 K/h (from memory), 50 K/h (common practice)."""
    lines = lines_of(afterwards.lines, job(cooldown='cover = "furnace"'))
    sides = {
        step.text: step.sources[0].status.partition(",")[0]
        for step in steps(lines, "say")
        if step.sources and step.sources[0].row.startswith("D07")
    }

    assert sides == {
        "Or: 37 K/h by one schedule, which agrees.": "from memory",
        "Or: 50 K/h.": "common practice",
    }


@pytest.mark.from_memory
def test_the_hold_in_a_furnace_follows_the_wall() -> None:
    """Row S08 (from memory): 1 h for each 25 mm, so 30 min for 12.5 mm."""
    lines = lines_of(afterwards.lines, job(part='wall = "12.5 mm"'))

    assert value(lines, "hold by wall") == "30 min for 12.5 mm"


def test_the_cover_s_amount_is_the_layer_all_round_less_the_iron() -> None:
    """By hand, 80 mm round a plate of 3.2 / (7200 · 0.012) m², 192.45 mm square: 352.45 x 352.45 x
    172 mm less 3.2 kg / 7.2 kg/l are 20.9 l; sand of 1180 to 1460 kg/m³: 24.7 to 30.5 kg."""
    lines = lines_of(afterwards.lines, job(cooldown=SAND))

    assert value(lines, "cover needed") == "20.9 l, 24.7 kg to 30.5 kg"
    assert "To fill the box takes 29.6 l" in text_of(lines)


def test_a_box_with_too_thin_a_layer_is_to_be_decided() -> None:
    """Row depth of the covers (common practice)."""
    tight = job(
        part='size = ["200 mm", "200 mm", "20 mm"]',
        cooldown='cover = "dry sand"\nvolume = "3 l"',
    )

    told = text_of(steps(lines_of(afterwards.lines, tight), "decide"))
    # 360 x 360 x 180 mm: 23.3 l.
    assert "Take one of 23.3 l or more." in told
    assert "the box of 3 l is too small" in said(short.lines, tight)
    roomy = lines_of(afterwards.lines, job(cooldown=SAND.replace("30 l", "200 l")))
    assert not steps(roomy, "decide")


def test_the_hole_is_ready_first_and_the_probe_in_before_the_cover() -> None:
    """Procedure notes section 9, in the order they are done."""
    told = [step.text for step in steps(lines_of(afterwards.lines, job(cooldown=SAND)), "do")]
    ranks = [
        next(i for i, text in enumerate(told) if text.startswith(words))
        for words in (
            "Have the hole ready before the last bead",
            "Warm the medium",
            "Probe in before the part is covered",
            "Cover it at once",
            "Put up a card: HOT",
            "Keep the fire watch",
            "Look:",
            "Penetrant only once",
            "Enter what was found: pacer inspect",
            "Look again for cracks after a day",
        )
    ]

    assert ranks == sorted(ranks)
    warm = said(afterwards.lines, job(cooldown=SAND + '\nmedium = "warm"'))
    assert "Warm the medium" not in warm


def test_both_marks_are_shown_and_what_may_be_hotter() -> None:
    """43 °C by row T03 (primary text), beside the job's own end."""
    lines = lines_of(afterwards.lines, job(cooldown=SAND + '\nuntil = "50 degC"'))

    assert value(lines, "stays buried until") == "50 °C"
    assert value(lines, "bare hands below") == "43 °C"
    assert "That is 50 °C at the probe. Cover and thick parts can be hotter." in text_of(lines)


def test_a_rate_is_a_furnace_s_and_a_burial_is_said_to_be_faster() -> None:
    """Procedure notes section 9: the limit belongs to the furnace."""
    sand = lines_of(afterwards.lines, job(cooldown=SAND))
    furnace = lines_of(afterwards.lines, job(cooldown='cover = "furnace"'))

    assert "20 K/h to 40 K/h is no limit here: this begins faster" in text_of(sand)
    assert "greatest rate" not in text_of(sand)
    assert value(furnace, "greatest rate") == "40 K/h"
    assert "on half-hour means" in text_of(furnace)


def at_first(cover: str, preheat: str) -> tuple[list[int], str]:
    """Return likely, low and high first rate, K/h, and what is said of a furnace's limit."""
    made = job(band=f'preheat = "{preheat}"\nfloor = "60 degC"', cooldown=f'cover = "{cover}"')
    lines = lines_of(afterwards.lines, made)
    told = value(lines, f"at first, in {cover.removeprefix('dry ')}")
    (says,) = [step.text for step in steps(lines, "say") if step.text.startswith("A furnace's")]
    return [int(number) for number in re.findall(r"\d+", told)], says


@pytest.mark.parametrize(
    ("cover", "least", "most"), [("dry sand", 133, 374), ("vermiculite", 127, 150)]
)
def test_a_burial_s_first_rate_is_this_job_s_own(cover: str, least: int, most: int) -> None:
    """From 260 °C it overlaps what was calculated for that (procedure notes section 9, by other
    models); heat flows by the difference to the shop, so from 140 °C, half of it, half as fast."""
    (likely, low, high), says = at_first(cover, "260 degC")
    half, _ = at_first(cover, "140 degC")

    assert low < likely < high
    assert low < most
    assert high > least
    # Hot covers conduct more, hot iron holds more heat: about half.
    assert half[0] == pytest.approx(0.5 * likely, rel=0.1)
    assert says == "A furnace's 20 K/h to 40 K/h is no limit here: this begins faster."


@pytest.mark.parametrize(
    ("preheat", "says"),
    [
        ("300 degC", "is no limit here: this begins faster"),
        ("120 degC", "is no limit here: this may begin faster or not"),
        ("70 degC", "is kept here without a furnace, by this forecast"),
    ],
)
def test_a_cooler_burial_is_not_said_to_break_a_furnace_s_limit(preheat: str, says: str) -> None:
    """Under 64 to 167 °C a burial falls at less than 40 K/h (procedure notes section 9)."""
    (_, low, high), told = at_first("ceramic blanket", preheat)

    assert says in told
    assert (low > 40, high > 40) == {
        "300 degC": (True, True), "120 degC": (False, True), "70 degC": (False, False),
    }[preheat]  # fmt: skip


def test_the_cold_method_s_cover_has_no_word_of_heat() -> None:
    """At 60 °C at most: no rate, no warmed medium, no card that says hot."""
    cold, hot = (said(afterwards.lines, job(method, cooldown=SAND)) for method in ("cold", "hot"))

    for words in ("at first, in sand", "Warm the medium", "HOT", "A furnace's"):
        assert words not in cold, words
        assert words in hot, words
    assert "Put up a card: when the cool-down ends." in cold


def test_fire_watch_is_thirty_minutes_at_least() -> None:
    """29 CFR 1910.252(a)(2)(iii)(B), seen in a secondary page; longer in some codes."""
    lines = lines_of(afterwards.lines, job())

    assert value(lines, "fire watch") == "30 min or more"
    assert "some codes ask for longer" in text_of(lines)


@pytest.mark.parametrize(
    ("method", "cover", "box"),
    [
        ("hot", "dry sand", True),
        ("hot", "ceramic blanket", True),
        ("hot", "still air", False),
        ("cold", "still air", False),
        ("cold", "dry sand", False),
    ],
)
def test_a_hot_box_is_spoken_of_only_where_there_is_one(method: str, cover: str, box: bool) -> None:
    """The fire watch is kept all the same."""
    text = said(afterwards.lines, job(method, cooldown=f'cover = "{cover}"'))

    assert ("The hot box can set things on fire" in text) == box
    assert "Keep the fire watch." in text


def test_the_looks_are_those_of_the_issue_and_a_proof_load_is_never_a_rating() -> None:
    """Row N14 (from memory) for penetrant, N13 (secondary page) for kerosene."""
    text = said(afterwards.lines, job(joint='access = "both sides"'))

    for words in (
        "pinholes",
        "Penetrant only once it is between 10 °C and 50 °C",
        "Tap it: a clear ring",
        "kerosene on one side",
        "Grind where it has to fit",
        "Look at the back: where it is not sound, open it and weld it",
        "lever arm written down",
        "It is never a rating",
        "pacer outcome",
    ):
        assert words in text, words


def test_the_cold_method_has_no_hold_and_is_not_buried() -> None:
    """Still air by default; no card, no hole."""
    text = said(afterwards.lines, job("cold"))

    assert "No hold and no post-heat" in text
    assert "Let it cool in still air" in text
    for words in ("hole ready", "card: HOT", "equalising hold", "stays buried"):
        assert words not in text, words


def test_us_units_reach_every_quantity() -> None:
    """538 °C is 1000 °F, 40 K/h 72 °F/h by arithmetic."""
    text = said(afterwards.lines, job(cooldown=SAND), "us")

    assert "very slow below 1000 °F" in text
    assert "36 °F/h to 72 °F/h" in text
    assert "°C" not in text
    assert " mm" not in text
    assert " kg " not in text
