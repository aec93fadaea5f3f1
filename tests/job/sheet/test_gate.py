"""The first page: questions with their answers, stops, and the ways that are not paced."""

from __future__ import annotations

import pytest
from words import job, lines_of, said, steps, text_of, value

from pacer.job.sheet.sections import gate


def test_a_question_nobody_answered_is_to_be_decided() -> None:
    """Procedure notes section 10; a default service is no answer, and is said to be none."""
    open_ones = text_of(steps(lines_of(gate.lines, job()), "decide"))

    for key in ("part.iron", "part.oil", "part.service", "history.load", "heating.even"):
        assert f"({key})" in open_ones, key
    assert "taken as none (part.service)" in open_ones
    assert "(part.metal)" not in open_ones


def test_an_answer_is_shown_as_given_and_asks_nothing() -> None:
    """All six answered: nothing left to decide, nothing stops, and no promise either."""
    answered = job(
        part='iron = "sound"\noil = "none seen"\nservice = "none"',
        history='load = "will be changed"',
        heating='even = "yes"',
    )
    lines = lines_of(gate.lines, answered)

    assert not steps(lines, "decide")
    assert not steps(lines, "stop")
    assert value(lines, "hangs on it") == "none"
    assert value(lines, "load that broke it") == "will be changed"
    assert "no promise that the repair holds" in text_of(lines)


def test_unknown_is_asked_again_as_if_nothing_was_said() -> None:
    """Unknown metal sends to the shop tests; unknown iron is not taken as sound."""
    open_ones = text_of(
        steps(lines_of(gate.lines, job(metal="unknown", part='iron = "unknown"')), "decide")
    )

    assert "Unknown (part.metal): find out by shop tests: pacer identify" in open_ones
    assert "Unknown (part.iron)" in open_ones


CLEAR = 'ring = "clear, long"\nchip = "long curl"'
"Two looks that aren't grey iron's (trade facts, section 9)."


@pytest.mark.parametrize("metal", ["grey iron", "unknown"])
def test_shop_tests_against_the_metal_are_the_page_s_verdict(metal: str) -> None:
    """Contradictory evidence is shown as such, with its answers; nothing reads as if it were well."""
    # A chip of ductile iron, a ring and a mark on paper of grey iron: no metal has them all.
    mixed = 'rub = "dark mark"\nchip = "chips and strips"\nring = "dull thud"'
    tests = CLEAR if metal == "grey iron" else mixed
    lines = lines_of(gate.lines, job(metal=metal, tests=tests))
    told = [step.text for step in steps(lines, "decide")]

    (against,) = [text for text in told if text.startswith(f"Metal: {metal}, ")]
    assert against.endswith("Settle it first: pacer identify.")
    if metal == "grey iron":
        assert 'rule it out: chip "long curl", ring "clear, long"' in against
    else:
        assert "no metal fits all answers" in against
    assert told[-1].startswith("The shop tests don't settle the metal: settle it before you decide")
    assert "Nothing that was said stops a plan" not in text_of(lines)


def test_shop_tests_that_fit_the_metal_change_nothing_of_the_page() -> None:
    """Two of grey iron's own looks."""
    fitting = job(tests='ring = "dull thud"\nrub = "dark mark"')

    assert lines_of(gate.lines, fitting) == lines_of(gate.lines, job())
    assert "Nothing that was said stops a plan" in said(gate.lines, fitting)


def test_a_stop_says_whom_to_ask_and_that_there_is_no_plan() -> None:
    """Row W08 (secondary page) for white iron; the program's own limit for lifting."""
    lines = lines_of(gate.lines, job(metal="white iron", part='service = "lifting"'))
    told = [step.text for step in steps(lines, "stop")]

    assert "White iron is generally held to be unweldable" in told[0]
    assert "Ask a qualified welding engineer" in told[0]
    assert "Hangs on it: lifting." in told[1]
    assert told[2].startswith("No plan as the job file stands. Ask first")


@pytest.mark.parametrize("method", ["hot", "cold"])
def test_every_other_way_is_shown_and_said_not_to_be_paced(method: str) -> None:
    """Procedure notes section 10 (common practice): braze, stitch, bolt, replace."""
    ways = text_of(steps(lines_of(gate.lines, job(method)), "not paced"))

    for word in ("Braze welding:", "Stitching:", "Bolting:", "Replacing:"):
        assert word in ways
    for word in ("thin or dirty", "must stay soft", "colour doesn't matter"):
        assert word in ways
    assert "can't follow nickel, nor nickel follow braze" in ways


def test_a_part_that_can_hurt_someone_is_offered_no_way_to_mend_it() -> None:
    """The program's own limit: replacing is all it names, the rest is for whoever is asked."""
    lines = lines_of(gate.lines, job(part='service = "brake or steering"'))
    (way,) = steps(lines, "not paced")

    assert way.text.startswith("Replacing:")
    assert "for whoever is asked to say" in text_of(steps(lines, "stop"))


def test_what_speaks_for_braze_in_this_job_is_named() -> None:
    """That a wall under 5 mm is thin is our choice; W11 for malleable iron."""
    for_it = said(
        gate.lines,
        job(
            metal="malleable iron",
            part='wall = "4.5 mm"\noil = "burns out"',
            filler='machined_after = "yes"\ncolour_matters = "no"',
        ),
    )
    against = said(gate.lines, job(filler='colour_matters = "yes"'))

    for word in (
        "malleable iron (row W11)",
        "4.5 mm is thin (under 5 mm, our choice)",
        "oily",
        "machined",
        "colour doesn't",
    ):
        assert word in for_it.split("Here speaks for it:")[1].split("\n")[0], word
    assert "turns back to white iron: braze it" in for_it
    assert "Against it: its colour matters." in against


def test_an_earlier_repair_is_shown_beside_the_rule_about_nickel_and_braze() -> None:
    """Common practice; the welder's own words."""
    brazed = said(gate.lines, job(history='earlier_repair = "brazed in 1998"'))

    assert "choose once. Mended before: brazed in 1998." in brazed
    assert "is not said (history.earlier_repair)" in said(gate.lines, job())


@pytest.mark.parametrize(("metal", "part"), [("white iron", ""), ("grey iron", 'iron = "burnt"')])
def test_a_spoilt_iron_s_other_ways_are_those_of_its_stop(metal: str, part: str) -> None:
    """One advice: bolt a plate or replace; what the stop doesn't name is not offered below it."""
    lines = lines_of(gate.lines, job(metal=metal, part=part))
    ways = [step.text.partition(":")[0] for step in steps(lines, "not paced")]

    assert ways == ["Bolting", "Replacing"]
    assert "speaks for it" not in text_of(lines)
    assert "bolt a plate" in steps(lines, "stop")[0].text


def test_the_cold_method_is_not_asked_for_even_heat() -> None:
    """It needs no heat at all."""
    assert "heated evenly" not in said(gate.lines, job("cold"))
