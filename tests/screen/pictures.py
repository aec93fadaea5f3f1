"""Pictures of the screen, to be looked at: SVG at three sizes for chosen moments.

    python tests/screen/pictures.py FOLDER [MOMENT ...]

Writes FOLDER/MOMENT-WIDTHxHEIGHT.svg and .txt (the same as plain text). Moments are the
names in `MOMENTS`. Not a test.
"""

from __future__ import annotations

import asyncio
import math
import sys
from collections.abc import Callable
from pathlib import Path

import fake_desk as fd

from pacer.run.memo import Foresight
from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.screen.parts.ahead import Foreseen
from pacer.session.state import Phase
from pacer.units import Shown

SIZES = ((80, 24), (100, 30), (160, 45))


def _with_history(snapshot: Snapshot) -> Snapshot:
    """Return the snapshot with a livelier past than a test needs."""
    from dataclasses import replace

    end_s = snapshot.t_s
    start_s = end_s - 600.0
    points: list[tuple[float, float | None]] = []
    for step in range(400):
        t_s = start_s + 600.0 * step / 399
        temp = 255.0 + 30.0 * math.sin(step / 40) + 8.0 * math.sin(step / 5)
        points.append((t_s, None if 180 < step < 220 else temp))
    now = snapshot.trend[-1][1] if snapshot.trend else None
    points[-1] = (end_s, now)
    return replace(snapshot, trend=tuple(points))


def _midway() -> fd.Session:
    session = fd.ready()
    for bead in range(13):
        session.press("next").read(262.0 + bead % 3, 12.0).press("next").read(266.0, 16.0)
    return session


MOMENTS: dict[str, Callable[[], Snapshot]] = {
    "prepare": lambda: fd.prepared().snapshot(),
    "preheat": lambda: fd.preheating().snapshot(),
    "ready": lambda: _with_history(_midway().snapshot()),
    "weld": lambda: _with_history(_midway().press("next").read(264.0, 3.0).snapshot()),
    "peen": lambda: _with_history(
        _midway().press("next").read(264.0, 12.0).press("next").read(271.0, 3.0).snapshot()
    ),
    "wait": lambda: _with_history(fd.waiting().snapshot()),
    "reheat": lambda: _with_history(fd.reheating().snapshot()),
    "too-hot": lambda: fd.holding().read(310.0, 20.0).snapshot(),
    "no-reading": lambda: fd.waiting(290.0).wait(14.0).snapshot(),
    "not-saved": lambda: fd.waiting().snapshot(trouble="log not saved: no space left on device"),
    "post-heat": lambda: fd.postheating().snapshot(),
    "bury": lambda: fd.burying().snapshot(),
    "hot": lambda: fd.cooling().snapshot(),
    "uncover": lambda: fd.cool().snapshot(),
    "done": lambda: fd.done().snapshot(),
    "practice": lambda: _with_history(
        _midway().snapshot(kind="practice", speed=60.0, invented="simulated part, seed 7")
    ),
    "typed": lambda: (
        fd.Session(hand=True)
        .press("next")
        .press("next")
        .press("next")
        .press("reading", temp_c=262.0)
        .press("next")
        .wait(80.0)
        .snapshot()
    ),
}


def forecast(snapshot: Snapshot) -> Foreseen:
    """Return the real forecast, and a made-up one for the cool-down."""
    pause = Foresight()(snapshot)
    if snapshot.state.phase is Phase.COOL_DOWN:
        return Foreseen(cool=fd.Forecast(9000.0, 8000.0, 12000.0))
    return pause


def text_of(app: PacerApp) -> str:
    """Return what the compositor would put on the screen, as text."""
    height = app.size.height
    lines = app.screen._compositor.render_strips()
    return "\n".join("".join(s.text for s in strip).rstrip() for strip in lines[:height])


async def _draw(name: str, folder: Path, size: tuple[int, int]) -> None:
    app = PacerApp(fd.FakeDesk(MOMENTS[name]()), Shown("metric"), forecast)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        app.look()
        await pilot.pause()
        stem = folder / f"{name}-{size[0]}x{size[1]}"
        stem.with_suffix(".svg").write_text(app.export_screenshot(), encoding="utf-8")
        stem.with_suffix(".txt").write_text(text_of(app) + "\n", encoding="utf-8")


def main(arguments: list[str]) -> None:
    """Draw all, or the moments named."""
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    for name in arguments[1:] or MOMENTS:
        for size in SIZES:
            asyncio.run(_draw(name, folder, size))


if __name__ == "__main__":
    main(sys.argv[1:])
