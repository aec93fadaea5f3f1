"""Random walks through a session: jobs and sources at their edges, and a careless welder.

A walk is made from a seed; its numbers are invented. Temperatures keep near the limits of the
job, where rules answer each other; presses come in bursts, at the same instant too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple, TypeVar, get_args

import numpy as np
from conftest import COLD, HOT
from written import head_of

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.session.cues import Cue
from pacer.session.events import (
    DEEDS,
    Act,
    AnyEvent,
    ArcSignal,
    Channel,
    ClockGap,
    Deed,
    GapBy,
    Opened,
    Reading,
    Resumed,
    SensorChanged,
    Status,
    Trouble,
)
from pacer.session.fold import advance, deadline, step
from pacer.session.state import State

T = TypeVar("T")

_PREHEAT, _FLOOR, _CEILING = 'preheat = "260 degC"', 'floor = "200 degC"', 'ceiling = "300 degC"'
_CHANGES: dict[str, tuple[tuple[str, str], ...]] = {
    "hot": (),
    # Little room between floor, preheat and ceiling.
    "narrow": (
        (_PREHEAT, 'preheat = "207 degC"'),
        (_CEILING, 'ceiling = "230 degC"'),
        ('temperature = "260 degC"', 'temperature = "210 degC"'),
    ),
    "tight": ((_PREHEAT, 'preheat = "262 degC"'), (_FLOOR, 'floor = "255 degC"')),
    # So light that it sinks far during one bead.
    "light": (
        (_PREHEAT, 'preheat = "212 degC"'),
        ('mass = "3.2 kg"', 'mass = "0.3 kg"'),
        ('size = ["260 mm", "180 mm", "40 mm"]', ""),
        ('wall = "12 mm"', 'wall = "5 mm"'),
        ('length = "25 mm"', 'length = "13 mm"'),
    ),
    "hot tack": (("crack_length", 'tack = "hot"\ncrack_length'),),
    "cold tack": (("crack_length", 'tack = "cold"\ncrack_length'),),
}
JOBS = (*_CHANGES, "cold")

SOURCES: dict[str, dict[str, Any]] = {
    "plain": {},
    "arc signal": {"channel": Channel("t", "degC", arc=ArcSignal("i", on=20.0, off=10.0))},
    "noise": {"channel": Channel("", "degC", arc=ArcSignal(noise=True))},
    "hand": {"hand": True},
}
"""What the recording's head says of each source."""

_NEAR_LIMITS_C = (
    *(20.0, 39.0, 150.0, 198.0, 201.0, 203.0, 205.0, 208.0, 230.0),
    *(254.0, 257.0, 261.0, 262.0, 268.0, 295.0, 299.0, 301.0, 320.0),
)
_TYPED_C = (20.0, 199.0, 201.0, 230.0, 262.0, 305.0)
_HASTY_MS = (0, 1, 250, 250, 250, 250, 400, 500, 1000, 1000, 2000)
_ANY_MS = (*_HASTY_MS, 3500, 10_000, 60_000, 200_000)
_LIKELY: tuple[Deed, ...] = (
    *("undo", "undo", "pause", "pause", "shelve", "shelve"),
    *("arc on", "arc off", "finish", "covered", "hold"),
)


def job_named(name: str) -> Job:
    """Return the job of this name, one of `JOBS`."""
    text = COLD if name == "cold" else HOT
    for old, new in _CHANGES.get(name, ()):
        assert old in text, old
        text = text.replace(old, new)
    return job_from_text(text, f"{name}.toml")


def head(job: str, source: str) -> Opened:
    """Return a walk's head."""
    return head_of(job_named(job), **{"channel": Channel("", "degC"), **SOURCES[source]})


class Moment(NamedTuple):
    """One instant at which something was folded."""

    before: State
    after: State
    cues: tuple[Cue, ...]
    event: AnyEvent | None
    "None: timers alone."


def moments(state: State, events: Sequence[AnyEvent]) -> Iterator[Moment]:
    """Fold with a wake-up at every deadline, half-way between events and after each."""
    for event in events:
        middle_s = round((state.t_s + event.t_s) / 2, 3)
        for wake_s in (middle_s, event.t_s):
            while (timer := deadline(state)) is not None and timer.t_s <= wake_s:
                before = state
                state, cues = advance(before, timer.t_s)
                yield Moment(before, state, cues, None)
            # Nothing is due: time alone passes.
            before = state
            state, cues = advance(before, wake_s)
            yield Moment(before, state, cues, None)
        before = state
        state, cues = step(before, event)
        yield Moment(before, state, cues, event)
        before = state
        state, cues = advance(before, before.t_s)
        yield Moment(before, state, cues, None)


class Walk:
    """Makes the events of one walk, in order of time."""

    def __init__(self, source: str, seed: int) -> None:
        self._source = source
        self._rng = np.random.default_rng(seed)
        self._t_ms = 0
        self._temp_c = self._one((20.0, 150.0, 205.0, 262.0))
        self._amps = 0.0
        self._period_ms = self._one((100, 250, 250, 1000, 3000, 10_000))
        # Most walks are hasty, so that something is still held from before when a press comes.
        self._steps_ms = _HASTY_MS if self._chance(0.6) else _ANY_MS

    def events(self, least: int) -> list[AnyEvent]:
        """Return at least so many events; half of the walks begin with a part that is warm."""
        events: list[AnyEvent] = self._warmed() if self._chance(0.5) else []
        while len(events) < least:
            events.extend(self._some())
        return events

    def _one(self, options: Sequence[T]) -> T:
        return options[int(self._rng.random() * len(options))]

    def _chance(self, share: float) -> bool:
        return bool(self._rng.random() < share)

    def _later(self, steps_ms: Sequence[int]) -> int:
        self._t_ms += self._one(steps_ms)
        return self._t_ms

    def _warmed(self) -> list[AnyEvent]:
        """Prepared and soaked at 262 °C: the later phases come within reach."""
        self._temp_c = 262.0
        events: list[AnyEvent] = []
        for _ in range(3):
            events.append(Act(t_ms=self._later((1500,)), deed="next", by="script"))
            events.extend(self._reading() for _ in range(12))
        return events

    def _some(self) -> list[AnyEvent]:
        if self._chance(0.12):
            self._temp_c = self._one(_NEAR_LIMITS_C)
        kind = self._rng.random()
        if kind < 0.55:
            return [self._reading() for _ in range(self._one((1, 3, 8, 12, 40)))]
        if kind < 0.75:
            return self._press()
        if kind < 0.93:
            return [self._deed()]
        return [self._news() if kind < 0.98 else self._gap()]

    def _press(self) -> list[AnyEvent]:
        """Press; now and then the sensor is silent after it, or it is taken back too late."""
        by = self._one(("key", "pedal", "contact", "script"))
        events: list[AnyEvent] = [Act(t_ms=self._later(_ANY_MS), deed="next", by=by)]
        if self._chance(0.15):
            events.append(Act(t_ms=self._later((7000, 9000, 40_000)), deed="note"))
        if self._chance(0.2):
            self._temp_c = self._one(_NEAR_LIMITS_C)
            events.extend(self._reading() for _ in range(self._one((0, 5, 12))))
            events.append(Act(t_ms=self._later(_HASTY_MS), deed="undo"))
        return events

    def _reading(self) -> Reading:
        self._t_ms += self._period_ms
        status: Status = "ok"
        temp_c = self._temp_c + self._one((0.0, 0.0, 0.0, 0.3, -0.3))
        odd = self._rng.random()
        if odd < 0.04:
            status = "open" if odd < 0.02 else "unparsable"
        elif odd < 0.08:
            temp_c += self._one((-150.0, 150.0, 900.0))
        if self._source == "arc signal":
            if self._chance(0.08):
                self._amps = self._one((0.0, 15.0, 50.0, 50.0))
            both: tuple[Status, ...] = (status, "ok")
            return Reading(t_ms=self._t_ms, raw=(temp_c, self._amps), status=both, names=("t", "i"))
        if self._chance(0.1):
            other_c = temp_c + self._one((0.0, -30.0, 30.0))
            return Reading(t_ms=self._t_ms, raw=(temp_c, other_c), status="ok")
        return Reading(t_ms=self._t_ms, raw=(temp_c,), status=status)

    def _deed(self) -> Act:
        deed = self._one(DEEDS + _LIKELY)
        reading = deed == "reading"
        return Act(
            t_ms=self._later(self._steps_ms),
            deed=deed,
            by=self._one(("key", "contact", "script", "signal")),
            temp_c=self._one(_TYPED_C) if reading else None,
            side=self._one((0, 0, 1, -1)) if reading else 0,
            length_m=self._one((None, 0.01)),
            held_s=self._one((None, 0.4, 2.0)),
        )

    def _news(self) -> AnyEvent:
        t_ms = self._later(_ANY_MS)
        news: tuple[AnyEvent, ...] = (
            SensorChanged(t_ms=t_ms, state="lost", why="unplugged"),
            SensorChanged(t_ms=t_ms, state="opened"),
            SensorChanged(t_ms=t_ms, state="paced", period_s=self._one((0.25, 1.0, 10.0))),
            Resumed(t_ms=t_ms, hand=self._source == "hand"),
            Trouble(t_ms=t_ms, what="pedal", why="gone"),
        )
        return self._one(news)

    def _gap(self) -> ClockGap:
        start_ms = self._later(_ANY_MS)
        by = self._one(get_args(GapBy))
        if by != "unknown":
            self._t_ms += self._one((1000, 7000, 60_000, 300_000, 20_000_000))
        return ClockGap(t_ms=start_ms, to_ms=self._t_ms, by=by)


def one_reading(state: State, t_ms: int, temp_c: float) -> Reading:
    """Return a line of the deciding channel; where there is an arc signal it says no arc."""
    arc, name = state.sensor.channel.arc, state.sensor.control or "t"
    if arc is not None and arc.name:
        return Reading(t_ms=t_ms, raw=(temp_c, 0.0), status="ok", names=(name, arc.name))
    return Reading(t_ms=t_ms, raw=(temp_c,), status="ok", names=(name,))


def futures(state: State) -> tuple[list[AnyEvent], ...]:
    """Return what may well come next.

    Silence; a warm part and a press; a cold one, a press out of place and the last one undone.
    """
    t_ms, warm_c = round(state.t_s * 1000), state.job.band.preheat_c or 30.0

    def then(temp_c: float, *deeds: Deed) -> list[AnyEvent]:
        heard = [one_reading(state, t_ms + ms, temp_c) for ms in range(500, 5001, 500)]
        return [*heard, *(Act(t_ms=t_ms + 5000, deed=deed) for deed in deeds)]

    silence: list[AnyEvent] = [Act(t_ms=t_ms + 12_000, deed="note")]
    return silence, then(warm_c + 3.0, "next"), then(20.0, "finish", "undo")


class Onward:
    """Goes on from any state as a good day does: steady readings, a press now and then."""

    def __init__(self, state: State) -> None:
        self.state = state
        self._t_ms = round(state.t_s * 1000)

    def read(self, temp_c: float, seconds: int) -> None:
        """Hear the same temperature once a second."""
        for _ in range(seconds):
            self._t_ms += 1000
            self._fold(one_reading(self.state, self._t_ms, temp_c))

    def press(self, deed: Deed) -> None:
        """Do something by key."""
        self._fold(Act(t_ms=self._t_ms, deed=deed))

    def _fold(self, event: AnyEvent) -> None:
        self.state, _ = step(self.state, event)
