"""The keys of two recordings side by side: the replay's own, and what only two need."""

from __future__ import annotations

from pacer.screen.keys import BY_NAME, HELP, REPLAY_KEYS, Key

ALIGN = Key(("a",), "A", "align", "Align at the next phase that both have", group="pace")
ZOOM = Key(("z",), "Z", "zoom", "Draw less time, closer; then all again", group="pace")
CLOSE = Key(("q",), "Q", "close", "Close, at once: nothing can be lost; also Ctrl+Q, Ctrl+C")

_PLAYED = {key.pace: key for key in REPLAY_KEYS if key.pace is not None}

ROWS: tuple[Key, ...] = (
    *_PLAYED.values(),
    ALIGN,
    ZOOM,
    BY_NAME["d"],
    HELP._replace(about="This list of keys"),
    CLOSE,
)
"""As the page of keys lists them."""

KEY_BY_NAME = {name: key for key in ROWS for name in key.names}

_BAR: tuple[Key, ...] = (
    _PLAYED["pause"],
    ALIGN,
    ZOOM,
    _PLAYED["next cue"],
    _PLAYED["next excursion"],
    _PLAYED["faster"],
    _PLAYED["slower"],
    _PLAYED["turn"],
)
BAR = tuple((key.shown, key.word) for key in _BAR)
"""Most wanted first: as many as fit."""
