"""Answers to the text of a job file that explains itself.

What was answered stands as a line; what was not stands behind a `#`, with the value that is
taken and why, so that the file still says of every value whether it was given.
"""

from __future__ import annotations

import re
import textwrap
import tomllib
from collections.abc import Mapping
from typing import Any

from pacer.errors import UserInputError
from pacer.job.file.fill import Filled, fill
from pacer.job.file.keys import Key, keys, sections
from pacer.job.file.toml_tables import LEFT_OUT, before_next_table
from pacer.job.file.toml_text import ended, parse_table, with_line_ends_of
from pacer.job.file.typed import Given, in_file, written
from pacer.job.file.values import convert
from pacer.text import clean
from pacer.units import System

_COMMENT_AT = 38
_WIDTH = 98
_HEAD = """\
# A job file. Every quantity is a text with its unit: "260 degC", "500 degF", "1-1/2 in".
# A line behind a # is left out: it shows what is taken instead, and why. To give the value
# yourself take the # away; write for "…" what is known. `pacer plan` shows the plan.
"""
_HEADING = re.compile(r"\s*\[\s*(\w+)\s*\]")
_FACTS = "# Without a default; fill in what is known:"


def drafted(answers: Mapping[str, Given], system: System = "metric") -> str:
    """Return a new job file with these answers, defaults shown in the units of `system`.

    Sections and keys come in the order of the guide. Values are checked one by one only:
    whether they fit together is the reader's business. Raises ValueFault for one that
    can't be read.
    """
    filled = defaults(answers)
    parts = [_HEAD]
    for section in sections():
        if lines := _section(section, answers, filled, system):
            parts.append("\n".join([f"[{section}]", *lines, ""]))
    return "\n".join(parts)


def completed(text: str, name: str, answers: Mapping[str, Given], system: System = "metric") -> str:
    """Return a job file's text with answers added; all that stands in it stays as it is.

    Answers for keys that it gives are not taken. `name` is the file's, for messages.
    Raises UserInputError where the text can't be added to, ValueFault as `drafted` does.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    before = parse_table(text, name)
    there = given_in(before)
    added = {key: value for key, value in answers.items() if key not in there}
    every = {**there, **added}
    marked = _behind_marks(text)
    filled = defaults(every)
    try:
        document: Any = tomlkit.parse(ended(text))
        for section in sections():
            lines = _section(section, every, filled, system, frozenset(there), marked)
            if not lines or (
                section in before and not any(k.startswith(f"{section}.") for k in added)
            ):
                continue
            _add(document, section, "\n".join([*lines, ""]))
        made = with_line_ends_of(text, tomlkit.dumps(document))
        # The two TOML readers do not agree about every corner; nothing may change that was there.
        sound = _with_values(tomllib.loads(made)) == _with_values(_merged(before, added))
    except (TOMLKitError, tomllib.TOMLDecodeError, AttributeError, TypeError) as error:
        raise _cannot(name, added, str(error)) from None
    if not sound:
        raise _cannot(name, added, "its tables are written in an unusual way")
    return made


def given_in(table: Mapping[str, Any]) -> dict[str, Given]:
    """Return what a parsed job file gives, by full key name."""
    return {
        f"{section}.{word}": tuple(value) if isinstance(value, list) else value
        for section, content in table.items()
        if isinstance(content, dict)
        for word, value in content.items()
    }


def defaults(answers: Mapping[str, Given]) -> Filled:
    """Return every key's value as the reader would have it with these answers.

    Raises ValueFault for an answer that can't be read.
    """
    given: dict[str, Any] = {}
    for name, value in answers.items():
        if (key := keys().get(name)) is not None:
            given[name] = convert(key, list(value) if isinstance(value, tuple) else value)
    return fill(given)


def _add(document: Any, section: str, lines: str) -> None:
    """Put lines at the end of a table, or a new table at the end of the document."""
    import tomlkit

    if section not in document:
        made: Any = tomlkit.parse(f"\n[{section}]\n{lines}")
        for key, item in made.body:
            document.append(key, item) if key is not None else document.add(item)
        return
    with before_next_table(document, section) as table:
        for key, item in tomlkit.parse(lines).body:
            table.append(key, item) if key is not None else table.add(item)


def _merged(before: Mapping[str, Any], added: Mapping[str, Given]) -> dict[str, Any]:
    merged = {name: dict(v) if isinstance(v, dict) else v for name, v in before.items()}
    for name, value in added.items():
        section, _, word = name.partition(".")
        merged.setdefault(section, {})[word] = list(value) if isinstance(value, tuple) else value
    return merged


def _with_values(table: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out tables that hold nothing but what is behind a #."""
    return {name: content for name, content in table.items() if content != {}}


def _cannot(name: str, added: Mapping[str, Given], why: str) -> UserInputError:
    lines = ", ".join(f"{key} = {in_file(value)}" for key, value in added.items())
    return UserInputError(
        f"{clean(name)}: can't be added to ({clean(why, 200)}); write into it: {clean(lines)}"
    )


def _behind_marks(text: str) -> frozenset[str]:
    """Return the keys that a file has behind a #: they are not put there a second time."""
    found, section = set(), ""
    for line in text.splitlines():
        if heading := _HEADING.match(line):
            section = heading[1]
        elif left_out := LEFT_OUT.match(line):
            found.add(f"{section}.{left_out[1]}")
    return frozenset(found)


def _section(
    section: str,
    answers: Mapping[str, Given],
    filled: Filled,
    system: System,
    there: frozenset[str] = frozenset(),
    marked: frozenset[str] = frozenset(),
) -> list[str]:
    """Return the lines of one table without its heading; none where there is nothing to say.

    `there` are keys that the file gives already, `marked` those it has behind a #.
    """
    lines: list[str] = []
    facts: list[str] = []
    for key in keys().values():
        if key.section != section:
            continue
        if key.name in answers and key.name not in there:
            value = f"{key.word} = {in_file(answers[key.name])}"
            (facts if key.fact else lines).extend(_line(value, key.doc))
        elif key.name in there or key.name in marked:
            continue
        elif key.fact and section != "tests":
            facts.extend(_line(f'# {key.word} = "…"', _invitation(key)))
        elif not key.fact:
            lines.extend(_left_out(key, filled, system))
    return [*lines, _FACTS, *facts] if facts else lines


def _left_out(key: Key, filled: Filled, system: System) -> list[str]:
    """Return the line of a key that nobody gave: behind a #, with the value that is taken."""
    if key.hot_only and filled["job.method"] == "cold":
        return []
    value = filled.values.get(key.name)
    origin = filled.origin.get(key.name, "")
    if origin.startswith("default: not used"):
        return []
    if value is None or not origin:
        # An empty origin is the reader's stand-in for a key that is required.
        needed = "Required. " if key.required or key.name == "part.mass" else ""
        example = '["…", "…", "…"]' if key.kind == "sizes" else '"…"'
        return _line(f"# {key.word} = {example}", needed + _invitation(key))
    taken = in_file(written(key, value, system))
    choices = f" {' | '.join(key.choices)}." if key.choices else ""
    return _line(f"# {key.word} = {taken}", f"{key.doc}{choices} {_why(origin)}")


def _why(origin: str) -> str:
    kind, _, rest = origin.partition(": ")
    return f"{kind.capitalize()}: {rest}."


def _invitation(key: Key) -> str:
    words = f"{' | '.join(key.choices)}. " if key.choices else ""
    left_out = f" Left out: {key.default_words}." if key.default_words else ""
    return f"{words}{key.doc}{left_out}"


def _line(start: str, comment: str) -> list[str]:
    """Return a line and its comment beside it, the comment's rest below."""
    room = textwrap.wrap(comment, _WIDTH - _COMMENT_AT - 2, break_on_hyphens=False)
    below = [f"{'':<{_COMMENT_AT}}# {part}" for part in room]
    if len(start) >= _COMMENT_AT:
        return [start, *below]
    return [start.ljust(_COMMENT_AT) + below[0].lstrip(), *below[1:]] if below else [start]
