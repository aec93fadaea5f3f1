"""The check of lamp, sound and screen before the heat: tried, asked about, kept."""

from __future__ import annotations

from dataclasses import dataclass, field

import fake_desk as fd
import pytest
from pressing import Keyboard, foot, painted, play

from pacer.cli.ways import QUESTIONS, ways_of
from pacer.screen.check import CheckScreen, Way
from pacer.screen.widgets.giants import Word
from pacer.session.cues import Cue, CueKind
from pacer.session.work import Phase


@dataclass
class Tried:
    """Ways that write down when they are played and stopped."""

    done: list[str] = field(default_factory=list)

    def ways(self) -> tuple[Way, ...]:
        """Return a lamp and a sound."""
        return tuple(
            Way(
                name,
                f"{name}?",
                lambda name=name: self.done.append(name),  # type: ignore[misc]
                lambda name=name: self.done.append(f"no {name}"),  # type: ignore[misc]
            )
            for name in ("lamp", "sound")
        )


def answers(*names: str) -> tuple[fd.FakeDesk, Tried]:
    """Run the check that comes by itself, answer it, and return desk and ways."""
    tried = Tried()

    async def script(keys: Keyboard) -> None:
        assert isinstance(keys.app.screen, CheckScreen)
        await keys.press(*names)

    return play(fd.prepared(), script, ways=tried.ways(), check=True), tried


@pytest.mark.slow
@pytest.mark.parametrize(
    ("names", "missing"),
    [
        (("y", "y", "y"), ""),
        (("Y", "n", "y"), "lamp"),
        (("n", "escape", "n"), "screen, lamp, sound"),
    ],
)
def test_what_was_not_confirmed_is_kept(names: tuple[str, ...], missing: str) -> None:
    """Empty words: all of it was confirmed; each way is tried once and ended."""
    desk, tried = answers(*names)
    assert desk.deeds == [("checked", {"text": missing})]
    assert tried.done == ["lamp", "no lamp", "sound", "no sound"]


@pytest.mark.slow
def test_space_tries_again_and_other_keys_are_no_answer() -> None:
    """A pedal may be pressed by accident; it confirms nothing."""
    desk, tried = answers("y", "space", "f8", "u", "left_shift", "a")
    assert desk.deeds == []
    assert tried.done == ["lamp", "lamp", "lamp"]


@pytest.mark.slow
def test_a_held_yes_answers_one_question() -> None:
    """Each question wants a press of its own."""
    tried = Tried()

    async def script(keys: Keyboard) -> None:
        await keys.hold("y", 8)
        assert any("lamp?" in row for row in painted(keys.app))

    desk = play(fd.prepared(), script, ways=tried.ways(), check=True)
    assert desk.deeds == []


def block_rows(keys: Keyboard) -> list[str]:
    """Return the rows of the giant word."""
    word = keys.app.screen.query_one(Word)
    return [line for y in range(word.size.height) if (line := word.render_line(y).text).strip()]


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (100, 30), (160, 45)])
def test_the_question_and_the_word_are_on_the_screen_whole(size: tuple[int, int]) -> None:
    """The word tried is just as large as in the session; the answers stand below."""

    async def script(keys: Keyboard) -> None:
        await keys.press("v")
        text = "\n".join(painted(keys.app))
        tried = block_rows(keys)
        await keys.press("y")
        keys.desk.now = fd.ready().snapshot()
        keys.app.look()
        await keys.pilot.pause()
        assert keys.app.screen is keys.app.live
        assert len(tried) == len(block_rows(keys))
        assert len(tried) >= 7
        for words in ("Check 1 of 1: screen", "from the table?", "Y", "yes", "N", "no", "Esc"):
            assert words in text
        assert "…" not in text

    play(fd.prepared(), script, size=size)


@pytest.mark.slow
def test_a_way_that_breaks_says_so_in_clean_words() -> None:
    """The session and the other ways go on."""

    def broken() -> None:
        raise OSError("no such \x1b[2Jdevice")

    async def script(keys: Keyboard) -> None:
        await keys.press("y")
        assert any("does not work: no such \ufffd[2Jdevice" in row for row in painted(keys.app))
        await keys.press("n")
        assert keys.app.screen is keys.app.live

    desk = play(fd.prepared(), script, ways=(Way("lamp", "lamp?", broken, broken),), check=True)
    assert desk.deeds == [("checked", {"text": "lamp"})]


@pytest.mark.slow
def test_the_check_gives_way_when_the_work_begins() -> None:
    """A pedal on a contact moved on: what was not answered is not confirmed, once."""
    session, tried = fd.prepared(), Tried()

    async def script(keys: Keyboard) -> None:
        await keys.press("y")
        keys.desk.now = session.press("next").read(20.0, 1.0).snapshot()
        assert session.state.phase is not Phase.PREPARE
        keys.app.look()
        await keys.pilot.pause()
        assert keys.app.screen is keys.app.live
        await keys.press("y")

    desk = play(session, script, ways=tried.ways(), check=True)
    assert desk.deeds == [("checked", {"text": "lamp, sound"})]
    assert tried.done == ["lamp", "no lamp"]


@pytest.mark.slow
def test_asking_to_close_leaves_the_check() -> None:
    """Ctrl+C works there too."""

    async def script(keys: Keyboard) -> None:
        await keys.press("ctrl+c")
        assert keys.app.screen is keys.app.live
        assert "Y closes" in foot(keys.app)

    desk = play(fd.prepared(), script, ways=Tried().ways(), check=True)
    assert desk.deeds == [("checked", {"text": "screen, lamp, sound"})]


@pytest.mark.slow
def test_it_never_comes_by_itself_later_than_before_the_heat() -> None:
    """A session taken up again in the middle, and a bead, are not stopped by questions."""

    async def script(keys: Keyboard) -> None:
        assert keys.app.screen is keys.app.live

    for session in (fd.waiting(), fd.burning()):
        assert play(session, script, ways=Tried().ways(), check=True).deeds == []
    assert play(fd.prepared(), script, ways=Tried().ways()).deeds == []


def test_sinks_with_a_question_can_be_tried() -> None:
    """Printed lines and the bell can't; a sink plays what asks for nothing hot, and is hushed."""

    class Sink:
        """Writes down what it is told."""

        def __init__(self, name: str) -> None:
            self.name = name
            self.told: list[Cue | str] = []

        def play(self, cue: Cue) -> None:
            self.told.append(cue)

        def hush(self) -> None:
            self.told.append("hush")

        def close(self) -> None:
            self.told.append("close")

    sinks = [Sink("lines"), *(Sink(name) for name in QUESTIONS), Sink("bell")]
    ways = ways_of(sinks)
    assert [way.name for way in ways] == list(QUESTIONS)
    for way in ways:
        way.play()
        way.stop()
    for sink in sinks[1:-1]:
        _, cue, hush = sink.told
        assert isinstance(cue, Cue)
        assert (cue.kind, hush) == (CueKind.TYPE_A_READING, "hush")
