"""What is seen of two recordings, without a terminal and on one of three sizes."""

from __future__ import annotations

import asyncio
import string
from dataclasses import replace
from pathlib import Path

import fake_desk as fd
import painted
import pytest
from fakes import FakeClock
from pairs import film, hot_events
from rich.cells import cell_len

from pacer.job.job import Job
from pacer.run.pair import Pair
from pacer.screen.pair.app import PairApp
from pacer.screen.pair.desk import PairSnapshot, Points, Recorded, Side
from pacer.screen.pair.lane import Stretch, lane, signs
from pacer.screen.pair.panels import PairPlot
from pacer.screen.pair.plot import GUTTER, OTHER, axis_row, lane_row, plot_rows
from pacer.screen.pair.view import Axis, LaneView, PairView, Plot, pair_view
from pacer.screen.view import session_time
from pacer.screen.widgets.panel import BADGE, STRONG, Row
from pacer.session.cues import Cue, CueKind
from pacer.session.work import Bead, Phase
from pacer.units import Shown

METRIC = Shown("metric")


def _side(letter: str, session: fd.Session, zero_s: float = 0.0, **recorded: object) -> Side:
    whole = Recorded(
        letter="A" if letter == "A" else "B",
        name=f"{letter.lower()}.jsonl",
        invented="",
        damaged=False,
        start_s=0.0,
        end_s=session.t_s,
        beads=session.state.work.beads,
        lane=(),
    )
    return Side(replace(whole, **recorded), zero_s, session.snapshot(kind="replay"), ())  # type: ignore[arg-type]


def _snapshot(a: Side, b: Side, at_s: float, **changed: object) -> PairSnapshot:
    shown = PairSnapshot(
        at_s=at_s,
        sides=(a, b),
        aligned=Phase.PREHEAT,
        from_s=0.0,
        to_s=600.0,
        speed=10.0,
        paused=False,
        backwards=False,
        over=False,
    )
    return replace(shown, **changed)  # type: ignore[arg-type]


def _seen(a: fd.Session, b: fd.Session, shown: Shown = METRIC, **changed: object) -> PairView:
    at_s = min(a.t_s, b.t_s)
    return pair_view(_snapshot(_side("A", a), _side("B", b), at_s, **changed), shown)


def _text(rows: list[Row]) -> list[str]:
    return ["".join(text for text, _ in row) for row in rows]


def test_each_side_says_phase_bead_temperature_and_last_cue() -> None:
    """A welds its first bead at 262 °C, B waits at 312 °C, over the ceiling of 300 °C."""
    a, b = _seen(fd.burning(), fd.waiting()).sides
    assert (a.phase, a.temp.digits) == ("BEAD · bead 1 of 40", "262")
    assert (b.phase, b.temp.digits) == ("WAIT · bead 1 of 40", "312")
    assert b.temp.place == "OVER CEILING by 12 °C"
    assert " READY: " in a.cue
    assert " WAIT: " in b.cue


@pytest.mark.parametrize(
    ("system", "said"),
    [("metric", "B is 50 °C hotter than A"), ("us", "B is 90 °F hotter than A")],
)
def test_how_far_apart_they_are_is_said_in_the_users_unit(system: str, said: str) -> None:
    """312 less 262 °C, and the same in °F: 594 less 504."""
    shown = Shown("us" if system == "us" else "metric")
    assert _seen(fd.holding(), fd.waiting(), shown).difference == said


def test_nothing_is_compared_with_a_number_that_is_not_there() -> None:
    """B's sensor is silent; equal numbers read the same."""
    silent = fd.waiting(290.0).wait(14.0)
    assert _seen(fd.holding(), silent).difference == ""
    assert _seen(fd.holding(), fd.holding()).difference == "A and B read the same"


def test_an_alarm_has_its_word_beside_the_phase() -> None:
    """A is too hot in its hold; B's next step is no alarm."""
    a, b = _seen(fd.holding().read(310.0, 20.0), fd.ready()).sides
    assert (a.alarm, b.alarm) == ("TOO HOT", "")


def test_before_and_after_a_recording_there_is_no_number() -> None:
    """A ended 20 s before; B begins 500 s after the aligned moment."""
    a, b = fd.holding(), fd.holding()
    after = _snapshot(_side("A", a), _side("B", b, zero_s=-500.0), a.t_s + 20.0)
    ended, begins = pair_view(after, METRIC).sides
    assert ended.phase == "ENDED 0:00:20 before, in HOLD"
    assert begins.phase == f"BEGINS in {session_time(500.0 - a.t_s - 20.0)}"
    assert ended.temp.temp_c is begins.temp.temp_c is None
    assert "–" in ended.temp.digits
    assert begins.cue == ""
    assert pair_view(after, METRIC).difference == ""


@pytest.mark.parametrize(
    ("changed", "pace"),
    [
        ({}, "×10"),
        ({"paused": True}, "PAUSED"),
        ({"backwards": True}, "×10, BACKWARDS"),
        ({"over": True}, "AT THE END"),
        ({"over": True, "backwards": True}, "AT THE BEGINNING, BACKWARDS"),
    ],
)
def test_the_top_line_says_that_nothing_of_it_is_now(changed: dict[str, bool], pace: str) -> None:
    """Two replays, what they are aligned at, how they play."""
    assert _seen(fd.ready(), fd.ready(), METRIC, **changed).banner == (
        f"TWO REPLAYS, ALIGNED at preheat, {pace}"
    )


def test_what_is_invented_or_damaged_is_marked_and_foreign_names_are_cleaned() -> None:
    """On its own side only."""
    a = _side("A", fd.ready(), invented="simulated", damaged=True, name="a\x1b]0;x\x07[b].jsonl")
    one, other = pair_view(_snapshot(a, _side("B", fd.ready()), 0.0), METRIC).sides
    assert one.marks == "INVENTED · DAMAGED"
    assert one.name == "a�]0;x�[b].jsonl"
    assert other.marks == ""


def test_limits_of_one_alone_carry_its_letter() -> None:
    """Both weld between 200 and 300 °C; then B cools down to 40 °C."""
    both = _seen(fd.ready(), fd.waiting()).plot.limits
    assert [mark.name for mark in both] == ["floor", "ceiling"]
    apart = _seen(fd.ready(), fd.cooling()).plot.limits
    assert [(mark.name, mark.temp_c) for mark in apart] == [
        ("B until", 40.0),
        ("A floor", 200.0),
        ("A ceiling", 300.0),
    ]


def test_beads_stand_side_by_side_with_the_heat_before_their_arc() -> None:
    """A laid two, B one; of one struck again the last counts; the present one is marked."""
    a = fd.peening().read(262.0, 16.0).press("next").read(262.0, 3.0)
    b = fd.burning()
    first, second = _seen(a, b).beads
    assert [first.number, second.number] == [1, 2]
    assert first.struck[0].startswith("262 °C +0:00:")
    assert second.struck[1] == ""
    assert [row.present for row in (first, second)] == [True, False]
    later = pair_view(_snapshot(_side("A", a), _side("B", b), a.t_s), METRIC)
    assert [row.present for row in later.beads] == [False, True]


def _plot(a: Points, b: Points) -> Plot:
    return Plot(Axis(0.0, 100.0, 50.0), (a, b), ())


def _cells(plot: Plot, look: str) -> set[str]:
    rows = plot_rows(plot, GUTTER + 50, 8)
    return {ch for row in rows for text, has in row[1:] if has == look for ch in text}


def test_the_two_curves_differ_in_shape() -> None:
    """A is dots, B is half blocks: without colour too."""
    rising: Points = tuple((float(t), 20.0 + t) for t in range(101))
    falling: Points = tuple((float(t), 120.0 - t) for t in range(101))
    plot = _plot(rising, falling)
    assert {0x2800 < ord(ch) <= 0x28FF for ch in _cells(plot, STRONG)} == {True}
    assert _cells(plot, OTHER) <= set("▀▄█")
    assert len(_cells(plot, OTHER)) > 1


def test_a_gap_stays_empty_and_the_present_moment_shows_through() -> None:
    """Nothing between 20 and 80 s in either: only the line of the present moment."""
    gap: Points = ((0.0, 50.0), (20.0, 50.0), (30.0, None), (80.0, 50.0), (100.0, 50.0))
    for plot in (_plot(gap, ()), _plot((), gap)):
        rows = [text[GUTTER:] for text in _text(plot_rows(plot, GUTTER + 101, 6))]
        drawn = {at for row in rows for at, ch in enumerate(row) if ch not in "\u2800│"}
        assert drawn == set(range(21)) | set(range(80, 101))
        assert {row[50] for row in rows} == {"│"}


def test_points_beside_the_stretch_only_lead_to_its_edge() -> None:
    """A straight line from far before to far after crosses the whole plot."""
    line: Points = ((-1000.0, 20.0), (1100.0, 120.0))
    rows = [text[GUTTER:] for text in _text(plot_rows(_plot((), line), GUTTER + 40, 6))]
    assert all(any(row[at] in "▀▄█" for row in rows) for at in range(40))


def test_the_axis_tells_hours_from_the_aligned_moment() -> None:
    """-1 h to 3 h in 80 columns: a time each half hour, signed, each where it belongs."""
    (text,) = _text([axis_row(Axis(-3600.0, 10800.0, 0.0), GUTTER + 81)])
    assert " ".join(text.split()) == "h:min -1:00 -0:30 0:00 +0:30 +1:00 +1:30 +2:00 +2:30"
    assert text[GUTTER:].index("0:00 ", 15) == 20


def test_what_is_worse_hides_what_it_shares_a_column_with() -> None:
    """A bead from 10 to 20 s, cold from 15 to 30 s, a step's cue and an alarm's."""
    bead = Bead(1, 0, 10.0, 262.0, "press", 20.0, "press")
    cues = (Cue(CueKind.READY, 5.0), Cue(CueKind.TOO_COLD, 15.0), Cue(CueKind.TOO_HOT, 40.0))
    drawn = lane((bead,), ((15.0, 30.0, "below the floor"),), cues, 60.0)
    assert signs(drawn, 0.0, 0.0, 60.0, 13) == " ·■▼▼▼▼ !    "
    assert signs(drawn, 10.0, 0.0, 60.0, 13) == "■▼▼▼▼ !      "


def test_the_present_column_of_a_lane_is_inverted() -> None:
    """Where the line of the plot stands."""
    view = LaneView("B", (Stretch(50.0, 50.0, "■"),), 0.0)
    row = lane_row(view, Axis(0.0, 100.0, 50.0), GUTTER + 101)
    assert row[2] == ("■", BADGE)
    assert len(row[1][0]) == 50


@pytest.mark.slow
@pytest.mark.parametrize("characters", ["unicode", "ascii"])
def test_it_fits_the_three_sizes_and_any_characters(
    hot_job: Job, tmp_path: Path, characters: str
) -> None:
    """Both letters, digits, curves and keys stand there; the beads where there is room."""
    films = tuple(
        film(tmp_path / f"{name}.jsonl", hot_job, hot_events(115, late, fallen=late > 0))
        for name, late in (("a", 0), ("b", 5))
    )

    async def run() -> None:
        pair = Pair((films[0], films[1]), FakeClock(), align=Phase.PREHEAT)
        pair.pace("end")
        app = PairApp(pair, METRIC, characters=characters)
        async with app.run_test(size=(80, 24)) as pilot:
            for width, height in ((80, 24), (100, 30), (160, 45)):
                await pilot.resize_terminal(width, height)
                await pilot.pause()
                app.look()
                await pilot.pause()
                lines = painted.lines_of(app)
                whole = "\n".join(lines)
                assert {cell_len(line) for line in lines} == {width}
                assert len(lines) == height
                for text in ("ALIGNED at preheat", " A  a.jsonl", " B  b.jsonl", "h:min", "close"):
                    assert text in whole
                assert ("before the arc" in whole) == (width >= 100)
                assert app.query_one(PairPlot).size.height >= 10
                block = "#" if characters == "ascii" else "█"
                assert sum(block in line for line in lines) >= 5
                if characters == "ascii":
                    assert set(whole) <= set(string.printable[:95]) | {"\n"}
            await pilot.resize_terminal(60, 12)
            await pilot.pause()
            assert "window 60x12: make it 80x24" in painted.lines_of(app)[0]

    asyncio.run(run())


@pytest.mark.slow
def test_keys_align_zoom_pause_and_close(hot_job: Job, tmp_path: Path) -> None:
    """Each answers at once; the page of keys goes away with any key."""
    long = film(tmp_path / "a.jsonl", hot_job, hot_events(400))

    async def run() -> None:
        app = PairApp(Pair((long, long), FakeClock(), align=Phase.PREHEAT), METRIC)
        async with app.run_test(size=(100, 30)) as pilot:

            async def top_after(key: str) -> str:
                await pilot.press(key)
                await pilot.pause()
                return "\n".join(painted.lines_of(app))

            assert "PAUSED" in await top_after("p")
            assert "ALIGNED at soak" in await top_after("A")
            assert "BACKWARDS" in await top_after("t")
            assert "5 min drawn" in await top_after("z")
            assert "Align at the next phase" in await top_after("question_mark")
            assert "ALIGNED at soak" in await top_after("a")
            theme = app.theme
            await top_after("d")
            assert app.theme != theme
            await pilot.press("q")
        assert app.return_code == 0

    asyncio.run(run())


@pytest.mark.slow
def test_in_every_look_the_inks_are_those_of_the_theme(hot_job: Job, tmp_path: Path) -> None:
    """B has the theme's second ink; with NO_COLOR's look there is one ink and its inverse."""
    short = film(tmp_path / "a.jsonl", hot_job, hot_events(100))

    async def inks(theme: str) -> set[tuple[int, int, int]]:
        app = PairApp(Pair((short, short), FakeClock(), align="start"), METRIC, theme=theme)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            app.look()
            await pilot.pause()
            return {cell.ink for row in painted.cells_of(app) for cell in row if cell.text.strip()}

    assert (0xF0, 0xE4, 0x42) in asyncio.run(inks("dark"))
    assert asyncio.run(inks("mono")) <= {(0, 0, 0), (255, 255, 255)}
