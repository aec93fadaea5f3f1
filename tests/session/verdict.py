"""How well the fold names a fault: found or not, when, what else it said, and what it cost.

What counts most is `misled_s`: for how long the instrument's value decided though it was
far from the truth. A state that is late costs time; a wrong value that decides costs a part.
"""

from __future__ import annotations

import math
from collections import Counter, deque
from dataclasses import dataclass, field

import numpy as np
from faults import Trace
from nuisance import LOOKS_BACK_S, TEMPERATURE, within

from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent
from pacer.session.fold import advance, step
from pacer.session.guard.standing import Standing, standing
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase

S, K = Standing, CueKind

WRONG_DC = 25.0
"""Farther from the truth than this a value misleads: the spikes' own limit (`track.AGREE_DC`)."""

CUE_OF: dict[Standing, CueKind] = {
    S.NOISY: K.NOISY,
    S.ARC: K.ARC_IN_READING,
    S.STUCK: K.STUCK,
    S.UNIT: K.WHICH_UNIT,
    S.PROBE: K.PROBE_OFF,
    S.JUMPED: K.JUMPED,
    S.REVERSED: K.REVERSED,
    S.WIRE: K.WIRE_TYPE,
    S.APART: K.APART,
    S.OUTSIDE: K.NO_READING,
    S.OPEN: K.NO_READING,
    S.SHORT: K.NO_READING,
    S.GARBLED: K.NO_READING,
    S.SILENT: K.NO_READING,
    S.LOST: K.NO_READING,
}
DOUBTS = frozenset(CUE_OF.values()) | {K.TYPE_A_READING}
FINE = frozenset({S.LIVE, S.CHECKING})


@dataclass
class Score:
    """What became of one trace."""

    seed: int
    found_s: float | None = None
    "From when it could be told to a right name."
    told_s: float | None = None
    "And to a cue of that name."
    wrong: set[Standing] = field(default_factory=set)
    "Names that were neither right nor allowed."
    misled_s: float = 0.0
    "Time, no arc burning, in which the instrument decided and was over 25 K off."
    cleared_s: float | None = None
    "From the fault's end until the value decides again and is near the truth."
    told: Counter[str] = field(default_factory=Counter)
    "Cues of the sensor, repeats left out."
    untrue: Counter[str] = field(default_factory=Counter)
    "Cues of temperature that the truth does not justify."
    phase: Phase = Phase.PREPARE
    "At the end."


def heeded(state: State, event: AnyEvent) -> bool:
    """True for all but a bead that the welder would not start: he waits for READY.

    A press would answer the question that stands instead: "it is right".
    """
    if not isinstance(event, Act):
        return True
    starts = {"next", "arc on"} if state.phase is Phase.READY else set[str]()
    ends = {"next", "arc off"} if state.phase is Phase.BEAD else set[str]()
    return event.deed not in {"next", "arc on", "arc off"} - starts - ends


def score(trace: Trace) -> Score:
    """Fold a trace and judge what was said of it."""
    state, result = trace.start, Score(trace.seed)
    kinds = {CUE_OF[name] for name in trace.right}
    seen: deque[float] = deque(maxlen=round(LOOKS_BACK_S / trace.period_s))
    for moment in trace.moments:
        t_s, cues = moment.t_s, list[Cue]()
        seen.append(moment.true_c)
        state, told = advance(state, t_s)
        cues += told
        for event in moment.events:
            if not heeded(state, event):
                continue
            state, told = step(state, event)
            cues += told
        name, since_s = standing(state, t_s).state, t_s - trace.known_s
        now = believed(state, t_s)
        misled = now is not None and not now.typed and abs(now.temp_c - moment.true_c) > WRONG_DC
        for cue in cues:
            if cue.again:
                continue
            if cue.kind in DOUBTS:
                result.told[str(cue.kind)] += 1
            if cue.kind in TEMPERATURE and not within(state, cue.kind, seen):
                result.untrue[str(cue.kind)] += 1
            if result.told_s is None and cue.kind in kinds and since_s >= 0.0:
                result.told_s = cue.t_s - trace.known_s
        if name in trace.right and since_s >= 0.0:
            result.found_s = since_s if result.found_s is None else result.found_s
        elif name not in trace.also | FINE and (name not in trace.right or t_s < trace.starts_s):
            result.wrong.add(name)
        if misled and not moment.arc and since_s >= 0.0:
            result.misled_s += trace.period_s
        fine = now is not None and not now.typed and not misled and not moment.arc
        if t_s >= trace.ends_s and result.cleared_s is None and fine:
            result.cleared_s = t_s - trace.ends_s
    result.phase = state.phase
    return result


@dataclass(frozen=True)
class Row:
    """The scores of one kind of fault."""

    traces: int
    found: float
    "Share with a right name."
    found_s: tuple[float, float]
    "Median and 95th percentile, s; of those found."
    told_s: tuple[float, float]
    misled_s: tuple[float, float]
    cleared_s: tuple[float, float]
    not_cleared: int
    wrong: Counter[str]
    "In how many traces each wrong name appeared."
    told: Counter[str]
    "In how many traces each cue of the sensor was told."
    untrue: Counter[str]
    "And each cue of temperature that was not true."


def row(scores: list[Score], *, ends: bool) -> Row:
    """Return the figures of several scores; `ends`: the fault ends within the traces."""
    cleared = [s.cleared_s for s in scores if s.cleared_s is not None]
    found = [s.found_s for s in scores if s.found_s is not None]
    return Row(
        traces=len(scores),
        found=len(found) / len(scores),
        found_s=spread(found),
        told_s=spread([s.told_s for s in scores if s.told_s is not None]),
        misled_s=spread([s.misled_s for s in scores]),
        cleared_s=spread(cleared),
        not_cleared=len(scores) - len(cleared) if ends else 0,
        wrong=Counter(str(name) for s in scores for name in s.wrong),
        told=Counter(kind for s in scores for kind in s.told),
        untrue=Counter(kind for s in scores for kind in s.untrue),
    )


def spread(values: list[float]) -> tuple[float, float]:
    """Return median and 95th percentile; NaN where there is nothing.

    >>> spread([1.0, 2.0, 3.0])[0]
    2.0
    """
    if not values:
        return math.nan, math.nan
    return float(np.median(values)), float(np.percentile(values, 95))
