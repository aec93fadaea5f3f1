"""A session told in a few lines: readings, deeds, and the cues they bring.

told = Session(job).at(0, 250).at(1, "next")
told.cues  -> ["0.0 PREPARE", ...]
"""

from __future__ import annotations

import msgspec

from pacer.job.job import Job
from pacer.session.cues import Cue
from pacer.session.events import (
    DEEDS,
    Act,
    AnyEvent,
    Channel,
    ClockGap,
    GapBy,
    Opened,
    Reading,
    SensorChanged,
)
from pacer.session.fold import advance, begin, deadline, step
from pacer.session.state import State


def opened(job: Job, **fields: object) -> Opened:
    """A head for tests."""
    head = Opened(
        v=(1, 0),
        sid="0123456789abcdef",
        app="pacer test",
        wall="2026-01-01T08:00:00+00:00",
        job=job,
        channel=Channel(name="", unit="degC"),
    )
    return msgspec.structs.replace(head, **fields)


class Session:
    """Folds what it is told, and keeps the cues."""

    def __init__(self, job: Job, **head: object) -> None:
        self.opened = opened(job, **head)
        self.events: list[AnyEvent] = []
        self.state: State
        self.state, told = begin(self.opened)
        self.told: list[Cue] = list(told)

    def event(self, event: AnyEvent) -> Session:
        """Fold one event."""
        self.events.append(event)
        self.state, cues = step(self.state, event)
        self.told.extend(cues)
        return self

    def at(self, t_s: float, what: float | str) -> Session:
        """A temperature, a deed, or `reading 231` for a typed one, at `t_s`."""
        t_ms = round(t_s * 1000)
        if not isinstance(what, str):
            return self.event(Reading(t_ms=t_ms, raw=(float(what),), status="ok"))
        deed, _, rest = what.partition(" ")
        if what in DEEDS:
            # Taken at its word; what keys and contacts do besides is tested in test_prompts.
            return self.event(Act(t_ms=t_ms, deed=what, by="script"))
        if deed == "reading":
            return self.event(Act(t_ms=t_ms, deed="reading", temp_c=float(rest)))
        if deed == "bead":
            return self.event(Act(t_ms=t_ms, deed="bead", length_m=float(rest)))
        if deed == "lost":
            return self.event(SensorChanged(t_ms=t_ms, state="lost", why=rest))
        raise AssertionError(what)

    def gap(self, t_s: float, to_s: float, by: GapBy = "steady") -> Session:
        """Nobody watched from `t_s` to `to_s`; `by` says how that is known."""
        return self.event(ClockGap(t_ms=round(t_s * 1000), to_ms=round(to_s * 1000), by=by))

    def steady(self, from_s: float, to_s: float, temp_c: float, every_s: float = 1.0) -> Session:
        """Readings of `temp_c` from `from_s` up to, not including, `to_s`."""
        count = round((to_s - from_s) / every_s)
        for i in range(count):
            self.at(from_s + i * every_s, temp_c)
        return self

    def until(self, t_s: float) -> Session:
        """Let time pass."""
        self.state, cues = advance(self.state, t_s)
        self.told.extend(cues)
        return self

    @property
    def cues(self) -> list[str]:
        """Every cue so far as `time KIND`; repeats left out."""
        return [f"{cue.t_s:.1f} {cue.kind}" for cue in self.told if not cue.again]

    @property
    def repeats(self) -> list[str]:
        """Every repeat so far as `time KIND again`."""
        return [f"{cue.t_s:.1f} {cue.kind} {cue.again}" for cue in self.told if cue.again]

    def since(self, t_s: float) -> list[str]:
        """Cues told at or after `t_s`; repeats left out."""
        told = [cue for cue in self.told if cue.t_s >= t_s and not cue.again]
        return [f"{cue.t_s:.1f} {cue.kind}" for cue in told]

    @property
    def due(self) -> str | None:
        """What is due next, as `time name`."""
        timer = deadline(self.state)
        return None if timer is None else f"{timer.t_s:.1f} {timer.name}"


def ready(job: Job, to_s: float = 73.0) -> Session:
    """A hot session standing at READY since 72.0 s, with readings of 262 °C up to `to_s`.

    By hand, readings every second: prepare pressed at 1 s; 150 °C up to 8 s, then 262 °C.
    The median of three passes 260 °C with the second of them at 10 s; held for 2 s it ends
    the preheat at 12 s; 60 s of soak end at 72 s.
    """
    session = Session(job).at(0, 20.0).at(1, "next")
    return session.steady(2, 9, 150.0).steady(9, to_s, 262.0)
