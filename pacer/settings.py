"""The shop's settings, not the job's: `settings.toml` in the user's configuration folder.

`PACER_HOME` names another folder (tests set it).
A new setting is a field of `Settings` and a row in `KEYS`. What a URL or a command in it
says is checked where it is opened (`cli/hands.py`, `sound/open.py`).
`[[corrections]]` are written by `pacer sensors URL --check` (`cli/sensors/store.py`); they
are read and checked here, and matched with a session's sensor in `cli/sensors/matching.py`.
"""

from __future__ import annotations

import difflib
import os
import sys
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Literal, cast, get_args

from pacer.errors import UserInputError
from pacer.text import clean

System = Literal["metric", "us"]
Theme = Literal["dark", "sunlit", "mono"]
Characters = Literal["unicode", "ascii"]
SoundChoice = Literal["auto", "off"]


@dataclass(frozen=True, slots=True)
class Key:
    """What a key of the file may say."""

    expected: str
    "In words, after `expected`."
    words: tuple[str, ...] = ()
    "The only values there are; none: any text in quotes."
    holds: str = ""
    "Text that a value must have in it, unless it is one of `besides`."
    besides: tuple[str, ...] = ()

    tables: bool = False
    "True: not text but tables of their own, checked by `_wrong_correction`."

    def wrong(self, value: object) -> bool:
        """True for a value that can't stand."""
        if self.tables:
            tables = isinstance(value, list) and all(isinstance(row, dict) for row in value)
            return not tables
        if not isinstance(value, str):
            return True
        if self.words:
            return value not in self.words
        return value not in self.besides and self.holds not in value


KEYS: dict[str, Key] = {
    "units": Key('"metric" or "us"', get_args(System)),
    "recordings": Key("a folder in quotes"),
    "theme": Key('"dark", "sunlit" or "mono"', get_args(Theme)),
    "characters": Key('"unicode" or "ascii"', get_args(Characters)),
    "sound": Key('"auto" or "off"', get_args(SoundChoice)),
    "speech": Key(
        '"auto", "off", or a command with {words} in it',
        holds="{words}",
        besides=("auto", "off"),
    ),
    "lamp": Key('a URL in quotes such as "serial:///dev/ttyUSB1?line=RTS"'),
    "pedal": Key('a URL in quotes such as "serial:///dev/ttyUSB1?line=CTS"'),
    "corrections": Key("[[corrections]] tables, as pacer sensors URL --check writes", tables=True),
}

MOST_SCALED = 0.2
"""A sensor that is wrong by more than a fifth is no sensor to correct. Judgement, no source; the
field check itself refuses much earlier (`sensor/listening/fieldcheck.py`)."""

MOST_OFF_DC = 50.0
"Same, K."


@dataclass(frozen=True, slots=True)
class SensorCorrection:
    """What a field check found about one channel of one sensor."""

    sensor: str
    "The sensor's URL without what doesn't tell one sensor from another."
    scale: float
    offset_dc: float
    "Corrected °C = scale * °C + offset_dc."
    made: str
    "Date, ISO 8601."
    how: str = ""
    "In words."
    usb: str = ""
    "VID:PID:SERIAL of its adapter, hexadecimal; empty: not on USB, or not known."
    channel: str = ""
    "Empty: any of the source."
    ice_c: float | None = None
    "What it read in melting ice."
    boil_c: float | None = None
    "What it read in boiling water."
    boils_at_c: float | None = None
    "Where the water boiled."


_NUMBERS = {
    "scale": (1.0 - MOST_SCALED, 1.0 + MOST_SCALED),
    "offset_dc": (-MOST_OFF_DC, MOST_OFF_DC),
    "ice_c": (-273.15, 2000.0),
    "boil_c": (-273.15, 2000.0),
    "boils_at_c": (50.0, 110.0),
}
"Members of a correction that are numbers, and between what."

_MUST = ("sensor", "scale", "offset_dc", "made")


@dataclass(frozen=True, slots=True)
class Settings:
    """What the shop has chosen."""

    recordings: Path
    "Folder of the recordings."
    units: System = "metric"
    "What the screen and the lines show."
    theme: Theme = "dark"
    "Looks of the screen: under the hood, in the sun, without colour."
    characters: Characters = "unicode"
    "What the screen may draw with."
    sound: SoundChoice = "auto"
    "Tones, or the terminal's bell where there are none; off: neither."
    speech: str = "auto"
    "auto, off, or a command with {words} in it."
    lamp: str = ""
    "URL of the line a lamp or a vibrator hangs on; empty: none."
    pedal: str = ""
    "URL of the line a contact hangs on; empty: none."
    corrections: tuple[SensorCorrection, ...] = ()
    "What field checks found; at most one a sensor and channel."

    def had_effect(self, *, screen: bool = False, plugs: bool = False) -> dict[str, str]:
        """Return what the recording's head keeps: the settings that this session went by.

        Looks and sounds count with a screen, lamp and pedal where their plugs are opened.
        """
        names = ["units"]
        if screen:
            names += ["theme", "characters", "sound", "speech"]
        if plugs:
            names += ["lamp", "pedal"]
        said = {name: clean(str(getattr(self, name))) for name in names}
        return {name: value for name, value in said.items() if value}


def home() -> Path:
    """Return the configuration folder."""
    return _system_folder(
        ("APPDATA", "AppData/Roaming"),
        "Library/Application Support",
        ("XDG_CONFIG_HOME", ".config"),
    )


def throwaway() -> Path:
    """Return the folder for what can be thrown away and made again at any time."""
    return _system_folder(
        ("LOCALAPPDATA", "AppData/Local"), "Library/Caches", ("XDG_CACHE_HOME", ".cache")
    )


def _system_folder(windows: tuple[str, str], mac: str, other: tuple[str, str]) -> Path:
    """Return ours in one of the system's folders: a variable, and what it is where that isn't set."""
    if given := os.environ.get("PACER_HOME"):
        return Path(given)
    if sys.platform == "darwin":
        return Path.home() / mac / "pacer"
    variable, usual = windows if sys.platform == "win32" else other
    return Path(os.environ.get(variable, Path.home() / usual)) / "pacer"


def read_settings() -> Settings:
    """Return the settings; a missing file means defaults.

    Raises `UserInputError` with one line for each key that is wrong.
    """
    folder = home()
    path = folder / "settings.toml"
    name = clean(str(path))
    try:
        found = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        found = {}
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise UserInputError(f"{name}: {clean(str(error), 200)}") from None
    if wrong := [line for key in found for line in _wrong(name, key, found)]:
        raise UserInputError("\n".join(wrong))
    place = found.pop("recordings", None)
    recordings = Path(place).expanduser() if place else folder / "recordings"
    made = tuple(_correction(row) for row in found.pop("corrections", ()))
    return Settings(recordings=recordings, corrections=made, **found)


def _correction(row: Mapping[str, Any]) -> SensorCorrection:
    """Return one checked table as a record."""
    said: dict[str, Any] = {
        key: float(value) if key in _NUMBERS else str(value) for key, value in row.items()
    }
    return SensorCorrection(**said)


def _wrong(name: str, key: str, found: Mapping[str, object]) -> list[str]:
    """Return the one line about a key that is not known or says nothing sensible."""
    if key not in KEYS:
        near = difflib.get_close_matches(key, KEYS, n=1)
        tail = f'; the nearest known key is "{near[0]}"' if near else f"; known: {', '.join(KEYS)}"
        return [f'{name}: unknown key "{clean(key, 40)}"{tail}']
    if not KEYS[key].wrong(found[key]):
        rows = cast("list[dict[str, object]]", found[key]) if KEYS[key].tables else []
        return [
            f"{name}: correction {at}: {line}"
            for at, row in enumerate(rows, 1)
            for line in _wrong_correction(row)
        ]
    value = found[key]
    said = f'"{clean(value, 80)}"' if isinstance(value, str) else clean(str(value), 40)
    return [f"{name}: {key} = {said}: expected {KEYS[key].expected}"]


def _wrong_correction(row: Mapping[str, Any]) -> list[str]:
    """Return what is wrong with one `[[corrections]]` table, a line each."""
    known = tuple(SensorCorrection.__dataclass_fields__)
    wrong = [f"{key} is missing" for key in _MUST if key not in row]
    for key, value in row.items():
        said = clean(str(value), 80)
        if key not in known:
            near = difflib.get_close_matches(key, known, n=1)
            tail = f'the nearest known key is "{near[0]}"' if near else f"known: {', '.join(known)}"
            wrong.append(f'unknown key "{clean(key, 40)}"; {tail}')
        elif key in _NUMBERS:
            low, high = _NUMBERS[key]
            number = isinstance(value, int | float) and not isinstance(value, bool)
            if not number or not low <= value <= high:
                wrong.append(f"{key} = {said}: expected a number from {low:g} to {high:g}")
        elif key == "made":
            if not _is_date(value):
                wrong.append(f"made = {said}: expected a date such as 2026-03-31")
        elif not isinstance(value, str):
            wrong.append(f"{key} = {said}: expected text in quotes")
    return wrong


def _is_date(value: object) -> bool:
    """True for a day, as TOML's own date or as text."""
    try:
        return isinstance(value, date) or bool(date.fromisoformat(str(value)))
    except ValueError:
        return False
