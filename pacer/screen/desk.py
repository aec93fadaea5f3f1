"""`Desk`: what a screen needs of whoever drives it, live and replay alike.

The screen only draws snapshots and passes on what was pressed; it owns no session state.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, Protocol

from pacer.session.cues import Cue
from pacer.session.events import Deed
from pacer.session.finding import Finding
from pacer.session.state import State

Kind = Literal["live", "practice", "replay"]
BY_THE_WELDER = "closed by the welder"


def why_ended(signal_name: str) -> str:
    """Return what the record says of an end by a signal: Ctrl+C is the welder's own."""
    return BY_THE_WELDER if signal_name == "SIGINT" else f"ended by the system ({signal_name})"


Pace = Literal[
    "pause",
    "faster",
    "slower",
    "turn",
    "next record",
    "previous record",
    "on a minute",
    "back a minute",
    "next cue",
    "previous cue",
    "next excursion",
    "previous excursion",
    "next phase",
    "previous phase",
    "start",
    "end",
]
"""How a practice (the first three) or a replay is played."""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """One moment of a session, safe to read from any thread."""

    state: State
    t_s: float
    "Session time now, s: countdowns are drawn for this moment."
    kind: Kind
    trend: tuple[tuple[float, float | None], ...]
    "(session time s, filtered °C or None for a gap), oldest first, thinned to some 600 points."
    cues: tuple[Cue, ...]
    "The last cues told, newest last, at most 20."
    log: str
    "Name of the recording, cleaned."
    trouble: str = ""
    "Not empty: the log is not being saved, or a sink failed; cleaned words."
    off: tuple[str, ...] = ()
    "Ways of telling that have failed, such as `sound is off: no device`; cleaned words."
    speed: float = 1.0
    "Session seconds a real second: 1 live; below 0 where a replay runs backwards."
    paused: bool = False
    over: bool = False
    "Nothing more will come (end of the replay its way, end of the practice job)."
    invented: str = ""
    "Not empty: a simulated session, and how."
    only_in_memory: int = 0
    "Records that are not on the disk while the log is not saved."
    damaged: bool = False
    "The recording is damaged: records are missing."
    findings: tuple[Finding, ...] = ()
    "Of a replay: what the whole recording shows, the most telling first, notes last."
    watched: bool = True
    "False: a replay in a gap of its recording; the state is that at the gap's start."


class Desk(Protocol):
    """Whoever drives: a live session, a practice part, a replay."""

    def snapshot(self) -> Snapshot:
        """Return the present moment; cheap, called several times a second."""

    def press(
        self,
        deed: Deed,
        *,
        temp_c: float | None = None,
        side: int = 0,
        length_m: float | None = None,
        text: str | None = None,
    ) -> None:
        """Pass on what the welder did; a replay ignores it."""

    def pace(self, word: Pace) -> None:
        """Change the pace of a practice or replay; a live session ignores it."""

    def jump(self, t_s: float) -> str:
        """Go to a session time, s; return where that is. Only a replay can, others say so."""

    def stop(self, why: str = BY_THE_WELDER) -> None:
        """End the session and close the recording, saying why; returns when that is done."""

    def on_change(self, changed: Callable[[], None]) -> None:
        """Call `changed` after every change, in the driver's thread; it must not wait.

        A replay changes only as time passes and never calls.
        """
