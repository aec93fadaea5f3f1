"""reliability.md T-37: one press is one action; closing needs a second, different key."""

from __future__ import annotations

from collections.abc import Callable

import fake_desk as fd
import pytest
from pressing import Keyboard, foot, painted, play
from textual import events

from pacer.screen.press import PROOF_S


@pytest.mark.slow
def test_a_key_that_bounces_acts_once() -> None:
    """0-10 ms intervals; two seconds later it works again."""

    async def script(keys: Keyboard) -> None:
        for gap_s in (0.0, 0.001, 0.005, 0.01):
            for name in ("space", "u"):
                await keys.press(name)
                await keys.press(*[name] * 4, gap_s=gap_s)

    assert [deed for deed, _ in play(fd.waiting(), script).deeds] == ["next", "undo"] * 4


@pytest.mark.slow
@pytest.mark.parametrize(
    ("burning", "names", "deeds"),
    [
        (False, ("space", "f8", "u", "t"), ("next", "next", "undo", "tink")),
        (True, ("a", "f8"), ("pause", "next")),
    ],
)
def test_a_held_key_acts_once(
    burning: bool, names: tuple[str, ...], deeds: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A held pedal, a held letter, and in a bead a held stray key: repeats are no presses."""

    async def script(keys: Keyboard) -> None:
        proofs = caught(keys, monkeypatch)
        for name in names:
            await keys.hold(name, 8)
            while proofs:
                proofs.pop()()

    session = fd.burning() if burning else fd.waiting()
    assert play(session, script).deeds == [(deed, {}) for deed in deeds]


@pytest.mark.slow
def test_a_second_press_half_a_second_later_counts_once_it_stood_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It might be the first repeat of a held key; `PROOF_S` later that is known."""

    async def script(keys: Keyboard) -> None:
        proofs = caught(keys, monkeypatch)
        await keys.press("space")
        await keys.press("space", gap_s=0.5)
        assert len(keys.desk.deeds) == 1
        (proof,) = proofs
        proof()

    assert play(fd.waiting(), script).deeds == [("next", {})] * 2


@pytest.mark.slow
def test_five_keys_at_once_are_one_press() -> None:
    """A glove on the keys: the first acts, no line opens, nothing asks to close."""

    async def script(keys: Keyboard) -> None:
        for names in (
            ("space", "f8", "pagedown", "enter", "space"),
            ("space", "b", "n", "h", "g"),
            ("f", "h", "q", "r", "x"),
        ):
            await keys.press(names[0])
            await keys.press(*names[1:], gap_s=0.01)
            assert foot(keys.app) == ""
            assert not keys.app.live.closing

    assert [deed for deed, _ in play(fd.waiting(), script).deeds] == ["next", "next", "finish"]


@pytest.mark.slow
def test_a_modifier_alone_never_acts() -> None:
    """Not in a bead either, and it is no answer."""

    async def script(keys: Keyboard) -> None:
        await keys.press("left_shift", "right_control", "left_alt", "left_super", "caps_lock")
        await keys.press("q", "left_shift")
        assert keys.app.live.closing

    for session in (fd.waiting(), fd.burning()):
        assert play(session, script).deeds == []


@pytest.mark.slow
def test_closing_asks_first_and_any_other_key_goes_on() -> None:
    """The other key does nothing else; the same key again only asks again."""

    async def script(keys: Keyboard) -> None:
        for key in ("q", "ctrl+q", "ctrl+c"):
            await keys.press(key, key, key)
            assert "Y closes" in foot(keys.app)
            await keys.press("space")
            assert not keys.app.live.closing
            assert foot(keys.app) == ""
            assert keys.app._exit is False

    for session in (fd.waiting(), fd.burning()):
        desk = play(session, script)
        assert desk.deeds == []


@pytest.mark.slow
@pytest.mark.parametrize("key", ["q", "ctrl+c"])
def test_y_closes_and_the_session_is_stopped_once(key: str) -> None:
    """A second, different key; from the page of keys too."""

    async def script(keys: Keyboard) -> None:
        if key != "q":
            await keys.press("question_mark")
        await keys.press(key)
        assert keys.app._exit is False
        await keys.press("y")
        assert keys.app._exit is True

    desk = play(fd.waiting(), script)
    assert desk.reasons == ["closed by the welder"]


@pytest.mark.slow
def test_a_sleeve_along_the_row_closes_nothing() -> None:
    """Q, then W, E, R, T, Y, or Q and Y alone, faster than anybody answers."""

    async def script(keys: Keyboard) -> None:
        await keys.press("q")
        await keys.press("w", "e", "r", "t", "y", gap_s=0.06)
        assert not keys.app.live.closing
        await keys.press("q")
        await keys.press("y", gap_s=0.2)
        assert keys.app._exit is False

    assert play(fd.waiting(), script).stops == 1


@pytest.mark.slow
def test_a_lost_keyboard_is_told_at_once() -> None:
    """Within 1 s is wanted; the banner does not even wait for the next look."""

    async def script(keys: Keyboard) -> None:
        for event, told in ((events.AppBlur(), True), (events.AppFocus(), False)):
            keys.app.post_message(event)
            await keys.pilot.pause()
            await keys.pilot.pause()
            assert ("KEYS GO TO ANOTHER WINDOW" in painted(keys.app)[0]) is told

    play(fd.waiting(), script)


def caught(keys: Keyboard, monkeypatch: pytest.MonkeyPatch) -> list[Callable[[], object]]:
    """Return where proofs of standing alone are put, for the test to call."""
    proofs: list[Callable[[], object]] = []
    real = keys.app.live.set_timer

    def timer(delay_s: float, done: Callable[[], object]) -> object:
        if delay_s != PROOF_S:
            return real(delay_s, done)
        proofs.append(done)
        return None

    monkeypatch.setattr(keys.app.live, "set_timer", timer)
    return proofs
