"""Identification against the published table of shop tests, cell by cell and column by column."""

from __future__ import annotations

from importlib.resources import files

import pytest
from published import COLUMNS, LOW, Cell, column

from pacer.job.job import Metal
from pacer.job.metal.evidence import identified, standings
from pacer.job.metal.tests import CANT_TELL, METALS, look_of, looks, shop_test, shop_tests

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


@pytest.mark.parametrize("word", ["dark grey, porous", "fine, black-grey", "coarse, grey-white"])
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


def test_a_file_on_the_metal_and_beside_a_tack_count_once() -> None:
    """Two looks at one hardness are no two tests: white iron is doubted, not ruled out."""
    soft = {"file": "cuts easily", "file_after_tack": "edge hard, metal soft"}
    white = next(one for one in standings(soft) if one.metal == "white iron")

    assert len(white.against) == 2
    assert white.state == "doubted"


def test_every_test_can_be_left_undecided() -> None:
    """`can't tell` is an answer of each, and says nothing."""
    for test in shop_tests():
        assert test.answers[-1].word == CANT_TELL
        assert test.answers[-1].fits == test.answers[-1].against == ()


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
