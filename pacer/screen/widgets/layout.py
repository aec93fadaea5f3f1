"""How the rows of the terminal are shared out: one composition for each size, none clipped.

The word and the number that matters now get the first rows and grow with the height; the
trend, the crack map and the last cues get what is left. Row figures: reliability.md
section 7 (`pacer guide screen` shows the sum). In a lower window panels go one by one, the
word and the temperature last.
"""

from __future__ import annotations

from typing import NamedTuple

from rich.cells import cell_len
from textual.geometry import Size
from textual.screen import Screen

from pacer.screen.view import View
from pacer.screen.widgets.giants import LEADING
from pacer.screen.widgets.lines import TopLine
from pacer.session.cues import Urgency

LEAST = Size(80, 24)
LEAST_TREND = 3
"""Rows below which the trend says nothing and leaves its place to the crack map."""

_ONE_EACH = 3
"Rows of the top line, the caution and the key bar."

# (rows free for all other than the single lines: rows of the word, of the two numbers).
# A number has a label row below it; where the word has a row to spare it is a margin.
_SHARES = (
    (41, 16, 14),
    (38, 15, 13),
    (34, 14, 12),
    (29, 12, 11),
    (26, 11, 10),
    (22, 10, 8),
    (19, 7, 8),
    (17, 7, 6),
)


class Layout(NamedTuple):
    """Rows of each panel, 0 where it isn't shown."""

    word: int
    words: int
    quiet: int
    giants: int
    gauge: int
    below: int
    "Trend at the left, crack map, sensor and last cues at the right."
    side: int
    "Columns of the right-hand part; the whole width where there is no trend."
    joint: int
    sensor: int
    cues: int
    quiet_low: int
    "The quiet line where it has no row of its own: it borrows one above the caution."
    foot: int
    keys: int
    checklist: int = 0
    "The list of the preparation, in place of the giant numbers and all below them."
    nowline: int = 0
    "Then the temperature's row."
    findings: int = 0
    "The findings beside a replay, in place of the giant numbers; the trend stays where it can."


def layout(width: int, height: int, *, time_leads: bool, quiet: bool) -> Layout:
    """Return the composition for a terminal of so many columns and rows.

    `time_leads`: the time is drawn larger than the temperature. `quiet`: there is a quiet line.
    """
    if height < LEAST.height:
        return _small(height)
    own_row = height >= 29
    low = 0 if own_row or not quiet else 1
    wide = width >= 140 and height >= 42
    gauge = 3 if wide else 2
    free = height - _ONE_EACH - 2 - gauge - (1 if own_row else 0)
    word, giants = next((w, g) for least, w, g in _SHARES if free >= least)
    if time_leads:
        giants += LEADING
    below = free - word - giants - low
    joint, sensor, cues = _side(below, 5 if wide else 3 if own_row else 2)
    side = 76 if wide else 48 if width >= 96 else min(42, width // 2)
    return Layout(
        word=word,
        words=2,
        quiet=1 if own_row else 0,
        giants=giants,
        gauge=gauge,
        below=below,
        side=side if below >= LEAST_TREND else width,
        joint=joint,
        sensor=sensor,
        cues=cues,
        quiet_low=low,
        foot=1,
        keys=1,
    )


def listing(width: int, height: int, *, quiet: bool, words: int) -> Layout:
    """Return the composition with the list of the preparation, in a terminal that isn't too small.

    The part is cold: the list is read from near, and takes what the numbers and the trend
    have elsewhere. `words`: letters of the line below the word.
    """
    usual = layout(width, height, time_leads=False, quiet=quiet)
    word = 5 if height < 29 else 7 if height < 42 else 9
    rows = 2 if words > width - 2 else 1
    used = _ONE_EACH + word + rows + usual.quiet + usual.quiet_low + 1
    gone = {"giants": 0, "gauge": 0, "below": 0, "joint": 0, "sensor": 0, "cues": 0}
    return usual._replace(
        word=word, words=rows, checklist=height - used, nowline=1, side=width, **gone
    )


_TREND_BESIDE = 6
"Rows of the trend below the findings, in a window that has them."


def finding_list(width: int, height: int, *, quiet: bool, words: int) -> Layout:
    """Return the composition with the findings open beside a replay, which is read from near."""
    plan = listing(width, height, quiet=quiet, words=words)
    usual = layout(width, height, time_leads=False, quiet=quiet)
    below = _TREND_BESIDE if height >= 29 else 0
    joint, sensor, cues = _side(below, 3)
    return plan._replace(
        checklist=0,
        findings=plan.checklist - below,
        below=below,
        side=usual.side,
        joint=joint,
        sensor=sensor,
        cues=cues,
    )


def _side(below: int, map_rows: int) -> tuple[int, int, int]:
    """Return rows of crack map, sensor and last cues."""
    joint = min(below, map_rows)
    # Several channels with their states need a second row.
    sensor = min(2 if below - joint >= 4 else 1, below - joint)
    return joint, sensor, below - joint - sensor


def _small(height: int) -> Layout:
    """Return what is left in a window too small: the word and the temperature at least."""
    left = max(0, height - 1)
    wanted = {"word": 1, "giants": 2, "keys": 1, "words": 1, "foot": 1}
    rows = dict.fromkeys(("word", "giants", "keys", "words", "foot", "gauge"), 0)
    for name, least in wanted.items():
        rows[name] = min(least, left)
        left -= rows[name]
    for name, more in (("word", 4), ("giants", 4), ("word", 2), ("gauge", 2), ("words", 1)):
        if left >= more:
            rows[name] += more
            left -= more
    rows["word"] += left
    return Layout(
        word=rows["word"],
        words=rows["words"],
        quiet=0,
        giants=rows["giants"],
        gauge=rows["gauge"],
        below=0,
        side=0,
        joint=0,
        sensor=0,
        cues=0,
        quiet_low=0,
        foot=rows["foot"],
        keys=rows["keys"],
    )


_PANELS = {
    "word": "word",
    "words": "words",
    "quiet": "quiet",
    "giants": "giants",
    "gauge": "gauge",
    "below": "below",
    "joint": "joint",
    "sensor": "sensor",
    "cues": "cues",
    "quiet-low": "quiet_low",
    "checklist": "checklist",
    "nowline": "nowline",
    "findings": "findings",
    "foot": "foot",
}


Arranged = tuple[Layout, bool, Size, Urgency | None] | None


def arrange(screen: Screen[None], size: Size, view: View | None, last: Arranged) -> Arranged:
    """Give every panel its rows for this size and moment; cheap where it is as `last` was."""
    if not screen.query(TopLine):
        return None
    time_leads = view is not None and view.time_leads
    quiet = view is not None and view.quiet != ""
    if view is not None and view.preparation is not None:
        plan = listing(size.width, size.height, quiet=quiet, words=cell_len(view.words))
    elif view is not None and view.findings is not None:
        plan = finding_list(size.width, size.height, quiet=quiet, words=cell_len(view.words))
    else:
        plan = layout(size.width, size.height, time_leads=time_leads, quiet=quiet)
    has_time = view is None or view.clock != ""
    urgency = None if view is None else view.urgency
    now = (plan, has_time, size, urgency)
    if last == now:
        return last
    # A band behind the word: its letters need paper above and below them, so the lines
    # there belong to it.
    screen.set_class(urgency is Urgency.WARN, "-warn")
    screen.set_class(urgency is Urgency.FAULT, "-fault")
    for name, field in _PANELS.items():
        panel = screen.query_one(f"#{name}")
        rows = getattr(plan, field)
        panel.set_class(rows == 0, "-gone")
        panel.styles.height = rows
    screen.query_one("#side").styles.width = plan.side
    screen.query_one("#trend").set_class(plan.below < LEAST_TREND, "-gone")
    screen.query_one("#giants").set_class(time_leads, "-leads")
    screen.query_one("#clock").set_class(not has_time, "-gone")
    screen.query_one(TopLine).small = too_small(size)
    return now


def too_small(size: Size) -> str:
    """Return what to do about a window too small, or nothing."""
    if size.width >= LEAST.width and size.height >= LEAST.height:
        return ""
    least, now = (f"{w}x{h}" for w, h in (LEAST, size))
    if size.width < 76:
        return f"window {now}: make it {least}"
    return f"make the window at least {least} (now {now}) or the font smaller"
