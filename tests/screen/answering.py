"""Answers of shop tests picked by what they say, whatever their words are."""

from __future__ import annotations

from itertools import combinations

from pacer.job.job import Metal
from pacer.job.metal.identified import identified
from pacer.job.metal.shop_tests import shop_tests
from pacer.screen.identify.course import Course, begin, take, to
from pacer.screen.identify.view import IdentifyView, identify_view
from pacer.units import Shown, System


def go(course: Course, test: str) -> Course:
    """Go to a test by name."""
    return to(course, [each.name for each in shop_tests()].index(test))


def answered(**answers: str) -> Course:
    """Return a course with these answers given one after the other."""
    course = begin({})
    for test, word in answers.items():
        course = go(course, test)
        course = take(course, [answer.word for answer in course.shop_test.answers].index(word))
    return course


def speaking(
    *, fits: Metal | None = None, against: Metal | None = None, besides: str = ""
) -> dict[str, str]:
    """Return the first answer, of another test than `besides`, that speaks so."""
    for test in shop_tests():
        for answer in test.answers:
            right = (fits is None or fits in answer.fits) and (
                against is None or against in answer.against
            )
            if test.name != besides and right:
                return {test.name: answer.word}
    raise AssertionError(f"no answer is for {fits}, against {against}")


def seen(course: Course, title: str = "", units: System = "metric") -> IdentifyView:
    """Return what is seen of a course."""
    return identify_view(course, title, Shown(units))


def column_of(metal: Metal) -> dict[str, str]:
    """Return answers that each speak for one metal, and leave it alone as far as they can."""
    answers = {}
    for test in shop_tests():
        fitting = [answer for answer in test.answers if metal in answer.fits]
        if fitting:
            answers[test.name] = min(fitting, key=lambda answer: len(answer.fits)).word
    return answers


def white() -> dict[str, str]:
    """Return an answer that speaks for white iron."""
    return speaking(fits="white iron")


def contradictory() -> dict[str, str]:
    """Return two answers that between them fit no metal."""
    answers = [(test.name, answer.word) for test in shop_tests() for answer in test.answers]
    for one, other in combinations(answers, 2):
        both = dict((one, other))
        if len(both) == 2 and identified(both).contradictions and not identified(both).dont_weld:
            return both
    raise AssertionError("no two answers contradict each other")
