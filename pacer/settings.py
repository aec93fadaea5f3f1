"""The shop's settings, not the job's: `settings.toml` in the user's configuration folder.

`PACER_HOME` names another folder (tests set it).
A new setting is a field of `Settings` and a row in `KEYS`. What a URL or a command in it
says is checked where it is opened (`cli/hands.py`, `sound/open.py`).
"""

from __future__ import annotations

import difflib
import os
import sys
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

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

    def wrong(self, value: object) -> bool:
        """True for a value that can't stand."""
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
}


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
    if given := os.environ.get("PACER_HOME"):
        return Path(given)
    if sys.platform == "win32":
        base = Path(os.environ.get("APPDATA", Path.home() / "AppData" / "Roaming"))
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_CONFIG_HOME", Path.home() / ".config"))
    return base / "pacer"


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
    return Settings(recordings=recordings, **found)


def _wrong(name: str, key: str, found: Mapping[str, object]) -> list[str]:
    """Return the one line about a key that is not known or says nothing sensible."""
    if key not in KEYS:
        near = difflib.get_close_matches(key, KEYS, n=1)
        tail = f'; the nearest known key is "{near[0]}"' if near else f"; known: {', '.join(KEYS)}"
        return [f'{name}: unknown key "{clean(key, 40)}"{tail}']
    if not KEYS[key].wrong(found[key]):
        return []
    value = found[key]
    said = f'"{clean(value, 80)}"' if isinstance(value, str) else clean(str(value), 40)
    return [f"{name}: {key} = {said}: expected {KEYS[key].expected}"]
