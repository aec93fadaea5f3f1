"""What to do now and for how long: the giant word, its line, the giant time.

The word is derived from the phase and from what holds at this moment, not from the last
cue alone, so it is right after an undo, a jump in a replay or a restart. While the arc
burns nothing takes its place.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from pacer.screen.desk import Snapshot
from pacer.screen.parts.ahead import AheadWords, Foreseen, ahead_words
from pacer.screen.parts.cool import CoolWords, Forecast, cool_words
from pacer.screen.parts.soak import soak_words
from pacer.screen.words import words
from pacer.session import log_news
from pacer.session.cues import CUES, DOUBTS, Cue, CueKind, Urgency
from pacer.session.phases.bead import planned_end_s
from pacer.session.phases.cooldown import TOLD_COOL
from pacer.session.phases.moves import standing
from pacer.session.phases.peen import look_s
from pacer.session.prompt import NEEDS_NO_NUMBER, aside, unanswered
from pacer.session.state import State
from pacer.session.track import believed, blind, known_points_c
from pacer.session.work import KEPT_HOT, Phase
from pacer.units import Shown

MOMENT_S = 8.0
"""How long a passing cue (NOT NOW, the reading is back) holds the line of words.
Common practice, no source."""

_PASSING = frozenset(
    {
        CueKind.CANNOT,
        CueKind.READING_BACK,
        CueKind.UNCOVERED_EARLY,
        CueKind.LEAVE_IT,
        CueKind.NOISY,
        CueKind.ARC_IN_READING,
    }
)
_STAYING = frozenset({CueKind.GAP, CueKind.UNTIMED_GAP, CueKind.LOOK_AT_TACKS})
LEADS = frozenset({Phase.BEAD, Phase.PEEN, Phase.LOOK})
"""Phases of seconds: the time is what matters, the temperature comes after it."""
_CHOOSING = frozenset({Phase.WAIT, Phase.REHEAT})


class Now(NamedTuple):
    """The dominant part of the screen."""

    word: str
    urgency: Urgency
    words: str
    clock: str
    "Digits of the giant time, or nothing."
    unit: str
    label: str
    'What the time is: "left", "so far", …'


def now(snapshot: Snapshot, shown: Shown, foreseen: Foreseen) -> Now:
    """Return what to do at the snapshot's moment."""
    state, t_s = snapshot.state, snapshot.t_s
    cool = _cool(state, t_s, shown, foreseen.cool)
    digits, unit, label = _time(state, t_s, cool, ahead_words(state, t_s, foreseen))
    word, urgency, line = _said(snapshot, shown, cool)
    return Now(word, urgency, line, digits, unit, label)


def _said(snapshot: Snapshot, shown: Shown, cool: CoolWords | None) -> tuple[str, Urgency, str]:
    state, t_s = snapshot.state, snapshot.t_s
    if stands_still(state):
        cue = Cue(CueKind.PAUSED, t_s)
        return cue.word, cue.urgency, words(cue, shown)
    if state.phase is Phase.BEAD:
        return _burning(state, t_s, shown)
    if snapshot.over and unsaved(snapshot.trouble) and snapshot.kind != "replay":
        # Nobody writes any more, nor can an answer be taken.
        return CUES[CueKind.LOG_NOT_SAVED].word, Urgency.FAULT, snapshot.trouble
    word, urgency, line = _of_the_work(state, t_s, shown, cool)
    news = log_news.unanswered(state)
    if news is None:
        return word, urgency, line
    # What it stands before is needed all the same: he may not have a hand free to answer.
    return news.word, news.urgency, f"{words(news, shown)} · {word}: {line}"


def _of_the_work(
    state: State, t_s: float, shown: Shown, cool: CoolWords | None
) -> tuple[str, Urgency, str]:
    blinded = _blinded(state, t_s)
    if blinded is not None:
        return blinded.word, blinded.urgency, words(blinded, shown)
    stands = _stands(state, t_s)
    line = words(_told_just_now(state, t_s) or stands, shown)
    word = CUES[stands.kind].word
    if _is_over(state, stands.kind):
        line = f"Back in the band, at {shown.temp_c(stands.values['temp_c'])}"
    if state.phase is Phase.SOAK and stands.kind is CueKind.SOAK:
        line = soak_words(state, t_s, shown) or line
    if state.phase is Phase.COOL_DOWN and stands.kind is CueKind.COVERED:
        word = "HOT"
        told = _told_just_now(state, t_s)
        if cool is not None and (told is None or told.urgency is Urgency.STEP):
            # The figure never stands without its range.
            line = cool.line
    return word, stands.urgency, line


def _is_over(state: State, kind: CueKind) -> bool:
    """True for an excursion that is over, but not for long enough to take its word away."""
    now = state.conditions
    if kind is CueKind.TOO_HOT:
        return now.cool_enough is not None
    return kind is CueKind.TOO_COLD and now.warm_enough is not None


def stands_still(state: State) -> bool:
    """True while the rhythm of bead, peen and look is paused."""
    return state.work.paused_s is not None and state.phase in LEADS


def unsaved(trouble: str) -> bool:
    """True if the trouble is the recording's, not a sound's or a lamp's."""
    return trouble.lower().startswith(CUES[CueKind.LOG_NOT_SAVED].word.lower())


def _burning(state: State, t_s: float, shown: Shown) -> tuple[str, Urgency, str]:
    bead, told = state.work.bead, state.work.told
    assert bead is not None
    for name, kind in (("stop", CueKind.STOP), ("finish", CueKind.FINISH)):
        if name in told:
            return CUES[kind].word, Urgency.STEP, words(Cue(kind, t_s), shown)
    length = shown.length_m(state.job.bead.length_m)
    return "WELD", Urgency.STEP, f"Bead {bead.number}, place {bead.place + 1}, {length} long"


def _blinded(state: State, t_s: float) -> Cue | None:
    """Return what says that nothing decides, or asks about a number, where that takes the word."""
    lapse = blind(state, t_s)
    if lapse is None:
        return None
    cue = Cue(lapse.kind, t_s, values=dict(lapse.values), because=lapse.why)
    asked = lapse.kind in DOUBTS
    # A peen is not lost to it; but before the heat the unit is all there is to ask.
    if state.phase in NEEDS_NO_NUMBER and lapse.kind is not CueKind.WHICH_UNIT:
        return None
    if believed(state, t_s) is not None:
        # A typed reading decides: the question stands until it is answered, then at the side.
        waits = unanswered(state)
        return cue if asked and waits is not None and waits.kind is lapse.kind else None
    # Told after some seconds, READY leaves the screen with its number.
    return cue if lapse.due_s <= t_s or state.phase is Phase.READY else None


def _stands(state: State, t_s: float) -> Cue:
    """Return the cue that holds now."""
    phase, temp = state.phase, believed(state, t_s)
    values = {} if temp is None else {"temp_c": temp.temp_c}
    band = state.job.band
    if phase is Phase.COOL_DOWN and TOLD_COOL in state.work.told:
        return Cue(CueKind.UNCOVER, t_s, values=values)
    if phase in _CHOOSING and temp is None:
        return Cue(CueKind.TYPE_A_READING, t_s)
    if phase in KEPT_HOT:
        # An excursion ends some seconds after it is over: both can be told still.
        cold = state.told_under and not aside(state, CueKind.TOO_COLD)
        colder = cold and temp is not None and temp.most_c < band.ceiling_c
        hot = state.told_over and not aside(state, CueKind.TOO_HOT)
        if hot and temp is not None and not colder:
            return Cue(CueKind.TOO_HOT, t_s, values={**values, "ceiling_c": band.ceiling_c})
        if cold and band.floor_c is not None and temp is not None:
            coldest_c = min(known_points_c(state, t_s))
            values = {"temp_c": coldest_c, "floor_c": band.floor_c}
            return Cue(CueKind.TOO_COLD, t_s, values=values)
    cue = standing(state, t_s)
    # Only a burning arc has no standing cue, and that is answered above.
    assert cue is not None
    return cue


def _told_just_now(state: State, t_s: float) -> Cue | None:
    """Return a cue that isn't the phase's own but still has something to say."""
    cue = state.active
    if cue is None or cue.t_s < state.work.entered_s:
        return None
    if cue.kind in _PASSING and t_s - cue.t_s < MOMENT_S:
        return cue
    if state.phase is Phase.PREPARE and t_s - cue.t_s >= MOMENT_S:
        # Nothing is hot yet: what is to be prepared matters more than what was.
        return None
    if TOLD_COOL in state.work.told:
        # What it means to uncover is not hidden by an old word.
        return None
    return cue if cue.kind in _STAYING else None


def _cool(state: State, t_s: float, shown: Shown, forecast: Forecast | None) -> CoolWords | None:
    if state.phase is not Phase.COOL_DOWN or TOLD_COOL in state.work.told:
        return None
    return cool_words(state, t_s, shown, forecast)


def _time(
    state: State, t_s: float, cool: CoolWords | None, ahead: AheadWords | None
) -> tuple[str, str, str]:
    """Return digits, unit and label of the giant time."""
    work, job, phase = state.work, state.job, state.phase
    if work.paused_s is not None and stands_still(state):
        return passed(t_s - work.paused_s), "", "paused"
    if cool is not None:
        return cool.clock, cool.unit, cool.label
    if ahead is not None:
        return ahead.clock, ahead.unit, ahead.label
    if phase in {Phase.PREPARE, Phase.TACK, Phase.DONE, Phase.COOL_DOWN}:
        return "", "", ""
    if phase is Phase.BEAD and work.bead is not None:
        left_s = planned_end_s(state, work.bead) - t_s
        if left_s > 0:
            return left(left_s), "", "left of this bead"
        return f"+{passed(-left_s)}", "", "over the planned end"
    if phase is Phase.PEEN:
        return left(work.entered_s + job.bead.peen_s - t_s), "", "left to peen"
    if phase is Phase.LOOK:
        return left(work.entered_s + look_s(state) - t_s), "", "left to look"
    if phase in {Phase.SOAK, Phase.POST_HEAT}:
        whole_s = job.band.soak_s if phase is Phase.SOAK else job.postheat.hold_s
        if work.since_s is not None:
            return left(work.since_s + whole_s - t_s), "", f"left to {_what(phase)}"
        return left(whole_s), "", f"to {_what(phase)}, not counting yet"
    return passed(t_s - work.entered_s), "", _since(phase)


def _what(phase: Phase) -> str:
    return "soak" if phase is Phase.SOAK else "hold"


def _since(phase: Phase) -> str:
    """Return what passed time is time of."""
    return {
        Phase.PREHEAT: "of heating",
        Phase.READY: "since ready",
        Phase.WAIT: "of waiting",
        Phase.REHEAT: "of reheating",
        Phase.HOLD: "of holding",
        Phase.INSPECT: "of looking",
        Phase.BURY: "not covered yet",
    }[phase]


def left(seconds_s: float) -> str:
    """Return time left, rounded up: 0:00 only when it is over.

    >>> left(11.2), left(0.0), left(4000.0)
    ('0:12', '0:00', '1h07')
    """
    return _clock(max(0, math.ceil(round(seconds_s, 3))), up=True)


def passed(seconds_s: float) -> str:
    """Return time passed, rounded down.

    >>> passed(11.2), passed(3725.0)
    ('0:11', '1h02')
    """
    return _clock(max(0, math.floor(round(seconds_s, 3))), up=False)


def _clock(whole_s: int, *, up: bool) -> str:
    if whole_s < 3600:
        return f"{whole_s // 60}:{whole_s % 60:02d}"
    minutes = math.ceil(whole_s / 60) if up else whole_s // 60
    return f"{minutes // 60}h{minutes % 60:02d}"
