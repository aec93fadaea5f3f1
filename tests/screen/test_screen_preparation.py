"""The list before the heat: seen whole, one press confirms it, what is missing is named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import fake_desk as fd
import msgspec
import pytest
from listed import FoldingDesk, looked, played
from pressing import Keyboard, foot, painted

from pacer.job.file.read import read_job
from pacer.job.sheet.sections.at_hand import items, prepared
from pacer.screen.desk import Kind
from pacer.screen.listing import CHOOSE
from pacer.screen.parts.preparation import begin
from pacer.screen.widgets.checklist import Checklist, pages
from pacer.screen.widgets.layout import listing
from pacer.session.events import SKIPPED
from pacer.session.work import Phase
from pacer.units import Shown

CONFIGS = Path(__file__).parents[2] / "configs"
SIZES = [(80, 24), (100, 30), (160, 45)]
LINES = (*prepared(fd.JOB), *items(fd.JOB))


def on_screen(keys: Keyboard) -> str:
    """Return the screen's text, blanks between words as one."""
    return " ".join(" ".join(painted(keys.app)).split())


def page_count(keys: Keyboard) -> int:
    """Return how many pages the list has now."""
    return len(keys.app.live.query_one(Checklist).pages)


def listed(keys: Keyboard) -> bool:
    """True while the list is on the screen."""
    return keys.app.live.query_one(Checklist).region.area > 0


def words_of(text: str) -> set[str]:
    """Return the words of a text, whatever stands between them."""
    return set(text.split())


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("quiet", [0, 1])
def test_laid_out_every_line_is_there_once_and_no_page_is_higher_than_its_panel(
    size: tuple[int, int], quiet: int
) -> None:
    """Of every job that comes with the program."""
    for path in sorted(CONFIGS.glob("*.toml")):
        here = begin(read_job(path), Shown(), 0.0)
        plan = listing(*size, quiet=bool(quiet), words=70)
        found = pages(here.parts, size[0], plan.checklist)
        assert [n for page in found for n in page.lines] == [*range(len(here.lines))], path
        for page in found:
            head = 1 if page.heading else 0
            assert max(sum(len(b.rows) for b in c) for c in page.columns) + head <= plan.checklist
        assert len(found) <= 3 if size[1] < 30 else len(found) <= 2


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_every_line_can_be_read_whole_without_a_press(size: tuple[int, int]) -> None:
    """Pages turn by themselves; nothing is cut; word, temperature and caution stay."""
    seen: list[str] = []

    async def script(keys: Keyboard) -> None:
        for _ in range(page_count(keys)):
            rows = painted(keys.app)
            assert {len(row) for row in rows} == {size[0]}
            assert "no reading yet" in on_screen(keys)
            assert "Vent closed hollows" in rows[-2]
            assert rows[-1].rstrip().endswith("Q  close")
            region = keys.app.live.query_one(Checklist).region
            seen.extend(rows[region.y : region.bottom])
            keys.app.live.turn_page()
            await keys.pilot.pause()

    assert played(FoldingDesk(fd.prepared()), script, size=size) == []
    assert "…" not in "".join(seen)
    text = words_of(" ".join(seen))
    for line in LINES:
        assert words_of(line) <= text, line
    assert sum(row.count("·") for row in seen) == len(LINES)


@pytest.mark.slow
@pytest.mark.parametrize("key", ["space", "enter", "f8", "pagedown"])
def test_one_press_confirms_all_of_it_and_moves_on(key: str) -> None:
    """procedure.md section 1: confirmed with one press; a pedal types such a key."""

    async def script(keys: Keyboard) -> None:
        assert listed(keys)
        await keys.press(key)
        await looked(keys)
        assert not listed(keys)

    desk = FoldingDesk(fd.prepared())
    assert played(desk, script) == [("prepared", None), ("next", None)]
    assert desk.session.state.phase is Phase.PREHEAT


@pytest.mark.slow
def test_s_skips_it_and_moves_on() -> None:
    """Skipped is recorded, never nagged again."""

    async def script(keys: Keyboard) -> None:
        await keys.press("s")
        await looked(keys)
        assert not listed(keys)

    desk = FoldingDesk(fd.prepared())
    assert played(desk, script) == [("prepared", SKIPPED), ("next", None)]
    assert desk.session.state.phase is Phase.PREHEAT


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_marked_lines_are_named(size: tuple[int, int]) -> None:
    """Arrows choose, also onto the next page; M marks and takes back."""

    async def script(keys: Keyboard) -> None:
        await keys.press("m")
        assert foot(keys.app) == CHOOSE
        await keys.press("down", "down", "m", gap_s=0.5)
        await keys.press("m", "m")
        # An arrow may be held: each repeat moves.
        await keys.press(*["down"] * (len(LINES) - 3), gap_s=0.03)
        await keys.press("m")
        assert f"▸× {LINES[-2][:12]}" in on_screen(keys)
        assert "with 2 lines marked as missing" in on_screen(keys)
        await keys.press("space")

    missing = f"{LINES[1]} / {LINES[-2]}"
    assert played(FoldingDesk(fd.prepared()), script, size=size) == [
        ("prepared", missing),
        ("next", None),
    ]


@pytest.mark.slow
def test_an_arrow_turns_the_page_and_then_it_stays() -> None:
    """What somebody reads doesn't go from under his eyes."""

    async def script(keys: Keyboard) -> None:
        assert page_count(keys) > 1
        assert "page 1 of" in on_screen(keys)
        await keys.press("right")
        assert "page 2 of" in on_screen(keys)
        keys.app.live.turn_page()
        await looked(keys)
        assert "page 2 of" in on_screen(keys)
        await keys.press("left", "up", gap_s=0.03)
        assert f"▸· {LINES[0]}" in on_screen(keys)

    assert played(FoldingDesk(fd.prepared()), script) == []


def test_all_lines_marked_is_the_whole_list_skipped() -> None:
    """Nothing of it was confirmed; more lines than a record has room for are counted."""
    whole = begin(fd.JOB, Shown(), 0.0)
    assert whole.lines == LINES
    assert whole.unconfirmed == ""
    assert replace(whole, missing=frozenset(range(len(LINES)))).unconfirmed == SKIPPED
    text = replace(whole, missing=frozenset(range(1, len(LINES)))).unconfirmed
    assert len(text) <= 1000
    named, _, more = text.rpartition(" / and ")
    assert named.split(" / ")[0] == LINES[1]
    assert len(named.split(" / ")) + int(more.removesuffix(" more")) == len(LINES) - 1


@pytest.mark.slow
def test_an_undo_comes_back_to_the_same_list_recorded_once() -> None:
    """The press is taken back, not what was said; it is said again only where it differs."""

    async def script(keys: Keyboard) -> None:
        await keys.press("down", "m", "space")
        await looked(keys)
        await keys.press("u")
        await looked(keys)
        assert keys.app.live.seen is not None
        assert keys.app.live.seen.phase is Phase.PREPARE
        assert "Confirmed in part: Space goes on" in on_screen(keys)
        await keys.press("space")
        await looked(keys)
        await keys.press("u")
        await looked(keys)
        await keys.press("m")
        assert "all of it confirmed" in on_screen(keys)
        await keys.press("space")

    assert played(FoldingDesk(fd.prepared()), script) == [
        ("prepared", LINES[0]),
        ("next", None),
        ("undo", None),
        ("next", None),
        ("undo", None),
        ("prepared", None),
        ("next", None),
    ]


@pytest.mark.slow
def test_another_day_asks_again_with_nothing_marked() -> None:
    """The preparation is checked again (procedure.md section 7); the old answer isn't the new one's."""

    async def script(keys: Keyboard) -> None:
        await keys.press("down", "m", "space")
        await looked(keys)
        session = desk.session
        session.read(262.0, 5.0).read(262.0, 1300.0).press("next").read(262.0, 14.0).press("next")
        session.read(262.0, 20.0).gap(15 * 3600.0).read(19.0, 20.0)
        assert session.state.phase is Phase.PREPARE
        desk.now = desk.look()
        await looked(keys)
        assert listed(keys)
        assert "Done and at hand? Space confirms all of it" in on_screen(keys)
        await keys.press("space")

    desk = FoldingDesk(fd.prepared())
    assert played(desk, script)[-2:] == [("prepared", None), ("next", None)]


@pytest.mark.slow
def test_an_alarm_has_the_whole_screen_and_its_answer_confirms_nothing() -> None:
    """The recording isn't saved: a press answers that; then the list is back, and S skips it."""

    async def script(keys: Keyboard) -> None:
        desk.session.log("log").wait(1.0)
        desk.now = desk.look()
        await looked(keys)
        assert not listed(keys)
        await keys.press("space")
        await looked(keys)
        assert listed(keys)
        await keys.press("s")

    desk = FoldingDesk(fd.prepared())
    assert played(desk, script) == [("next", None), ("prepared", SKIPPED), ("next", None)]


@pytest.mark.slow
def test_a_question_about_the_unit_is_answered_first() -> None:
    """A cold part that reads 73: the list goes, the question mark and the evidence are seen."""

    async def script(keys: Keyboard) -> None:
        desk.session.read(73.0, 8.0)
        desk.now = desk.look()
        await looked(keys)
        assert not listed(keys)
        assert "a cold part reads 73 °C" in on_screen(keys)
        await keys.press("r")
        desk.session.press("reading", temp_c=72.0)
        desk.now = desk.look()
        await keys.press("escape")
        await looked(keys)
        assert listed(keys)

    desk = FoldingDesk(fd.prepared())
    played(desk, script)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_a_lost_sensor_is_seen_beside_the_list(size: tuple[int, int]) -> None:
    """The digits are gone, the loss stands in words."""

    async def script(keys: Keyboard) -> None:
        assert listed(keys)
        (row,) = [row for row in painted(keys.app) if "lost: unplugged" in row]
        assert row.startswith(" – – –  NO READING · lost ")

    session = fd.prepared().read(21.0, 5.0).lost("unplugged").wait(3.0)
    played(FoldingDesk(session), script, size=size)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("contact", "kind", "said"),
    [(True, "live", [("prepared", LINES[0])]), (False, "live", []), (True, "practice", [])],
)
def test_a_contact_confirms_what_the_screen_showed(
    contact: bool, kind: Kind, said: list[tuple[str, str | None]]
) -> None:
    """Its press doesn't come by the screen; a script's and the practice welder's confirm nothing."""

    async def script(keys: Keyboard) -> None:
        await keys.press("down", "m")
        for _ in range(2):
            desk.session.press("next", by="contact")
            desk.now = desk.look()
            await looked(keys)
            assert not listed(keys)
            # Undone and pressed again, it is not said twice.
            desk.session.press("undo")
            desk.now = desk.look()
            await looked(keys)
            assert listed(keys)

    desk = FoldingDesk(fd.prepared(), kind)
    assert played(desk, script, contact=contact) == said


@pytest.mark.slow
def test_other_keys_and_a_window_too_small_leave_it_alone() -> None:
    """V, R, ?, Q do what they do; where the list has no room nothing is confirmed."""

    async def script(keys: Keyboard) -> None:
        for name in ("v", "question_mark"):
            await keys.press(name)
            assert keys.app.screen is not keys.app.live
            await keys.press("escape")
            assert keys.app.screen is keys.app.live
        await keys.press("q", "n")
        await keys.press("r")
        await keys.press("escape")
        assert listed(keys)
        assert desk.deeds == [("checked", {"text": "screen"})]

    desk = FoldingDesk(fd.prepared())
    played(desk, script)

    async def small(keys: Keyboard) -> None:
        assert not listed(keys)
        await keys.press("space")

    assert played(FoldingDesk(fd.prepared()), small, size=(70, 20)) == [("next", None)]


@pytest.mark.slow
def test_a_replay_and_later_phases_have_no_list() -> None:
    """Arrows go through a replay; M means nothing in a wait."""

    async def script(keys: Keyboard) -> None:
        assert not listed(keys)
        await keys.press("down", "m", "space")

    replay = FoldingDesk(fd.prepared(), "replay")
    assert played(replay, script) == []
    assert replay.paces == ["back a minute"]
    assert ("prepared", None) not in played(FoldingDesk(fd.waiting()), script)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_the_list_in_plain_characters(size: tuple[int, int]) -> None:
    """Choice and marks are still told apart."""

    async def script(keys: Keyboard) -> None:
        await keys.press("down", "m", "down")
        text = "\n".join(painted(keys.app))
        assert text.isascii()
        assert f"  x {LINES[0]}"[:30] in text
        assert f" >- {LINES[1]}"[:30] in text

    played(FoldingDesk(fd.prepared()), script, size=size, characters="ascii")


@pytest.mark.slow
def test_foreign_words_in_a_job_reach_the_list_harmless() -> None:
    """The filler's designation is the one foreign word in it."""
    evil = "\x1b]0;t\x07[/]\u202eENiFe"
    filler = msgspec.structs.replace(fd.JOB.filler, designation=evil)

    async def script(keys: Keyboard) -> None:
        await keys.press("right")
        text = "".join(painted(keys.app))
        assert not {"\x1b", "\x07", "\u202e"} & set(text)
        assert "[/]" in text

    job = msgspec.structs.replace(fd.JOB, filler=filler)
    played(FoldingDesk(fd.Session(job)), script)
