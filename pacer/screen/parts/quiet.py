"""The quiet line: what stands open without asking for anything now.

That the part is turned over first; a cue that was told four times and not answered, cues
put aside, ways of telling that are off or that nobody confirmed, a port that is starting;
before the heat, a probe that sits elsewhere than the standard has it. It never flashes and
never takes the place of the word.
"""

from __future__ import annotations

from pacer.screen.desk import Snapshot
from pacer.screen.parts.measuring import off_the_standard, probe_place
from pacer.screen.parts.turning import to_turn
from pacer.session.cues import CUES
from pacer.session.guard.standing import Standing, standing
from pacer.session.prompt import AGAIN_S
from pacer.session.state import State
from pacer.session.work import Phase
from pacer.text import clean
from pacer.units import Shown

_SOAKED_ANEW = frozenset({Phase.REHEAT, Phase.PREHEAT, Phase.SOAK})

ARC_SPEAKS_S = 10.0
"""A channel that is there has spoken by then."""


def quiet(snapshot: Snapshot, shown: Shown) -> str:
    """Return one line, or nothing, the most pressing first."""
    state, t_s = snapshot.state, snapshot.t_s
    # While the part is turned over READY stays unanswered: it must not push this off the line.
    said = [turn] if (turn := to_turn(state)) else []
    said += [*_unanswered(state, t_s, shown), *_aside(state, t_s)]
    # How the countdown came about is told before what can't sound: the line may be cut.
    said += _unfinished(state)
    said += _unwatched(state, shown)
    if state.soak_first and state.phase in _SOAKED_ANEW:
        said.append("preheat and soak anew: it had gone cold or stood long")
    said += _unpeened(state)
    said += [clean(line) for line in snapshot.off]
    said += _arc_missing(state, t_s)
    if state.unconfirmed:
        said.append(f"not confirmed: {clean(state.unconfirmed, 80)}")
    said += _taken(state)
    if standing(state, t_s).state is Standing.STARTING:
        said.append("the sensor is starting")
    if state.phase is Phase.PREPARE and not state.sensor.hand and off_the_standard(state.job):
        said.append(probe_place(state.job, shown))
    return " · ".join(said)


def _unanswered(state: State, t_s: float, shown: Shown) -> list[str]:
    prompt = state.prompt
    if prompt is None or prompt.answered or state.phase is Phase.BEAD:
        return []
    if prompt.again < len(AGAIN_S[prompt.cue.urgency]):
        return []
    word, waited = CUES[prompt.cue.kind].word, shown.duration(max(0.0, t_s - prompt.first_s))
    return [f"{word} not answered for {waited}"]


def _taken(state: State) -> list[str]:
    """Return each doubt that nobody answered, whose reading was taken all the same."""
    several = len(state.tracks) > 1
    return [
        f"{CUES[track.taken].word} not confirmed"
        + (f" of {clean(track.name, 12)}" if several else "")
        + ": taken as it reads"
        for track in state.tracks
        if track.taken is not None
    ]


def _unpeened(state: State) -> list[str]:
    """Return why no peen is called after this bead."""
    bead = state.work.bead
    if state.phase is not Phase.LOOK or bead is None or not bead.unpeened:
        return []
    return [f"run {state.job.plan.run_of(bead.number)} is not peened, as the job file says"]


def _unwatched(state: State, shown: Shown) -> list[str]:
    """Return how much of the cool-down no steady clock counted."""
    cooling = state.cooling
    if state.phase is not Phase.COOL_DOWN or cooling is None:
        return []
    if cooling.untimed:
        return ["how long it cooled unwatched is not known"]
    said = []
    if cooling.by_wall_s:
        said.append(f"{shown.duration(cooling.by_wall_s)} of it by the wall clock, not watched")
    if cooling.by_word_s:
        said.append(f"{shown.duration(cooling.by_word_s)} of it as you said, not watched")
    return said


def _unfinished(state: State) -> list[str]:
    """Return how a repair that was covered half-way goes on."""
    work, over = state.work, state.phase in {Phase.COOL_DOWN, Phase.DONE}
    if not over or work.finished or not 0 < work.laid < state.job.plan.beads:
        return []
    return [f"H goes on with bead {work.laid + 1}"]


def _arc_missing(state: State, t_s: float) -> list[str]:
    """Return that the arc's channel has never spoken: most likely its name is wrong."""
    signal = state.sensor.channel.arc
    if signal is None or signal.noise or state.arc.at_s is not None or t_s < ARC_SPEAKS_S:
        return []
    if state.sensor.last_line_s is None:
        return []
    return [f"no value from {clean(signal.name, 12)}, the arc's channel: is its name right?"]


def _aside(state: State, t_s: float) -> list[str]:
    """Return a countdown for each kind that was put aside."""
    words = []
    for shelf in state.shelved:
        left_s = max(0, round(shelf.until_s - t_s))
        words.append(f"{CUES[shelf.kind].word} put aside, {left_s // 60}:{left_s % 60:02d} left")
    return words
