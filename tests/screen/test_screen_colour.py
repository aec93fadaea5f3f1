"""T-35: colour is never the only sign, and every ink can be read on its paper.

Contrast: WCAG 2.x relative luminance and contrast ratio (formula seen in secondary pages).
Deutan and protan eyes: matrices of Machado, Oliveira and Fernandes 2009, severity 1.0
(figures seen in public shader code, the paper not seen), on linear light.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator

import fake_desk as fd
import painted
import pytest

from pacer.screen.app import PacerApp
from pacer.screen.themes import NAMES, PAIRS, chosen, colours, cycle, wants_ascii
from pacer.units import Shown

RGB = tuple[int, int, int]
LEAST = 7.0
"""WCAG level AAA; T-35."""

EYES = {
    "plain": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
}


def linear(color: RGB) -> tuple[float, ...]:
    """Return linear light of sRGB."""
    shares = [value / 255 for value in color]
    return tuple(v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in shares)


def luminance(color: RGB, eyes: str = "plain") -> float:
    """Return relative luminance, as seen by such eyes."""
    light = linear(color)
    seen = [
        min(1.0, max(0.0, sum(k * v for k, v in zip(row, light, strict=True))))
        for row in EYES[eyes]
    ]
    return 0.2126 * seen[0] + 0.7152 * seen[1] + 0.0722 * seen[2]


def contrast(a: RGB, b: RGB, eyes: str = "plain") -> float:
    """Return the contrast ratio, 1 to 21."""
    high, low = sorted((luminance(a, eyes), luminance(b, eyes)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def rgb(name: str) -> RGB:
    """Return #rrggbb as numbers."""
    return int(name[1:3], 16), int(name[3:5], 16), int(name[5:7], 16)


def drawn(
    theme: str, size: tuple[int, int], moments: painted.Moments
) -> Iterator[tuple[str, list[tuple[painted.Cell, ...]]]]:
    """Yield every moment's name and cells, drawn by the real application."""
    found: list[tuple[str, list[tuple[painted.Cell, ...]]]] = []

    async def run() -> None:
        desk = fd.desk(fd.prepared())
        app = PacerApp(desk, Shown(), painted.forecast, theme=theme)
        async with app.run_test(size=size) as pilot:
            for name, snapshot in moments().items():
                app.live.show(painted.seen(painted.waits(snapshot)), snapshot.state)
                await pilot.pause()
                found.append((name, painted.cells_of(app)))

    asyncio.run(run())
    yield from found


def test_the_contrast_is_that_of_known_pairs() -> None:
    """Black on white is 21; #777777 on white is 4.48, just below AA (common knowledge)."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)
    assert contrast((119, 119, 119), (255, 255, 255)) == pytest.approx(4.48, abs=0.01)
    # A protan sees pure red darker than others do, a deutan does not; grey stays grey.
    assert luminance((255, 0, 0), "protan") < 0.7 * luminance((255, 0, 0))
    for eyes in EYES:
        assert luminance((128, 128, 128), eyes) == pytest.approx(
            luminance((128, 128, 128)), abs=1e-3
        )


@pytest.mark.parametrize("theme", NAMES)
@pytest.mark.parametrize("eyes", EYES)
def test_every_pair_of_a_theme_has_contrast(theme: str, eyes: str) -> None:
    """Including the line to type in, which the phases don't show."""
    named = colours(theme)
    for ink, paper in PAIRS:
        assert contrast(rgb(named[ink]), rgb(named[paper]), eyes) >= LEAST, (ink, paper)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("theme", "moments"),
    [
        (NAMES[0], painted.moments),
        *((name, painted.differing) for name in NAMES[1:]),
        *(pytest.param(name, painted.moments, marks=pytest.mark.full) for name in NAMES[1:]),
    ],
)
def test_everything_painted_has_contrast_and_no_red_or_blue(
    theme: str, moments: painted.Moments
) -> None:
    """Every character of every phase and alarm, for three kinds of eyes; WCAG AAA."""
    pairs: dict[tuple[RGB, RGB], str] = {}
    for name, rows in drawn(theme, (100, 30), moments):
        pairs.update(
            ((cell.ink, cell.paper), f"{name}: {cell.text}")
            for row in rows
            for cell in row
            if cell.text != " "
        )
    assert len(pairs) >= 2
    for (ink, paper), where in pairs.items():
        for eyes in EYES:
            assert contrast(ink, paper, eyes) >= LEAST, (where, eyes)
        for red, green, blue in (ink, paper):
            # Grey or yellow only: never red or blue for the action, so no red flash either.
            assert abs(red - green) <= 16, where
            assert blue <= max(red, green), where


@pytest.mark.slow
def test_no_color_in_the_environment_makes_it_mono(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever theme the settings name; no-color.org."""
    monkeypatch.setenv("NO_COLOR", "1")
    inks: set[RGB] = set()

    async def run() -> None:
        app = PacerApp(fd.desk(fd.holding().read(310.0, 6.0)), Shown(), theme="sunlit")
        async with app.run_test(size=(80, 24)) as pilot:
            app.look()
            await pilot.pause()
            assert app.theme == "mono"
            inks.update(cell.ink for row in painted.cells_of(app) for cell in row)
            inks.update(cell.paper for row in painted.cells_of(app) for cell in row)

    asyncio.run(run())
    assert inks <= {(0, 0, 0), (255, 255, 255)}


@pytest.mark.slow
def test_the_theme_can_be_changed_while_the_screen_is_up() -> None:
    """Three looks in turn; the same text in every one, other papers."""
    texts, papers, names = set(), [], []

    async def run() -> None:
        app = PacerApp(fd.desk(fd.waiting()), Shown(), theme="dark")
        async with app.run_test(size=(80, 24)) as pilot:
            for _ in range(4):
                app.look()
                await pilot.pause()
                rows = painted.cells_of(app)
                texts.add("\n".join("".join(cell.text for cell in row) for row in rows[:18]))
                papers.append(rows[3][0].paper)
                names.append(app.next_theme())
                await pilot.pause()

    asyncio.run(run())
    assert names == ["sunlit", "mono", "dark", "sunlit"]
    assert papers == [(0, 0, 0), (255, 255, 255), (0, 0, 0), (0, 0, 0)]
    assert len(texts) == 1


def test_an_unknown_theme_is_the_dark_one() -> None:
    """The settings refuse it before; a screen there must be in any case."""
    assert chosen("pink", no_color=False) == "dark"
    assert chosen("sunlit", no_color=True) == "mono"

    class Other:
        theme = "textual-dark"

    assert cycle(Other()) == "dark"


def test_ascii_is_wanted_where_the_terminal_takes_no_more() -> None:
    """By setting, or by the encoding of either stream that is the terminal."""
    assert not wants_ascii("unicode", "UTF-8", "utf8", None)
    assert wants_ascii("unicode", "utf-8", "ANSI_X3.4-1968")
    assert wants_ascii("ascii", "utf-8")
