"""Which sessions are meant: conditions on what they are and became, and dates."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import get_args

from pacer.errors import UserInputError
from pacer.job.job import CoverName, HeatSource, Metal, Method
from pacer.review.became import REPORTED
from pacer.review.history.quantities import GROUPS
from pacer.review.history.summary import Summary
from pacer.session.events import Found, FoundAt, FoundWhen, FoundWhere
from pacer.text import clean

_SPELT: dict[str, tuple[str, ...]] = {
    "method": get_args(Method),
    "metal": get_args(Metal),
    "cover": get_args(CoverName),
    "heat": get_args(HeatSource),
    "outcome": (*get_args(Found), "unknown"),
    "when": get_args(FoundWhen),
    "place": (*get_args(FoundWhere), *get_args(FoundAt)),
}
"""Keys whose values are known beforehand. `when` and `place`: when and where a crack was found."""

KEYS: tuple[str, ...] = (
    *(group.name for group in GROUPS),
    *("outcome", "when", "place", "finding", "title"),
)

_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Where:
    """What a session must be to be meant."""

    words: dict[str, tuple[str, ...]] = field(default_factory=dict)
    "Key -> any of these; of a title: a part of it, whatever its case."
    since: date | None = None
    until: date | None = None

    def __bool__(self) -> bool:
        """True where anything is asked for."""
        return bool(self.words or self.since or self.until)

    @property
    def by_outcome(self) -> bool:
        """True where sessions are chosen by what became of them: how many cracked says nothing."""
        told = not self.words.keys().isdisjoint({"outcome", "when", "place"})
        return told or REPORTED in self.words.get("finding", ())

    def means(self, session: Summary) -> bool:
        """True if the session is meant; one without a date is in no span of dates."""
        if self.since is not None and not session.day >= self.since.isoformat():
            return False
        if self.until is not None and not "" < session.day <= self.until.isoformat():
            return False
        return all(_has(session, key, words) for key, words in self.words.items())


def _has(session: Summary, key: str, words: tuple[str, ...]) -> bool:
    if key == "title":
        return any(word.casefold() in session.title.casefold() for word in words)
    return not set(words).isdisjoint(_values(session, key))


def _values(session: Summary, key: str) -> tuple[str, ...]:
    match key:
        case "outcome":
            return (session.became.word,)
        case "when":
            return (session.became.when,) if session.became.when else ()
        case "place":
            return tuple(word for word in (session.became.where, session.became.at) if word)
        case "finding":
            return session.all_names
        case "title":
            return (session.title,)
        case _:
            return (session.groups[key],)


def read_where(conditions: Sequence[str], since: str | None, until: str | None) -> Where:
    """Return conditions such as `cover=dry sand` and dates; the same key again: any of them.

    Raises `UserInputError`, one line for the first that is wrong. Values that only the sessions
    themselves can know are left to `check`.
    """
    words: dict[str, tuple[str, ...]] = {}
    for condition in conditions:
        key, parted, value = (part.strip() for part in condition.partition("="))
        if not parted or not value:
            raise UserInputError(
                f'--where "{clean(condition, 60)}": expected KEY=VALUE such as cover="dry sand"; '
                f"keys are {', '.join(KEYS)}"
            )
        if key not in KEYS:
            raise UserInputError(f"--where {clean(key, 40)}: no such key; {_there_is(key, KEYS)}")
        if key in _SPELT and value not in _SPELT[key]:
            raise _no_such(key, value, _SPELT[key])
        words[key] = (*words.get(key, ()), value)
    found = Where(words, _date("--since", since), _date("--until", until))
    if found.since and found.until and found.since > found.until:
        raise UserInputError(f"--since {found.since}: after --until {found.until}")
    return found


def check(where: Where, sessions: Iterable[Summary], known: Iterable[str]) -> None:
    """Raise `UserInputError` for a finding or filler that neither is known nor occurs.

    `known`: names of findings that there are, whether or not they occur here.
    """
    sessions = list(sessions)
    for key in ("finding", "filler"):
        there = {value for session in sessions for value in _values(session, key)}
        if key == "finding":
            there.update(known)
        for value in where.words.get(key, ()):
            if value not in there:
                raise _no_such(key, value, sorted(there))


def _no_such(key: str, value: str, there: Sequence[str]) -> UserInputError:
    return UserInputError(f'--where {key}="{clean(value, 60)}": {_there_is(value, there)}')


def _there_is(word: str, there: Sequence[str]) -> str:
    if not there:
        return "there is none here"
    near = difflib.get_close_matches(word, there, n=1)
    if near and len(there) > _SHOWN:
        return f'did you mean "{near[0]}"?'
    more = f" and {len(there) - _SHOWN} more" if len(there) > _SHOWN else ""
    return f"there are {', '.join(there[:_SHOWN])}{more}"


def _date(option: str, text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        found = clean(text, 40)
        raise UserInputError(f'{option} "{found}": expected a date such as 2026-03-31') from None
