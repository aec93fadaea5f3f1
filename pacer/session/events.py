"""What happened: the closed union of events that the log holds and the fold eats.

Rules of this file:

1. An event is a fact, never a decision; a decision is computed again from the facts.
2. Readings are raw, with the decoder's own status; judging them belongs to the fold,
   so that an old log can be replayed with a better guard.
3. Times are whole milliseconds of session time (`t_ms`, 0 at the recording's head).

Short on-disk names (`b`, `R`, `D`, …) are the recording's; `recording/codec.py` and
guide/recording.md must change with this file.
"""

from __future__ import annotations

from typing import Literal, get_args

import msgspec
from msgspec import field

from pacer.heat.thermocouple import Letter
from pacer.job.job import Job
from pacer.session.inspection import (
    Imperfection,
    Look,
    Looked,
    Penetrant,
    Proof,
    RingHeard,
)

Status = Literal["ok", "open", "short", "unparsable"]
"""The decoder's own word for a value; anything cleverer belongs to `session/track.py`."""

Deed = Literal[
    "next",
    "undo",
    "finish",
    "covered",
    "uncovered",
    "hold",
    "arc on",
    "arc off",
    "bead",
    "turned",
    "out",
    "back",
    "wrap",
    "unwrap",
    "tink",
    "crack",
    "reading",
    "note",
    "shelve",
    "pause",
    "checked",
    "prepared",
    "peen",
    "loosened",
]
"""What the welder did or said; the same words a script writes after `!`. `peen`: he begins to
peen; `loosened`: the clamps are loose."""

DEEDS: tuple[Deed, ...] = get_args(Deed)

SKIPPED = "not confirmed"
"""Text of a `prepared` whose whole list was skipped."""

NO_TEXT = "holds bytes that are no plain text"
"""The decoder's reason for a line that isn't text at all: most likely the baud rate is wrong."""

LATEST_S = 1e7
"""Latest session time a script or an import may claim: 115 days is a slip of the pen (JUDG)."""

MOST_CHANNELS = 64
"""Channels that are judged; no source that pacer listens to has more than 16. Further names are
noise in the names, or a recording made to hurt: each would cost time at every line after it."""

StartPhase = Literal["prepare", "cool-down"]


class ArcSignal(msgspec.Struct, frozen=True):
    """How the source's lines tell that the arc burns (`session/arc.py` judges them)."""

    name: str = ""
    "Channel of a current clamp or a light sensor; empty: no such channel."
    on: float = 0.0
    "At or above this raw value the arc burns."
    off: float = 0.0
    "Below this raw value it doesn't; between the two nothing changes."
    noise: bool = False
    "True: a burst of bad values while READY stands is taken for a high-frequency arc start."


class Thermocouple(msgspec.Struct, frozen=True):
    """What turns the thermocouple voltages of a source into temperatures."""

    letter: Letter
    cj: str = ""
    "Channel that reads the cold junction's temperature, in °C unless the line marks it; empty: `cj_c`."
    cj_c: float | None = None
    "Cold junction temperature where no channel reads it."


class Correction(msgspec.Struct, frozen=True):
    """What a check at two known temperatures found; the recording keeps raw values all the same."""

    scale: float
    offset_dc: float
    "Corrected °C = scale * °C + offset_dc."
    made: str
    "Date, ISO 8601."
    how: str
    "In words, such as `ice 0.4 °C, boiling water 99.1 °C of 98.6 °C`."
    channel: str = ""
    "Channel that was checked; empty: any of the source."


class Channel(msgspec.Struct, frozen=True):
    """One value of the source and how it becomes °C (`session/celsius.py` does it)."""

    name: str
    "The channel that decides; empty: the first to send a number."
    unit: str
    "Unit of the raw values, such as `degC`."
    scale: float = 1.0
    "°C = scale * raw + offset_c; with a thermocouple: mV = scale * raw."
    offset_c: float = 0.0
    arc: ArcSignal | None = None
    "Where the same lines also tell of the arc."
    thermocouple: Thermocouple | None = None
    "Not None: raw values are voltages."
    corrections: tuple[Correction, ...] = ()
    "Of the shop's field checks; at most one a channel."

    @property
    def arc_name(self) -> str:
        """The channel that is no temperature; empty where the lines have none."""
        return self.arc.name if self.arc is not None else ""

    @property
    def cj_name(self) -> str:
        """The cold junction's channel; empty where the lines have none."""
        return self.thermocouple.cj if self.thermocouple is not None else ""


class Opened(msgspec.Struct, frozen=True, tag_field="k", tag="head"):
    """The recording's head: everything known before the first reading."""

    v: tuple[int, int]
    "Format version, major and minor."
    sid: str
    "Session id, 16 hex digits; seeds every record's checksum."
    app: str
    "Program and version."
    wall: str = field(name="w")
    "UTC wall time of session time 0, ISO 8601."
    job: Job
    "The resolved job."
    channel: Channel
    "Default conversion for every channel of this source."
    source: str = ""
    "The sensor's URL, cleaned."
    format: str = "pacer recording"
    tz: str = "+00:00"
    "Local offset from UTC when the session was opened."
    clk: str = "boottime"
    "Which clock session time comes from: boottime, monotonic, source."
    start_phase: StartPhase = "prepare"
    "An import starts in its cool-down."
    period_s: float | None = None
    "Seconds between readings where the source says so beforehand."
    hand: bool = False
    "True where there is no instrument: readings are typed."
    invented: str = ""
    "Not empty: the session is simulated; says how, with its seed."
    settings: dict[str, str] = {}
    "Every shop setting that had an effect."
    priors: dict[str, str] = {}
    "Heat model names and versions this session's forecasts were made with."
    t_ms: int = field(default=0, name="b")

    @property
    def t_s(self) -> float:
        """Session time in s."""
        return self.t_ms / 1000


class Event(msgspec.Struct, frozen=True, tag_field="k", omit_defaults=True):
    """What every event has: its session time."""

    t_ms: int = field(name="b")
    "Session time in ms; never falls within a recording."

    @property
    def t_s(self) -> float:
        """Session time in s."""
        return self.t_ms / 1000

    @property
    def known_ms(self) -> int:
        """Session time in ms from which on somebody can know of it."""
        return self.t_ms

    @property
    def known_s(self) -> float:
        """The same in s."""
        return self.known_ms / 1000


class Reading(Event, frozen=True, tag="s"):
    """One line from the source, all its channels in it."""

    raw: tuple[float | str | None, ...] = field(name="R")
    "Values as the source said them; cleaned text where unparsable; None where missing."
    status: Status | tuple[Status, ...] = field(name="D")
    "One word for all channels, or a word each."
    names: tuple[str, ...] | None = field(default=None, name="n")
    "Channel names where the line gave them."
    why: str | None = None
    "For an unparsable line: what was wrong with it, with its line number in a script."
    dropped: int = 0
    "Lines before this one that were counted and left out: a flood, or a board's words as it starts."
    units: tuple[str, ...] | None = field(default=None, name="u")
    """Units the line itself marks, one a value, such as `degF`; "" where unmarked, None: none."""

    def statuses(self) -> tuple[Status, ...]:
        """Return one status a channel."""
        if isinstance(self.status, tuple):
            return self.status
        return (self.status,) * len(self.raw)

    def channel_names(self) -> tuple[str, ...]:
        """Return one name a channel: the source's, or t1, t2, …"""
        return self.names or tuple(f"t{i + 1}" for i in range(len(self.raw)))


class Act(Event, frozen=True, tag="ev"):
    """Something the welder did or said, by key, pedal, contact or script."""

    deed: Deed = field(name="e")
    by: str = "key"
    "key, pedal, contact, signal, script, practice."
    temp_c: float | None = None
    "With `reading`: the typed temperature."
    side: int = 0
    "With `reading`: 1 at least that (a temperature crayon that melted), -1 below it."
    length_m: float | None = None
    "With `bead`: the length really made."
    text: str | None = None
    """With `note`, `tink`, `crack`: cleaned words. With `reading`: the place where it was measured.
    With `checked`: which way of telling was not confirmed, or nothing. With `prepared`: what of
    the preparation list was not confirmed, or nothing; `not confirmed` where all was skipped."""
    held_s: float | None = None
    "With `arc on` by a contact: for how long it had been closed when it was believed."
    wall: str | None = field(default=None, name="w")
    "UTC wall time."

    @property
    def joint_reading(self) -> bool:
        """True for a typed reading of the joint: one with a place is of somewhere else."""
        return self.deed == "reading" and not self.text


SensorWord = Literal["opened", "live", "lost", "closed", "paced"]


class SensorChanged(Event, frozen=True, tag="sensor"):
    """The port's own news, not a judgement about readings."""

    state: SensorWord
    "`paced`: the source says its new period."
    why: str = ""
    "Cleaned cause, such as the operating system's words; of `opened` the port's name."
    period_s: float | None = None
    settle_s: float | None = None
    "With `opened`: for so long what the port says is not heard, a board may be starting."
    wall: str | None = field(default=None, name="w")


GapBy = Literal["steady", "wall", "said", "unknown"]
"""How a gap's length is known: the steady clock counted through it; the wall clock bridges
it; the welder said; not at all (then it is recorded as of no length)."""


class ClockGap(Event, frozen=True, tag="gap"):
    """Session time that nobody watched (lid closed, program not running).

    Stamped at its start, so that missed timers don't all fire on waking.
    """

    to_ms: int = field(name="to")
    "Session time when watching began again."
    why: str = ""
    by: GapBy = "steady"
    "How its length is known; recordings before 1.3 don't say so."

    @property
    def to_s(self) -> float:
        """Session time in s when watching began again."""
        return self.to_ms / 1000

    @property
    def known_ms(self) -> int:
        """Its end: before that nobody was there to know of it."""
        return max(self.t_ms, self.to_ms)


class WallStepped(Event, frozen=True, tag="clock"):
    """The wall clock was set; session time did not move."""

    step_s: float
    "New wall time minus expected wall time."
    wall: str | None = field(default=None, name="w")


class Resumed(Event, frozen=True, tag="resume"):
    """The recording was opened again to go on."""

    wall: str | None = field(default=None, name="w")
    cut: int = 0
    "Torn bytes set aside when it was opened; since 1.3 they stay, and `Recovered` tells of them."
    tz: str = ""
    "Local offset from UTC when it was taken up again."
    app: str = ""
    "Program and version that took it up."
    channel: Channel | None = None
    "The conversion of the sensor now used."
    hand: bool = False
    "True where there is no instrument now."
    source: str = ""


LogWord = Literal["log", "log moved", "log saved"]
LOG_WORDS: tuple[LogWord, ...] = get_args(LogWord)


class Trouble(Event, frozen=True, tag="trouble"):
    """A part of the program failed and the session went on (sound, drawing, log)."""

    what: str
    """Which part. `log`: the recording was not saved from then on; it is in memory until
    `log moved` (`why`: where) or `log saved`."""
    why: str


class Mark(Event, frozen=True, tag="mark"):
    """A seal: how many records stand before this one, and the hash of their bytes."""

    n: int
    sha: str
    wall: str | None = field(default=None, name="w")


class Ended(Event, frozen=True, tag="end"):
    """The recording was closed on purpose."""

    why: str
    n: int = 0
    sha: str = ""
    wall: str | None = field(default=None, name="w")


class Recovered(Event, frozen=True, tag="recover"):
    """What was found damaged when the recording was taken up again or copied.

    The first record after the damage, in the same file or at the end of a copy.
    """

    torn: int = 0
    """Taken up again: bytes after the last sound record, left where they are before this one.
    A line end was put after them where they had none; it is not counted."""
    name: str = ""
    "Copied: file name of the damaged recording, cleaned."
    sha: str = ""
    "Copied: SHA-256 of the damaged file, hex."
    left_out: int = 0
    "Copied: damaged lines left out."
    missing: int = 0
    repeated: int = 0
    wall: str | None = field(default=None, name="w")


Found = Literal["no crack found", "crack"]
"""What a look found; neither is a verdict on the part."""

FoundWhen = Literal[
    "heard", "at uncovering", "at grinding", "at proving", "at a later look", "in service"
]
FoundWhere = Literal["weld", "boundary", "heat-affected zone", "iron away from the weld"]
FoundAt = Literal["crater", "stop hole", "tack"]


class Outcome(Event, frozen=True, tag="outcome"):
    """What became of the repair, written down at any later date, also after the end.

    Places and numbers as in ISO 6520-1 (procedure.md section 14 gives them): along 101,
    across 102; 1 in the weld metal, 2 at the boundary, 3 heat-affected zone, 4 parent metal.
    """

    found: Found
    when: FoundWhen | None = None
    service_s: float | None = None
    "With `in service`: time in service until then."
    where: FoundWhere | None = None
    runs: Literal["along", "across"] | None = None
    "Which way it runs, seen along the weld."
    at: FoundAt | None = None
    bead: int | None = None
    "Number of the bead it is at."
    text: str = ""
    "Cleaned words."
    photo: str = ""
    "File name only, cleaned; the file itself stays with the welder."
    photo_sha: str = ""
    "SHA-256 of that file, hex."
    wall: str | None = field(default=None, name="w")


class Inspection(Event, frozen=True, tag="inspect"):
    """One look at the finished repair, written down at any later date, also after the end.

    A look that found nothing says that by this look nothing was found, and no more.
    """

    look: Look
    result: Looked
    imperfections: tuple[Imperfection, ...] = ()
    "With `imperfections found`."
    penetrant: Penetrant | None = None
    "With `penetrant`."
    ring: RingHeard | None = None
    "With `ring`: what was heard when it was struck hanging free."
    leak_s: float | None = None
    "With `leak`: for so long the liquid stood there."
    liquid: str = ""
    "With `leak`: which, such as kerosene, cleaned."
    opened: bool | None = None
    "With `back side`: the back was ground open to sound metal."
    welded: bool | None = None
    "With `back side`: it was welded from the back as well."
    proof: Proof | None = None
    "With `proof load`."
    text: str = ""
    "Cleaned words; of grinding and pinholes what was seen: how many, how large."
    by: str = ""
    "Who looked, in their own words, cleaned."
    photo: str = ""
    "File name only, cleaned; the file itself stays with the welder."
    photo_sha: str = ""
    "SHA-256 of that file, hex."
    wall: str | None = field(default=None, name="w")


class CueTold(Event, frozen=True, tag="cue"):
    """A cue as it was told; the fold ignores it, replay and audit compare it."""

    kind: str
    urgency: str
    values: dict[str, float]
    words: str
    because: str = ""
    again: int = 0
    "0: told for the first time; 1, 2, 3: repeated, since nobody answered."


Afterwards = Outcome | Inspection
"""What is written down at any later date; it says when it was written, session time stands still."""

NOT_FOLDED = (CueTold, Mark, Recovered, Outcome, Inspection)
"""Records about what stands in the recording, or of after the session: written beside the fold,
which never sees them live. Read again they say no more than that somebody was awake."""

AnyEvent = (
    Reading
    | Act
    | SensorChanged
    | ClockGap
    | WallStepped
    | Resumed
    | Trouble
    | Mark
    | Ended
    | Recovered
    | Outcome
    | Inspection
    | CueTold
)
