"""`Looks`: an application in one of our themes, in characters that its terminal can take."""

from __future__ import annotations

import sys

from textual.app import App

from pacer.screen.themes import chosen, colours, cycle, register, wants_ascii


class Looks(App[None]):
    """Base of every full-screen application here."""

    TITLE = "pacer"
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, *, theme: str = "dark", characters: str = "unicode") -> None:
        """Take the looks; NO_COLOR in the environment and a poor terminal count for more."""
        super().__init__()
        register(self)
        self.theme = chosen(theme, no_color=self.no_color)
        self.set_class(wants_ascii(characters, *_encodings()), "-ascii")

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Name the colours of the stylesheet before a theme of ours is in force."""
        return colours("dark")

    def next_theme(self) -> str:
        """Go on to the next look; return its name."""
        return cycle(self)


def _encodings() -> tuple[str | None, ...]:
    """Return how the two streams that are the terminal turn letters into bytes."""
    return tuple(getattr(stream, "encoding", None) for stream in (sys.__stdout__, sys.__stderr__))
