"""The kind of repair, tacks, clamps and sides."""

from __future__ import annotations

import pytest
from words import job, lines_of, said, steps, text_of

from pacer.job.sheet.sections import beads, repair


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("crack", "the part hangs together"),
        ("break", "fitted back along the marks, tacked"),
        ("patch", "rounded corners, welded around its edge from opposite sides in turn"),
    ],
)
def test_each_kind_of_repair_says_what_is_done(kind: str, words: str) -> None:
    """The issue's three kinds; a patch as row R12 (common practice) has it."""
    assert words in said(repair.lines, job(joint=f'repair = "{kind}"'))


def test_a_crack_that_does_not_separate_needs_no_tacks() -> None:
    """Procedure notes section 2; a loose piece without any is to be decided."""
    assert "needs no tacks" in said(repair.lines, job())
    loose = lines_of(repair.lines, job(joint='repair = "break"\ntack = "none"'))

    assert "say what holds it" in text_of(steps(loose, "decide"))


def test_cold_tacks_are_looked_at_after_the_preheat_and_cracked_ones_redone() -> None:
    """Procedure notes section 2 (common practice): small, may crack, looked at when hot."""
    lines = lines_of(repair.lines, job(joint='repair = "break"'))
    done = text_of(steps(lines, "do"))

    assert "may crack" in text_of(lines)
    assert "After the preheat: look at the tacks. Cracked ones are ground out" in done


def test_a_cold_job_s_tacks_are_for_good() -> None:
    """The part is never hot, so no tack is made anew in the heat: it is welded in as it is."""
    cold = said(repair.lines, job("cold", joint='repair = "patch"'))

    assert "until the part is hot" not in cold
    assert "welded in for good and carries the load" in cold


def test_hot_tacks_are_set_inside_the_band() -> None:
    """Row R09 (common practice)."""
    hot = said(repair.lines, job(joint='repair = "break"\ntack = "hot"'))

    assert "Hot tacks are set inside the band" in hot
    assert "Look at the tacks before the first bead" in hot


def test_tacks_and_clamps_as_given_are_shown_and_asked_for_where_they_are_not() -> None:
    """They are suspects afterwards, procedure notes sections 2 and 14."""
    given = job(joint='repair = "break"\ntack_places = "three"\nclamps = "two bars"')

    assert "tacks where three" in said(repair.lines, given)
    assert "clamps two bars" in said(repair.lines, given)
    silent = text_of(steps(lines_of(repair.lines, job(joint='repair = "patch"')), "decide"))
    assert "(joint.tack_places)" in silent
    assert "(joint.clamps)" in silent


def test_clamps_are_loosened_before_the_cool_down_as_the_last_step() -> None:
    """Procedure notes section 2: a step of its own."""
    done = steps(lines_of(repair.lines, job(joint='repair = "break"\naccess = "both sides"')), "do")

    assert done[-1].text.startswith("Loosen the clamps before the cool-down")


def test_two_sides_mean_turning_burns_a_new_fit_and_ground_backs() -> None:
    """Procedure notes section 5 (common practice); row N14 for penetrant, from memory."""
    both = said(repair.lines, job(joint='access = "both sides"'))
    cold = said(repair.lines, job("cold", joint='access = "both sides"'))

    for words in (
        "turn the part over after the root and after each pair of layers",
        "Turning a hot part burns",
        "fix the sensor anew",
        "Grind the back to sound metal",
        "penetrant can't be used hot",
    ):
        assert words in both, words
    assert "burns" not in cold
    turned = (
        said(beads.lines, job(name, joint='access = "both sides"')) for name in ("hot", "cold")
    )
    assert [("the part burns" in text) for text in turned] == [True, False]
    assert "can't be opened from behind" in said(repair.lines, job())


@pytest.mark.parametrize(("kind", "fitted"), [("crack", False), ("break", True), ("patch", True)])
def test_only_a_loose_piece_is_fitted_to_marks(kind: str, fitted: bool) -> None:
    """A crack's part hangs together: it is checked where it bolts down."""
    told = said(repair.lines, job(joint=f'repair = "{kind}"'))

    assert ("Fit it to the marks" in told) is fitted
    assert "where it bolts down, or on a flat" in told
