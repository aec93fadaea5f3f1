"""The folded state and its parts: data only, no behaviour beyond reading it.

`Work` (`work.py`: phase, beads, marks of what was told) is what a press changes and an
undo restores; sensor, tracks, conditions and clock, here, stay.
Timers are not stored: `session/timers.py` derives them from this state, so there is
nothing to arm or forget, and an undo restores them at their original deadlines.
"""

from __future__ import annotations

import msgspec

from pacer.heat.bins import Bin
from pacer.heat.cooldown.gap import Gap
from pacer.heat.pauses.belief import Estimate
from pacer.job.job import Job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Channel
from pacer.session.evidence import ArcInIt, Doubt, Repeats
from pacer.session.work import Phase, Work


class Track(msgspec.Struct, frozen=True):
    """One channel: the last raw values and what is believed of them."""

    name: str
    window: tuple[float, ...] = ()
    "Last °C values that passed the guard, newest last, at most 9."
    value_c: float | None = None
    "Median of the window."
    at_s: float | None = None
    "When the last good value came."
    marked: bool = False
    "The line of the last value said its unit itself."
    good_since_s: float | None = None
    "Since when it has been heard without a break that ended the trust in it."
    bad: int = 0
    "Bad values in a row."
    why_bad: str = ""
    good: int = 0
    "Good values since an opening or a run of bad ones, counted to 5."
    mending: str = ""
    "Not empty: what the run of bad values was; until five good ones have come."
    first_c: float | None = None
    "Its first value, once three agreed to it."
    earlier: tuple[tuple[float, float], ...] = ()
    "Medians of the last two seconds, (s, °C), some half a second apart: what a step is seen by."
    odd_s: tuple[float, ...] = ()
    "When its last flagged values came, at most 24 and not much older than ten seconds."
    noisy_s: float | None = None
    "Since when it has been noisy."
    repeats: Repeats | None = None
    doubt: Doubt | None = None
    taken: CueKind | None = None
    "A doubt nobody answered, whose reading was taken by default; until a reading is typed."
    taken_c: float | None = None
    "What it read before a step that was taken for right, °C: going back there is no new step."
    apart_s: float | None = None
    "Since when another channel has been too far from it."
    arc: ArcInIt | None = None
    arc_seen_s: float | None = None
    "When something was last seen to come and go with the arc; then arcs are left out."

    @property
    def doubted(self) -> bool:
        """True while a doubt waits for its answer."""
        return self.doubt is not None and not self.doubt.accepted


class Sensor(msgspec.Struct, frozen=True):
    """The source as the fold sees it."""

    channel: Channel
    hand: bool
    control: str | None = None
    "Channel that decides; None until one has spoken."
    period_s: float = 1.0
    period_given: bool = False
    next_period_s: float | None = None
    "A shorter period the source has announced; in force from its next line."
    gaps_s: tuple[float, ...] = ()
    "Last intervals between lines, at most 9."
    last_line_s: float | None = None
    waiting_since_s: float = 0.0
    "When the wait for a first deciding number began: the start, a resumption, a loss."
    lost: str = ""
    "Not empty: the port is gone, and why."
    told_no_reading: bool = False
    "The welder was told that nothing decides."
    no_reading_s: float | None = None
    "When that was last told."
    told_kind: CueKind = CueKind.NO_READING
    "By which cue."
    told_at: tuple[tuple[CueKind, float], ...] = ()
    "When each cue about the sensor was last told, s."
    garbled: int = 0
    dropped: int = 0
    last_garbled: str = ""
    garbled_why: str = ""
    "What the decoder said of the last line that could not be read."
    garbled_since_s: float | None = None
    "When the first of the unreadable lines came that no readable one has followed."
    garbled_s: float | None = None
    "When the last of them came."
    settled_s: float = 0.0
    "Until then the port, just opened, isn't heard."
    unit_asked: bool = False
    "The unit of a cold part's reading was confirmed, or is no longer to be asked for."

    def is_told(self, kind: CueKind) -> bool:
        """True if the welder was told by this cue that nothing decides, and it is still so."""
        return self.told_no_reading and self.told_kind is kind

    def told_s(self, kind: CueKind) -> float | None:
        """When this cue about the sensor was last told, s."""
        return dict(self.told_at).get(kind)

    def telling(self, kind: CueKind, t_s: float) -> tuple[tuple[CueKind, float], ...]:
        """Return `told_at` with this cue told at `t_s`."""
        return (*(told for told in self.told_at if told[0] is not kind), (kind, t_s))


class Typed(msgspec.Struct, frozen=True):
    """The last hand-entered reading."""

    temp_c: float
    at_s: float
    side: int = 0
    """1: at least this (a temperature crayon that melted); -1: below it."""
    place: str = ""
    "Where it was measured, in his own words; empty: at the joint, or not said."


class Prompt(msgspec.Struct, frozen=True):
    """The one cue that waits for an answer (`session/prompt.py`)."""

    cue: Cue
    first_s: float
    "When it was first told."
    told_s: float
    "When it was last told."
    again: int = 0
    "How many times it has been told again."
    answered: bool = False


class Shelved(msgspec.Struct, frozen=True):
    """A kind of cue that the welder has put aside for a while."""

    kind: CueKind
    until_s: float


class LogNews(msgspec.Struct, frozen=True):
    """News of the recording itself (`session/log_news.py`)."""

    kind: CueKind
    "LOG_NOT_SAVED or LOG_MOVED."
    why: str
    "The cause, or where it goes on, in the program's words."
    told_s: float | None = None
    "When it was last told."
    again: int = 0
    "How many times it has been told again."
    answered: bool = False


class ArcSeen(msgspec.Struct, frozen=True):
    """What the arc channel says (`session/arc.py`)."""

    burning: bool = False
    turning_s: float | None = None
    "Since when its values say otherwise, not yet believed."
    at_s: float | None = None
    "When its last value came."
    flickers: int = 0
    "Signals too short to be an arc, marked and not counted."
    odd_s: tuple[float, ...] = ()
    "When the last bad values of the deciding channel came: a burst of them is an arc start."


class Conditions(msgspec.Struct, frozen=True):
    """Since when each condition has held without a break, s; None where it doesn't."""

    over_ceiling: float | None = None
    below_floor: float | None = None
    "The coldest known point is below the floor."
    short_of_floor: float | None = None
    "Below the floor, or too near it to stay above to the end of a bead."
    cool_enough: float | None = None
    "At or below the ceiling less the dead-band."
    warm_enough: float | None = None
    "Every known point at or above the floor and the dead-band."
    hot_enough: float | None = None
    "At or above the preheat target less the dead-band."
    at_preheat: float | None = None
    "Every known point at or above the preheat target."
    above_floor: float | None = None
    "Every known point at or above the floor."
    even: float | None = None
    "Channels within the allowed spread of each other."
    at_postheat: float | None = None
    at_until: float | None = None
    "At or below the cool-down's end."
    typed: bool | None = None
    "What they were judged on: a typed reading or the instrument; None: nothing."


class Cooling(msgspec.Struct, frozen=True):
    """What the cool-down forecast needs: bins and where they start."""

    start_s: float
    "Session time of bin time 0."
    start_c: float | None
    cover: str
    bins: tuple[Bin, ...] = ()
    bounds: tuple[tuple[float, float, int], ...] = ()
    "One-sided readings: (s since it began, °C, 1 at least or -1 below)."
    typed: bool = False
    "True where some of the bins came from hand readings."
    z: tuple[float, ...] = ()
    "Where the last fit of the model ended: the next begins there."
    looks: int = 0
    "Fits made so far to see whether it cools as this cover cools."
    by_wall_s: float = 0.0
    "Of its time, what the wall clock bridges: no steady clock counted it."
    by_word_s: float = 0.0
    "Of its time, what the welder said."
    gap: Gap | None = None
    "The last such gap, or the one whose length is not known at all."
    departs: str = ""
    "How it departs from that, as the last look found: faster, slower, jump."

    @property
    def untimed(self) -> bool:
        """True where it isn't known how long a part of it lasted."""
        return self.gap is not None and self.gap.sd_s is None

    @property
    def lost(self) -> bool:
        """True while nothing has been read since a gap of unknown length."""
        if self.gap is None or self.gap.sd_s is not None:
            return False
        last = max((row[0] for row in (*self.bins[-1:], *self.bounds[-1:])), default=0.0)
        return last < self.gap.from_s


class Warming(msgspec.Struct, frozen=True):
    """The readings of one heating, preheat or reheat: its forecast starts with each."""

    start_s: float
    start_c: float | None
    bins: tuple[Bin, ...] = ()
    bounds: tuple[tuple[float, float, int], ...] = ()
    "One-sided readings: (s since it began, °C, 1 at least or -1 below)."
    typed: bool = False


class Learned(msgspec.Struct, frozen=True):
    """What the session has learned of its part between beads (`session/learning.py`)."""

    estimate: Estimate
    read_s: float
    "When a reading was last taken in."
    sink_dc: float | None = None
    "How far the reading will sink during one bead; None where no limit is near."


class State(msgspec.Struct, frozen=True):
    """Everything known at session time `t_s`."""

    job: Job
    t_s: float
    work: Work
    sensor: Sensor
    tracks: tuple[Track, ...] = ()
    typed: Typed | None = None
    places: tuple[Typed, ...] = ()
    "Readings typed in the present soak, taken as one a place; at most as many as the job asks for."
    conditions: Conditions = Conditions()
    cooling: Cooling | None = None
    sunk_s: float | None = None
    "Since when beads are laid on a part below the floor, as far as readings know; see `band.py`."
    soak_first: bool = False
    "It has gone cold since the last soak, or stood too long: no bead before a new one."
    wrapped: bool = False
    "Said with `wrap` and `unwrap`."
    turned_s: float | None = None
    "When the part was last said to be turned over."
    inside: bool | None = None
    "Said with `out` and `back`: in its heat, or out of it; None: as the phase has it."
    learned: Learned | None = None
    warming: Warming | None = None
    undo: Work | None = None
    "Work as before the last press."
    undo_cooling: Cooling | None = None
    "The forecast's readings as before that press."
    undo_at_s: float = 0.0
    undone: int = 0
    ignored: int = 0
    "Presses that came too soon after a change that came by itself."
    told_over: bool = False
    told_under: bool = False
    active: Cue | None = None
    "The cue now on the screen."
    prompt: Prompt | None = None
    "What waits for an answer, and how often it was told."
    shelved: tuple[Shelved, ...] = ()
    arc: ArcSeen = ArcSeen()
    log: LogNews | None = None
    "Not None: it is not saved, or goes on elsewhere."
    log_told_s: float | None = None
    "When it was last told that it is not saved."
    unconfirmed: str | None = None
    "Ways of telling that nobody confirmed to have seen or heard; None: nobody was asked."
    ended: bool = False
    stalled: bool = False
    "Timers answered each other without end: none is heard before the next event."

    @property
    def phase(self) -> Phase:
        """The phase in force."""
        return self.work.phase

    @property
    def own_word(self) -> bool:
        """True where his own "ready" is all there is: no instrument, and nothing typed."""
        return self.sensor.hand and self.typed is None

    @property
    def paced(self) -> bool:
        """True while the cadence runs a bead, its peen or the look: nothing tells of the arc."""
        last = self.work.bead
        by_clock = last is not None and last.started_by != "arc"
        return by_clock and self.phase in {Phase.BEAD, Phase.PEEN, Phase.LOOK}

    @property
    def cold_yet(self) -> bool:
        """True before any heat; hot tacks are made after the soak."""
        hot_tacks = self.phase is Phase.TACK and self.job.joint.tack == "hot"
        return self.phase in {Phase.PREPARE, Phase.TACK} and not hot_tacks

    @property
    def control(self) -> Track | None:
        """The deciding channel's track."""
        for track in self.tracks:
            if track.name == self.sensor.control:
                return track
        return None
