"""`view`: everything the welder sees at a moment, as finished short strings and numbers.

    shown = view(desk.snapshot(), Shown("metric"), foreseen)

No terminal library here: what is seen is tested as text, and the headless run and the
reports can use it. Widgets only paint what stands here. Every string is clean.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pacer.screen.desk import Kind, Snapshot
from pacer.screen.keys import bar
from pacer.screen.parts.ahead import Foreseen
from pacer.screen.parts.cautions import caution
from pacer.screen.parts.cool import Forecast, course_words
from pacer.screen.parts.findings import FindingList
from pacer.screen.parts.joint import CrackMap, crack_map
from pacer.screen.parts.measuring import probe_rule
from pacer.screen.parts.now import LEADS, now, unsaved
from pacer.screen.parts.preparation import Preparation
from pacer.screen.parts.quiet import quiet
from pacer.screen.parts.scale import Gauge, Trend, gauge, trend
from pacer.screen.parts.source import sensor_line
from pacer.screen.parts.temperature import Temperature, temperature
from pacer.screen.words import words
from pacer.session import log_news
from pacer.session.cues import CUES, CueKind, Urgency
from pacer.session.forecast import Course
from pacer.session.guard.standing import Standing, standing
from pacer.session.prompt import alarm
from pacer.session.work import Phase
from pacer.text import clean
from pacer.units import Shown

__all__ = ["Forecast", "Foreseen", "View", "beat_at", "session_time", "view"]


@dataclass(frozen=True, slots=True)
class View:
    """One moment, ready to be painted."""

    phase: Phase
    kind: Kind
    title: str
    "Job, recording."
    time: str
    "Session time."
    banner: str
    "Practice or replay, its speed; empty when live."
    trouble: str
    "What failed, where it isn't the giant word already."
    word: str
    "What to do now, giant."
    urgency: Urgency
    words: str
    clock: str
    "Giant time; empty where none is known."
    clock_unit: str
    clock_label: str
    temp: Temperature
    rate: str
    "How fast it rises or falls, where that is known."
    gauge: Gauge
    joint: CrackMap
    trend: Trend
    cues: tuple[tuple[str, str], ...]
    "Last cues, newest first: session time with the word, and the line of words."
    sensor: str
    caution: str
    keys: tuple[tuple[str, str], ...]
    "(key, word) for the key bar."
    quiet: str = ""
    "What stands open without asking for anything now; never the only place it is told."
    unanswered: bool = False
    "A WARN or FAULT waits for an answer: marks beside the word go to and fro."
    only_in_memory: int = 0
    "Records that are not on the disk."
    beat: bool = False
    "Which way they stand: of real time, also where session time runs fast."
    time_leads: bool = False
    "The giant time matters more than the temperature."
    stands: Standing = Standing.HAND
    "The deciding sensor's state, for the page of states."
    measured: str = ""
    "Where the probe sits and where the standard has it, for that page."
    findings: FindingList | None = None
    "The findings beside a replay, while they are open (`screen/found.py`)."
    preparation: Preparation | None = None
    "The list before the heat, while the screen asks about it (`screen/listing.py`)."


def view(
    snapshot: Snapshot, shown: Shown, foreseen: Foreseen | None = None, *, beat: bool = False
) -> View:
    """Return what is seen of a snapshot; `foreseen` is what was forecast for it, if anything.

    `beat` changes twice a second of real time and moves the marks of an unanswered alarm.
    """
    state, t_s = snapshot.state, snapshot.t_s
    foreseen = foreseen or Foreseen()
    said = now(snapshot, shown, foreseen)
    temp = temperature(state, t_s, shown)
    trouble = _trouble(snapshot, said.word)
    waits = alarm(state) or log_news.unanswered(state) is not None
    return View(
        phase=state.phase,
        kind=snapshot.kind,
        title=f"{clean(state.job.title, 40)} · {clean(snapshot.log, 40)}",
        time=_time(snapshot),
        banner=_banner(snapshot),
        trouble=trouble,
        word=said.word,
        urgency=said.urgency,
        words=clean(said.words, 300),
        clock=said.clock,
        clock_unit=said.unit,
        clock_label=said.label,
        temp=temp,
        rate=_moving(snapshot, shown, temp, foreseen.course),
        gauge=gauge(state, shown, temp.temp_c),
        joint=crack_map(state),
        trend=trend(state, shown, snapshot.trend, t_s, _curve(foreseen.course)),
        cues=tuple(
            (f"{session_time(cue.t_s)} {cue.word}", words(cue, shown))
            for cue in snapshot.cues[::-1]
        ),
        sensor=sensor_line(state, t_s, shown),
        caution=caution(state, t_s),
        keys=bar(state.phase, snapshot.kind),
        quiet=clean(quiet(snapshot, shown), 200),
        unanswered=waits,
        only_in_memory=snapshot.only_in_memory,
        beat=beat and waits,
        time_leads=state.phase in LEADS,
        stands=standing(state, t_s).state,
        measured=probe_rule(state.job, shown),
    )


def _trouble(snapshot: Snapshot, word: str) -> str:
    """Return what failed, where it isn't the giant word already."""
    trouble, not_saved = clean(snapshot.trouble, 120), CUES[CueKind.LOG_NOT_SAVED].word
    if not unsaved(trouble):
        return trouble
    if word == not_saved:
        return ""
    return f"{not_saved}{trouble[len(not_saved) :]}"


def beat_at(t_s: float) -> bool:
    """Return which way the marks of an unanswered alarm stand, t_s in real seconds: 1 Hz, 50 %.

    >>> [beat_at(t) for t in (0.0, 0.25, 0.5, 0.75, 1.0)]
    [False, False, True, True, False]
    """
    return math.floor(2.0 * t_s) % 2 == 1


def _moving(snapshot: Snapshot, shown: Shown, temp: Temperature, course: Course | None) -> str:
    if course is not None and snapshot.state.phase is Phase.COOL_DOWN:
        words = course_words(snapshot.state, snapshot.t_s, shown, course)
        if words:
            return words
    if temp.temp_c is None or snapshot.state.sensor.hand:
        return ""
    return _rate(snapshot, shown)


def _curve(course: Course | None) -> tuple[tuple[float, float], ...]:
    return () if course is None else tuple((t_s, temp_c) for t_s, temp_c, _, _ in course.curve)


def session_time(t_s: float) -> str:
    """Return session time as h:mm:ss.

    >>> session_time(3725.9)
    '1:02:05'
    """
    whole = max(0, math.floor(t_s + 1e-6))
    return f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def _time(snapshot: Snapshot) -> str:
    """Return session time; in a replay that stands still to the ms, since steps are that short."""
    if snapshot.kind == "replay" and snapshot.paused:
        return to_the_ms(round(snapshot.t_s * 1000))
    return session_time(snapshot.t_s)


def to_the_ms(t_ms: int) -> str:
    """Return session time as h:mm:ss.mmm.

    >>> to_the_ms(3725250)
    '1:02:05.250'
    """
    return f"{session_time(t_ms // 1000)}.{t_ms % 1000:03d}"


def _banner(snapshot: Snapshot) -> str:
    how = clean(snapshot.invented, 80)
    if snapshot.kind == "live":
        if how:
            return f"INVENTED DATA: {how}"
        said = ["DAMAGED RECORDING"] if snapshot.damaged else []
        return ", ".join([*said, "SESSION ENDED"] if snapshot.over else said)
    name = "REPLAY"
    if how or snapshot.kind == "practice":
        name = (
            "PRACTICE, invented data" if snapshot.kind == "practice" else "REPLAY of invented data"
        )
    if snapshot.damaged:
        name += ", damaged,"
    if not snapshot.watched:
        name += ", nobody watched,"
    pace = "paused" if snapshot.paused else f"×{abs(snapshot.speed):g}"
    if snapshot.over:
        return f"{name} at its {'start' if snapshot.speed < 0 else 'end'}"
    return f"{name} {pace}{', backwards' if snapshot.speed < 0 else ''}"


RATE_OVER_S = {Phase.READY: 45.0, Phase.PEEN: 45.0, Phase.WAIT: 45.0, Phase.REHEAT: 45.0}
RATE_OVER_SLOW_S = 180.0
RATE_OVER_COOLING_S = 600.0
RATE_POINTS = 5
"""Slopes over the last seconds and so many points at least. Common practice, no source."""


def _rate(snapshot: Snapshot, shown: Shown) -> str:
    """Return the mean slope of the last points, per minute; empty while the arc burns."""
    if snapshot.state.phase is Phase.BEAD:
        return ""
    cooling = snapshot.state.phase is Phase.COOL_DOWN
    slow_s = RATE_OVER_COOLING_S if cooling else RATE_OVER_SLOW_S
    span_s = RATE_OVER_S.get(snapshot.state.phase, slow_s)
    recent: list[tuple[float, float]] = []
    for t_s, temp_c in reversed(snapshot.trend):
        if temp_c is None or snapshot.t_s - t_s > span_s:
            break
        recent.append((t_s, temp_c))
    if len(recent) < RATE_POINTS or recent[0][0] - recent[-1][0] < span_s / 3:
        return ""
    middle_s = sum(t for t, _ in recent) / len(recent)
    middle_c = sum(c for _, c in recent) / len(recent)
    over = sum((t - middle_s) ** 2 for t, _ in recent)
    slope = sum((t - middle_s) * (c - middle_c) for t, c in recent) / over
    change = slope * (3600.0 if cooling else 60.0)
    degrees = abs(shown.temp_number(change) - shown.temp_number(0.0))
    if degrees < 1:
        return "steady"
    unit = "°F" if shown.system == "us" else "°C"
    way = "rising" if slope > 0 else "falling"
    return f"{way} {degrees:.0f} {unit} {'an hour' if cooling else 'a minute'}"
