"""`pacer sensors URL`: the values of one source, a line a second, until Ctrl-C."""

from __future__ import annotations

import json
from collections.abc import Callable
from math import floor

from pacer.cli.sensors.matching import correct, corrections_for
from pacer.cli.sensors.words import no_number
from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.sensor.open import open_source, parse_url
from pacer.sensor.source import Source
from pacer.session.celsius import Degrees, corrected, degrees
from pacer.session.events import AnyEvent, Channel, Reading, SensorChanged, Trouble
from pacer.settings import read_settings
from pacer.text import clean
from pacer.units import Shown

SILENT_S = 3.0
"Told when nothing has come for so long, and again after each doubling."


def show_live(url: str, shown: Shown, seconds: float | None, *, as_json: bool) -> int:
    """Print what a source reads, the first line of every second; 1 if there was no number.

    Ends with the source, after `seconds` of its own time, or with Ctrl-C.
    """
    source = open_for_reading(url)
    teller = _Teller(source, shown, as_json=as_json)
    try:
        listen(source, seconds, teller.take, teller.silent)
    except KeyboardInterrupt:
        print(flush=True)
    finally:
        source.close()
    return 0 if teller.numbers else 1


def open_for_reading(url: str) -> Source:
    """Open a source with the corrections that the settings hold for it.

    Raises UserInputError for a URL that has nothing to read, SensorError for a port that
    can't be opened.
    """
    parsed = parse_url(url)
    if parsed.scheme == "hand":
        raise UserInputError(f"sensor {parsed.text}: found no instrument, expected one to read")
    corrections = corrections_for(url, read_settings())
    # The practice part runs in real time here, as fast as it can only in a headless session.
    source = open_source(url, BootClock(), fail_fast=parsed.scheme != "practice")
    correct(source, corrections)
    return source


def listen(
    source: Source,
    seconds: float | None,
    take: Callable[[float, AnyEvent], bool | None],
    silent: Callable[[float], None],
) -> None:
    """Hand every event to `take`, until it returns True, time is over or the source ends.

    `silent` is called with the seconds since the last reading, when they have doubled.
    """
    began_s = last_s = source.clock()
    end_s = None if seconds is None else began_s + seconds
    wait_s = SILENT_S
    while not source.finished:
        due_s = last_s + wait_s
        for heard in source.read(due_s if end_s is None else min(due_s, end_s)):
            if end_s is not None and heard.t_s > end_s:
                return
            if isinstance(heard.event, Reading):
                last_s, wait_s = heard.t_s, SILENT_S
            if take(heard.t_s, heard.event):
                return
        now_s = source.clock()
        if end_s is not None and now_s >= end_s:
            return
        if now_s >= last_s + wait_s and not source.finished:
            silent(now_s - last_s)
            wait_s *= 2


class _Teller:
    """Prints what comes."""

    def __init__(self, source: Source, shown: Shown, *, as_json: bool) -> None:
        self._source = source
        self._shown = shown
        self._as_json = as_json
        self._next_s = float("-inf")
        self.numbers = 0
        "Readings with a number, printed or not."

    def take(self, t_s: float, event: AnyEvent) -> None:
        """Take one event."""
        if isinstance(event, Reading):
            found = degrees(self._source.channel, event)
            self.numbers += any(value.temp_c is not None for value in found)
            if t_s >= self._next_s:
                self._next_s = floor(t_s) + 1.0
                if self._as_json:
                    self._say(as_json(self._source.channel, t_s, event, found))
                else:
                    self._say(as_line(self._source.channel, t_s, event, found, self._shown))
        elif isinstance(event, SensorChanged | Trouble):
            self._news(t_s, event)

    def silent(self, since_s: float) -> None:
        """Say that nothing comes."""
        if not self._as_json:
            self._say(f"{'':10}nothing for {since_s:.0f} s")

    def _news(self, t_s: float, event: SensorChanged | Trouble) -> None:
        if self._as_json or not event.why:
            return
        word = event.state if isinstance(event, SensorChanged) else event.what
        deaf = ""
        if isinstance(event, SensorChanged) and event.settle_s:
            deaf = f"; {event.settle_s:g} s are not listened to, a board may be starting"
        self._say(f"{t_s:8.1f} s  {clean(word, 20)}: {clean(event.why, 200)}{deaf}")

    def _say(self, line: str) -> None:
        print(line, flush=True)


def sent(reading: Reading, name: str) -> tuple[float | str | None, str]:
    """Return a channel's value as it was sent, and the unit its line marks; else ""."""
    names = reading.channel_names()
    at = names.index(name)
    return reading.raw[at], reading.units[at] if reading.units else ""


def as_line(
    channel: Channel, t_s: float, reading: Reading, found: tuple[Degrees, ...], shown: Shown
) -> str:
    """Return one reading in one line: °C, as sent, corrected, or why there is none."""
    if not found or all(value.status == "unparsable" for value in found):
        told = clean("; ".join(str(raw) for raw in reading.raw if raw is not None), 80)
        line = f': "{told}"' if told else ""
        return f"{t_s:8.1f} s  unreadable: {clean(reading.why or '', 200)}{line}"
    parts = [_value(channel, reading, value, shown) for value in found]
    return f"{t_s:8.1f} s  " + "   ".join(parts)


def _value(channel: Channel, reading: Reading, value: Degrees, shown: Shown) -> str:
    raw, mark = sent(reading, value.name)
    name = clean(value.name, 40)
    if value.temp_c is None:
        why = value.why or (reading.why if value.status == "unparsable" else "")
        shown_raw = "" if raw is None else f" ({clean(str(raw), 40)})"
        return f"{name} {clean(no_number(value.status, why), 160)}{shown_raw}"
    text = f"{name} {shown.temp_c(value.temp_c, 1)} ({clean(str(raw), 40)} {mark or channel.unit})"
    if channel.corrections:
        right_c = corrected(channel, value.name, value.temp_c)
        text += f" corrected {shown.temp_c(right_c, 1)}"
    return text


def as_json(channel: Channel, t_s: float, reading: Reading, found: tuple[Degrees, ...]) -> str:
    """Return one reading as a JSON object (`pacer guide checking` says what is in it)."""
    channels = []
    for value in found:
        raw, mark = sent(reading, value.name)
        right_c = None if value.temp_c is None else corrected(channel, value.name, value.temp_c)
        channels.append(
            {
                "name": value.name,
                "status": value.status,
                "raw": raw,
                "unit": mark or channel.unit,
                "temp_c": value.temp_c,
                "corrected_c": right_c,
            }
        )
    return json.dumps({"t_s": round(t_s, 3), "channels": channels, "why": reading.why})
