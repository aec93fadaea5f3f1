"""`identify_view`: what is seen of a moment of the shop tests, as finished strings.

    seen = identify_view(begin({}), "Cracked foot", Shown("metric"))

No terminal library here. Every string is clean.
"""

from __future__ import annotations

from dataclasses import dataclass

from pacer.job.job import Metal
from pacer.job.metal.identified import Identified, identified
from pacer.job.metal.shop_tests import CANT_TELL, ShopTest, shop_tests
from pacer.job.metal.standing import Evidence, Standing, standings
from pacer.screen.identify.course import Course
from pacer.screen.identify.keys import CANT_TELL_KEY, Page, bar
from pacer.text import clean
from pacer.units import Shown

ONLY_WHITE = "only white iron is left"
WHITE_NOT_OUT = "white iron is not ruled out, and an answer speaks for it"
NOT_NOW = "Not while white iron is likely: it cracks under the flame or arc."
NOT_DONE, SKIPPED = "not done", "skipped"


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer of the test at hand."""

    key: str
    word: str
    looks: str
    marked: bool
    given: bool


@dataclass(frozen=True, slots=True)
class EvidenceRow:
    """One answer that speaks for or against a metal."""

    speaks_for: bool
    said: str
    "Test and answer."
    source: str
    "How the metal looks in that test by its source, and how far the source was seen."


@dataclass(frozen=True, slots=True)
class MetalRow:
    """One metal, and what it has for and against it."""

    metal: Metal
    state: str
    marked: bool
    moved: bool
    "The last press changed what it has for or against it."
    evidence: tuple[EvidenceRow, ...]
    tests_for: tuple[str, ...]
    tests_against: tuple[str, ...]
    "Names of tests, short."


@dataclass(frozen=True, slots=True)
class TestRow:
    """One test in the list of them."""

    __test__ = False  # the name is a shop test's, not a test of this program

    title: str
    said: str
    "Its answer, or that it isn't done."
    done: bool
    marked: bool
    suggested: bool


@dataclass(frozen=True, slots=True)
class IdentifyView:
    """One moment, ready to be painted."""

    page: Page
    title: str
    "Of the job."
    counted: str
    "Which test of how many, and how many are done."
    test: ShopTest
    given: str
    "The answer that the test at hand has."
    cautions: tuple[str, ...]
    "Of the test, and that it isn't for now where white iron is likely."
    moves: bool
    "False for a test that separates no metals, whatever its answer."
    answers: tuple[AnswerRow, ...]
    metals: tuple[MetalRow, ...]
    tests: tuple[TestRow, ...]
    news: str
    contradictions: tuple[str, ...]
    stop: str
    "Why not to weld; empty: nothing says so."
    told: tuple[str, ...]
    follows: str
    "Title of the test that would part best what is left; empty: none would."
    suggested: bool
    "It is the test at hand."
    scroll: int
    keys: tuple[tuple[str, str], ...]


def identify_view(course: Course, title: str, shown: Shown) -> IdentifyView:
    """Return what is seen of a moment, in the user's units; the title is foreign text."""
    test = course.shop_test
    found: Identified = identified(course.answers, shown)
    tests = shop_tests()
    titles = {each.name: each.title for each in tests}
    done = sum(each.name in course.answers for each in tests)
    return IdentifyView(
        page=course.page,
        title=clean(title, 100),
        counted=f"test {course.test + 1} of {len(tests)}, {done} done",
        test=test,
        given=clean(course.answers.get(test.name, "")),
        cautions=(NOT_NOW, *test.cautions) if test.hot and found.dont_weld else test.cautions,
        moves=any(answer.fits or answer.against for answer in test.answers),
        answers=_answers(course),
        metals=tuple(
            _metal(standing, at == course.metal, standing.metal in course.changed, titles)
            for at, standing in enumerate(standings(course.answers))
        ),
        tests=_tests(course),
        news=clean(course.news or _done(done)),
        contradictions=tuple(map(clean, found.contradictions)),
        stop=_stop(found),
        told=tuple(map(clean, found.told)),
        follows=titles.get(course.suggested or "", ""),
        suggested=course.suggested == test.name,
        scroll=course.scroll,
        keys=bar(course.page),
    )


def _stop(found: Identified) -> str:
    if not found.dont_weld:
        return ""
    alone = found.metal == "white iron"
    return ONLY_WHITE if alone else WHITE_NOT_OUT


def _done(done: int) -> str:
    if done == 0:
        return "No answer yet: every metal is open."
    return f"{done} answer{'s' if done > 1 else ''} so far."


def _answers(course: Course) -> tuple[AnswerRow, ...]:
    test = course.shop_test
    given = course.answers.get(test.name)
    return tuple(
        AnswerRow(
            CANT_TELL_KEY if answer.word == CANT_TELL else str(at + 1),
            answer.word,
            answer.looks,
            at == course.at,
            answer.word == given,
        )
        for at, answer in enumerate(test.answers)
    )


def _metal(standing: Standing, marked: bool, moved: bool, titles: dict[str, str]) -> MetalRow:
    return MetalRow(
        metal=standing.metal,
        state=standing.state,
        marked=marked,
        moved=moved,
        evidence=tuple(
            _evidence(evidence, speaks_for, titles)
            for speaks_for, rows in ((True, standing.for_), (False, standing.against))
            for evidence in rows
        ),
        tests_for=tuple(_short(evidence) for evidence in standing.for_),
        tests_against=tuple(_short(evidence) for evidence in standing.against),
    )


def _short(evidence: Evidence) -> str:
    return evidence.test.replace("_", " ")


def _evidence(evidence: Evidence, speaks_for: bool, titles: dict[str, str]) -> EvidenceRow:
    return EvidenceRow(
        speaks_for,
        clean(f"{titles.get(evidence.test, evidence.test)}: {evidence.answer}"),
        clean(f"{evidence.look} ({evidence.source}; {evidence.status})"),
    )


def _tests(course: Course) -> tuple[TestRow, ...]:
    suggested = course.suggested
    return tuple(
        TestRow(
            title=test.title,
            said=clean(
                course.answers.get(test.name, SKIPPED if test.name in course.skipped else NOT_DONE)
            ),
            done=test.name in course.answers,
            marked=at == course.listed,
            suggested=test.name == suggested,
        )
        for at, test in enumerate(shop_tests())
    )
