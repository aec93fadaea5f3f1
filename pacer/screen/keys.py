"""The keys: one table for what a key does, the key bar and the help screen.

Large keys for gloves, a pedal that types a key (F8, Space or Page Down), and letters for
what is rare. Capital and small letters are the same key. While the cadence counts a bead,
its peen or the look, a key that has no use there is taken for "stop counting": a welder
in trouble hits what he reaches (procedure.md section 15).
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from pacer.screen.desk import Kind, Pace
from pacer.session.events import Deed
from pacer.session.state import State
from pacer.session.work import Phase

Ask = Literal["reading", "note", "bead", "moment"]
Do = Literal["theme", "check", "findings"]
Group = Literal["moment", "beads", "list", "side", "pace"]

_P = Phase
_ALL = frozenset(Phase)
_BETWEEN = frozenset({_P.READY, _P.PEEN, _P.LOOK, _P.WAIT, _P.REHEAT, _P.INSPECT})
_HOT = _ALL - {_P.PREPARE, _P.TACK, _P.DONE, _P.BEAD}
_SOON_OVER = frozenset({_P.BEAD, _P.PEEN, _P.LOOK})
_UNCOUNTED = _ALL - _SOON_OVER
_NO_ARC = _ALL - {_P.BEAD}
_NOWHERE: frozenset[Phase] = frozenset()


class Key(NamedTuple):
    """One row: names as the terminal library has them, and what happens."""

    names: tuple[str, ...]
    shown: str
    word: str
    "For the key bar, two words at most."
    about: str
    "For the help screen; 31 letters outside the first group, so that two columns fit."
    deed: Deed | None = None
    ask: Ask | None = None
    "Opens a line to type in."
    pace: Pace | None = None
    do: Do | None = None
    "The screen's own business."
    phases: frozenset[Phase] = _NOWHERE
    "Phases whose bar shows it; in none only the help screen does."
    use: frozenset[Phase] = _NO_ARC
    "Phases in which it has a use of its own: there it never stops the cadence."
    group: Group = "side"


NEXT = Key(
    ("space", "enter", "f8", "pagedown"),
    "Space",
    "next",
    "Next step; also Enter, F8, Page Down, or a pedal that types them",
    deed="next",
    phases=_ALL,
    use=_ALL,
    group="moment",
)
UNDO = Key(
    ("u",),
    "U",
    "undo",
    "Undo the last press (within a minute)",
    deed="undo",
    phases=_ALL,
    use=_ALL,
    group="moment",
)
SHELVE = Key(
    ("s",),
    "S",
    "aside",
    "Put the cue aside for 5 minutes; a fault is only silenced",
    deed="shelve",
    phases=_HOT - _SOON_OVER,
    group="moment",
)
OTHER = Key(
    (),
    "other",
    "",
    "Any other key stops the counting of bead, peen and look; next goes on",
    deed="pause",
    group="moment",
)
"Not a row of its own: what a key means that means nothing else."

KEYS: tuple[Key, ...] = (
    NEXT,
    UNDO,
    Key(
        ("f",),
        "F",
        "finish",
        "No more beads: on to post-heat",
        deed="finish",
        phases=_BETWEEN | {_P.HOLD},
        group="beads",
    ),
    Key(
        ("h",),
        "H",
        "hold",
        "Hold: stop, keep the part warm",
        deed="hold",
        phases=_BETWEEN | {_P.SOAK},
        group="beads",
    ),
    Key(
        ("c",),
        "C",
        "covered",
        "Buried: the cool-down starts",
        deed="covered",
        phases=frozenset({_P.HOLD, _P.POST_HEAT, _P.BURY}),
        use=_UNCOUNTED,
        group="beads",
    ),
    Key(
        ("x",),
        "X",
        "uncovered",
        "The part is out of its cover",
        deed="uncovered",
        phases=frozenset({_P.COOL_DOWN}),
        use=_UNCOUNTED,
        group="beads",
    ),
    Key(
        ("v",),
        "V",
        "check",
        "Check lamp, sound, screen",
        do="check",
        phases=frozenset({_P.PREPARE}),
        use=_UNCOUNTED,
    ),
    Key(
        ("r",),
        "R",
        "temp",
        "Type a temperature you measured",
        ask="reading",
        phases=_ALL - _SOON_OVER - {_P.DONE},
        group="beads",
    ),
    Key(
        ("t",),
        "T",
        "tink",
        "A tink was heard",
        deed="tink",
        phases=frozenset({_P.WAIT, _P.PEEN, _P.SOAK, _P.POST_HEAT, _P.COOL_DOWN}),
    ),
    Key(
        ("k",),
        "K",
        "crack",
        "A crack was seen",
        deed="crack",
        phases=frozenset({_P.LOOK, _P.PEEN, _P.WAIT, _P.INSPECT, _P.DONE}),
    ),
    Key(
        ("z",),
        "Z",
        "peening",
        "You begin to peen",
        deed="peen",
        phases=frozenset({_P.PEEN}),
    ),
    Key(
        ("i",),
        "I",
        "clamps",
        "The clamps are loose",
        deed="loosened",
        phases=frozenset({_P.POST_HEAT, _P.BURY}),
    ),
    SHELVE,
    Key(("l",), "L", "length", "Length of the last bead", ask="bead", group="beads"),
    Key(("n",), "N", "note", "Write a note", ask="note", phases=_ALL - _SOON_OVER),
    Key(("d",), "D", "looks", "Dark, sunlit or plain colours", do="theme"),
    Key(("g",), "G", "turned", "The part was turned over", deed="turned"),
    Key(("o",), "O", "out", "Taken out of the heat", deed="out"),
    Key(("b",), "B", "back", "Put back into the heat", deed="back"),
    Key(("w",), "W", "wrapped", "The part was wrapped", deed="wrap"),
    Key(("e",), "E", "unwrapped", "The part was unwrapped", deed="unwrap"),
)


LIST_KEYS: tuple[Key, ...] = (
    Key(("s",), "S", "skip", "Confirm none of it, and go on", group="list"),
    Key(("up", "down"), "↑↓", "line", "Choose a line", group="list"),
    Key(("m",), "M", "missing", "Mark it as missing, or not", group="list"),
    Key(("left", "right"), "←→", "page", "Turn the page", group="list"),
)
"Of the list before the heat, while it is on the screen (`screen/listing.py`); Space confirms it."


def _pace(names: tuple[str, ...], shown: str, word: str, about: str, pace: Pace | None) -> Key:
    return Key(names, shown, word, about, pace=pace, phases=_ALL, use=_ALL, group="pace")


PACE_KEYS: tuple[Key, ...] = (
    _pace(("p",), "P", "pause", "Pause, or go on", "pause"),
    _pace(("plus", "equals_sign"), "+", "pace", "Faster", "faster"),
    _pace(("minus",), "-", "pace", "Slower", "slower"),
)
"Of practice and replay."

REPLAY_KEYS: tuple[Key, ...] = (
    *PACE_KEYS,
    _pace(("f",), "F", "findings", "Findings; Enter goes to one", None)._replace(do="findings"),
    _pace(("left",), "←", "step", "To the record before, and pause", "previous record"),
    _pace(("right",), "→", "step", "To the next record, and pause", "next record"),
    _pace(("comma",), ",", "cue", "Back to the cue before", "previous cue"),
    _pace(("full_stop",), ".", "cue", "On to the next cue", "next cue"),
    _pace(
        ("left_parenthesis",),
        "(",
        "outside",
        "Back to where a limit was left",
        "previous excursion",
    ),
    _pace(("right_parenthesis",), ")", "outside", "On to where a limit is left", "next excursion"),
    _pace(("t",), "T", "turn", "Play the other way", "turn"),
    _pace(("j",), "J", "time", "Go to a time you type", None)._replace(ask="moment"),
    _pace(("pageup",), "PgUp", "phase", "Back to the phase before", "previous phase"),
    _pace(("pagedown",), "PgDn", "phase", "On to the next phase", "next phase"),
    _pace(("down",), "↓", "minute", "A minute back", "back a minute"),
    _pace(("up",), "↑", "minute", "A minute on", "on a minute"),
    _pace(("home",), "Home", "ends", "To the start", "start"),
    _pace(("end",), "End", "ends", "To the end", "end"),
)
"Most wanted first: the key bar has room for some of them."

FINDING_BAR = (
    ("↑↓", "choose"),
    ("Enter", "go there"),
    ("F", "close the list"),
    ("P", "pause"),
    ("←→", "step"),
    (",.", "cue"),
)
"The bar while the findings are beside the replay (`screen/found.py`)."

HELP = Key(
    ("question_mark",),
    "?",
    "keys",
    "This list of keys; again: what the sensor's states mean",
    use=_ALL,
    group="moment",
)
QUIT = Key(
    ("q",),
    "Q",
    "close",
    "Close: asks, then Y closes; also Ctrl+Q, Ctrl+C",
    use=_ALL,
    group="moment",
)

BY_NAME = {name: key for key in (*KEYS, HELP, QUIT) for name in key.names}

YES, NO = "y", "n"
"Answers to a question on the screen."


def same(name: str) -> str:
    """Return one name for all keys of a row, for judging presses; others keep their own."""
    return BY_NAME[name].shown if name in BY_NAME else name


def pace_keys(kind: Kind) -> tuple[Key, ...]:
    """Return the keys that change how time goes by; a live session has none."""
    if kind == "live":
        return ()
    return REPLAY_KEYS if kind == "replay" else PACE_KEYS


def pace_key(name: str, kind: Kind) -> Key | None:
    """Return the key of that name that changes how time goes by, if it is one."""
    return next((key for key in pace_keys(kind) if name in key.names), None)


def stops_counting(key: Key | None, state: State) -> bool:
    """True where a key, or one that is in no row (None), stops the cadence.

    With an arc signal nothing is counted, so nothing can be stopped.
    """
    return state.paced and (key is None or state.phase not in key.use)


def list_bar(kind: Kind) -> tuple[tuple[str, str], ...]:
    """Return the bar while the list before the heat is on the screen."""
    skip, line, mark, _ = ((key.shown, key.word) for key in LIST_KEYS)
    rest = [row for row in bar(Phase.PREPARE, kind) if row[0] != NEXT.shown]
    # The check is tried before the heat only: undo can wait.
    rest.sort(key=lambda row: row[1] != "check")
    return ((NEXT.shown, "confirm"), skip, line, mark, *rest)


def bar(phase: Phase, kind: Kind) -> tuple[tuple[str, str], ...]:
    """Return the bar of a phase as (key, word), most wanted first."""
    if kind == "live":
        keys = [*KEYS]
    elif kind == "practice":
        keys = [*KEYS[:2], PACE_KEYS[0], *KEYS[2:], *PACE_KEYS[1:]]
    else:
        keys = [*REPLAY_KEYS]
    words: dict[str, list[str]] = {}
    for key in keys:
        if phase in key.phases:
            words.setdefault(key.word, []).append(key.shown)
    # Two keys with one word are the two ways of it.
    return tuple(
        (("" if max(map(len, shown)) == 1 else "/").join(shown), word)
        for word, shown in words.items()
    )
