"""Answers about a moment of a recording: what was forecast with what was known then.

A recording is folded as it is read, once or twice, and never held whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pacer.errors import UserInputError
from pacer.recording.reader import Recording
from pacer.run.refold import states
from pacer.session import forecast
from pacer.session.events import Act, AnyEvent, Reading
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
    covered: str | None = None
    "UTC wall time of the covering; None where it isn't recorded, or invented."

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
    return isinstance(event, Reading) or (isinstance(event, Act) and event.joint_reading)


@dataclass(slots=True)
class _Moment:
    """What was known at a moment of a cool-down."""

    state: State
    read_s: float | None = None
    "Session time of the last reading that was believed."
    reached_s: float | None = None
    "Session time of the first believed reading at or below the target."


def cooldown_answers(
    recording: Recording, ats_s: Sequence[float], until_c: float | None
) -> list[CooldownAnswer]:
    """Answer each moment of `ats_s`, s since the cool-down began; none means the last reading.

    Raises `UserInputError` where there is no cool-down, or a moment lies before its first
    reading, or where it was over.
    """
    name = recording.name
    last, ends_s, covered = _end(recording)
    began_s = last.work.covered_s
    if began_s is None:
        raise UserInputError(f"{name}: no cool-down in this recording")
    ats_s = list(ats_s) or [max(0.0, ends_s - began_s)]
    target_c = last.job.cooldown.until_c if until_c is None else until_c
    first_s, kept = _moments(recording, [began_s + at_s for at_s in ats_s], began_s, target_c)
    if first_s is None:
        raise UserInputError(f"{name}: no temperature was read in the cool-down")
    for at_s in ats_s:
        if kept[began_s + at_s].read_s is None:
            raise UserInputError(
                f"{name}: --at {at_s:g} s lies before the cool-down's first reading "
                f"at {first_s - began_s:g} s"
            )
    answers = []
    for at_s in ats_s:
        moment = kept[began_s + at_s]
        answer = _answer(moment, at_s, began_s, target_c, ends_s)
        if answer is None:
            raise UserInputError(
                f"{name}: no forecast {at_s:.0f} s after covering: "
                f"the phase is {moment.state.phase} then, expected a part that cools down"
            )
        answers.append(replace(answer, covered=covered))
    return answers


def _end(recording: Recording) -> tuple[State, float, str | None]:
    """Return the last state, the session time of the last reading (s, 0 without one), and the
    wall time of the last covering."""
    walk = states(recording.head, recording.events())
    _, last, _ = next(walk)
    ends_s, covered = 0.0, None
    for event, state, _ in walk:
        last = state
        if event is not None and _is_reading(event):
            ends_s = max(ends_s, event.t_s)
        if isinstance(event, Act) and state.work.covered_s == event.t_s:
            covered = event.wall
    return last, ends_s, None if recording.head.invented else covered


def _moments(
    recording: Recording, times_s: Sequence[float], began_s: float, target_c: float
) -> tuple[float | None, dict[float, _Moment]]:
    """Fold once; return when the cool-down was first read, and what was known at each time."""
    kept: dict[float, _Moment] = {}
    waiting = sorted(set(times_s))
    walk = states(recording.head, recording.events())
    _, state, _ = next(walk)
    now = _Moment(state)
    first_s: float | None = None
    for event, state, _ in walk:
        while waiting and event is not None and event.known_s > waiting[0] + _DUST_S:
            kept[waiting.pop(0)] = replace(now)
        now.state = state
        here = believed(state, state.t_s) if _is_reading(event) else None
        # "At least 40" is not a reading of 40.
        if here is None or here.side > 0 or state.t_s < began_s:
            continue
        first_s = state.t_s if first_s is None else first_s
        now.read_s = state.t_s
        if now.reached_s is None and here.temp_c <= target_c:
            now.reached_s = state.t_s
    return first_s, kept | dict.fromkeys(waiting, now)


def _answer(
    moment: _Moment, at_s: float, began_s: float, target_c: float, ends_s: float
) -> CooldownAnswer | None:
    """Answer one moment; None where the part isn't cooling down, so that nothing is forecast."""
    state = moment.state
    assert moment.read_s is not None
    # Between two readings time goes on; after the last one of all it stands still.
    eta = forecast.cooldown(state, max(moment.read_s, min(began_s + at_s, ends_s)), target_c)
    if eta is None:
        return None
    if moment.reached_s is not None:
        was_s = round(moment.reached_s - began_s, 3)
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
    for at_s in ats_s:
        if at_s < 0:
            raise UserInputError(f"{recording.name}: --at {at_s:g} s lies before the session")
    kept: dict[float, State] = {}
    waiting = sorted(set(ats_s))
    walk = states(recording.head, recording.events())
    _, last, _ = next(walk)
    ends_s = recording.head.t_s
    for event, state, _ in walk:
        if event is not None:
            while waiting and event.known_s > waiting[0] + _DUST_S:
                kept[waiting.pop(0)] = last
            ends_s = max(ends_s, event.known_s)
        last = state
    asked = list(ats_s) or [ends_s]
    return [_moment_json(kept.get(at_s, last), at_s, min(at_s, ends_s)) for at_s in asked]


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
