"""The keys: one table for what a key does, the key bar and the help screen.

Large keys for gloves, a pedal that types a key (F8, Space or Page Down), and letters for
what is rare. Capital and small letters are the same key.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from pacer.screen.desk import Kind, Pace
from pacer.session.events import Deed
from pacer.session.state import Phase

Ask = Literal["reading", "note", "bead"]


class Key(NamedTuple):
    """One row: names as the terminal library has them, and what happens."""

    names: tuple[str, ...]
    shown: str
    word: str
    "For the key bar, two words at most."
    about: str
    "For the help screen."
    deed: Deed | None = None
    ask: Ask | None = None
    "Opens a line to type in."
    pace: Pace | None = None
    phases: frozenset[Phase] | None = None
    "Phases whose bar shows it; None: only the help screen does."


_P = Phase
_BETWEEN = frozenset({_P.READY, _P.PEEN, _P.WAIT, _P.REHEAT})
_ALL = frozenset(Phase)
_HOT = _ALL - {_P.PREPARE, _P.TACK, _P.DONE, _P.BEAD}

NEXT = Key(
    ("space", "enter", "f8", "pagedown"),
    "Space",
    "next",
    "Next step; also Enter, F8, Page Down, or a pedal that types them",
    deed="next",
    phases=_ALL,
)

KEYS: tuple[Key, ...] = (
    NEXT,
    Key(("u",), "U", "undo", "Undo the last press (within a minute)", deed="undo", phases=_ALL),
    Key(
        ("f",),
        "F",
        "finish",
        "Finish: no more beads, on to post-heat",
        deed="finish",
        phases=_BETWEEN | {_P.HOLD},
    ),
    Key(
        ("h",),
        "H",
        "hold",
        "Hold: stop between beads, keep the part warm",
        deed="hold",
        phases=_BETWEEN | {_P.SOAK},
    ),
    Key(
        ("c",),
        "C",
        "covered",
        "Covered: the part is buried, the cool-down starts",
        deed="covered",
        phases=frozenset({_P.HOLD, _P.POST_HEAT, _P.BURY}),
    ),
    Key(
        ("x",),
        "X",
        "uncovered",
        "Uncovered: the part is out of its cover",
        deed="uncovered",
        phases=frozenset({_P.COOL_DOWN}),
    ),
    Key(("r",), "R", "reading", "Type a temperature you measured", ask="reading", phases=_HOT),
    Key(("l",), "L", "length", "Length of the last bead, if not as planned", ask="bead"),
    Key(("t",), "T", "tink", "A tink was heard", deed="tink", phases=frozenset({_P.COOL_DOWN})),
    Key(("k",), "K", "crack", "A crack was seen", deed="crack", phases=frozenset({_P.DONE})),
    Key(("n",), "N", "note", "Write a note", ask="note", phases=_ALL - {_P.BEAD}),
    Key(("g",), "G", "turned", "The part was turned over", deed="turned"),
    Key(("o",), "O", "out", "The part was taken out of the heat", deed="out"),
    Key(("b",), "B", "back", "The part was put back into the heat", deed="back"),
    Key(("w",), "W", "wrapped", "The part was wrapped", deed="wrap"),
    Key(("e",), "E", "unwrapped", "The part was unwrapped", deed="unwrap"),
)

PACE_KEYS: tuple[Key, ...] = (
    Key(("p",), "P", "pause", "Pause, or go on", pace="pause", phases=_ALL),
    Key(("plus", "equals_sign"), "+", "faster", "Faster", pace="faster", phases=_ALL),
    Key(("minus",), "-", "slower", "Slower", pace="slower", phases=_ALL),
    Key(("full_stop",), ".", "next cue", "On to the next cue", pace="next cue", phases=_ALL),
    Key(("comma",), ",", "cue before", "Back to the cue before", pace="previous cue", phases=_ALL),
)

HELP = Key(("question_mark",), "?", "keys", "This list of keys")
QUIT = Key(("q",), "Q", "close", "Close; asks once. Also Ctrl+Q, Ctrl+C")

BY_NAME = {name: key for key in (*KEYS, HELP, QUIT) for name in key.names}
PACE_BY_NAME = {name: key for key in PACE_KEYS for name in key.names}


def bar(phase: Phase, kind: Kind) -> tuple[tuple[str, str], ...]:
    """Return the bar of a phase as (key, word), most wanted first."""
    if kind == "live":
        keys = [*KEYS]
    elif kind == "practice":
        keys = [*KEYS[:2], PACE_KEYS[0], *KEYS[2:], *PACE_KEYS[1:]]
    else:
        keys = [*PACE_KEYS]
    here = [key for key in keys if key.phases is not None and phase in key.phases]
    return tuple((key.shown, key.word) for key in here)
