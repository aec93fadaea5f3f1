"""Noisy sessions, and how many of their cues the truth does not justify (reliability.md T-33).

A practice part with its welder runs in a closed loop with the fold: he hears the cues that
the noise brings. The truth is the same probe without noise: lag and gain stay.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

import msgspec
from noise import Kind, Noise
from telling import Session, opened

from pacer.job.job import Job
from pacer.sensor.practice.probe import Probe
from pacer.sensor.practice.source import open_practice
from pacer.session.band import needed_for_bead_c
from pacer.session.cues import Cue, CueKind, Urgency
from pacer.session.events import AnyEvent, Channel, Reading
from pacer.session.fold import advance, begin, deadline, step
from pacer.session.state import State

LOOKS_BACK_S = 6.0
"""A cue speaks of the last seconds: 1 s lag of the median, 2 s on-delay, and some to spare."""

TOLERANCE_DC = 2.5
"""A class 2 thermocouple may be off by so much below 333 °C (IEC 60584, reliability.md 5)."""

PERIOD_S = 0.25
HELD_FROM_S = 80.0
STUCK_AFTER_S = 3.0 * 3600.0
"""A practice job is covered after an hour; later nothing but noise is told."""
CHANNEL = Channel("t1", "degC")

K = CueKind
TEMPERATURE = frozenset(
    {K.TOO_HOT, K.TOO_COLD, K.WAIT, K.REHEAT, K.PUT_BACK, K.READY, K.ALL_LAID, K.SOAK, K.UNCOVER}
)
REMARKS = frozenset({K.NOISY, K.ARC_IN_READING})
"""Told once in ten minutes and never waiting: the step before them still does."""
ALARMS = frozenset({Urgency.WARN, Urgency.FAULT})


UNUSABLE_OVER_S, UNUSABLE_SHARE, UNUSABLE_DC = 10.0, 0.4, 25.0
"""A sensor really can't be used while so many of its last readings are missing or far off. A
drop-out of 4 s is less: it is over before anybody could act (our choice)."""


class Still(Probe):
    """A probe without noise: lag and gain only."""

    def shown_c(self, *, arc: bool) -> float:
        """Return the lagged temperature times the gain."""
        return self._lagged_c * self._gain


@dataclass
class Told:
    """One cue and whether the truth justifies it."""

    cue: Cue
    true: bool


@dataclass
class Run:
    """What one session told."""

    hours: float = 0.0
    told: list[Told] = field(default_factory=list)
    stale: int = 0
    "Repeats of a cue that was no longer the one waiting."

    def alarms(self) -> list[Told]:
        """Return every WARN and FAULT, repeats too."""
        return [t for t in self.told if t.cue.urgency in ALARMS]

    def unexpected(self) -> list[Told]:
        """Return the alarms that the truth does not justify."""
        return [t for t in self.alarms() if not t.true]


def within(state: State, kind: CueKind, seen: Iterable[float]) -> bool:
    """True if the noiseless readings of the last seconds justify a temperature cue."""
    band, until_c = state.job.band, state.job.cooldown.until_c
    low, high, last = min(seen), max(seen), list(seen)[-1]
    floor_c, preheat_c = band.floor_c, band.preheat_c
    if kind in {K.TOO_HOT, K.WAIT}:
        return high > band.ceiling_c - TOLERANCE_DC
    if kind is K.UNCOVER:
        return low <= until_c + TOLERANCE_DC
    if kind is K.SOAK:
        return preheat_c is None or high >= preheat_c - TOLERANCE_DC
    if kind is K.TOO_COLD:
        return floor_c is not None and low < floor_c + TOLERANCE_DC
    if kind in {K.REHEAT, K.PUT_BACK}:
        return floor_c is not None and low < needed_for_bead_c(state, low) + TOLERANCE_DC
    assert kind in {K.READY, K.ALL_LAID}
    least_c = -273.15 if floor_c is None else floor_c
    return least_c - TOLERANCE_DC < last < band.ceiling_c + TOLERANCE_DC


class Seen(NamedTuple):
    """One moment of the truth, and whether a usable reading of it arrived."""

    t_s: float
    temp_c: float
    usable: bool


def usable(sent: Reading | None, true_c: float) -> bool:
    """True for a reading near the truth."""
    value = None if sent is None or sent.status != "ok" else sent.raw[0]
    return isinstance(value, float) and abs(value - true_c) <= UNUSABLE_DC


def justified(state: State, cue: Cue, seen: deque[Seen]) -> bool:
    """True for a step, and for an alarm or a temperature cue that the truth justifies.

    The practice burial is as planned, so nothing in it is faster, slower or moved.
    """
    recent = [moment.temp_c for moment in seen if moment.t_s >= cue.t_s - LOOKS_BACK_S]
    if cue.kind in TEMPERATURE:
        return within(state, cue.kind, recent or [seen[-1].temp_c])
    if cue.kind is K.NO_READING:
        last = [moment.usable for moment in seen if moment.t_s > cue.t_s - UNUSABLE_OVER_S]
        return last.count(False) >= UNUSABLE_SHARE * len(last)
    if cue.kind is K.UNCOVERED_EARLY:
        return seen[-1].temp_c > state.job.cooldown.until_c - TOLERANCE_DC
    return cue.urgency is Urgency.STEP


class Follower:
    """A fold that is told events and writes down cue and truth."""

    def __init__(self, job: Job, **head: object) -> None:
        self.state, cues = begin(opened(job, **head))
        self.run = Run()
        self.seen: deque[Seen] = deque([Seen(0.0, 20.0, True)], maxlen=60)
        self._fresh: list[Cue] = []
        self._write(cues)

    def event(self, event: AnyEvent) -> tuple[Cue, ...]:
        """Fold an event."""
        self.state, cues = step(self.state, event)
        return self._write(cues)

    def until(self, t_s: float) -> tuple[Cue, ...]:
        """Let time pass."""
        self.state, cues = advance(self.state, t_s)
        return self._write(cues)

    def _write(self, cues: tuple[Cue, ...]) -> tuple[Cue, ...]:
        for cue in cues:
            self.run.told.append(Told(cue, justified(self.state, cue, self.seen)))
            self.run.stale += bool(cue.again) and self._waits_no_more(cue)
            if not cue.again and cue.kind not in REMARKS:
                self._fresh.append(cue)
        return cues

    def _waits_no_more(self, cue: Cue) -> bool:
        """True for a repeat of another cue than the one that waits: they have queued up."""
        prompt = self.state.prompt
        if prompt is None or prompt.cue.kind is not cue.kind:
            return True
        rank = [Urgency.STEP, Urgency.WARN, Urgency.FAULT].index
        as_high = [c for c in self._fresh if rank(c.urgency) >= rank(cue.urgency)]
        return not as_high or as_high[-1].kind is not cue.kind


def practised(job: Job, kind: Kind, seed: int, *, to_the_end: bool = False) -> Run:
    """Return a practice session of this seed under this noise, up to its covering or its end."""
    part = open_practice(job, seed=seed, speed=0.0)
    probe = Still(seed, part.casting.truth.ambient_c)
    part.casting.probe = probe
    noise = Noise(kind, seed)
    follower = Follower(job, channel=part.channel, period_s=part.period_s)
    for told in follower.run.told:
        part.hear(told.cue)
    covered = False
    while not part.finished and (to_the_end or (not covered and part.clock() < STUCK_AFTER_S)):
        due = deadline(follower.state)
        heard = part.read(due.t_s if due else None)
        cues = () if heard else follower.until(part.clock())
        for item in heard:
            t_s = round(item.t_s, 3)
            event: AnyEvent | None = item.event
            if isinstance(event, Reading):
                true_c = probe.shown_c(arc=False)
                sent = noise.sent(t_s, true_c, arc=part.casting.arc)
                follower.seen.append(Seen(t_s, true_c, usable(sent, true_c)))
                event = sent
                cues += follower.until(t_s)
            if event is not None:
                event = msgspec.structs.replace(event, t_ms=round(t_s * 1000))
                cues += follower.event(event)
        for cue in cues:
            part.hear(cue)
            covered = covered or cue.kind is K.COVERED
    follower.run.hours = part.clock() / 3600.0
    return follower.run


def in_hold(job: Job) -> State:
    """Return the state at 80 s of a part that was READY at 72 s and is kept warm from 75 s on."""
    session = Session(job, channel=CHANNEL, period_s=PERIOD_S).at(0, 20.0).at(1, "next")
    session.steady(1.25, 75.0, 262.0, every_s=PERIOD_S).at(75, "hold")
    return session.steady(75.25, HELD_FROM_S, 262.0, every_s=PERIOD_S).state


def held(
    start: State, kind: Kind, seed: int, true_c: Callable[[float], float], span_s: float
) -> Run:
    """Return what `span_s` of hold from `start` on bring, the part at `true_c` of each moment."""
    follower = Follower(start.job, channel=CHANNEL, period_s=PERIOD_S)
    follower.state, follower.run = start, Run(hours=span_s / 3600.0)
    noise = Noise(kind, seed)
    for index in range(round(span_s / PERIOD_S)):
        t_s = HELD_FROM_S + index * PERIOD_S
        now_c = true_c(t_s - HELD_FROM_S)
        reading = noise.sent(t_s, now_c, arc=False)
        follower.seen.append(Seen(t_s, now_c, usable(reading, now_c)))
        follower.until(t_s)
        if reading is not None:
            follower.event(reading)
    return follower.run


@dataclass(frozen=True)
class Figures:
    """The figures of T-33 over several runs."""

    hours: float
    per_10_min: float
    "Unexpected alarms, mean."
    in_a_minute: int
    "Unexpected alarms at most in any minute."
    chattering: dict[str, int]
    "Kinds of WARN and FAULT told three times or more within 60 s, and how often at most."
    steps: dict[str, int]
    "The same of steps, for information."
    true_share: float
    "Share of temperature cues that are true."
    unexpected: dict[str, int]
    untrue: dict[str, int]
    stale: int


def most_within(times_s: list[float], span_s: float) -> int:
    """Return the largest number of times within any span.

    >>> most_within([0.0, 30.0, 59.9, 60.0, 200.0], 60.0)
    3
    """
    return max((sum(0 <= later - t < span_s for later in times_s) for t in times_s), default=0)


def figures(runs: list[Run]) -> Figures:
    """Return the figures of several runs."""
    hours = sum(run.hours for run in runs)
    unexpected = [told for run in runs for told in run.unexpected()]
    temperature = [t for run in runs for t in run.told if t.cue.kind in TEMPERATURE]
    chattering: Counter[str] = Counter()
    for run in runs:
        for kind in {str(told.cue.kind) for told in run.told}:
            times_s = [told.cue.t_s for told in run.told if told.cue.kind == kind]
            chattering[kind] = max(chattering[kind], most_within(times_s, 60.0))
    many = {kind: n for kind, n in chattering.items() if n >= 3}
    alarms = {str(t.cue.kind) for run in runs for t in run.alarms()}
    return Figures(
        hours=hours,
        per_10_min=len(unexpected) / (6.0 * hours),
        in_a_minute=max(most_within([t.cue.t_s for t in run.unexpected()], 60.0) for run in runs),
        chattering={kind: n for kind, n in many.items() if kind in alarms},
        steps={kind: n for kind, n in many.items() if kind not in alarms},
        true_share=sum(t.true for t in temperature) / len(temperature) if temperature else 1.0,
        unexpected=dict(Counter(str(t.cue.kind) for t in unexpected)),
        untrue=dict(Counter(str(t.cue.kind) for t in temperature if not t.true)),
        stale=sum(run.stale for run in runs),
    )
