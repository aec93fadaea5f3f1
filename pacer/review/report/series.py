"""`Series`: all that the charts of a recording show, gathered while it is folded.

It goes along as a collector (`review/rules/rule.py`), keeps packed numbers of bounded length
and nothing of an event. Every point of a curve is a reading that the session believed, or
one that it doubted; nothing is interpolated over a time in which nothing was read.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from pacer.review.capped import Capped
from pacer.review.measured import Measured
from pacer.review.report.chart.envelope import Envelope
from pacer.review.report.known_then import KnownThen
from pacer.review.rules.rule import Step
from pacer.session.cues import Cue, Urgency
from pacer.session.events import ClockGap
from pacer.session.state import State
from pacer.session.stays import entered
from pacer.session.track import believed, told_silent_after_s, trusted
from pacer.session.work import Phase

MOST_BESIDE = 3
"""Channels drawn beside the deciding one; a chart of more is not to be read."""

_BESIDE_PARTS = 1 << 13
_SURELY_HEARD_S = 2.0

GapKind = Literal["nobody watched", "no trusted reading"]


class Gap(NamedTuple):
    """Time in which nothing is known of the part."""

    from_s: float
    to_s: float
    kind: GapKind


class Stay(NamedTuple):
    """One stay in a phase."""

    phase: Phase
    from_s: float
    to_s: float


class Series:
    """Curves, gaps, phases, warnings and forecasts of one recording."""

    def __init__(self) -> None:
        self.believed = Envelope()
        "The deciding temperature, as decisions could use it."
        self.doubted = Envelope(_BESIDE_PARTS)
        "What the deciding channel said while it was not believed."
        self.beside: dict[str, Envelope] = {}
        "Other channels, as far as they were trusted."
        self.gaps: Capped[Gap] = Capped()
        self.stays: Capped[Stay] = Capped()
        self.warned: Capped[Cue] = Capped()
        "Cues that warn or tell of a fault, told for the first time."
        self.channels = 0
        "How many channels have sent a temperature."
        self.then = KnownThen()
        self.measured = Measured()
        self.from_s = self.to_s = 0.0
        self._stay: tuple[Phase, float] | None = None
        self._since_s = 0.0
        self._blind_s: float | None = None
        "Since when nothing has been believed, where something was before."

    def see(self, step: Step) -> None:
        """Take one event."""
        state, t_s = step.state, step.t_s
        if step.event is None:
            self.from_s = t_s
        self.to_s = max(self.to_s, t_s if step.event is None else step.event.known_s)
        self._phase(state, t_s)
        for cue in step.cues:
            if cue.urgency is not Urgency.STEP and not cue.again:
                self.warned.add(cue)
        if isinstance(step.event, ClockGap):
            self._unwatched(step.event)
        self._read(state, t_s)
        self.then.see(step)
        self.measured.see(step)

    def finish(self) -> None:
        """Close what is still open; called once, after the last event."""
        if self._stay is not None:
            self.stays.add(Stay(self._stay[0], self._since_s, self.to_s))
            self._stay = None
            self.measured.close()
        if self._blind_s is not None:
            self._gap(self._blind_s, self.to_s, "no trusted reading")
            self._blind_s = None

    def first(self, phase: Phase) -> float | None:
        """Return when a phase was first entered, s."""
        return next((stay.from_s for stay in self.stays if stay.phase is phase), None)

    def _phase(self, state: State, t_s: float) -> None:
        stay = entered(state, t_s, self._stay)
        if self._stay is not None and stay != self._stay:
            self.stays.add(Stay(self._stay[0], self._since_s, stay[1]))
            self._since_s = stay[1]
        elif self._stay is None:
            self._since_s = stay[1]
        self._stay = stay

    def _unwatched(self, gap: ClockGap) -> None:
        if self._blind_s is not None:
            self._gap(self._blind_s, gap.t_s, "no trusted reading")
        self._gap(gap.t_s, gap.to_s, "nobody watched")
        self._blind_s = max(gap.to_s, gap.t_s)

    def _gap(self, from_s: float, to_s: float, kind: GapKind) -> None:
        if to_s > from_s:
            self.gaps.add(Gap(from_s, to_s, kind))

    def _read(self, state: State, t_s: float) -> None:
        self._others(state, t_s)
        now, last_s = believed(state, t_s), self.believed.last_s
        if now is None:
            self._doubt(state)
            if self._blind_s is None and last_s is not None:
                self._blind_s = last_s
            return
        if last_s is not None and now.at_s <= last_s:
            return
        broken = last_s is not None and (
            self._blind_s is not None or self._silent(state, now.at_s - last_s, now.typed)
        )
        if broken:
            assert last_s is not None
            from_s = last_s if self._blind_s is None else self._blind_s
            self._gap(from_s, now.at_s, "no trusted reading")
        self._blind_s = None
        self.believed.add(now.at_s, now.temp_c, broken)

    @staticmethod
    def _silent(state: State, waited_s: float, typed: bool) -> bool:
        """True where a wait for the next reading was one that is told."""
        return not typed and waited_s > _SURELY_HEARD_S and waited_s > told_silent_after_s(state)

    def _doubt(self, state: State) -> None:
        track = state.control
        if track is None or track.value_c is None or track.at_s is None or state.sensor.lost:
            return
        last_s = self.doubted.last_s
        if last_s is None or track.at_s > last_s:
            believed_s = self.believed.last_s
            anew = last_s is None or (believed_s is not None and believed_s > last_s)
            if believed_s is None or track.at_s > believed_s:
                self.doubted.add(track.at_s, track.value_c, anew)

    def _others(self, state: State, t_s: float) -> None:
        self.channels = max(self.channels, sum(t.value_c is not None for t in state.tracks))
        if len(state.tracks) < 2:
            return
        for track in state.tracks:
            if track.name == state.sensor.control or track.at_s is None or track.value_c is None:
                continue
            curve = self.beside.get(track.name)
            if curve is None:
                if len(self.beside) >= MOST_BESIDE:
                    continue
                curve = self.beside[track.name] = Envelope(_BESIDE_PARTS)
            last_s = curve.last_s
            if (last_s is None or track.at_s > last_s) and trusted(state, track, t_s):
                broken = last_s is not None and self._silent(state, track.at_s - last_s, False)
                curve.add(track.at_s, track.value_c, broken)
