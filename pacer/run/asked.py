"""Answers about a moment of a recording: what was forecast with what was known then."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pacer.errors import UserInputError
from pacer.recording.reader import Recording
from pacer.run.refold import refold, states
from pacer.session import forecast
from pacer.session.events import Act, AnyEvent, Reading
from pacer.session.state import Phase, State
from pacer.session.track import believed


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


@dataclass(slots=True)
class _Moment:
    """The fold as it stood at one asked moment."""

    state: State
    last_reading_s: float | None
    reached_s: float | None


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
    last = refold(recording.head, events).state
    began_s = last.work.covered_s
    if began_s is None:
        raise UserInputError(f"{name}: no cool-down in this recording")
    target_c = last.job.cooldown.until_c if until_c is None else until_c
    if not ats_s:
        ats_s = [max(0.0, _last_reading(events) - began_s)]
    moments, first_s = _moments(recording, events, began_s, sorted(set(ats_s)), target_c)
    if first_s is None:
        raise UserInputError(f"{name}: no temperature was read in the cool-down")
    for at_s in ats_s:
        if began_s + at_s < first_s - 1e-9:
            raise UserInputError(
                f"{name}: --at {at_s:g} s lies before the cool-down's first reading "
                f"at {first_s - began_s:g} s"
            )
    ends_s = _last_reading(events)
    return [_answer(moments[at_s], at_s, began_s, target_c, ends_s) for at_s in ats_s]


def _last_reading(events: Iterable[AnyEvent]) -> float:
    return max((event.t_s for event in events if _is_reading(event)), default=0.0)


def _moments(
    recording: Recording,
    events: Sequence[AnyEvent],
    began_s: float,
    ats_s: Sequence[float],
    target_c: float,
) -> tuple[dict[float, _Moment], float | None]:
    """Fold once; keep the state after the last event at or before each moment.

    Also returns the session time of the cool-down's first trusted reading.
    """
    first_s: float | None = None
    kept: dict[float, _Moment] = {}
    waiting = list(ats_s)
    now: _Moment | None = None
    for event, state, _ in states(recording.head, events):
        t_s = event.t_s if event is not None else recording.head.t_s
        while waiting and now is not None and t_s > began_s + waiting[0] + 1e-9:
            kept[waiting.pop(0)] = _Moment(now.state, now.last_reading_s, now.reached_s)
        if now is None:
            now = _Moment(state, None, None)
        now.state = state
        if t_s < began_s:
            continue
        here = believed(state, t_s)
        if _is_reading(event) and here is not None:
            now.last_reading_s = t_s
            first_s = t_s if first_s is None else first_s
            if now.reached_s is None and here.temp_c <= target_c:
                now.reached_s = t_s - began_s
    assert now is not None
    for at_s in waiting:
        kept[at_s] = now
    return kept, first_s


def _answer(
    moment: _Moment, at_s: float, began_s: float, target_c: float, ends_s: float
) -> CooldownAnswer:
    # Between two readings time goes on; after the last one of all it stands still.
    known_s = max(moment.last_reading_s or began_s, min(began_s + at_s, ends_s))
    eta = forecast.cooldown(moment.state, known_s, target_c)
    assert eta is not None, "a moment at or after the first reading has a forecast"
    if moment.reached_s is not None:
        was_s = round(moment.reached_s, 3)
        return CooldownAnswer(at_s, was_s, was_s, was_s, eta.model, reached=True)
    return CooldownAnswer(at_s, eta.eta_s, eta.low_s, eta.high_s, eta.model)


def moment_answers(recording: Recording, ats_s: Sequence[float]) -> list[dict[str, object]]:
    """Answer `pacer forecast`: each moment of session time `ats_s`; none means the end."""
    events = list(recording.events())
    ends_s = max((event.t_s for event in events), default=recording.head.t_s)
    for at_s in ats_s:
        if at_s < 0:
            raise UserInputError(f"{recording.name}: --at {at_s:g} s lies before the session")
    asked = list(ats_s) or [ends_s]
    kept: dict[float, State] = {}
    waiting = sorted(set(asked))
    last: State | None = None
    for event, state, _ in states(recording.head, events):
        while waiting and last is not None and event is not None and event.t_s > waiting[0] + 1e-9:
            kept[waiting.pop(0)] = last
        last = state
    assert last is not None
    for at_s in waiting:
        kept[at_s] = last
    return [_moment_json(kept[at_s], at_s, min(at_s, ends_s)) for at_s in asked]


def _moment_json(state: State, at_s: float, t_s: float) -> dict[str, object]:
    now = believed(state, max(t_s, state.t_s))
    t_s = max(t_s, state.t_s)
    heating = state.phase in {Phase.PREHEAT, Phase.REHEAT}

    def ranged(found: forecast.Range | None) -> dict[str, float] | None:
        if found is None:
            return None
        return {"value": found.value, "low": found.low, "high": found.high}

    return {
        "at_s": at_s,
        "phase": str(state.phase),
        "temp_c": round(now.temp_c, 2) if now else None,
        "to_floor_s": ranged(forecast.to_floor(state, t_s)),
        "to_ceiling_s": ranged(forecast.to_ceiling(state, t_s)),
        "to_preheat_s": ranged(forecast.to_preheat(state, t_s)) if heating else None,
        "beads_left": ranged(forecast.beads_left(state, t_s)),
    }
