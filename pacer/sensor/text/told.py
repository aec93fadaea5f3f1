"""`Told`: what the sensor's URL says of the lines, so that nothing of it is guessed."""

from __future__ import annotations

from typing import Literal, NamedTuple

Dialect = Literal["auto", "csv"]


class Told(NamedTuple):
    """Everything about a source's lines that its user has said."""

    dialect: Dialect = "auto"
    "`csv`: a comma always separates."
    comma: bool = False
    "True: the decimal sign is a comma; then `;`, tabs and blanks separate."
    unit: str = ""
    'Of the values, where `unit=` was given; "": not said, °C until a line marks another.'
    asked: frozenset[str] = frozenset()
    "Channels that the URL names: never left out of a line."
    decides: str = ""
    'The channel that decides; "": not said.'
