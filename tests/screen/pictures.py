"""Pictures of the screen, to be looked at: SVG at three sizes for chosen moments.

    python tests/screen/pictures.py FOLDER [--theme sunlit] [--ascii] [--size 80x24] [MOMENT ...]

Writes FOLDER/MOMENT-WIDTHxHEIGHT.svg, .txt (the same as plain text) and, where
rsvg-convert is there, .png. Moments are the names in `MOMENTS`. Not a test.
"""

from __future__ import annotations

import argparse
import asyncio
import html
import math
import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import fake_desk as fd
import sensor_states

from pacer.run.memo import Foresight
from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.screen.parts.ahead import Foreseen
from pacer.screen.themes import NAMES
from pacer.session.work import Phase
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


def _of(make: Callable[[], fd.Session]) -> Callable[[], Snapshot]:
    """Return what makes a session's snapshot."""
    return lambda: make().snapshot()


MOMENTS: dict[str, Callable[[], Snapshot]] = {
    "prepare": lambda: fd.prepared().snapshot(),
    "preheat": lambda: fd.preheating().snapshot(),
    "soak": lambda: fd.soaking().snapshot(),
    "ready": lambda: _with_history(_midway().snapshot()),
    "weld": lambda: _with_history(_midway().press("next").read(264.0, 3.0).snapshot()),
    "peen": lambda: _with_history(
        _midway().press("next").read(264.0, 12.0).press("next").read(271.0, 3.0).snapshot()
    ),
    "stop": lambda: _with_history(_midway().press("next").read(264.0, 13.0).snapshot()),
    "look": lambda: _with_history(fd.looking().snapshot()),
    "paused": lambda: _with_history(fd.paused().snapshot()),
    "quiet": lambda: _with_history(
        _midway().snapshot(
            off=("sound is off: no device", "the lamp on the second port was lost: unplugged")
        )
    ),
    "turn": lambda: _with_history(fd.root_laid().snapshot()),
    "wait": lambda: _with_history(fd.waiting().snapshot()),
    "reheat": lambda: _with_history(fd.reheating().snapshot()),
    "too-hot": lambda: fd.holding().read(310.0, 20.0).snapshot(),
    "no-reading": lambda: fd.waiting(290.0).wait(14.0).snapshot(),
    "hold": lambda: fd.holding().snapshot(),
    "inspect": lambda: fd.inspecting().snapshot(),
    "another-day": lambda: fd.another_day().snapshot(),
    "hot-bridged": lambda: fd.bridged().snapshot(),
    "hot-untimed": lambda: fd.untimed().snapshot(),
    "too-cold": lambda: fd.holding().ramp(190.0).read(190.0, 20.0).snapshot(),
    "not-saved": lambda: (
        fd.waiting().log("log").snapshot(trouble="log not saved: no space left on device")
    ),
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


MOMENTS |= {
    f"sensor-{state.name.lower()}": _of(make) for state, make in sensor_states.SESSIONS.items()
}
MOMENTS |= {
    "sensor-volts": lambda: sensor_states.volts().snapshot(),
    "sensor-taken": lambda: fd.holding().read(168.0, 20.0).snapshot(),
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


_TEXT = re.compile(r'<text ([^>]*?) x="([0-9.]+)"([^>]*?) textLength="([0-9.]+)"(.*?)>(.*?)</text>')


def bare(svg: str) -> str:
    """Return the exporter's SVG with nothing needed from outside.

    Renderers other than browsers fold runs of spaces unless told not to, and have no
    braille in cells of the font's width: each such dot cell is placed by itself.
    """
    svg = _TEXT.sub(_cell_by_cell, svg)
    svg = svg.replace("<text ", '<text xml:space="preserve" ')
    svg = re.sub(r"@font-face\s*\{[^}]*\}", "", svg)
    return svg.replace("Fira Code", "DejaVu Sans Mono")


def _cell_by_cell(found: re.Match[str]) -> str:
    before, x, between, length, after, text = found.groups()
    text = html.unescape(text)
    if not any("\u2800" <= ch <= "\u28ff" for ch in text):
        return found.group(0)
    step = float(length) / len(text)
    return "".join(
        f'<text {before} x="{float(x) + at * step:.1f}"{between}{after}>{ch}</text>'
        for at, ch in enumerate(text)
        if ch not in " \u2800"
    )


async def _draw(name: str, size: tuple[int, int], asked: argparse.Namespace) -> None:
    app = PacerApp(
        fd.FakeDesk(MOMENTS[name]()),
        Shown("metric"),
        forecast,
        theme=asked.theme,
        characters="ascii" if asked.ascii else "unicode",
    )
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        app.look()
        await pilot.pause()
        stem = asked.folder / f"{name}-{size[0]}x{size[1]}"
        svg = stem.with_suffix(".svg")
        svg.write_text(bare(app.export_screenshot(title="pacer")), encoding="utf-8")
        stem.with_suffix(".txt").write_text(text_of(app) + "\n", encoding="utf-8")
    if shutil.which("rsvg-convert"):
        png = str(stem.with_suffix(".png"))
        subprocess.run(["rsvg-convert", "-w", "1000", str(svg), "-o", png], check=True)


def main() -> None:
    """Draw all, or the moments named."""
    parser = argparse.ArgumentParser(description="Draw the screen.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("moments", nargs="*", metavar="MOMENT")
    parser.add_argument("--theme", choices=NAMES, default="dark")
    parser.add_argument("--ascii", action="store_true")
    parser.add_argument("--size", action="append", metavar="WIDTHxHEIGHT")
    asked = parser.parse_intermixed_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    sizes = [tuple(map(int, size.split("x"))) for size in asked.size or ()]
    for name in asked.moments or MOMENTS:
        for width, height in sizes or SIZES:
            asyncio.run(_draw(name, (width, height), asked))


if __name__ == "__main__":
    main()
