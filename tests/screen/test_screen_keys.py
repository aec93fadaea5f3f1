"""Keys and what they do, pressed in the running application over a fake desk."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import fake_desk as fd
import pytest
from pressing import Keyboard, foot, painted, play, press

from pacer.screen.check import CheckScreen
from pacer.screen.desk import Kind
from pacer.screen.help import KeyPage
from pacer.screen.keys import (
    HELP,
    KEYS,
    NEXT,
    OTHER,
    PACE_KEYS,
    QUIT,
    REPLAY_KEYS,
    UNDO,
    bar,
    pace_keys,
)
from pacer.screen.parts.standing import ABOUT
from pacer.screen.widgets.ask import Line
from pacer.session.guard.standing import Standing
from pacer.session.work import Phase

STRANGE = ("a", "1", "tab", "up", "f1", "escape", "home")
"""Keys that are in no row."""


def by_arc() -> fd.Session:
    """A bead whose arc is seen."""
    return fd.ready().press("arc on").read(262.0, 3.0)


def test_every_row_does_one_thing() -> None:
    """One table feeds keys, bar and help: the tests below go through all of it."""
    for key in (*KEYS, *REPLAY_KEYS):
        assert sum(x is not None for x in (key.deed, key.ask, key.pace, key.do)) == 1
    names = [name for key in (*KEYS, *PACE_KEYS, HELP, QUIT) for name in key.names]
    assert len(names) == len(set(names))
    assert not set(names) & {*STRANGE, "y"}
    replayed = [key for key in KEYS if key.do == "theme"]
    names = [name for key in (*REPLAY_KEYS, *replayed, HELP, QUIT) for name in key.names]
    assert len(names) == len({*names, "y", "escape"}) - 2


@pytest.mark.slow
def test_every_key_posts_its_deed() -> None:
    """A pedal is F8, Space or Page Down; caps lock is often on in a shop."""
    rows = [(name, key.deed) for key in KEYS if key.deed for name in key.names]
    rows += [(name.upper(), deed) for name, deed in rows if len(name) == 1]
    desk = play(fd.waiting(), press(*[name for name, _ in rows]))
    assert desk.deeds == [(deed, {}) for _, deed in rows]


@pytest.mark.slow
def test_every_key_that_asks_opens_its_line() -> None:
    """Escape leaves it."""

    async def script(keys: Keyboard) -> None:
        line = keys.app.live.query_one(Line)
        for key in KEYS:
            if key.ask:
                await keys.press(key.names[0])
                assert line.ask == key.ask
                await keys.press("escape")
                assert line.ask is None

    assert play(fd.waiting(), script).deeds == []


@pytest.mark.slow
def test_looks_and_check_are_the_screens_own_business() -> None:
    """D goes round the looks, also in a replay; V asks before the heat only."""

    async def script(keys: Keyboard) -> None:
        seen = [keys.app.theme]
        for _ in range(3):
            await keys.press("d")
            seen.append(keys.app.theme)
        assert len(set(seen)) == 3
        assert seen[0] == seen[3]
        assert foot(keys.app).endswith(f"now {seen[3]}")

    for kind in ("live", "replay"):
        assert play(fd.waiting(), script, kind=kind).deeds == []

    async def check(keys: Keyboard) -> None:
        await keys.press("v")
        assert isinstance(keys.app.screen, CheckScreen)

    play(fd.prepared(), check)

    async def too_late(keys: Keyboard) -> None:
        await keys.press("v")
        assert keys.app.screen is keys.app.live
        assert "before the heat" in foot(keys.app)

    assert play(fd.waiting(), too_late).deeds == []


@pytest.mark.slow
def test_pace_keys_are_for_practice_and_replay() -> None:
    """A live session has no pace, a practice only three; a pace key may be held."""
    names = [name for key in REPLAY_KEYS if key.pace for name in key.names]
    kinds: tuple[Kind, ...] = ("practice", "replay")
    for kind in kinds:
        paces = [key.pace for key in pace_keys(kind) if key.pace for _ in key.names]
        desk = play(fd.waiting(), press(*names, gap_s=0.03), kind=kind)
        assert desk.paces == paces
    assert desk.deeds == []
    assert play(fd.waiting(), press(*names)).paces == []


@pytest.mark.slow
def test_a_replay_goes_to_a_time_that_is_typed() -> None:
    """Also while an arc burns there; what is wrong with it is said, and the line stays open."""

    async def script(keys: Keyboard) -> None:
        line = keys.app.live.query_one(Line)
        await keys.press("j")
        assert line.ask == "moment"
        line.value = "99"
        await keys.press("enter")
        assert foot(keys.app).startswith('"99": expected a session time such as 1:02:05')
        keys.app.look()
        assert line.ask == "moment"
        line.value = "2:30"
        await keys.press("enter")
        assert (line.display, foot(keys.app)) == (False, "now at 150 s")

    for session in (fd.waiting(), fd.burning()):
        assert play(session, script, kind="replay").jumps == [150.0]


@pytest.mark.slow
def test_in_a_replay_the_help_stays_though_phases_go_by() -> None:
    """What is shown has happened long ago: it hides nothing that anybody waits for."""

    async def script(keys: Keyboard) -> None:
        await keys.press("question_mark")
        keys.desk.now = replace(fd.burning().snapshot(), kind=kind)
        keys.app.look()
        await keys.pilot.pause()
        assert bool(keys.app.screen.query(KeyPage)) == (kind == "replay")

    for kind in ("replay", "practice"):
        play(fd.waiting(), script, kind=kind)


@pytest.mark.slow
def test_a_replay_takes_no_deeds() -> None:
    """What happened has happened, in a bead too."""
    for session in (fd.waiting(), fd.burning()):
        assert play(session, press("space", "f", "r", "s", "a"), kind="replay").deeds == []


@pytest.mark.slow
def test_while_the_cadence_counts_a_bead_any_other_key_stops_it() -> None:
    """procedure.md section 15: no line to type in may open while the arc burns."""
    others = [name for key in KEYS for name in key.names if key not in (NEXT, UNDO)]
    desk = play(fd.burning(), press(*others, *STRANGE, "p"))
    assert desk.deeds == [("pause", {})] * (len(others) + len(STRANGE) + 1)

    async def own_use(keys: Keyboard) -> None:
        await keys.press(*NEXT.names, "u", "left_shift", "q", "x", "question_mark")
        await keys.press("x")

    own = play(fd.burning(), own_use)
    assert own.deeds == [("next", {})] * 4 + [("undo", {})]
    # Practice has a pause of its own, for all of time.
    practice = play(fd.burning(), press("p", "plus"), kind="practice")
    assert (practice.paces, practice.deeds) == (["pause", "faster"], [])


@pytest.mark.slow
def test_in_peen_and_look_a_key_with_a_use_keeps_it() -> None:
    """Covering, uncovering and the check have none there; a tink and a crack have."""
    for session in (fd.peening(), fd.looking()):
        desk = play(session, press("c", "x", "v", *STRANGE, "t", "k", "f", "h", "s", "g"))
        assert desk.deeds == [("pause", {})] * (3 + len(STRANGE)) + [
            (deed, {}) for deed in ("tink", "crack", "finish", "hold", "shelve", "turned")
        ]


@pytest.mark.slow
def test_where_the_arc_is_seen_or_nothing_is_counted_a_stray_key_does_nothing() -> None:
    """The arc's own end is known then; a wait has no count to stop."""
    for session in (by_arc(), fd.waiting()):
        assert play(session, press(*STRANGE)).deeds == []

    async def refused(keys: Keyboard) -> None:
        await keys.press("r")
        assert keys.app.live.query_one(Line).ask is None
        assert foot(keys.app) == "Not while the arc burns"

    assert play(by_arc(), refused).deeds == []


@pytest.mark.slow
def test_while_it_stands_still_only_next_goes_on() -> None:
    """A second stray key is no second pause; the foot says which key goes on."""

    async def script(keys: Keyboard) -> None:
        await keys.press("a")
        assert "Space goes on" in foot(keys.app)
        await keys.press("space")

    for session in (fd.burning(), fd.peening()):
        assert play(session.press("pause"), script).deeds == [("next", {})]


@pytest.mark.slow
def test_help_shows_every_key_and_any_key_goes_back() -> None:
    """Nothing cut at 80x24; the key that goes back does nothing else, held on neither."""

    async def script(keys: Keyboard) -> None:
        await keys.press("question_mark")
        assert keys.app.screen.query(KeyPage)
        lines = "\n".join(painted(keys.app))
        rows = [HELP, QUIT] if kind == "replay" else [*KEYS, OTHER, HELP, QUIT]
        rows += pace_keys(kind)
        for row in rows:
            assert f"{row.shown} " in lines
            assert row.about in lines
        assert "…" not in lines
        await keys.hold("space", 5)
        assert not keys.app.screen.query(KeyPage)

    for kind in get_args(Kind):
        assert play(fd.waiting(), script, kind=kind).deeds == []


@pytest.mark.slow
def test_help_twice_shows_every_state_of_the_sensor() -> None:
    """Nothing cut at 80x24, the present one marked, and any key goes back without a deed."""

    async def script(keys: Keyboard) -> None:
        await keys.press("question_mark")
        await keys.press("question_mark")
        lines = painted(keys.app)
        for state, about in ABOUT.items():
            row = next(line for line in lines if about in line)
            assert state.value in row
            assert row.startswith("▸") == (state is Standing.LIVE)
        text = "\n".join(lines)
        assert "…" not in text
        assert "sensor t1 312 °C" in text
        assert "ISO 13916: 48 mm (4 t, at most 50 mm; t = 12 mm)" in text
        await keys.press("question_mark")
        assert keys.app.screen is keys.app.live

    assert play(fd.waiting(), script).deeds == []


@pytest.mark.slow
def test_help_makes_way_for_what_is_new() -> None:
    """The page must not hide a phase that came by itself."""

    session = fd.waiting()

    async def script(keys: Keyboard) -> None:
        await keys.press("question_mark")
        assert keys.app.screen.query(KeyPage)
        session.ramp(250.0).read(250.0, 30.0)
        assert session.state.phase is not Phase.WAIT
        keys.desk.now = session.snapshot()
        keys.app.look()
        await keys.pilot.pause()
        assert keys.app.screen is keys.app.live

    play(session, script)


def test_tinks_and_cracks_stand_in_the_bar_where_they_are_to_be_told() -> None:
    """procedure.md: a tink tells of a crack; a bead is looked at after the peen."""
    tinks = {phase for phase in Phase if ("T", "tink") in bar(phase, "live")}
    cracks = {phase for phase in Phase if ("K", "crack") in bar(phase, "live")}
    assert tinks == {Phase.WAIT, Phase.PEEN, Phase.SOAK, Phase.POST_HEAT, Phase.COOL_DOWN}
    assert cracks == {Phase.LOOK, Phase.PEEN, Phase.WAIT, Phase.INSPECT, Phase.DONE}
    for phase in Phase:
        assert bar(phase, "live")[:2] == (("Space", "next"), ("U", "undo"))
