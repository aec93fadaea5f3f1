"""Painted rows of the smaller panels: crack map, gauge, trend, key bar, wrapping."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import fake_desk as fd
import msgspec
import pytest
from rich.cells import cell_len

from pacer.job.layers import draw_toward
from pacer.screen.desk import Kind
from pacer.screen.view import View, view
from pacer.screen.widgets.crack_map import Joint
from pacer.screen.widgets.gauge import BandGauge
from pacer.screen.widgets.lines import KeyBar
from pacer.screen.widgets.panel import Row, fitted, wrapped
from pacer.screen.widgets.trend import GUTTER, plot
from pacer.session.work import Phase
from pacer.units import Shown


def seen(session: fd.Session) -> View:
    """Return the view of a session's moment."""
    return view(session.snapshot(), Shown("metric"))


def text(row: Row) -> str:
    """Return a row without its looks."""
    return "".join(piece for piece, _ in row)


def test_the_map_marks_the_next_place_with_its_direction() -> None:
    """Order 0, 4, 1, 3, 2: after the first bead the other end is next, drawn outward; then 1."""
    rows = [text(row) for row in Joint("j").paint(seen(fd.waiting()), 44, 3)]
    assert rows[0] == "├ 1 │▹0 │ 0 │ 0 │▸0→┤"
    assert rows[1] == "next: bead 2, place 5, run 1/8"
    assert rows[2] == "1 of 40 laid, draw it →, then place 2"


def test_the_map_marks_the_running_bead() -> None:
    """A star while the arc burns."""
    row = text(Joint("j").paint(seen(fd.burning()), 44, 2)[0])
    assert row == "├*0←│ 0 │ 0 │ 0 │▹0 ┤"


def test_a_long_joint_shows_a_window_around_the_next_place() -> None:
    """40 places don't fit 44 columns; the cut ends are marked."""
    plan = msgspec.structs.replace(fd.JOB.plan, places=40, order=(20, *range(20), *range(21, 40)))
    session = fd.Session(msgspec.structs.replace(fd.JOB, plan=plan))
    row = text(Joint("j").paint(seen(session), 44, 2)[0])
    assert "▸0" in row
    assert row[0] == row[-1] == "…"
    assert cell_len(row) <= 44


def test_back_step_draws_each_bead_toward_its_neighbour_laid_before() -> None:
    """procedure.md section 5: back-step; one end at an edge goes from the blind end on."""
    assert [draw_toward(n, (0, 1, 2, 3)) for n in (1, 2, 3, 4)] == ["←"] * 4
    assert [draw_toward(n, (3, 2, 1, 0)) for n in (1, 2, 3, 4)] == ["→"] * 4
    assert draw_toward(1, (0,)) == ""


def test_a_mirrored_run_is_drawn_toward_its_own_beads() -> None:
    """Two runs in one order: a bead of the second looks at the second only (common practice)."""
    both = (1, 2, 0, 1, 0, 2)
    first, second = ([draw_toward(n, both) for n in numbers] for numbers in ((1, 2, 3), (4, 5, 6)))
    assert first == ["←", "←", "→"]
    assert second == ["←", "→", "←"]
    assert [draw_toward(n + 6, both) for n in range(1, 7)] == first + second


def test_a_bead_between_two_laid_ones_is_drawn_toward_the_later_one() -> None:
    """Passes: 0, 2, 1, 3: bead 3 at place 1 has both neighbours, 2 was laid last."""
    assert draw_toward(3, (0, 2, 1, 3)) == "→"


def test_the_last_planned_bead_has_none_after_it() -> None:
    """One run planned of an order of two: after its last bead the map names no other."""
    plan = msgspec.structs.replace(fd.JOB.plan, runs=1, places=2, order=(0, 1, 1, 0))
    session = fd.Session(msgspec.structs.replace(fd.JOB, plan=plan))
    rows = [text(row) for row in Joint("j").paint(seen(session), 44, 3)]
    assert rows[0] == "├▸0←│▹0 ┤"
    session.press("next").press("next").read(262.0, 1300.0).press("next").read(262.0, 12.0)
    session.press("next").read(262.0, 1.0)
    rows = [text(row) for row in Joint("j").paint(seen(session), 44, 3)]
    assert rows[0] == "├ 1 │▸0←┤"
    assert "then" not in rows[2]


@pytest.mark.parametrize("temp_c", [-20.0, 20.0, 199.0, 250.0, 301.0, 420.0])
def test_the_gauge_keeps_the_marker_on_the_line(temp_c: float) -> None:
    """Out of its range the marker's tip points outward."""
    shown = seen(fd.holding())
    gauge = replace(shown.gauge, temp_c=temp_c, digits=f"{temp_c:.0f} °C")
    row = text(BandGauge("g").paint(replace(shown, gauge=gauge), 80, 2)[0])
    assert cell_len(row) == 80
    assert f"{temp_c:.0f} °C" in row
    assert ("◀" in row) == (temp_c < 150.0)
    assert ("▶" in row) == (temp_c > 350.0)


def test_the_gauge_without_a_reading_has_no_marker() -> None:
    """Neither hot nor cold."""
    row = text(BandGauge("g").paint(seen(fd.waiting(290.0).wait(10.0)), 80, 2)[0])
    assert set(row) <= set("COLD HT░▓━╋")


def test_a_gap_in_the_trend_is_left_empty() -> None:
    """Missing data are not joined; bits are Unicode's braille block."""
    shown = seen(fd.holding())
    points: list[tuple[float, float | None]] = [(float(t), 250.0) for t in range(30)]
    points += [(float(t), None) for t in range(30, 70)]
    points += [(float(t), 250.0) for t in range(70, 100)]
    trend = replace(shown.trend, points=tuple(points), lines=(), from_s=0.0, to_s=99.0)
    cells = "".join(text(row)[GUTTER:] for row in plot(trend, GUTTER + 50, 1))
    assert all(cell != "\u2800" for cell in cells[:15])
    assert set(cells[16:34]) == {"\u2800"}
    assert all(cell != "\u2800" for cell in cells[36:49])


def test_the_trend_names_its_limits() -> None:
    """Floor and ceiling in the user's unit."""
    rows = [text(row) for row in plot(seen(fd.ready()).trend, 40, 5)]
    assert any(row.startswith("ceiling 300") for row in rows)
    assert any(row.strip().startswith("floor 200") for row in rows)


@pytest.mark.parametrize("kind", get_args(Kind))
@pytest.mark.parametrize("width", [80, 100, 160])
def test_the_key_bar_never_runs_over_and_always_has_help_and_close(kind: Kind, width: int) -> None:
    """Every phase, every kind of session."""
    from pacer.screen.keys import bar

    shown = seen(fd.ready())
    for phase in Phase:
        row = text(KeyBar("k").paint(replace(shown, keys=bar(phase, kind)), width, 1)[0])
        assert cell_len(row) <= width
        assert " ?  keys  Q  close" in row
        assert ("next" in row) or kind == "replay"
        assert ("pause" in row) == (kind != "live")


def test_words_are_wrapped_evenly_and_cut_with_a_mark() -> None:
    """No lonely last word."""
    line = "Stop holes, groove to sound metal, vent hollows, clear the bench; press when done"
    assert wrapped(line, 78, 2) == [
        "Stop holes, groove to sound metal, vent hollows,",
        "clear the bench; press when done",
    ]
    assert wrapped("short", 78, 2) == ["short"]
    assert fitted("漢字漢字", 5) == "漢字…"
    assert all(cell_len(row) <= 10 for row in wrapped("x" * 50, 10, 3))
