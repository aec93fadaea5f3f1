"""`Course`: where the welder is in the shop tests and what he has answered; no terminal here.

    course = begin({})
    course = take(course, 0)        # the first answer of the test at hand
    course = undo(course)

Every function returns a new course. What the answers mean is `pacer.job.metal`'s business.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pacer.job.job import Metal
from pacer.job.metal.identified import identified
from pacer.job.metal.parting import next_test
from pacer.job.metal.shop_tests import CANT_TELL, ShopTest, shop_tests
from pacer.job.metal.standing import standings
from pacer.screen.identify.keys import Page

NOTHING_BACK = "No answer of this sitting is left to take back."


@dataclass(frozen=True, slots=True)
class Course:
    """One moment."""

    answers: Mapping[str, str]
    "Answer by test."
    test: int
    "The test at hand, by its place in `shop_tests()`."
    at: int = 0
    "The marked answer."
    metal: int = 0
    "The marked metal."
    page: Page = "test"
    listed: int = 0
    "The marked test in the list of them."
    scroll: int = 0
    "Rows of a long page that have gone by at the top."
    skipped: frozenset[str] = frozenset()
    news: str = ""
    "What the last press did."
    changed: frozenset[Metal] = frozenset()
    "The metals that the last answer moved."
    before: Course | None = field(default=None, compare=False, repr=False)
    "What an undo returns to."

    @property
    def shop_test(self) -> ShopTest:
        """The test at hand."""
        return shop_tests()[self.test]

    @property
    def suggested(self) -> str | None:
        """The test that would part best what is left; one skipped counts as no help."""
        return next_test({**dict.fromkeys(self.skipped, CANT_TELL), **self.answers})


def begin(answers: Mapping[str, str]) -> Course:
    """Return the start, at the test that would tell most; at the result where none would."""
    return _on(Course(dict(answers), 0))


def take(course: Course, at: int) -> Course:
    """Give an answer of the test at hand by its place, and go on."""
    test = course.shop_test
    if not 0 <= at < len(test.answers):
        return replace(course, news=f"{test.title} has no answer {at + 1}", changed=frozenset())
    answers = {**course.answers, test.name: test.answers[at].word}
    changed = _changed(course.answers, answers)
    said = f"{test.title}: {test.answers[at].word}"
    taken = replace(
        course,
        answers=answers,
        skipped=course.skipped - {test.name},
        before=course,
        news=said if changed else f"{said}. It moves nothing.",
        changed=changed,
    )
    if identified(answers).dont_weld and not identified(course.answers).dont_weld:
        return replace(_on(taken), page="result", scroll=0)
    return _on(taken)


def cant_tell(course: Course) -> Course:
    """Answer that the test at hand can't be told."""
    words = [answer.word for answer in course.shop_test.answers]
    return take(course, words.index(CANT_TELL))


def take_marked(course: Course) -> Course:
    """Take what is marked on the page: an answer, or a test of the list."""
    if course.page == "test":
        return take(course, course.at)
    return to(course, course.listed if course.page == "list" else course.test)


def skip(course: Course) -> Course:
    """Leave the test at hand undone and go on."""
    name = course.shop_test.name
    if name in course.answers:
        # An answer given stays: only undo, or another answer, takes it away.
        return _on(replace(course, news="", changed=frozenset()))
    skipped = replace(
        course,
        skipped=course.skipped | {name},
        before=course,
        news=f"{course.shop_test.title}: not done",
        changed=frozenset(),
    )
    return _on(skipped)


def undo(course: Course) -> Course:
    """Take the last answer, or skip, back and return to its test."""
    if course.before is None:
        return replace(course, news=NOTHING_BACK, changed=frozenset())
    back = course.before
    return replace(
        back,
        metal=course.metal,
        page="test",
        scroll=0,
        news=f"Taken back: {back.shop_test.title}",
        changed=_changed(course.answers, back.answers),
    )


def up_down(course: Course, by: int, most: int) -> Course:
    """Move the mark of the page, or scroll; `most`: rows that a page can scroll by."""
    if course.page == "test":
        return replace(course, at=_held(course.at + by, len(course.shop_test.answers) - 1))
    if course.page == "why":
        return replace(mark_metal(course, by), scroll=0)
    if course.page == "list":
        return replace(course, listed=_held(course.listed + by, len(shop_tests()) - 1))
    return replace(course, scroll=_held(course.scroll + by, most))


def page_up_down(course: Course, by: int, most: int, rows: int) -> Course:
    """Go to the test before or after; on other pages scroll by a page of so many rows."""
    if course.page == "test":
        return to(course, (course.test + by) % len(shop_tests()))
    return replace(course, scroll=_held(course.scroll + by * max(1, rows - 1), most))


def mark_metal(course: Course, by: int = 1) -> Course:
    """Mark another metal, round and round."""
    return replace(course, metal=(course.metal + by) % len(standings({})), scroll=0)


def turn_to(course: Course, page: Page) -> Course:
    """Open a page; one that is open already closes."""
    page = "test" if page == course.page else page
    return replace(course, page=page, scroll=0, listed=course.test)


def _on(course: Course) -> Course:
    """Go to the test that would tell most; to the result where none would."""
    follows = course.suggested
    if follows is None:
        return replace(course, page="result", scroll=0)
    return to(course, _place(follows))


def to(course: Course, test: int) -> Course:
    """Go to a test; its own answer is marked if it has one."""
    given = course.answers.get(shop_tests()[test].name)
    words = [answer.word for answer in shop_tests()[test].answers]
    at = words.index(given) if given in words else 0
    return replace(course, test=test, at=at, page="test", scroll=0)


def _place(name: str) -> int:
    return next(at for at, test in enumerate(shop_tests()) if test.name == name)


def _held(at: int, last: int) -> int:
    return max(0, min(at, last))


def _changed(old: Mapping[str, str], new: Mapping[str, str]) -> frozenset[Metal]:
    """Return the metals that stand otherwise than before."""
    pairs = zip(standings(old), standings(new), strict=True)
    return frozenset(now.metal for was, now in pairs if was != now)
