"""Moments and what is painted of them, shared by the tests of looks, distance and flash."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import fake_desk as fd
import msgspec
import pytest
from rich.color import Color
from rich.segment import Segment
from sensor_states import SESSIONS
from textual.app import App

from pacer.screen.desk import Snapshot
from pacer.screen.parts.ahead import Foreseen
from pacer.screen.view import View, view
from pacer.session.cues import CueKind
from pacer.session.guard.standing import QUESTIONS, Standing
from pacer.session.state import Prompt
from pacer.units import Shown

PHASES: dict[str, Callable[[], fd.Session]] = {
    "prepare": fd.prepared,
    "preheat": fd.preheating,
    "soak": fd.soaking,
    "ready": fd.ready,
    "bead": fd.burning,
    "peen": fd.peening,
    "look": fd.looking,
    "paused": fd.paused,
    "wait": fd.waiting,
    "reheat": fd.reheating,
    "hold": fd.holding,
    "post-heat": fd.postheating,
    "bury": fd.burying,
    "cool-down": fd.cooling,
    "cool": fd.cool,
    "done": fd.done,
    "too hot": lambda: fd.holding().read(310.0, 6.0),
    "too cold": lambda: fd.holding().ramp(190.0).read(190.0, 6.0),
    "no reading": lambda: fd.waiting(290.0).wait(14.0),
}


SENSOR = [
    *sorted(QUESTIONS),
    *(Standing.ARC, Standing.NOISY, Standing.CHECKING, Standing.STARTING, Standing.GARBLED),
]
"""Of the states with dashes one stands for all: they differ in words only."""


@functools.cache
def moments() -> dict[str, Snapshot]:
    """Return a snapshot of every phase, of alarms, of the sensor's states, and of an unsaved log."""
    found = {name: make().snapshot() for name, make in PHASES.items()}
    found |= {f"sensor {state}": SESSIONS[state]().snapshot() for state in SENSOR}
    found["not saved"] = (
        fd.waiting().log("log").snapshot(trouble="log not saved: no space left on device")
    )
    found["practice"] = fd.ready().snapshot(
        kind="practice", speed=60.0, invented="simulated part", off=("sound is off: no device",)
    )
    return found


def differing() -> dict[str, Snapshot]:
    """Return the moments that differ in more than words: without the sensor's states."""
    return {name: moment for name, moment in moments().items() if not name.startswith("sensor ")}


Moments = Callable[[], dict[str, Snapshot]]
EACH_SIZE = [
    pytest.param((80, 24), moments, id="80x24"),
    pytest.param((100, 30), differing, id="100x30"),
    pytest.param((160, 45), differing, id="160x45"),
    pytest.param((100, 30), moments, marks=pytest.mark.full, id="100x30 every moment"),
    pytest.param((160, 45), moments, marks=pytest.mark.full, id="160x45 every moment"),
]
"""Sizes and moments to paint there: words have least room at the smallest size, where all are."""


@functools.cache
def _too_hot() -> Prompt:
    prompt = PHASES["too hot"]().state.prompt
    assert prompt is not None
    assert prompt.cue.kind is CueKind.TOO_HOT
    return prompt


def waits(snapshot: Snapshot) -> Snapshot:
    """Return the snapshot with an alarm that nobody has answered: too hot, as the fold told it."""
    waiting = msgspec.structs.replace(_too_hot(), answered=False)
    return replace(snapshot, state=msgspec.structs.replace(snapshot.state, prompt=waiting))


def forecast(_: Snapshot) -> Foreseen:
    """Return a made-up forecast of the cool-down."""
    return Foreseen(fd.Forecast(9000.0, 8000.0, 11000.0))


def seen(snapshot: Snapshot, *, beat: bool = False) -> View:
    """Return the view of a snapshot in metric units."""
    return view(snapshot, Shown("metric"), forecast(snapshot), beat=beat)


class Cell(NamedTuple):
    """One character as the terminal gets it."""

    text: str
    ink: tuple[int, int, int]
    paper: tuple[int, int, int]


def cells_of(app: App[None]) -> list[tuple[Cell, ...]]:
    """Return the screen cell by cell, as the compositor would send it."""
    return [_cells(tuple(strip)) for strip in app.screen._compositor.render_strips()]


@functools.lru_cache(maxsize=4096)
def _cells(segments: tuple[Segment, ...]) -> tuple[Cell, ...]:
    row: list[Cell] = []
    for text, style, _ in segments:
        assert style is not None
        # Between two panels a blank has a paper only.
        assert style.color is not None or not text.strip()
        ink, paper = _rgb(style.color or style.bgcolor), _rgb(style.bgcolor)
        if style.reverse:
            ink, paper = paper, ink
        row += [Cell(ch, ink, paper) for ch in text]
    return tuple(row)


def _rgb(color: Color | None) -> tuple[int, int, int]:
    assert color is not None
    triplet = color.get_truecolor()
    return triplet.red, triplet.green, triplet.blue


def lines_of(app: App[None]) -> list[str]:
    """Return the screen as text."""
    return [strip.text for strip in app.screen._compositor.render_strips()]
