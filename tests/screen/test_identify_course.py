"""Where a press leads in the shop tests, without a terminal."""

from __future__ import annotations

from dataclasses import replace

from answering import answered, column_of, contradictory, go, white

from pacer.job.metal.identified import identified
from pacer.job.metal.parting import next_test
from pacer.job.metal.shop_tests import CANT_TELL, shop_tests
from pacer.screen.identify.course import (
    NOTHING_BACK,
    Course,
    begin,
    cant_tell,
    page_up_down,
    skip,
    take,
    take_marked,
    to,
    turn_to,
    undo,
    up_down,
)

NAMES = [test.name for test in shop_tests()]


def test_it_begins_at_the_test_that_tells_most() -> None:
    """The engine's own suggestion, with nothing answered."""
    assert begin({}).shop_test.name == next_test({})


def test_it_begins_at_the_result_where_no_test_would_tell_more() -> None:
    """A job file whose answers leave one metal; Esc goes to the tests."""
    done = column_of("grey iron")
    assert next_test(done) is None
    assert begin(done).page == "result"
    assert turn_to(begin(done), "test").page == "test"


def test_an_answer_is_kept_and_leads_to_the_test_that_now_tells_most() -> None:
    """In the engine's order, not the list's."""
    course = begin({})
    after = take(course, 0)
    assert after.answers == {course.shop_test.name: course.shop_test.answers[0].word}
    assert after.shop_test.name == next_test(after.answers)
    assert course.answers == {}


def test_a_number_without_an_answer_gives_none() -> None:
    """And says so."""
    after = take(begin({}), 99)
    assert after.answers == {}
    assert "has no answer 100" in after.news


def test_cant_tell_is_an_answer_that_moves_nothing() -> None:
    """Recorded, unlike a test left undone."""
    course = begin({})
    told = cant_tell(course)
    assert told.answers == {course.shop_test.name: CANT_TELL}
    assert told.changed == frozenset()
    assert told.news.endswith("It moves nothing.")
    assert skip(course).answers == {}


def test_a_skipped_test_is_not_suggested_again_until_it_is_answered() -> None:
    """It can still be chosen, and undone."""
    first = begin({}).shop_test.name
    course = skip(begin({}))
    seen = set()
    while course.page == "test":
        assert course.shop_test.name != first
        seen.add(course.shop_test.name)
        course = skip(course)
    assert seen
    assert course.page == "result"
    answered_after_all = take(go(course, first), 0)
    assert first not in answered_after_all.skipped


def test_skipping_a_test_that_is_answered_keeps_its_answer() -> None:
    """Only undo or another answer takes an answer away."""
    course = take(begin({}), 0)
    (name,) = course.answers
    assert skip(go(course, name)).answers == course.answers


def test_undo_takes_answers_back_one_by_one() -> None:
    """Back at their tests, the answers before them standing."""
    first = begin({})
    second = take(first, 0)
    third = take(second, 1)
    back = undo(third)
    assert (back.answers, back.shop_test) == (second.answers, second.shop_test)
    assert "Taken back" in back.news
    start = undo(back)
    assert (start.answers, start.shop_test) == ({}, first.shop_test)
    assert undo(start).news == NOTHING_BACK


def test_undo_of_a_changed_answer_brings_the_answer_before_back() -> None:
    """The test was answered twice."""
    name = begin({}).shop_test.name
    once = take(begin({}), 0)
    twice = take(go(once, name), 1)
    assert twice.answers[name] != once.answers[name]
    assert undo(twice).answers == once.answers


def test_answers_given_before_stand_and_are_marked() -> None:
    """They are no answers of this sitting: undo leaves them."""
    test = shop_tests()[1]
    given = {test.name: test.answers[1].word}
    course = begin(given)
    assert go(course, test.name).at == 1
    assert undo(course).answers == given


def test_the_magnet_moves_no_metal() -> None:
    """Whatever it does, alone or beside another answer."""
    magnet = next(test for test in shop_tests() if test.name == "magnet")
    for before in ({}, contradictory()):
        for at in range(len(magnet.answers)):
            after = take(go(begin(before), "magnet"), at)
            assert after.changed == frozenset()
            assert after.news.endswith("It moves nothing.")


def test_white_iron_opens_the_result_at_once() -> None:
    """Once: after it further tests can be answered."""
    course = answered(**white())
    assert identified(course.answers).dont_weld
    assert course.page == "result"
    assert cant_tell(go(course, "magnet")).page == "test"


def test_with_nothing_more_to_tell_the_result_opens() -> None:
    """All tests answered, none could be told."""
    course = begin({})
    while course.page == "test":
        course = cant_tell(course)
    assert course.page == "result"


def test_tests_can_be_gone_through_in_order_round_and_round() -> None:
    """And one of the list chosen."""
    course = to(begin({}), 0)
    names = []
    for _ in NAMES:
        names.append(course.shop_test.name)
        course = page_up_down(course, 1, 0, 20)
    assert names == NAMES
    assert course.shop_test.name == NAMES[0]
    listed = up_down(turn_to(course, "list"), 3, 0)
    assert take_marked(listed).shop_test.name == NAMES[3]
    assert take_marked(listed).page == "test"


def test_marks_stop_at_the_ends_and_a_page_scrolls_no_further_than_it_is_long() -> None:
    """Answers, tests and rows."""
    course = to(begin({}), 0)
    last = len(course.shop_test.answers) - 1
    assert up_down(course, -1, 0).at == 0
    assert up_down(replace(course, at=last), 1, 0).at == last
    page = turn_to(course, "how")
    assert [up_down(page, by, 5).scroll for by in (-1, 1, 9)] == [0, 1, 5]
    assert page_up_down(page, 1, 50, 20).scroll == 19


def test_a_page_opened_twice_is_closed() -> None:
    """W, and W again."""
    course: Course = begin({})
    assert turn_to(turn_to(course, "why"), "why").page == "test"
