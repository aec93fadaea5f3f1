"""The README's picture: the real screen over a kept recording, as SVG. Not a test.

    python tests/screen/readme_picture.py RECORDING SECONDS OUT.svg [WIDTHxHEIGHT]
    rsvg-convert -w 1200 OUT.svg -o pacer/guide/pictures/practice-100x30.png

Web fonts that the exporter names are taken out: the picture needs nothing from outside.
"""

from __future__ import annotations

import asyncio
import sys
from dataclasses import replace
from pathlib import Path

from pictures import bare

from pacer.recording.reader import Recording
from pacer.run.film import Film
from pacer.run.memo import Foresight
from pacer.run.replay import Replay
from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.units import Shown


class _At:
    """A clock that stands still until it is moved."""

    name = "source"

    def __init__(self) -> None:
        self.t_s = 0.0

    def now_s(self) -> float:
        """Return where it stands."""
        return self.t_s


class _Practice(Replay):
    """Shows a practice job as it was on the screen then."""

    def snapshot(self) -> Snapshot:
        """Return the moment without the marks of a replay."""
        return replace(super().snapshot(), kind="practice")


async def picture(recording: Path, at_s: float, out: Path, size: tuple[int, int]) -> None:
    """Write the screen as it was at session time `at_s`."""
    clock = _At()
    desk = _Practice(Film(Recording(recording)), clock, speed=1.0)  # type: ignore[arg-type]
    clock.t_s = at_s
    app = PacerApp(desk, Shown("metric"), Foresight())
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.6)
        svg = app.export_screenshot(title="pacer")
    out.write_text(bare(svg), encoding="utf-8")


if __name__ == "__main__":
    width, height = (sys.argv[4] if len(sys.argv) > 4 else "100x30").split("x")
    asyncio.run(
        picture(Path(sys.argv[1]), float(sys.argv[2]), Path(sys.argv[3]), (int(width), int(height)))
    )
