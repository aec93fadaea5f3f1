"""The line at the bottom for what has to be typed: a reading, a bead's length, a note."""

from __future__ import annotations

import difflib
import re
from typing import NamedTuple

from textual import events
from textual.widgets import Input

from pacer.errors import UserInputError
from pacer.screen.keys import Ask
from pacer.session.track import SPAN_C
from pacer.text import clean
from pacer.units import PLACE_CHARS, Shown, parse, sided, with_place

_BARE = re.compile(r"[+-]?[0-9]+(?:\.[0-9]*)?")
_BARE_AT = re.compile(rf"({_BARE.pattern}(?:\s*[CFK])?)[,;]?\s+(([^\W\d_]{{3,}}).*)", re.IGNORECASE)
"""A number, or one with its letter, and a place; a unit's letter is no place."""
_LETTER = re.compile(rf"({_BARE.pattern})\s*([CFK])", re.IGNORECASE)
_DEGREES = {"C": "degC", "F": "degF", "K": "K"}
"""Typed with gloves beside a hot part, the letter alone is enough: nothing here is in farad."""
_DEGREE_WORDS = (
    "degree",
    "degrees",
    "degC",
    "degF",
    "celsius",
    "fahrenheit",
    "centigrade",
    "kelvin",
)
"What looks like one of them after a number is a unit mistyped, not a place."
NOTE_CHARS = 300


class Answer(NamedTuple):
    """What was typed, understood."""

    temp_c: float | None = None
    length_m: float | None = None
    text: str | None = None
    "A note; of a reading the place where it was taken, unless that is the joint."
    side: int = 0
    "1 at least that temperature, -1 below it: a temperature crayon."
    said: str = ""
    "How it was understood, for the welder."


def understood(ask: Ask, text: str, shown: Shown) -> Answer:
    """Return the typed text as a quantity or a note.

    A bare number is taken in the user's own unit, and `said` says so.
    Raises UserInputError with one line.
    """
    us = shown.system == "us"
    text = text.strip()
    if ask == "note":
        note = clean(text, NOTE_CHARS).strip()
        if not note:
            raise UserInputError("an empty note is not kept: type a few words, or Esc")
        return Answer(text=note, said="note kept")
    bare = _BARE.fullmatch(text) is not None
    if ask == "bead":
        length_m = parse(f"{text} {'in' if us else 'mm'}" if bare else text, "length")
        if not 0 < length_m < 1:
            raise UserInputError(f"{shown.length_m(length_m)}: expected the length of one bead")
        return Answer(length_m=length_m, said=_said(shown.length_m(length_m), bare))
    side, text = sided(text)
    text, place = _place_apart(text)
    bare = _BARE.fullmatch(text) is not None
    letter = _LETTER.fullmatch(text)
    if letter is not None:
        text = f"{letter[1]} {_DEGREES[letter[2].upper()]}"
    temp_c = parse(f"{text} {'degF' if us else 'degC'}" if bare else text, "temperature")
    if not SPAN_C[0] <= temp_c <= SPAN_C[1]:
        span = f"{shown.temp_c(SPAN_C[0])} to {shown.temp_c(SPAN_C[1])}"
        raise UserInputError(f"{shown.temp_c(temp_c)}: expected what a part here can read, {span}")
    how = {0: "", 1: "at least ", -1: "below "}[side]
    at = f" at {place}" if place else ""
    said = _said(how + shown.temp_c(temp_c, 1) + at, bare) + (
        "; the joint decides" if place else ""
    )
    return Answer(temp_c=temp_c, side=side, text=place or None, said=said)


def _place_apart(text: str) -> tuple[str, str]:
    """Split what was typed into the temperature and the place where it was measured, if any."""
    temp, place = with_place(text)
    if place:
        return temp, place
    found = _BARE_AT.fullmatch(text)
    if found is None or difflib.get_close_matches(found[3].casefold(), _DEGREE_WORDS, 1, 0.7):
        return text, ""
    return found[1], clean(found[2], PLACE_CHARS)


def _said(quantity: str, bare: bool) -> str:
    return f"taken as {quantity}, since no unit was typed" if bare else f"{quantity} kept"


def question(ask: Ask, shown: Shown) -> str:
    """Return what the foot says while the line is open."""
    us = shown.system == "us"
    if ask == "reading":
        known = "450 F, at least 500 F" if us else "231 C, at least 260 C"
        elsewhere = f"{'450 F' if us else '231 C'} far end"
        return f"At the joint: {known}; elsewhere: {elsewhere} (Esc leaves it)"
    if ask == "bead":
        what = f"Length of the last bead, such as {'1/2 in' if us else '14 mm'}"
    elif ask == "moment":
        return "To what time: 1:02:05, 1h20min, 812s; Enter goes there, Esc leaves it"
    else:
        what = "Note"
    return f"{what}; Enter keeps it, Esc leaves it"


class Line(Input):
    """One line to type in; hidden until asked for."""

    BINDING_GROUP_TITLE = "Line"

    def __init__(self) -> None:
        """Make a closed line without suggestions or a mouse cursor."""
        super().__init__(id="line", max_length=NOTE_CHARS, compact=True)
        self.display = False
        self.ask: Ask | None = None
        self._left: dict[Ask, str] = {}

    def open(self, ask: Ask) -> None:
        """Open for a question, with what was left unfinished last time."""
        self.ask = ask
        self.value = self._left.pop(ask, "")
        self.cursor_position = len(self.value)
        self.display = True
        self.focus()

    def close(self, *, keep: bool) -> None:
        """Close; `keep` saves the text for the next time."""
        if keep and self.ask is not None and self.value:
            self._left[self.ask] = self.value
        self.ask = None
        self.display = False
        self.value = ""
        self.screen.set_focus(None)

    def _on_paste(self, event: events.Paste) -> None:
        # A terminal passes pasted bytes on as they are. The library calls the base class's
        # handler by itself, after this one.
        event.text = clean(event.text, NOTE_CHARS)
