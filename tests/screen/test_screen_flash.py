"""T-36: nothing flashes more than three times a second; text never; an alarm's marks at 1 Hz.

A flash is a pair of opposing changes of brightness of one cell (WCAG 2.3.1). A cell is as
bright as its ink where a block is drawn in it, as its paper where it is empty, and in
between where a letter stands.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Sequence
from dataclasses import replace
from itertools import pairwise

import fake_desk as fd
import msgspec
import painted
import pytest
from textual.pilot import Pilot

from pacer.screen import app as app_module
from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.screen.steady import TURN_S, Steady
from pacer.screen.view import beat_at
from pacer.screen.widgets.giants import Word
from pacer.session.events import Reading
from pacer.units import Shown

LEAST_CHANGE = 0.1
"""Share of full white below which a change is no flash (WCAG 2.3.1)."""

MOST_A_SECOND = 3
MOMENTS = painted.moments()


def bright(cell: painted.Cell) -> float:
    """Return how bright a cell is, 0 to 1."""
    ink, paper = sum(cell.ink) / 765, sum(cell.paper) / 765
    if cell.text == " ":
        return paper
    return ink if cell.text in "█▀▄" else (ink + paper) / 2


def flashes(levels: Sequence[float], looks_a_second: int) -> float:
    """Return the most pairs of opposing changes within any second."""
    turns: list[int] = []
    way, last = 0, levels[0]
    for at, level in enumerate(levels):
        if abs(level - last) < LEAST_CHANGE:
            continue
        now = 1 if level > last else -1
        if now != way:
            turns.append(at)
        way, last = now, level
    return max((sum(at <= t < at + looks_a_second for t in turns) for at in turns), default=0) / 2


Looks = Callable[[float], tuple[Snapshot, float]]


def changes(of: Sequence[str]) -> int:
    """Return how often one differs from the one before."""
    return sum(a != b for a, b in pairwise(of))


def film(looks: Looks, rate: int, seconds: float) -> list[list[str]]:
    """Return text frame by frame at 80x24, after checking every cell for flashes."""
    return films({"": looks}, rate, seconds)[""]


def films(
    all_looks: dict[str, Looks], rate: int, seconds: float, most: int = MOST_A_SECOND
) -> dict[str, list[list[str]]]:
    """Return several films, shot in one application, in none more than so many flashes a second."""
    found: dict[str, list[list[str]]] = {}

    async def run() -> None:
        first = next(iter(all_looks.values()))
        app = PacerApp(fd.FakeDesk(first(0.0)[0]), Shown(), painted.forecast)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            for name, looks in all_looks.items():
                frames = [frame async for frame in _shot(app, pilot, looks, rate, seconds)]
                no_flash(name, frames, rate, most)
                found[name] = [["".join(c.text for c in row) for row in f] for f in frames]

    asyncio.run(run())
    return found


async def _shot(
    app: PacerApp, pilot: Pilot[None], looks: Looks, rate: int, seconds: float
) -> AsyncIterator[list[tuple[painted.Cell, ...]]]:
    steady, before = Steady(), None
    rows: list[tuple[painted.Cell, ...]] = []
    for look in range(int(seconds * rate)):
        t_s = look / rate
        snapshot, speed = looks(t_s)
        if steady.due(t_s, speed):
            seen = steady.hold(painted.seen(snapshot, beat=beat_at(t_s)), t_s)
            app.live.show(seen, snapshot.state)
            # Only a new layout or band takes the application some turns to draw.
            if before != (before := (seen.word, seen.time_leads, seen.clock == "")):
                await pilot.pause()
            rows = painted.cells_of(app)
        yield rows


def no_flash(name: str, frames: list[list[tuple[painted.Cell, ...]]], rate: int, most: int) -> None:
    """Check every cell that changes at all."""
    for y, row in enumerate(frames[0]):
        rows = [frame[y] for frame in frames]
        if all(other is row for other in rows):
            continue
        for x in range(len(row)):
            levels = [bright(row[x]) for row in rows]
            assert flashes(levels, rate) <= most, (name, x, y, levels)


@pytest.fixture(autouse=True)
def only_looks_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """The application's own looks would come in between."""
    monkeypatch.setattr(app_module, "LOOK_S", 3600.0)


def test_flashes_are_counted_in_pairs_of_changes() -> None:
    """Hand-made: on and off once a second is one flash; one change is half of one."""
    assert flashes([0, 0, 1, 1] * 4, 4) == 1
    assert flashes([0, 1] * 8, 8) == 4
    assert flashes([0, 0, 0, 1, 1, 1], 2) == 0.5
    assert flashes([0, 0.05] * 8, 8) == 0


def passing(start: Snapshot) -> Looks:
    """Return looks at a moment from which time just passes."""
    return lambda t_s: (replace(start, t_s=start.t_s + t_s), 1.0)


@pytest.mark.slow
@pytest.mark.parametrize("seconds", [2.0, pytest.param(10.0, marks=pytest.mark.full)])
def test_no_phase_flashes(seconds: float) -> None:
    """4 looks a second in every phase, the clock ticking, an alarm unanswered.

    So many looks can't hold more than two flashes a second; wanted is the marks' one.
    """
    looks = {name: passing(painted.waits(m)) for name, m in MOMENTS.items()}
    shots = films(looks, 4, seconds, most=1)
    assert set(shots) == set(MOMENTS)
    # The clock did tick: a film of one picture would prove nothing.
    assert changes(["".join(frame) for frame in shots["peen"]]) >= seconds - 1


@pytest.mark.slow
def test_only_the_marks_of_an_unanswered_alarm_move_once_a_second() -> None:
    """1 Hz, 50 %; the word's letters and its band stand still; steady once answered."""
    start = painted.waits(MOMENTS["too hot"])
    # Not longer: after two seconds without a reading another word stands there.
    frames = film(passing(start), 4, 2.0)
    rows = range(1, 8)
    letters = {"".join(frame[y][3:-3] for y in rows) for frame in frames}
    assert len(letters) == 1
    edges = [(frame[3][:2], frame[3][-2:]) for frame in frames]
    assert edges == [("▲▲", "  "), ("▲▲", "  "), ("  ", "▲▲"), ("  ", "▲▲")] * 2

    prompt = start.state.prompt
    assert prompt is not None
    taken = msgspec.structs.replace(prompt, answered=True)
    state = msgspec.structs.replace(start.state, prompt=taken)
    answered = painted.seen(replace(start, state=state), beat=True)
    row = "".join(text for text, _ in Word("w").paint(answered, 80, 7)[2])
    assert row.startswith("▲▲")
    assert row.endswith("▲▲")


def test_nothing_moves_while_the_arc_burns() -> None:
    """No marks beside WELD, whatever was told before."""
    assert not painted.seen(painted.waits(fd.burning().snapshot()), beat=True).unanswered
    assert painted.seen(painted.waits(fd.waiting().snapshot())).unanswered


@pytest.mark.slow
def test_a_wavering_sensor_of_ten_readings_a_second_does_not_flicker() -> None:
    """Looked at 20 times a second; a median of nine still turns with every reading."""
    session = fd.holding()
    read: list[str] = []

    def looks(t_s: float) -> tuple[Snapshot, float]:
        while session.t_s < 60.0 + t_s:
            count = round(session.t_s * 10)
            session.t_s = round(session.t_s + 0.1, 3)
            raw = (262.0 if count % 2 else 268.0,)
            session.event(Reading(t_ms=round(session.t_s * 1000), raw=raw, status="ok"))
        read.append(painted.seen(session.snapshot()).temp.digits)
        return session.snapshot(), 1.0

    frames = film(looks, 20, 3.0)
    drawn = ["".join(row[40:] for row in frame[10:15]) for frame in frames]
    assert changes(read) >= 20
    assert 3 <= changes(drawn) <= 3.0 / TURN_S + 1


def test_a_number_that_only_rises_is_shown_at_once() -> None:
    """Held is only what turns back; a lost reading goes at once."""
    steady, base = Steady(), painted.seen(fd.holding().snapshot())

    def shown(temp_c: float | None, t_s: float) -> str:
        digits = "– – –" if temp_c is None else f"{temp_c:.0f}"
        temp = replace(base.temp, digits=digits, temp_c=temp_c)
        return steady.hold(replace(base, temp=temp), t_s).temp.digits

    assert [shown(262.0 + at, 0.1 * at) for at in range(4)] == ["262", "263", "264", "265"]
    assert shown(264.0, 0.35) == "265"
    assert shown(264.0, 0.71) == "264"
    assert shown(None, 0.72) == "– – –"
    assert shown(270.0, 0.73) == "270"


@pytest.mark.slow
def test_practice_at_sixty_times_does_not_flicker() -> None:
    """Words and digits change with every look: looks are rationed to four a second."""
    start = fd.ready()
    course = [replace(start.snapshot(), speed=60.0)]
    session = fd.ready().press("next")
    for _ in range(120):
        session.read(262.0, 1.0)
        course.append(session.snapshot(speed=60.0))

    def looks(t_s: float) -> tuple[Snapshot, float]:
        return course[min(len(course) - 1, int(t_s * 60))], 60.0

    film(looks, 20, 2.0)


@pytest.mark.slow
def test_a_resize_is_one_change() -> None:
    """To and fro once: every cell changes at most twice, as one flash."""

    async def run() -> None:
        app = PacerApp(fd.desk(fd.waiting()), Shown(), painted.forecast)
        async with app.run_test(size=(100, 30)) as pilot:
            seen = painted.seen(fd.waiting().snapshot())
            shots = []
            for size in ((100, 30), (80, 24), (100, 30)):
                await pilot.resize_terminal(*size)
                app.live.show(seen)
                await pilot.pause()
                shots.append(painted.lines_of(app))
            assert shots[0] == shots[2]
            assert shots[0] != shots[1]

    asyncio.run(run())
