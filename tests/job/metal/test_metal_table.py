"""Identification against the published table of shop tests, cell by cell and column by column."""

from __future__ import annotations

from importlib.resources import files

import pytest
from published import COLUMNS, CUSTOM, LOW, SAYS, Cell, cell, column

from pacer.job.job import Metal
from pacer.job.metal.identified import identified
from pacer.job.metal.shop_tests import CANT_TELL, METALS, look_of, looks, shop_test, shop_tests
from pacer.job.metal.standing import Standing, standings

CELLS = [(metal, test, cell) for metal, row in COLUMNS.items() for test, cell in row.items()]


@pytest.mark.parametrize(("metal", "test", "cell"), CELLS, ids=[f"{m}-{t}" for m, t, _ in CELLS])
def test_a_cell_speaks_for_its_metal_by_its_own_source(metal: Metal, test: str, cell: Cell) -> None:
    """Trade facts, section 9; source and status as `published.py` has them from there."""
    standing = next(one for one in standings({test: cell.answer}) if one.metal == metal)

    assert [(one.test, one.answer, one.status) for one in standing.for_] == [
        (test, cell.answer, cell.status)
    ]
    assert cell.source in standing.for_[0].source
    assert standing.against == ()


ANSWERS = [(test, word) for test, words in SAYS.items() for word in words]


def _sign(metal: Metal, test: str, word: str) -> str:
    look, standing = look_of(metal, test), _standing(metal, {test: word})
    if look is None:
        return " "
    if standing.against:
        return "?" if look.status == CUSTOM else "-"
    return "+" if standing.for_ else "."


def _standing(metal: Metal, answers: dict[str, str]) -> Standing:
    return next(one for one in standings(answers) if one.metal == metal)


@pytest.mark.parametrize(("test", "word"), ANSWERS, ids=[f"{t}-{w}" for t, w in ANSWERS])
def test_every_answer_says_of_every_metal_what_the_published_table_does(
    test: str, word: str
) -> None:
    """Trade facts, section 9: for and against, sign by sign; whose word is in `published.py`."""
    assert "".join(_sign(metal, test, word) for metal in METALS) == SAYS[test][word]


@pytest.mark.parametrize(("test", "word"), ANSWERS, ids=[f"{t}-{w}" for t, w in ANSWERS])
def test_what_speaks_against_a_metal_names_the_source_of_that_metals_look(
    test: str, word: str
) -> None:
    """Not of the look that was found: the claim is that this metal looks otherwise."""
    for metal, sign in zip(METALS, SAYS[test][word], strict=True):
        if sign in "-?":
            (against,) = _standing(metal, {test: word}).against
            assert against.status == cell(metal, test).status
            assert cell(metal, test).source in against.source


def test_the_pinned_table_has_every_test_and_every_answer() -> None:
    """An answer added to the data has to be pinned."""
    pinned = {test: [*words, CANT_TELL] for test, words in SAYS.items()}

    assert {t.name: [answer.word for answer in t.answers] for t in shop_tests()} == pinned


@pytest.mark.parametrize("metal", ["grey iron", "ductile iron", "malleable iron", "white iron"])
def test_all_answers_of_an_irons_column_leave_that_iron(metal: Metal) -> None:
    """Trade facts, section 9: the table alone, without a mark on the part."""
    found = identified(column(metal))

    assert found.left == (metal,)
    assert found.metal == metal
    assert found.contradictions == ()
    assert found.dont_weld is (metal == "white iron")


@pytest.mark.parametrize("metal", METALS)
def test_with_its_mark_all_answers_of_any_column_leave_that_metal(metal: Metal) -> None:
    """Trade facts, section 9, and the marks of EN 1560 (secondary page) or from memory."""
    assert identified(column(metal, grade=True)).left == (metal,)


def test_the_table_alone_hardly_parts_cast_from_mild_steel() -> None:
    """Section 9 has one look that parts them, the skin; a second test must agree (PRAC)."""
    found = {one.metal: one for one in standings(column("mild steel"))}

    assert identified(column("mild steel")).left == ("cast steel", "mild steel")
    assert found["mild steel"].state == "open"
    assert [one.test for one in found["cast steel"].against] == ["surface"]


def test_a_cast_skin_and_bushy_sparks_leave_cast_steel() -> None:
    """OD1643 3b: rolled steel has lines, and more carbon more bursts (primary text)."""
    answers = column("cast steel") | {"surface": "brighter, small pits"}

    assert identified(answers).left == ("cast steel",)


@pytest.mark.parametrize(
    "word", ["dark grey, porous", "fine, even, dull grey", "fine, black-grey", "coarse, grey-white"]
)
def test_the_colour_of_the_fracture_alone_parts_no_grey_from_ductile_iron(word: str) -> None:
    """Row D16: a welding shop's chart and a page on car parts disagree."""
    states = {one.metal: one.state for one in standings({"fracture": word})}

    assert states["grey iron"] == states["ductile iron"] == "open"


@pytest.mark.parametrize(
    "word", ["very dull grey, sandy", "lighter grey, no sand", "brighter, small pits"]
)
def test_no_cast_skin_speaks_for_or_against_cast_steel(word: str) -> None:
    """Row D17: OD1643 calls cast steel rough and dark, and brighter than iron."""
    steel = next(one for one in standings({"surface": word}) if one.metal == "cast steel")

    assert (steel.for_, steel.against) == ((), ())


def test_a_look_of_low_confidence_speaks_for_a_metal_never_against_it() -> None:
    """From memory, low: ductile sparks, malleable and white ring, weaker rub marks (section 9)."""
    weak = {(look.metal, look.test) for look in looks() if look.status == LOW}

    assert weak == {
        ("ductile iron", "spark"),
        ("malleable iron", "ring"),
        ("white iron", "ring"),
        ("ductile iron", "rub"),
        ("malleable iron", "rub"),
    }
    for test in shop_tests():
        for answer in test.answers:
            assert not {(metal, test.name) for metal in answer.against} & weak


@pytest.mark.parametrize("tack", SAYS["file_after_tack"])
def test_common_practice_without_a_source_never_rules_a_metal_out(tack: str) -> None:
    """The tack's row (PRAC) beside any one answer: two tests, and only one of them has a source."""
    for test, word in ANSWERS:
        if test != "file_after_tack":
            assert identified({test: word, "file_after_tack": tack}).left == METALS


def test_two_answers_rule_out_where_both_have_more_than_custom_behind_them() -> None:
    """Ring (secondary) and rub mark (secondary) against grey iron; the tack adds nothing to one."""
    clear = {"ring": "clear, long"}

    assert _standing("grey iron", clear).state == "doubted"
    assert _standing("grey iron", clear | {"rub": "no mark"}).state == "ruled out"
    soft = _standing("grey iron", clear | {"file_after_tack": "no harder than before"})
    assert (soft.state, len(soft.against)) == ("doubted", 2)


def test_a_metal_ruled_out_by_memory_alone_is_told_as_such() -> None:
    """Chip and file of cast steel: no text seen (MEM M)."""
    told = identified({"chip": "tiny, very hard to cut", "file": "slides"}).told
    by_memory = [line for line in told if line.startswith("Ruled out from memory only")]

    assert len(by_memory) == 1
    assert "cast steel" in by_memory[0]
    seen = identified({"ring": "clear, long", "rub": "no mark"})
    assert "grey iron" not in seen.left
    assert not any(line.startswith("Ruled out from memory only") for line in seen.told)


def test_every_test_can_be_left_undecided() -> None:
    """`can't tell` is an answer of each, and says nothing."""
    for test in shop_tests():
        assert test.answers[-1].word == CANT_TELL
        assert test.answers[-1].fits == test.answers[-1].against == ()


def test_steps_keep_away_from_chilled_skin_and_corners() -> None:
    """A foundry book of about 1900 and a foundry trade page: corners and skin of grey iron chill."""
    steps = {test.name: " ".join(test.do) for test in shop_tests()}

    for name in ("fracture", "chip", "file"):
        assert "corner" in steps[name]
        assert "skin" in steps[name] or "mm" in steps[name]
    for name in ("spark", "torch"):
        assert "n the raw skin" in steps[name]


def test_words_are_those_of_their_test_and_drawings_are_small() -> None:
    """Looks name answers that exist; a drawing is at most 12 lines of 60 plain characters."""
    for look in looks():
        test = shop_test(look.test)
        assert test is not None
        assert {*look.answers, *look.may} <= {answer.word for answer in test.answers}
        assert look_of(look.metal, look.test) is look
    for test in shop_tests():
        words = [answer.word for answer in test.answers]
        assert len(words) == len(set(words))
        assert 0 < len(test.drawing) <= 12
        assert all(len(line) <= 60 and line.isascii() for line in test.drawing)
        assert test.do
        assert test.look_for
        assert test.source


def test_what_makes_sparks_or_heat_warns() -> None:
    """Procedure, section 12: eyes at the wheel, fume and heat at the tack."""
    said = {test.name: " ".join(test.cautions).casefold() for test in shop_tests()}

    assert "face shield" in said["spark"]
    assert "guards" in said["spark"]
    assert "fume" in said["file_after_tack"]
    assert "43 °c" in said["file_after_tack"]
    assert "hollow" in said["torch"]


def test_the_guide_has_every_test_and_every_answer() -> None:
    """The page's table is typed by hand; a word changed in the data must be changed there."""
    page = files("pacer.guide").joinpath("identify.md").read_text("utf-8")

    for test in shop_tests():
        assert f"**{test.title}** (`{test.name}`)" in page
        for answer in test.answers:
            assert answer.word in page
