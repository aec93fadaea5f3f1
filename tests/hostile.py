"""Recordings made to hurt: every checksum holds, what it covers is wrong. All invented."""

from __future__ import annotations

import json
import random  # noqa: TID251 - seeded
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from commands import Done, here
from written import SID, sealed

from pacer.recording.codec import seed_of
from pacer.session.events import Act, AnyEvent, CueTold, Ended, Mark, Opened, Reading
from pacer.session.fold import begin, step
from pacer.session.work import Phase

ESCAPES = "\x1b]0;owned\x07\x1b[2J\x9b31m\u202egnp.exe\u2028\x00\r\x08"
"What a terminal obeys: a title, a cleared screen, C1, text turned round, line ends, backspace."

NASTY: list[Any] = [
    *(0, -1, 1, 2**31, 2**53, 2**63 - 1, 2**63, 10**30, -(2**63)),
    *(0.0, -0.0, 5e-324, 1e-308, 1e308, -1e308, 0.5, -273.15, 1e15),
    *(True, False, None, "", "x", "300", ESCAPES, "é" * 700, "../../etc/passwd"),
    *([], {}, [[]], [None], {"a": {}}, [1e308] * 64, ["x"] * 64),
]
"One value in the place of another."

COMMANDS: tuple[tuple[str, ...], ...] = (
    ("review", "REC"),
    ("review", "--json", "REC"),
    ("review", "REC", "--set", "bead.length=20 mm"),
    ("review", "REC", "--html", "-"),
    ("replay", "--no-screen", "REC"),
    ("replay", "--audit", "REC"),
    ("export", "REC", "--csv", "-"),
    ("cool", "REC", "--no-screen"),
    ("cool", "REC", "--json"),
    ("forecast", "REC"),
    ("forecast", "REC", "--json"),
    ("recover", "REC", "OUT"),
)
"Every command that reads a recording and needs no terminal."


def said(command: tuple[str, ...], path: Path) -> Done:
    """Run a command in this process; what it raises goes through."""
    copy = path.with_name("recovered.jsonl")
    copy.unlink(missing_ok=True)
    return here(*({"REC": path, "OUT": copy}.get(word, word) for word in command))


def obeyed(text: str) -> set[str]:
    """Return the characters of an output that a terminal would obey, or that hide others."""
    # The line end of CSV is CRLF (RFC 4180); a tab parts the columns of a cue's line.
    plain = text.replace("\r\n", "\n")
    hostile = {"Cc", "Cf", "Cs", "Zl", "Zp"}
    return {ch for ch in plain if ch not in "\n\t" and unicodedata.category(ch) in hostile}


def whole_session(opened: Opened) -> list[AnyEvent]:
    """Return a short session from its start into the cool-down, cues as they were told."""
    state, _ = begin(opened)
    events: list[AnyEvent] = []
    temp_c, t_ms = 20.0, 0

    def add(event: AnyEvent) -> None:
        nonlocal state
        events.append(event)
        state, cues = step(state, event)
        for cue in cues:
            t = round(cue.t_s * 1000)
            told = CueTold(t_ms=t, kind=cue.kind, urgency="STEP", values=cue.values, words="w")
            events.append(told)

    heating = {Phase.PREHEAT, Phase.REHEAT, Phase.SOAK, Phase.POST_HEAT}
    waiting = {Phase.COOL_DOWN, Phase.DONE, Phase.SOAK, Phase.POST_HEAT, Phase.WAIT}
    covered = 0
    for turn in range(200):
        phase = state.phase
        slow = phase in {Phase.SOAK, Phase.POST_HEAT}
        t_ms += 600_000 if phase is Phase.COOL_DOWN else 20_000 if slow else 2000
        covered += phase is Phase.COOL_DOWN
        if phase is Phase.COOL_DOWN:
            temp_c = 20.0 + (temp_c - 20.0) * 0.9
        elif phase in heating:
            temp_c = min(272.0, temp_c + 40.0)
        add(
            Reading(
                t_ms=t_ms, raw=(temp_c + 0.3 * (turn % 3), temp_c), status="ok", names=("t1", "t2")
            )
        )
        if phase not in waiting and not (phase is Phase.PREHEAT and temp_c < 270.0):
            add(Act(t_ms=t_ms + 700, deed="finish" if len(state.work.beads) > 2 else "next"))
        if phase is Phase.BURY:
            add(Act(t_ms=t_ms + 800, deed="covered"))
        if covered > 8:
            break
    add(Mark(t_ms=t_ms, n=0, sha="", wall="2026-01-01T10:00:00.000+00:00"))
    add(Act(t_ms=t_ms, deed="note", text="a note"))
    add(Ended(t_ms=t_ms, why="the source ended"))
    return events


def resealed(number: int, line: dict[str, Any] | str) -> bytes:
    """Return a line with a checksum that holds."""
    line = line if isinstance(line, str) else json.dumps(line, separators=(",", ":"))
    return sealed(line[:-1].encode("utf-8", "surrogatepass"), seed_of(SID) if number else 0)


def opened_up(line: bytes) -> dict[str, Any]:
    """Return the members of a line but its checksum."""
    found: dict[str, Any] = json.loads(line)
    del found["c"]
    return found


def spoiled(lines: list[bytes], chance: random.Random) -> list[bytes]:
    """Return the lines with one to three of them made to hurt."""
    out = list(lines)
    for _ in range(chance.choice((1, 1, 2, 3))):
        # The head is one line of many and holds the most numbers.
        number = 0 if chance.random() < 0.4 else chance.randrange(len(out))
        try:
            line = opened_up(out[number])
        except ValueError:
            continue
        what = chance.random()
        if what < 0.75:
            _spoil(line, chance)
            out[number] = resealed(number, line)
        elif what < 0.85:
            text = json.dumps(line, separators=(",", ":"))
            key = chance.choice(list(line))
            out[number] = resealed(number, f'{text[:-1]},"{key}":1}}')
        else:
            del out[number]
            if not out:
                return [b"{}\n"]
    return out


def _spoil(line: dict[str, Any], chance: random.Random) -> None:
    """Put something nasty in the place of one value, however deep."""
    places = list(_places(line))
    held, key = chance.choice(places)
    if chance.random() < 0.15 and isinstance(held, dict):
        del held[key]
        return
    old = held[key]
    if isinstance(old, float) and chance.random() < 0.4:
        held[key] = old * chance.choice((-1.0, 1e-6, 1e6, 0.1, 10.0, 3.0))
    elif isinstance(old, int) and chance.random() < 0.4:
        held[key] = old + chance.choice((-1, 1, 1000, 10**9))
    else:
        held[key] = chance.choice(NASTY)


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in pairs:
        if key not in {"q", "k"}:
            yield value, key
        if isinstance(inner, dict | list):
            yield from _places(inner)
