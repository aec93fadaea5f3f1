"""Listen to one port that nobody described: at which rate it speaks, in what form, and what.

`tuning.py` finds the rate. What a line could mean in two ways is told with both ways; nothing
is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal

from pacer.sensor.listening.tuning import (
    LISTEN_S,
    NOISE_BYTES,
    SerialTuned,
    Trial,
    Tuned,
    count,
    trials,
)
from pacer.sensor.port.causes import cause
from pacer.sensor.port.ports import decoder
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import parse_url
from pacer.session.celsius import Degrees, degrees
from pacer.session.events import Reading
from pacer.text import clean_bytes

_SHOWN = 80
"Characters of a line."

_OTHER_WAYS = ("decimal=comma", "dialect=csv", "unit=degC", "unit=degF", "unit=K")
"""What a URL can say about lines that may mean two things; a unit is taken only where the
lines' own letter is the same, as in `25C`."""

State = Literal["readable", "unreadable", "silent", "closed"]


@dataclass(frozen=True)
class Heard:
    """What listening to one port came to."""

    port: str
    state: State
    why: str = ""
    "Of `closed`: the cause and what to do, in one line."
    baud: int | None = None
    share: float = 0.0
    "Share of readable lines."
    form: str = ""
    "The form of the lines, in words."
    line: str = ""
    "The last line, cleaned."
    values: tuple[Degrees, ...] = ()
    "Of the last good line; °C where the lines mark a unit or their numbers are °C."
    raw: tuple[float | str | None, ...] = ()
    units: tuple[str, ...] = ()
    "Marked by the lines; empty: none."
    query: str = ""
    "What the URL must say besides port and rate, such as `dialect=csv`."
    other_ways: tuple[str, ...] = ()
    "What it could say where the lines may mean two things: `decimal=comma reads 21.5`."
    seven_bits: bool = False
    "True: noise that is text without its highest bit."
    rising: bool = False
    "True: the first of several values without names rises by equal steps, as a time does."


def listen(
    port: str,
    now_s: Callable[[], float],
    *,
    seconds: float = LISTEN_S,
    opener: Callable[[str], Tuned] = SerialTuned,
) -> Heard:
    """Open `port`, listen for at most `seconds` at a rate, and close it; raises nothing.

    `now_s` is any steady clock. A port that can't be opened, or that goes away, is `closed`
    with its cause.
    """
    wire: Tuned | None = None
    try:
        wire = opener(port)
        tried = trials(wire, now_s, seconds)
    except Exception as exc:  # what a driver raises on a strange port is its own affair
        return Heard(port, "closed", why=cause(exc, port))
    finally:
        if wire is not None:
            with suppress(OSError):
                wire.close()
    return _judged(port, tried)


def _decoder(query: str) -> Decoder:
    return decoder(parse_url(f"loop://?{query}"))


def _judged(port: str, tried: list[Trial]) -> Heard:
    taken = tried[-1]
    if not any(trial.raw for trial in tried):
        return Heard(port, "silent")
    if not (taken.believed or taken.is_text):
        if endless := [trial for trial in tried if trial.is_endless]:
            line, form = _last_line(endless[0]), "plain text, but no line ends"
            return Heard(port, "unreadable", baud=endless[0].baud, form=form, line=line)
        text = [trial for trial in tried if _is_text_in_seven_bits(trial)]
        baud = text[0].baud if text else None
        return Heard(port, "unreadable", baud=baud, seven_bits=bool(text), line=_last_line(taken))
    ways = () if taken.believed else _other_ways(taken)
    if len(ways) == 1:
        taken, ways = ways[0], ()
    return _described(port, taken, tuple(ways))


def _described(port: str, taken: Trial, ways: tuple[Trial, ...]) -> Heard:
    reading = taken.last if taken.believed else None
    return Heard(
        port,
        "readable" if taken.believed else "unreadable",
        baud=taken.baud,
        share=taken.share,
        form=_form(taken, reading) if reading is not None else "plain text, but no readings",
        line=_last_line(taken),
        values=_in_c(reading),
        raw=reading.raw if reading is not None else (),
        units=(reading.units or ()) if reading is not None else (),
        query=taken.query,
        other_ways=tuple(f"{way.query} reads {_numbers(way.last)}" for way in ways),
        rising=taken.rising,
    )


def _other_ways(taken: Trial) -> list[Trial]:
    """Return the forms a URL can name in which the same bytes are readable."""
    found = []
    for query in _OTHER_WAYS:
        again = Trial(taken.baud, query, taken.raw)
        try:
            lines = _decoder(query)
        except Exception:  # a form that this program's lines do not have (yet)
            continue
        count(again, lines.feed(bytes(taken.raw)))
        again.headers = lines.headers
        if again.believed:
            found.append(again)
    return found


def _numbers(reading: Reading | None) -> str:
    return " and ".join(str(value) for value in reading.raw) if reading is not None else ""


def _is_text_in_seven_bits(trial: Trial) -> bool:
    masked = Trial(trial.baud, raw=bytearray(byte & 0x7F for byte in trial.raw))
    return len(masked.raw) >= NOISE_BYTES and masked.is_text


def _in_c(reading: Reading | None) -> tuple[Degrees, ...]:
    return degrees(parse_url("loop://").channel(), reading) if reading is not None else ()


def _last_line(trial: Trial) -> str:
    raw = bytes(trial.raw)
    lines = [line for line in re.split(rb"[\r\n]+", raw) if line.strip()]
    whole = lines[-2:-1] if not raw.endswith((b"\r", b"\n")) and len(lines) > 1 else lines[-1:]
    return clean_bytes(whole[0], _SHOWN) if whole else ""


def _form(trial: Trial, reading: Reading) -> str:
    """Return the form of the lines in a few words."""
    count = len(reading.raw)
    several = f"{count} values" if count > 1 else "one value"
    # Of brackets and braces only JSON has any.
    line = _last_line(trial)
    if line.startswith(("{", "[")):
        return f"JSON, {several} a line"
    if trial.headers:
        return f"{several} a line, names from a header"
    if reading.names is not None:
        return f"{several} a line, each with its name"
    return f"{several} a line, no names"
