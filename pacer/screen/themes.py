"""The looks of the screen: dark for the hood, sunlit for glare, mono for neither colour.

    register(app); app.theme = chosen("dark", no_color=False)

A state is told by word, shape and place; a theme only repeats it. Every pair of ink and
paper here has a contrast of at least 7:1, for deutan and protan eyes too
(`tests/screen/test_screen_colour.py`). White or yellow on black or black on white, never
red or blue on black for the action: a welding filter's light state is green-tinted
(reliability.md section 7, seen in a weak page).
Yellow is of the palette of Okabe and Ito (from memory).
"""

from __future__ import annotations

from typing import Protocol

from textual.app import App
from textual.theme import Theme

_BLACK, _WHITE, _YELLOW = "#000000", "#ffffff", "#f0e442"

# Ink and paper of everything the stylesheet names.
_COLOURS: dict[str, dict[str, str]] = {
    "dark": {
        "paper": _BLACK,
        "ink": _WHITE,
        "dim": "#c8c8c8",
        "time": _YELLOW,
        "badge-ink": _BLACK,
        "badge-paper": _WHITE,
        "alert-ink": _BLACK,
        "alert-paper": _YELLOW,
        "fault-ink": _BLACK,
        "fault-paper": _WHITE,
        "typed-ink": _WHITE,
        "typed-paper": "#303030",
    },
    "sunlit": {
        "paper": _WHITE,
        "ink": _BLACK,
        "dim": "#303030",
        "time": _BLACK,
        "badge-ink": _WHITE,
        "badge-paper": _BLACK,
        "alert-ink": _BLACK,
        "alert-paper": _YELLOW,
        "fault-ink": _WHITE,
        "fault-paper": _BLACK,
        "typed-ink": _BLACK,
        "typed-paper": "#d8d8d8",
    },
    "mono": {
        "paper": _BLACK,
        "ink": _WHITE,
        "dim": _WHITE,
        "time": _WHITE,
        "badge-ink": _BLACK,
        "badge-paper": _WHITE,
        "alert-ink": _BLACK,
        "alert-paper": _WHITE,
        "fault-ink": _BLACK,
        "fault-paper": _WHITE,
        "typed-ink": _WHITE,
        "typed-paper": _BLACK,
    },
}
NAMES = tuple(_COLOURS)
PAIRS = (
    ("ink", "paper"),
    ("dim", "paper"),
    ("time", "paper"),
    ("badge-ink", "badge-paper"),
    ("alert-ink", "alert-paper"),
    ("fault-ink", "fault-paper"),
    ("typed-ink", "typed-paper"),
)
"Which ink stands on which paper."


class Themed(Protocol):
    """What `cycle` needs of an application."""

    theme: str


def colours(name: str) -> dict[str, str]:
    """Return a theme's colours by name, `#rrggbb`."""
    return dict(_COLOURS[name])


def register(app: App[None]) -> None:
    """Make the three looks known to an application, under their own names."""
    for name, named in _COLOURS.items():
        app.register_theme(
            Theme(
                name=name,
                primary=named["ink"],
                foreground=named["ink"],
                background=named["paper"],
                dark=name != "sunlit",
                variables=named,
            )
        )


def chosen(wanted: str, *, no_color: bool) -> str:
    """Return the theme to start with; NO_COLOR in the environment asks for mono."""
    if no_color or wanted not in _COLOURS:
        return "mono" if no_color else "dark"
    return wanted


def cycle(app: Themed) -> str:
    """Go on to the next look and return its name."""
    at = NAMES.index(app.theme) if app.theme in NAMES else -1
    app.theme = NAMES[(at + 1) % len(NAMES)]
    return app.theme


def wants_ascii(characters: str, *encodings: str | None) -> bool:
    """True if only plain characters may be painted: asked for, or all the terminal can take.

    >>> wants_ascii("unicode", "utf-8", None), wants_ascii("unicode", "latin-1")
    (False, True)
    """
    poor = any(
        name is not None and name.lower().replace("-", "").replace("_", "") != "utf8"
        for name in encodings
    )
    return characters == "ascii" or poor
