"""The shop's settings, not the job's: `settings.toml` in the user's configuration folder.

`PACER_HOME` names another folder (tests set it).
"""

from __future__ import annotations

import difflib
import os
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pacer.errors import UserInputError
from pacer.text import clean

System = Literal["metric", "us"]

KEYS = {
    "units": '"metric" or "us": what the screen and the lines show (default metric)',
    "recordings": "folder for recordings (default: recordings beside this file)",
}


@dataclass(frozen=True, slots=True)
class Settings:
    """What the shop has chosen."""

    units: System
    recordings: Path

    def had_effect(self) -> dict[str, str]:
        """Return what the recording's head keeps."""
        return {"units": self.units}


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
    wrong = [_unknown(name, key) for key in found if key not in KEYS]
    units, recordings = found.get("units", "metric"), found.get("recordings")
    if units not in {"metric", "us"}:
        wrong.append(f'{name}: units = "{clean(str(units), 40)}": expected "metric" or "us"')
    if recordings is not None and not isinstance(recordings, str):
        wrong.append(f"{name}: recordings: expected a folder in quotes")
    if wrong:
        raise UserInputError("\n".join(wrong))
    place = Path(recordings).expanduser() if recordings else folder / "recordings"
    return Settings(units=units, recordings=place)


def _unknown(name: str, key: str) -> str:
    near = difflib.get_close_matches(key, KEYS, n=1)
    tail = f'; the nearest known key is "{near[0]}"' if near else f"; known: {', '.join(KEYS)}"
    return f'{name}: unknown key "{clean(key, 40)}"{tail}'
