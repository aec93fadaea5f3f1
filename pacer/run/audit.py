"""The audit: a recording folded with today's code, its cues laid beside those it recorded.

Cues are paired first, by time, kind and repeat, then what is left by kind and repeat alone,
then the numbers of each pair are compared: one cue too many or too few makes one line and
shifts no other.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import NamedTuple, TypeVar

from pacer.recording.reader import Recording
from pacer.run.refold import LastFact, states
from pacer.screen.view import to_the_ms
from pacer.session.cues import Cue
from pacer.session.events import CueTold
from pacer.session.forecast import priors
from pacer.text import clean

_KIND_CHARS = 40


class _Said(NamedTuple):
    """A cue, told today or recorded then; what its record says in words is not compared."""

    t_ms: int
    kind: str
    again: int
    values: dict[str, float]

    @property
    def key(self) -> tuple[int, str, int]:
        return self.t_ms, self.kind, self.again


@dataclass(frozen=True, slots=True)
class Audit:
    """What came of it."""

    cues: int
    "Told today."
    recorded: int
    differences: tuple[str, ...]
    "A finished line for each cue that is not as recorded."
    untold: int
    """Cues of the last fact that were not written down any more, since the recording
    breaks off there: a kill or a power cut, no difference of the rules."""
    versions: tuple[str, ...]
    "A finished line for each forecast model that has another version today."

    @property
    def summary(self) -> str:
        """Return the counts as one finished line."""
        if self.differences:
            same = f"{self.cues} cues today, {self.recorded} recorded: {len(self.differences)} different"
        else:
            same = f"{self.recorded} cue{'s' * (self.recorded != 1)}, all as recorded"
        if self.untold:
            same += f"; {self.untold} more due where the recording breaks off"
        return same


def audit(recording: Recording) -> Audit:
    """Fold a recording and compare; holds its cues, nothing else of it."""
    now: list[_Said] = []
    then: list[_Said] = []
    last = LastFact()
    for event, _, cues in states(recording.head, recording.events()):
        now.extend(map(_today, cues))
        last.take(event, cues)
        if isinstance(event, CueTold):
            then.append(_recorded(event))
    untold = 0 if recording.damage.ended else len(last.untold())
    return Audit(
        cues=len(now),
        recorded=len(then),
        differences=tuple(_compared(now[: len(now) - untold], then)),
        untold=untold,
        versions=tuple(_versions(recording.head.priors, priors(recording.head.job))),
    )


def differences(cues: Iterable[Cue], recorded: Iterable[CueTold]) -> list[str]:
    """Return one line for each cue that is not as recorded: time, kind, repeat or values."""
    return list(_compared([*map(_today, cues)], [*map(_recorded, recorded)]))


def _today(cue: Cue) -> _Said:
    return _Said(round(cue.t_s * 1000), str(cue.kind), cue.again, cue.values)


def _recorded(told: CueTold) -> _Said:
    return _Said(told.t_ms, told.kind, told.again, told.values)


def _compared(now: Sequence[_Said], then: Sequence[_Said]) -> Iterator[str]:
    for what, a, b, c, d in _opcodes([s.key for s in then], [s.key for s in now]):
        if what == "equal":
            yield from _pair(then[a:b], now[c:d])
        else:
            yield from _moved(then[a:b], now[c:d])


def _moved(then: Sequence[_Said], now: Sequence[_Said]) -> Iterator[str]:
    """Between cues that agree: the same kinds at other times, and what only one side has."""
    for what, a, b, c, d in _opcodes([s.key[1:] for s in then], [s.key[1:] for s in now]):
        if what == "equal":
            yield from _pair(then[a:b], now[c:d])
            continue
        yield from (f"{_name(s)}: recorded{_numbers(s)}, not told today" for s in then[a:b])
        yield from (f"{_name(s)}: told today{_numbers(s)}, not recorded" for s in now[c:d])


def _pair(then: Sequence[_Said], now: Sequence[_Said]) -> Iterator[str]:
    for was, today in zip(then, now, strict=True):
        if was != today:
            at = "" if was.t_ms == today.t_ms else f" at {to_the_ms(today.t_ms)}"
            yield f"{_name(was)}: recorded{_numbers(was)}, today{at}{_numbers(today)}"


_Key = TypeVar("_Key", bound=Hashable)


def _opcodes(then: Sequence[_Key], now: Sequence[_Key]) -> Sequence[tuple[str, int, int, int, int]]:
    # The recorded side first: only of the other is an index made, and that one is ours.
    return SequenceMatcher(None, then, now, autojunk=False).get_opcodes()


def _versions(then: dict[str, str], today: dict[str, str]) -> Iterator[str]:
    for name, made in then.items():
        now = today.get(name, "none")
        if made != now:
            yield f"{clean(name, 40)}: made with {clean(made, 120)}, today {now}"


def _name(said: _Said) -> str:
    again = f" again ({said.again})" if said.again else ""
    return f"{to_the_ms(said.t_ms)} {clean(said.kind, _KIND_CHARS)}{again}"


def _numbers(said: _Said) -> str:
    numbers = ", ".join(f"{clean(name, 40)} {value:g}" for name, value in said.values.items())
    return f" ({numbers})" if numbers else ""
