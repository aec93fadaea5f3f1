"""The shop tests in the running application: keys, sizes, looks, how it ends."""

from __future__ import annotations

import asyncio
import string
from collections.abc import Awaitable, Callable, Mapping

import painted
import pytest
from answering import contradictory, white
from pressing import Typing
from rich.cells import cell_len

from pacer.job.metal.parting import next_test
from pacer.job.metal.shop_tests import CANT_TELL, shop_tests
from pacer.job.metal.standing import standings
from pacer.screen.identify.app import IdentifyApp
from pacer.screen.identify.pages import PAGES
from pacer.screen.identify.panels import IdentifyPage
from pacer.screen.identify.rows import SIGN
from pacer.screen.themes import NAMES
from pacer.screen.widgets.ascii import ascii_only

pytestmark = pytest.mark.slow

Script = Callable[[IdentifyApp, Typing], Awaitable[None]]
METALS = [standing.metal for standing in standings({})]


def play(
    script: Script,
    answers: Mapping[str, str] | None = None,
    size: tuple[int, int] = (80, 24),
    *,
    theme: str = "dark",
    characters: str = "unicode",
) -> IdentifyApp:
    """Run the application, let the script press keys, and return it."""
    app = IdentifyApp(answers or {}, "Cracked foot", theme=theme, characters=characters)

    async def run() -> None:
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            await script(app, Typing(app, pilot))

    asyncio.run(run())
    return app


def whole(app: IdentifyApp) -> str:
    return "\n".join(painted.lines_of(app))


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (160, 45)])
def test_a_window_holds_test_answers_metals_and_keys(size: tuple[int, int]) -> None:
    """The count of tests above, the keys below."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        lines = painted.lines_of(app)
        assert len(lines) == size[1]
        assert {cell_len(line) for line in lines} == {size[0]}
        assert f" of {len(shop_tests())}, 0 done" in lines[0]
        assert app.course.shop_test.title in lines[1]
        for answer in app.course.shop_test.answers:
            assert answer.word in whole(app)
        for metal in METALS:
            assert metal in whole(app)
        assert "Q  close" in lines[-1]

    play(script, size=size)


def test_answers_by_number_and_by_mark_lead_on_and_are_kept() -> None:
    """Numbers, arrows with Enter, 0; K on the result page returns all answers."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        first = app.course.shop_test
        await keys.press("1")
        assert app.course.answers == {first.name: first.answers[0].word}
        assert app.course.shop_test.name == next_test(app.course.answers)
        assert f"{first.title}: {first.answers[0].word}" in whole(app)
        second = app.course.shop_test
        await keys.press("down", "down", "up", "enter")
        assert app.course.answers[second.name] == second.answers[1].word
        third = app.course.shop_test
        await keys.press("t")
        assert "The shop tests" in whole(app)
        await keys.press("escape", "0")
        assert app.course.answers[third.name] == CANT_TELL
        await keys.press("r", "k")

    app = play(script)
    assert app.kept == app.course.answers
    assert len(app.kept) == 3


def test_a_key_held_down_answers_one_test() -> None:
    """Its repeats are not the next tests' answers."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        await keys.hold("1", 20)
        assert len(app.course.answers) == 1

    play(script)


def test_arrows_may_be_held_down() -> None:
    """On purpose."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        await keys.press("t")
        at = app.course.listed
        await keys.press(*["down" if at < 5 else "up"] * 4, gap_s=0.033)
        assert abs(app.course.listed - at) == 4

    play(script)


@pytest.mark.parametrize("key", ["u", "backspace"])
def test_the_last_answer_is_taken_back(key: str) -> None:
    """The screen is at its test again, unanswered."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        title = app.course.shop_test.title
        await keys.press("1", key)
        assert app.course.answers == {}
        assert f"Taken back: {title}" in whole(app)
        assert title in painted.lines_of(app)[1]

    play(script)


def test_leaving_asks_and_only_its_two_keys_end_it() -> None:
    """X leaves without the answers; L beside K, Esc, and any other key, goes on."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        await keys.press("1", "escape")
        assert "keep 1 answer?" in whole(app)
        for other in ("l", "j", "f5", "escape"):
            await keys.press(other)
            assert app.course.shop_test.title in painted.lines_of(app)[1]
            await keys.press("q")
        await keys.press("ctrl+c")
        assert "keep 1 answer?" in whole(app)
        await keys.press("x")

    app = play(script)
    assert (app.kept, app.return_code) == (None, 0)
    assert len(app.course.answers) == 1


def test_keeping_from_the_question_returns_the_answers() -> None:
    """Those given before the screen opened too."""
    given = {"magnet": next(t for t in shop_tests() if t.name == "magnet").answers[0].word}

    async def script(app: IdentifyApp, keys: Typing) -> None:
        await keys.press("1", "q", "k")

    app = play(script, given)
    assert app.kept is not None
    assert len(app.kept) == 2
    assert app.kept["magnet"] == given["magnet"]


def test_with_no_answer_nothing_is_asked() -> None:
    """There is nothing to keep."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        await keys.press("q")

    app = play(script)
    assert (app.kept, app.return_code) == (None, 0)


def test_keys_of_the_test_do_nothing_on_other_pages() -> None:
    """A number on the list of tests answers no test that isn't seen; K keeps on the result only."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        for page in ("t", "w", "p", "question_mark"):
            await keys.press(page, "1", "0", "s", "k", "escape")
        assert (app.course.answers, app.course.skipped) == ({}, frozenset())
        await keys.press("k", "x", "f5")
        assert app.is_running

    play(script)


@pytest.mark.parametrize("size", [(80, 24), (160, 45)])
def test_contradiction_and_white_iron_are_seen_at_once(size: tuple[int, int]) -> None:
    """Given in a file, not typed."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        assert "CONTRADICTION" in whole(app)

    play(script, contradictory(), size)

    async def stops(app: IdentifyApp, keys: Typing) -> None:
        assert "white iron is not ruled out" in whole(app)
        await keys.press("r")
        assert sum("█" in line for line in painted.lines_of(app)) >= 5

    play(stops, white(), size)


def test_the_window_may_change_at_any_moment() -> None:
    """On every page: the same answers, marks and page; too small is said."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        await keys.press("1")
        for page in ("", "w", "p", "t", "r", "question_mark", "q"):
            if page:
                await keys.press(page)
            before = app.course
            for width, height in ((100, 30), (160, 45), (40, 8), (80, 24)):
                await keys.pilot.resize_terminal(width, height)
                await keys.pilot.pause()
                lines = painted.lines_of(app)
                assert {cell_len(line) for line in lines} == {width}
                assert len(lines) == height
                assert ("make it 80x24" in lines[0]) == (width == 40)
            assert app.course == before
            if page:
                await keys.press("escape")
            assert app.course.page == "test"

    play(script)


def test_a_long_page_scrolls_to_its_end_and_says_what_is_below() -> None:
    """The longest of the whole tests, in the smallest window."""
    longest = max(shop_tests(), key=lambda test: len(" ".join((*test.do, *test.drawing))))

    async def script(app: IdentifyApp, keys: Typing) -> None:
        while app.course.shop_test.name != longest.name:
            await keys.press("pagedown")
        await keys.press("p")
        page = app.query_one(IdentifyPage)
        assert page.seen is not None
        rows = PAGES["how"](page.seen, 80)
        assert len(rows) > page.size.height, "the longest test fits: nothing is tested here"
        assert f"{len(rows) - page.size.height + 1} more rows" in whole(app)
        await keys.press(*["down"] * 60)
        last = "".join(text for text, _ in rows[-1])
        assert last.strip() in whole(app)
        assert "the end of the page" in whole(app)
        await keys.press("up")
        assert last.strip() not in whole(app)

    play(script)


def test_in_plain_characters_everything_is_ascii_and_still_told_apart() -> None:
    """Every page, with a contradiction; the signs of the states stay three."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        seen = ""
        for page in ("", "w", "p", "t", "r", "question_mark"):
            if page:
                await keys.press(page)
            seen += whole(app)
            if page:
                await keys.press("escape")
        assert set(seen) <= set(string.printable[:95]) | {"\n"}
        assert "^ CONTRADICTION" in seen
        signs = {ascii_only(SIGN[standing.state]) for standing in standings(app.course.answers)}
        assert len(signs) > 1
        for sign in signs:
            assert f"\n {sign} " in seen

    play(script, contradictory(), characters="ascii")


@pytest.mark.parametrize("theme", NAMES)
def test_in_every_look_states_differ_without_their_colours(theme: str) -> None:
    """Sign and word stand in every theme; D goes on to the next look."""

    async def script(app: IdentifyApp, keys: Typing) -> None:
        assert app.theme == theme
        given = whole(app)
        for standing in standings(app.course.answers):
            assert f"{standing.metal:<14} {standing.state}" in given
        await keys.press("d")
        assert app.theme != theme
        assert whole(app) == given

    play(script, contradictory(), theme=theme)
