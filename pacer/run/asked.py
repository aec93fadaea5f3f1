"""Answers about a moment of a recording: what was forecast with what was known then."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pacer.errors import UserInputError
from pacer.recording.reader import Recording
from pacer.run.refold import states
from pacer.session import forecast
from pacer.session.events import Act, AnyEvent, Opened, Reading
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase

_DUST_S = 1e-9
"""Sums of seconds are compared with so much to spare."""

_TO_PREHEAT = frozenset({Phase.PREHEAT, Phase.REHEAT})


@dataclass(frozen=True, slots=True)
class CooldownAnswer:
    """When the cool-down ends, s since it began."""

    at_s: float
    eta_s: float
    eta_low_s: float
    eta_high_s: float | None
    model: str
    interval: float = 0.8
    reached: bool = False
    course: forecast.Course | None = None
    "Its curve in s since the cool-down began, as the rest."
    departs: str = ""
    "How it departs from what its cover makes of it, as last seen."

    def as_json(self) -> dict[str, float | str | None]:
        """Return the contract's keys."""
        return {
            "at_s": self.at_s,
            "eta_s": self.eta_s,
            "eta_low_s": self.eta_low_s,
            "eta_high_s": self.eta_high_s,
            "interval": self.interval,
            "model": self.model,
        }


def _is_reading(event: AnyEvent | None) -> bool:
    return isinstance(event, Reading) or (isinstance(event, Act) and event.deed == "reading")


def cooldown_answers(
    recording: Recording, ats_s: Sequence[float], until_c: float | None
) -> list[CooldownAnswer]:
    """Answer each moment of `ats_s`, s since the cool-down began; none means the last reading.

    Raises `UserInputError` where there is no cool-down, or a moment lies before its first
    reading.
    """
    events = list(recording.events())
    name = recording.name
    state, readings = _believed_readings(recording.head, events)
    began_s = state.work.covered_s
    if began_s is None:
        raise UserInputError(f"{name}: no cool-down in this recording")
    readings = [(t_s, temp_c) for t_s, temp_c in readings if t_s >= began_s]
    ends_s = _last_reading(events)
    ats_s = list(ats_s) or [max(0.0, ends_s - began_s)]
    if not readings:
        raise UserInputError(f"{name}: no temperature was read in the cool-down")
    for at_s in ats_s:
        if began_s + at_s < readings[0][0] - _DUST_S:
            raise UserInputError(
                f"{name}: --at {at_s:g} s lies before the cool-down's first reading "
                f"at {readings[0][0] - began_s:g} s"
            )
    target_c = state.job.cooldown.until_c if until_c is None else until_c
    kept = _states_at(recording.head, events, [began_s + at_s for at_s in ats_s])
    return [
        _answer(
            kept[began_s + at_s],
            at_s,
            began_s,
            [r for r in readings if r[0] <= began_s + at_s + _DUST_S],
            target_c,
            ends_s,
        )
        for at_s in ats_s
    ]


def _believed_readings(
    opened: Opened, events: Iterable[AnyEvent]
) -> tuple[State, list[tuple[float, float]]]:
    """Return the last state, and every reading that was believed: (session time s, °C)."""
    walk = states(opened, events)
    _, last, _ = next(walk)
    readings = []
    for event, state, _ in walk:
        last = state
        here = believed(state, state.t_s) if _is_reading(event) else None
        # "At least 40" is not a reading of 40.
        if here is not None and here.side <= 0:
            readings.append((state.t_s, here.temp_c))
    return last, readings


def _states_at(
    opened: Opened, events: Iterable[AnyEvent], times_s: Iterable[float]
) -> dict[float, State]:
    """Fold once; return the state after the last event at or before each session time."""
    kept: dict[float, State] = {}
    waiting = sorted(set(times_s))
    walk = states(opened, events)
    _, last, _ = next(walk)
    for event, state, _ in walk:
        while waiting and event is not None and event.t_s > waiting[0] + _DUST_S:
            kept[waiting.pop(0)] = last
        last = state
    return kept | dict.fromkeys(waiting, last)


def _last_reading(events: Iterable[AnyEvent]) -> float:
    return max((event.t_s for event in events if _is_reading(event)), default=0.0)


def _answer(
    state: State,
    at_s: float,
    began_s: float,
    readings: Sequence[tuple[float, float]],
    target_c: float,
    ends_s: float,
) -> CooldownAnswer:
    # Between two readings time goes on; after the last one of all it stands still.
    eta = forecast.cooldown(state, max(readings[-1][0], min(began_s + at_s, ends_s)), target_c)
    assert eta is not None, "a moment at or after the first reading has a forecast"
    reached_s = next((t_s for t_s, temp_c in readings if temp_c <= target_c), None)
    if reached_s is not None:
        was_s = round(reached_s - began_s, 3)
        return CooldownAnswer(at_s, was_s, was_s, was_s, eta.model, reached=True)
    course = forecast.course(state, eta, max(state.t_s, min(began_s + at_s, ends_s)))
    curve = tuple((row[0] - began_s, *row[1:]) for row in course.curve)
    departs = state.cooling.departs if state.cooling is not None else ""
    return CooldownAnswer(
        at_s,
        eta.eta_s,
        eta.low_s,
        eta.high_s,
        eta.model,
        course=replace(course, curve=curve),
        departs=departs,
    )


def moment_answers(recording: Recording, ats_s: Sequence[float]) -> list[dict[str, object]]:
    """Answer `pacer forecast`: each moment of session time `ats_s`; none means the end."""
    events = list(recording.events())
    ends_s = max((event.t_s for event in events), default=recording.head.t_s)
    for at_s in ats_s:
        if at_s < 0:
            raise UserInputError(f"{recording.name}: --at {at_s:g} s lies before the session")
    asked = list(ats_s) or [ends_s]
    kept = _states_at(recording.head, events, asked)
    return [_moment_json(kept[at_s], at_s, min(at_s, ends_s)) for at_s in asked]


def _moment_json(state: State, at_s: float, t_s: float) -> dict[str, object]:
    t_s = max(t_s, state.t_s)
    now, ahead = believed(state, t_s), forecast.outlook(state, t_s)

    def ranged(found: forecast.Range | None) -> dict[str, float | None] | None:
        if found is None:
            return None
        return {"value": found.value, "low": found.low, "high": found.high}

    return {
        "at_s": at_s,
        "phase": str(state.phase),
        "temp_c": round(now.temp_c, 2) if now else None,
        "to_floor_s": ranged(ahead.to_floor_s),
        "to_ceiling_s": ranged(ahead.to_ceiling_s),
        "to_preheat_s": ranged(ahead.to_target_s) if state.phase in _TO_PREHEAT else None,
        "beads_left": ranged(ahead.beads_left),
    }
