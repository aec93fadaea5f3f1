"""Corrections into and out of `settings.toml`; the user's comments and order stay."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pacer.cli.whole_file import write_whole
from pacer.errors import UserInputError
from pacer.settings import SensorCorrection, home, read_settings
from pacer.text import clean

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

_FIELDS = tuple(SensorCorrection.__dataclass_fields__)


def settings_path() -> Path:
    """Return where the settings are, or will be."""
    return home() / "settings.toml"


def store(made: SensorCorrection, replaced: Callable[[SensorCorrection], bool]) -> None:
    """Write a correction; those for which `replaced` is true go.

    Raises UserInputError where the file is wrong or can't be written.
    """
    _rewrite(lambda old: not replaced(old), made)


def forget(gone: Callable[[SensorCorrection], bool]) -> list[SensorCorrection]:
    """Take corrections out and return them; the file is touched only if there are any.

    Raises UserInputError where the file is wrong or can't be written.
    """
    found = [old for old in read_settings().corrections if gone(old)]
    if found:
        _rewrite(lambda old: not gone(old), None)
    return found


def _rewrite(stays: Callable[[SensorCorrection], bool], made: SensorCorrection | None) -> None:
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    kept = [old for old in read_settings().corrections if stays(old)]
    path = settings_path()
    try:
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        document = tomlkit.parse(text)
        _set_tables(document, kept, made)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, tomlkit.dumps(document))
    except TOMLKitError as error:
        # The two TOML readers do not agree about every corner; the file is left alone.
        why = clean(str(error), 200)
        raise UserInputError(f"{clean(str(path))}: cannot be rewritten: {why}") from None
    except OSError as error:
        why = clean(error.strerror or str(error))
        raise UserInputError(f"{clean(str(path))}: cannot be written: {why}") from None


def _set_tables(
    document: TOMLDocument, kept: list[SensorCorrection], made: SensorCorrection | None
) -> None:
    """Put the tables where they were, or at the end; those that are kept keep their comments."""
    import tomlkit
    from tomlkit.items import AoT

    old = document.get("corrections")
    as_written = {_key(table): table for table in old} if isinstance(old, AoT) else {}
    tables = tomlkit.aot()
    for one in kept:
        # Somebody may have written them in one line: those are written anew.
        tables.append(as_written.get((one.sensor, one.channel, one.made)) or _table(one))
    if made is not None:
        tables.append(_table(made))
    if "corrections" in document:
        document.remove("corrections")
    if len(tables):
        document.append("corrections", tables)


def _key(table: Any) -> tuple[str, str, str]:
    return str(table["sensor"]), str(table.get("channel", "")), str(table["made"])


def _table(made: SensorCorrection) -> Any:
    import tomlkit

    table = tomlkit.table()
    for name in _FIELDS:
        value = getattr(made, name)
        if value is None or value == "":
            continue
        table.add(name, round(value, 6) if isinstance(value, float) else value)
    return table
