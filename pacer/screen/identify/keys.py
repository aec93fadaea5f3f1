"""The keys of the shop tests: one table for what a key does, the key bar and the page of keys."""

from __future__ import annotations

from typing import Literal, NamedTuple

Act = Literal[
    "answer",
    "take",
    "up",
    "down",
    "back a page",
    "on a page",
    "skip",
    "undo",
    "metal",
    "why",
    "how",
    "list",
    "result",
    "keep",
    "keys",
    "looks",
    "back",
    "leave",
]
Page = Literal["test", "how", "why", "list", "result", "keys", "leave"]

REPEATED: frozenset[Act] = frozenset({"up", "down", "back a page", "on a page"})
"""A held key repeats these on purpose; of all others one press is one action."""


class IdentifyKey(NamedTuple):
    """One row: names as the terminal library has them, and what happens."""

    names: tuple[str, ...]
    shown: str
    word: str
    "For the key bar."
    about: str
    "For the page of keys."
    act: Act
    pages: tuple[Page, ...] = ()
    "Pages whose bar shows it."


CANT_TELL_KEY = "0"

KEYS: tuple[IdentifyKey, ...] = (
    IdentifyKey(tuple("123456789"), "1-9", "answer", "Give that answer, and go on", "answer"),
    IdentifyKey((CANT_TELL_KEY,), "0", "can't tell", "An answer too: it moves nothing", "answer"),
    IdentifyKey(("s",), "S", "skip", "Leave the test undone, and go on", "skip", ("test",)),
    IdentifyKey(
        ("u", "backspace"),
        "U",
        "undo",
        "Take the last answer back; also Backspace",
        "undo",
        ("test", "result"),
    ),
    IdentifyKey(
        ("w",),
        "W",
        "why",
        "What speaks for and against each metal, with sources",
        "why",
        ("test", "result"),
    ),
    IdentifyKey(
        ("p",), "P", "picture", "The whole test on a page, with its drawing", "how", ("test",)
    ),
    IdentifyKey(("r",), "R", "result", "What is left, and what to do", "result", ("test",)),
    IdentifyKey(("t",), "T", "tests", "All tests: choose one", "list", ("test", "result")),
    IdentifyKey(
        ("enter", "space"),
        "Enter",
        "take",
        "Take what the mark ▸ is at; also Space",
        "take",
        ("list",),
    ),
    IdentifyKey(
        ("up",),
        "↑",
        "up",
        "Up: to the answer, metal, test or line before",
        "up",
        ("how", "why", "list", "result"),
    ),
    IdentifyKey(
        ("down",), "↓", "down", "Down: to the next one", "down", ("how", "why", "list", "result")
    ),
    IdentifyKey(
        ("pageup", "left"),
        "PgUp",
        "before",
        "The test before; on other pages a page up",
        "back a page",
    ),
    IdentifyKey(
        ("pagedown", "right"),
        "PgDn",
        "after",
        "The next test in order; on other pages a page down",
        "on a page",
    ),
    IdentifyKey(("m", "tab"), "M", "metal", "Mark the next metal; also Tab", "metal"),
    IdentifyKey(
        ("k",), "K", "keep", "Keep the answers and close, from the result", "keep", ("result",)
    ),
    IdentifyKey(("d",), "D", "looks", "Dark, sunlit or plain colours", "looks"),
    IdentifyKey(
        ("escape",),
        "Esc",
        "back",
        "Back to the test; from there: close",
        "back",
        ("how", "why", "list", "result", "keys"),
    ),
    IdentifyKey(("question_mark",), "?", "keys", "This list of keys", "keys"),
    IdentifyKey(("q",), "Q", "close", "Close: asks whether to keep the answers", "leave"),
)
"""Most wanted first: the key bar has room for some of them."""

KEY_BY_NAME = {name: key for key in KEYS for name in key.names}

KEEP, WITHOUT = "k", "x"
"""Answers to the question at the end; any other key goes on. They lie far apart on a keyboard:
a finger beside the one must not drop the answers."""


def bar(page: Page) -> tuple[tuple[str, str], ...]:
    """Return the bar of a page as (key, word), most wanted first."""
    return tuple((key.shown, key.word) for key in KEYS if page in key.pages)
