"""What a track keeps for the guard (`session/guard`): a doubt, how it repeats itself, the arc in it.

Data only, like the state it is a part of; a few numbers each, however long the session.
"""

from __future__ import annotations

import msgspec

from pacer.session.cues import CueKind


class Doubt(msgspec.Struct, frozen=True):
    """A question to the welder: why a channel's number doesn't decide (`session/guard`)."""

    kind: CueKind
    "The cue that tells it."
    since_s: float
    because: str
    "The evidence in one line; {fields} are filled from `values` where it is shown."
    values: dict[str, float] = {}
    was_c: float | None = None
    "Believed just before a step, °C: back near it the doubt is over."
    clean_s: float | None = None
    "Since when nothing more was odd; long enough ends it. None: time alone never does."
    accepted: bool = False
    "Answered: the number decides, and the same is not asked again while it lasts."


class Repeats(msgspec.Struct, frozen=True):
    """How a channel's value repeats itself (`session/guard/stuck.py`)."""

    value_c: float
    since_s: float
    "Since when every line has brought this very value."
    count: int = 1
    "Lines of this stretch."
    seen: int = 0
    "Lines before it, older ones weighing less."
    repeated: int = 0
    "Those of them that brought the value of the line before."
    moves: int = 0
    "How often the value has changed, counted to 10."
    peers: tuple[tuple[str, float], ...] = ()
    "What other channels read when the value came again for the first time, °C."


class ArcInIt(msgspec.Struct, frozen=True):
    """A channel while an arc burns, and until it is known what the arc did to it."""

    before_c: float
    "Believed before the arc."
    since_s: float
    "When the first value with the arc came."
    calm_dc: float
    "Highest less lowest value of the window before it."
    held: bool = False
    "True: values are left out and `before_c` is held."
    off_dc: float = 0.0
    "What came with the arc: an offset, or the width of a hum."
    burning: tuple[float, ...] = ()
    "Values since the arc on, newest last, at most 9."
    out_s: float | None = None
    "When the first value after the arc came."
    after: tuple[float, ...] = ()
    "Values since then, newest last, at most 9."
