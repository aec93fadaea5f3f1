"""Times in which nothing told the temperature: beads struck then, and long ones while it was hot.

What decides is `session/track.py`'s: a trusted instrument, or a reading typed lately. Where
there is no instrument, long times without a reading are how it is worked, and no finding.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

from pacer.job.job import Job
from pacer.review.capped import MOST, Capped
from pacer.review.rules.laid_before import numbered
from pacer.review.rules.rule import Step, ours
from pacer.session.cues import DOUBTS
from pacer.session.events import ClockGap
from pacer.session.filled import as_is
from pacer.session.finding import Finding, Weight
from pacer.session.state import State
from pacer.session.timers import after
from pacer.session.track import (
    SILENCE_TOLD_S,
    TYPED_FRESH_SLOW_S,
    believed,
    blind,
    in_the_arc,
    typed_fresh_s,
)
from pacer.session.work import LAYING, Bead, Phase

DROP_OUT_S = SILENCE_TOLD_S
"""A shorter drop-out at an arc's start is common and no finding (procedure.md section 5)."""

COVERED_S = 3600.0
"""Under a cover the part changes over hours: nothing read for so long is noted. Common practice,
no source."""

KEPT_WARM_S = TYPED_FRESH_SLOW_S
"""In a stop in which the part is kept warm nothing read for so long is noted: no bead is struck
then, and what it has is read before the next. Common practice, no source."""

_UNDER = {
    **dict.fromkeys(LAYING | {Phase.TACK}, "while beads were laid"),
    Phase.HOLD: "in a stop",
    Phase.PREHEAT: "in the preheat",
    Phase.SOAK: "in the soak",
    Phase.POST_HEAT: "in the post-heat",
    Phase.BURY: "before the cover",
    Phase.COOL_DOWN: "under the cover",
}


class _Why(NamedTuple):
    """Why the instrument decides nothing."""

    words: str
    "With fields, filled from `values`."
    values: dict[str, float]
    read: bool = False
    "It reads, and isn't trusted."

    @property
    def nothing(self) -> str:
        """What there was not, as a clause that a time follows."""
        return "no reading was trusted" if self.read else "nothing told the temperature"


@dataclass(slots=True)
class _Dark:
    """A time in which nothing decides, so far."""

    from_s: float
    phase: Phase
    record: int
    last_c: float
    why: _Why


@dataclass(frozen=True, slots=True)
class _Strike:
    """A bead struck in such a time."""

    record: int
    hand: bool
    own_word: bool
    lasted_s: float | None
    "For how long nothing had told the temperature; None: nothing ever had."
    why: _Why


class Blind:
    """Follows what decides, and since when nothing does."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._seen: tuple[State, float] | None = None
        "The last state in which something decided, and its time."
        self._until_s: float | None = None
        "Until when that held; None: nothing has decided yet."
        self._dark_s = 0.0
        "The same, or when another limit began to count since."
        self._dark: _Dark | None = None
        self._beads = 0
        self._struck: dict[int, _Strike] = {}
        "By the bead's index; an undone one is struck anew."
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take one event; nearly all of them find that the instrument decides."""
        state, count = step.state, len(step.state.work.beads)
        if count != self._beads:
            if count > self._beads:
                self._strike(step, state.work.beads[-1])
            self._beads = count
        if isinstance(step.event, ClockGap):
            self._end(step.t_s)
            if self._until_s is not None:
                self._lit_until(max(self._until_s, step.event.known_s))
        elif _decides(state, step.t_s):
            self._end(step.t_s)
            self._seen = state, step.t_s
            self._lit_until(_until_s(state, step.t_s))
        elif _hidden_by_the_arc(state):
            self._end(step.t_s)
            self._lit_until(step.t_s)
        else:
            self._go_on(step)

    def _lit_until(self, until_s: float) -> None:
        self._until_s = self._dark_s = until_s

    def _go_on(self, step: Step) -> None:
        """Begin a dark time, or end one where another limit counts from now on."""
        state, dark, t_s = step.state, self._dark, step.t_s
        covered, missed = state.phase is Phase.COOL_DOWN, _is_missed(state)
        if dark is not None and (not missed or _limit(state.phase)[0] != _limit(dark.phase)[0]):
            self._end(t_s)
            self._dark_s = t_s
        if self._dark is not None or self._until_s is None or self._seen is None or not missed:
            return
        last = believed(*self._seen)
        if last is None or (covered and last.temp_c <= self._job.cooldown.until_c):
            return
        why = _why(state, t_s)
        # What it read before the doubt, not what raised it.
        last_c = why.values.get("was_c", last.temp_c)
        self._dark = _Dark(self._dark_s, state.phase, step.record, last_c, why)

    def _end(self, t_s: float) -> None:
        dark, self._dark = self._dark, None
        if dark is None:
            return
        limit_words, allowed_s, weight = _limit(dark.phase)
        lasted_s = round(t_s - dark.from_s, 3)
        if lasted_s <= allowed_s:
            return
        self._found.add(
            Finding(
                name="nothing read",
                t_s=dark.from_s,
                to_s=t_s,
                record=dark.record,
                words=f"{dark.why.nothing} for {{lasted_s}} {_UNDER[dark.phase]}: "
                f"{dark.why.words}; last {{last_c}}",
                values={
                    **dark.why.values,
                    "lasted_s": lasted_s,
                    "allowed_s": allowed_s,
                    "last_c": round(dark.last_c, 1),
                },
                weight=weight,
                limit=ours(limit_words, "allowed_s"),
            )
        )

    def _strike(self, step: Step, bead: Bead) -> None:
        index, state = len(step.state.work.beads) - 1, step.state
        self._struck.pop(index, None)
        if bead.start_c is not None or len(self._struck) >= MOST:
            return
        hand, since_s = state.sensor.hand, self._until_s
        lasted_s = None if since_s is None else round(bead.started_s - since_s, 3)
        if not hand and lasted_s is not None and lasted_s <= DROP_OUT_S:
            return
        why = _why(state, step.t_s)
        self._struck[index] = _Strike(step.record, hand, state.own_word, lasted_s, why)

    def found(self, state: State) -> Capped[Finding]:
        """Return the long dark times, and the beads struck in any."""
        self._end(state.t_s)
        found: Capped[Finding] = Capped()
        found.take(self._found)
        beads = state.work.beads
        struck = {
            index: strike
            for index, strike in self._struck.items()
            if index < len(beads) and beads[index].counted
        }
        found.extend(_in_a_row(beads, {i: s for i, s in struck.items() if not s.hand}))
        by_hand = {i: s for i, s in struck.items() if s.hand}
        if by_hand:
            found.add(_by_hand(beads, by_hand))
        return found


def _decides(state: State, t_s: float) -> bool:
    """True while a temperature is known."""
    return state.conditions.typed is not None or believed(state, t_s) is not None


def _hidden_by_the_arc(state: State) -> bool:
    """True while only an arc hides the reading: what it was before is known."""
    control = state.control
    return control is not None and control.arc is not None and in_the_arc(state, control)


def _until_s(state: State, t_s: float) -> float:
    typed = state.typed
    if state.conditions.typed and typed is not None:
        return max(t_s, after(typed.at_s, typed_fresh_s(state.phase)))
    return t_s


def _is_missed(state: State) -> bool:
    """True where a number is missed: there is an instrument, and the part is or was being heated."""
    return not (state.sensor.hand or state.cold_yet or state.phase is Phase.DONE)


def _limit(phase: Phase) -> tuple[str, float, Weight]:
    """Return what a time without a reading is judged by: the limit in words, s, and its weight."""
    if phase is Phase.COOL_DOWN:
        return "under the cover it is noted from", COVERED_S, "note"
    if phase is Phase.HOLD:
        return "in a stop it is noted from", KEPT_WARM_S, "note"
    return "a reading that was typed counts for", typed_fresh_s(phase), "finding"


def _why(state: State, t_s: float) -> _Why:
    """Return why the instrument decides nothing."""
    lapse = blind(state, t_s)
    if lapse is None:
        return _Why("no reading", {})
    if lapse.kind in DOUBTS:
        return _Why(f"in doubt, {lapse.why}", dict(lapse.values), read=True)
    return _Why(as_is(lapse.why), {})


def _in_a_row(beads: tuple[Bead, ...], struck: dict[int, _Strike]) -> Iterator[Finding]:
    """Yield one finding for each row of beads that follow each other."""
    ordered = sorted(struck)
    for _, row in groupby(enumerate(ordered), lambda pair: pair[1] - pair[0]):
        indices = [index for _, index in row]
        yield _unread(beads, indices, [struck[index] for index in indices])


def _unread(beads: tuple[Bead, ...], indices: list[int], strikes: list[_Strike]) -> Finding:
    first, last = beads[indices[0]], beads[indices[-1]]
    known = [strike.lasted_s for strike in strikes if strike.lasted_s is not None]
    numbers = numbered([beads[index].number for index in indices])
    which = f"bead {numbers} was" if len(indices) == 1 else f"beads {numbers} were"
    values = {
        **strikes[0].why.values,
        "beads_n": len(indices),
        "bead": first.number,
        "allowed_s": DROP_OUT_S,
    }
    since = "before anything had told the temperature"
    if known:
        values["lasted_s"] = max(known)
        since = f"after {{lasted_s}} in which {strikes[0].why.nothing}"
    return Finding(
        name="welded without a trusted reading",
        t_s=first.started_s,
        to_s=last.ended_s,
        record=strikes[0].record,
        words=f"{which} struck {since}: {strikes[0].why.words}",
        values=values,
        limit=ours("a drop-out as an arc starts is common up to", "allowed_s"),
        bead=first.number if len(indices) == 1 else None,
        beads=tuple(beads[index].number for index in indices) if len(indices) > 1 else (),
        place=first.place if len(indices) == 1 else None,
    )


def _by_hand(beads: tuple[Bead, ...], struck: dict[int, _Strike]) -> Finding:
    """Return the note on beads that went by the welder's own word: all of them in one."""
    indices = sorted(struck)
    first = struck[indices[0]]
    typed = not all(strike.own_word for strike in struck.values())
    lately = "nothing typed lately" if typed else "nothing typed"
    return Finding(
        name="welded without a trusted reading",
        t_s=beads[indices[0]].started_s,
        to_s=beads[indices[-1]].ended_s,
        record=first.record,
        words=f"no instrument, {lately}: {{beads_n}} of {{all_n}} beads went by the welder's own word",
        values={"beads_n": len(indices), "all_n": sum(bead.counted for bead in beads)},
        weight="note",
    )
