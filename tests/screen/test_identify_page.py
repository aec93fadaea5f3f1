"""What is painted of the shop tests at three sizes, without a terminal."""

from __future__ import annotations

from dataclasses import replace

import pytest
from answering import answered, column_of, contradictory, go, seen, speaking, white
from rich.cells import cell_len

from pacer.job.metal.identified import identified
from pacer.job.metal.shop_tests import shop_tests
from pacer.job.metal.standing import standings
from pacer.screen.identify.course import Course, begin, mark_metal, turn_to
from pacer.screen.identify.keys import CANT_TELL_KEY, KEYS
from pacer.screen.identify.metals import MOVED, metal_rows
from pacer.screen.identify.pages import PAGES, how_page, list_page, result_page, why_page
from pacer.screen.identify.rows import CONTRADICTION, SIGN, STATE_LOOK, STOP
from pacer.screen.identify.step import MORE, WIDE, WITH_DRAWING, step_page
from pacer.screen.identify.view import NOT_NOW, ONLY_WHITE
from pacer.screen.widgets.panel import Row

SIZES = ((80, 22), (100, 28), (160, 43))
"The page's rows in windows of 80x24, 100x30, 160x45."
METALS = [standing.metal for standing in standings({})]


def _text(rows: list[Row]) -> list[str]:
    return ["".join(text for text, _ in row) for row in rows]


def _page(course: Course, width: int, height: int) -> list[str]:
    return _text(step_page(seen(course, "Foot"), width, height))


def _words(rows: list[Row]) -> str:
    """Everything on a page, wherever its lines were broken."""
    return " ".join(" ".join(_text(rows)).split())


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("test", [test.name for test in shop_tests()])
def test_every_test_has_its_answers_and_all_metals_on_its_page(
    test: str, size: tuple[int, int]
) -> None:
    """Answers with their keys, six rows of metals, within the window."""
    course = go(begin({}), test)
    lines = _page(course, *size)
    assert len(lines) <= size[1]
    assert max(map(cell_len, lines)) <= size[0]
    assert course.shop_test.title in lines[0]
    for at, answer in enumerate(course.shop_test.answers, 1):
        key = CANT_TELL_KEY if answer.word == "can't tell" else str(at)
        assert any(f" {key}  {answer.word}" in line for line in lines), answer.word
    for metal in METALS:
        assert any(f"{SIGN['open']} {metal} " in line for line in lines), metal


@pytest.mark.parametrize("test", [test.name for test in shop_tests()])
def test_a_wide_window_shows_the_whole_test_with_its_drawing(test: str) -> None:
    """160x45: nothing is cut."""
    course = go(begin({}), test)
    lines = _page(course, *SIZES[2])
    whole = " ".join(" ".join(line[:96] for line in lines).split())
    shop = course.shop_test
    for text in (*shop.do, shop.look_for, *(answer.looks for answer in shop.answers)):
        assert " ".join(text.split()) in whole
    for drawn in shop.drawing:
        assert any(drawn.rstrip() in line for line in lines)
    assert not any(more in line for line in lines for more in (MORE, WITH_DRAWING))


@pytest.mark.parametrize("test", [test.name for test in shop_tests()])
def test_a_middling_window_has_room_for_every_drawing(test: str) -> None:
    """100x30: sparks and broken faces are seen better than read; steps lose their ends first."""
    course = go(begin({}), test)
    rows = [line[:62] for line in _page(course, *SIZES[1])]
    for drawn in course.shop_test.drawing:
        assert any(drawn.rstrip() in row for row in rows)
    for at, step in enumerate(course.shop_test.do, 1):
        assert any(row.startswith(f" {at}. {step[:20]}") for row in rows)


def test_a_step_that_is_cut_says_so() -> None:
    """80x24: no row ends in the middle of a step without its mark."""
    for test in shop_tests():
        rows = _page(go(begin({}), test.name), 80, 22)
        words = " ".join(" ".join(rows).split())
        for at, step in enumerate(test.do, 1):
            begun = [row for row in rows if row.startswith(f" {at}. ")]
            assert not begun or step in words or begun[0].rstrip().endswith("…")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("test", [test.name for test in shop_tests() if test.hot])
def test_a_test_with_heat_is_not_for_now_while_white_iron_is_likely(
    test: str, size: tuple[int, int]
) -> None:
    """Its first caution, on its page and on the page of all of it; at other times it isn't there."""
    likely = go(answered(**white()), test)
    first = " ".join(NOT_NOW.split()[:6])
    (at,) = (at for at, row in enumerate(_page(likely, *size)) if first in row)
    assert _page(likely, *size)[at].startswith(" ! ")
    assert NOT_NOW in _words(how_page(seen(likely), size[0]))
    assert NOT_NOW not in _words(how_page(seen(go(begin({}), test)), size[0]))


def test_the_result_is_in_the_users_units() -> None:
    """Row W05, 250 °C: 250 x 1.8 + 32 = 482 °F."""
    answers = column_of("ductile iron")
    words = _words(result_page(seen(begin(answers), units="us"), 160))
    assert "at least 482 °F" in words
    assert "°C" not in words
    assert "at least 250 °C" in _words(result_page(seen(begin(answers)), 160))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("test", [test.name for test in shop_tests() if test.cautions])
def test_a_caution_is_never_what_is_cut(test: str, size: tuple[int, int]) -> None:
    """It begins the text, before the first step."""
    course = go(begin({}), test)
    first = course.shop_test.cautions[0].split()[:4]
    lines = _page(course, *size)
    at = next(at for at, line in enumerate(lines) if line.startswith(" ! "))
    assert " ".join(first) in lines[at]
    assert at < next(at for at, line in enumerate(lines) if line.startswith(" 1. "))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("test", [test.name for test in shop_tests()])
def test_a_page_without_all_of_the_test_says_so(test: str, size: tuple[int, int]) -> None:
    """Steps, drawing and what the test can't do are there, or the first row says where."""
    course = go(begin({}), test)
    shop = course.shop_test
    left = size[0] if size[0] < WIDE else max(62, size[0] * 3 // 5)
    rows = [line[:left] for line in _page(course, *size)]
    words = " ".join(" ".join(rows).split())
    asked = (*shop.cautions, *shop.do, shop.look_for, shop.note)
    there = all(" ".join(text.split()) in words for text in asked)
    drawn = all(any(line.rstrip() in row for row in rows) for line in shop.drawing)
    assert (WITH_DRAWING in rows[0]) == (not drawn)
    assert (MORE in rows[0]) == (drawn and not there)
    assert " ".join(shop.look_for.split()) in words


def test_all_of_a_test_is_on_a_page_of_its_own() -> None:
    """The page of the whole test has every step, drawing, caution, answer and note."""
    for test in shop_tests():
        view = seen(go(begin({}), test.name))
        words = _words(how_page(view, 80))
        for text in (*test.do, *test.cautions, test.look_for, test.note, *test.drawing):
            assert " ".join(text.split()) in words
        for answer in test.answers:
            assert " ".join(answer.looks.split()) in words


def test_the_marked_answer_is_told_in_full_where_rows_are_few() -> None:
    """80x24: at each mark the whole of what it looks like; nothing else moves."""
    for test in shop_tests():
        course = go(begin({}), test.name)
        keys_at = set()
        for at, answer in enumerate(test.answers):
            rows = _page(replace(course, at=at), 80, 22)
            assert " ".join(answer.looks.split()) in " ".join(" ".join(rows).split())
            keys_at.add(next(at for at, row in enumerate(rows) if row[1:4] == " 1 "))
        assert len(keys_at) == 1


def test_a_metal_has_its_state_in_word_sign_and_look() -> None:
    """Never by colour alone; counts and names of tests beside it."""
    out = next(
        {**one, **two}
        for metal in METALS
        for one in [speaking(against=metal)]
        for two in [speaking(against=metal, besides=next(iter(one)))]
        if {standing.state for standing in standings({**one, **two})} == set(SIGN)
    )
    view = seen(answered(**out))
    lines = _text(metal_rows(view, 80))[1:]
    for line, standing in zip(lines, standings(out), strict=True):
        pro, contra = len(standing.for_), len(standing.against)
        assert line.startswith(f" {SIGN[standing.state]} {standing.metal}")
        assert f" {standing.state} " in line
        assert f"for {pro} against {contra}" in line
        for evidence in standing.against:
            assert f"-{evidence.test.replace('_', ' ')}" in line
    assert len(set(SIGN.values())) == len(set(STATE_LOOK.values())) == 3


def test_the_metals_an_answer_moved_are_marked() -> None:
    """And no others; after the magnet none."""
    answer = speaking(fits="grey iron", against="mild steel")
    course = answered(**answer)
    moved = {standing.metal for standing in standings(answer) if standing.for_ or standing.against}
    lines = _text(metal_rows(seen(course), 80))
    assert {metal for line in lines for metal in METALS if MOVED in line and metal in line} == moved
    magnet = go(course, "magnet").shop_test.answers[0].word
    after = _text(metal_rows(seen(answered(**answer, magnet=magnet)), 80))
    assert not any(MOVED in line for line in after)
    assert "moves nothing" in after[0]


def test_the_magnet_says_that_it_moves_nothing() -> None:
    """On its page, before it is answered."""
    assert "moves nothing, whatever it says" in _page(go(begin({}), "magnet"), 80, 22)[0]


@pytest.mark.parametrize("size", SIZES)
def test_a_contradiction_has_a_band_of_its_own(size: tuple[int, int]) -> None:
    """Over the test, and in full in the result."""
    both = contradictory()
    course = go(answered(**both), "magnet")
    assert any(CONTRADICTION in line for line in _page(course, *size))
    view = seen(course)
    words = _words(result_page(view, size[0]))
    assert CONTRADICTION in words
    for said in view.contradictions:
        assert said in words


@pytest.mark.parametrize("size", SIZES)
def test_white_iron_is_told_as_large_as_fits(size: tuple[int, int]) -> None:
    """In letters of five rows on the result page, and at every test a band at least."""
    course = answered(**white())
    view = seen(course)
    result = _text(result_page(view, size[0]))
    assert sum("█" in line for line in result[:6]) >= 5
    for test in shop_tests():
        lines = _page(go(course, test.name), *size)
        assert len(lines) <= size[1]
        assert STOP in lines[0] or sum("█" in line for line in lines[:6]) >= 5
        assert "white iron" in " ".join(lines[:6])
    assert STOP not in _words(result_page(seen(begin({})), size[0]))


def test_why_tells_each_evidence_with_source_and_how_far_it_was_seen() -> None:
    """Of the marked metal, for it and against it."""
    both = contradictory()
    course = turn_to(answered(**both), "why")
    for standing in standings(both):
        view = seen(course)
        words = _words(why_page(view, 80))
        for evidence in (*standing.for_, *standing.against):
            for text in (evidence.answer, evidence.look, evidence.source, evidence.status):
                assert " ".join(text.split()) in words
        course = mark_metal(course)


def test_the_result_says_what_is_left_and_what_to_do() -> None:
    """All that the engine tells, and how the metals stand."""
    answers = speaking(against="mild steel")
    view = seen(answered(**answers))
    words = _words(result_page(view, 80))
    for line in identified(answers).told:
        assert " ".join(line.split()) in words
    for metal in METALS:
        assert metal in words


def test_white_iron_left_alone_is_told_as_such() -> None:
    """Nothing need speak for it: everything else is ruled out."""
    out: dict[str, str] = {}
    for metal in METALS:
        for test in shop_tests():
            for answer in test.answers:
                if (
                    metal != "white iron"
                    and metal in answer.against
                    and "white iron" not in answer.against
                ):
                    out.setdefault(test.name, answer.word)
    assert identified(out).left == ("white iron",)
    assert seen(begin(out)).stop == ONLY_WHITE


def test_the_list_has_every_test_with_its_answer() -> None:
    """The one that would tell most is named."""
    answer = speaking(fits="grey iron")
    view = seen(turn_to(answered(**answer), "list"))
    lines = _text(list_page(view, 80))
    for test in shop_tests():
        (line,) = (line for line in lines if line[2:].startswith(test.title))
        assert answer.get(test.name, "not done") in line
        assert ("would tell most" in line) == (test.title == view.follows)


def test_a_foreign_title_is_cleaned() -> None:
    """It came from a job file."""
    assert "\x1b" not in seen(begin({}), "a\x1b]0;x\x07b").title


def test_no_key_means_two_things() -> None:
    """Each name once in the table, on the page of keys in one row of 80 columns."""
    names = [name for key in KEYS for name in key.names]
    assert len(names) == len(set(names))
    lines = _text(PAGES["keys"](seen(begin({})), 80))
    assert len(lines) <= SIZES[0][1]
    assert not any("…" in line for line in lines)
