"""Cues: what the welder is told, and the one table of kinds.

A cue carries a kind, an urgency, its time, SI/°C values and a reason.
Words are made from the table here and filled in, in the user's units, where they are
shown (`screen/words.py` holds the unit side); replay compares time, kind and values.

Three urgencies: STEP, the next expected action; WARN, outside the band, act;
FAULT, the program can't see (no reading, log not saved).
No cue says that a repair is sound or a part is safe: cues say what to do next,
what was measured, or what is forecast.
"""

from __future__ import annotations

from enum import StrEnum

import msgspec


class Urgency(StrEnum):
    """How a cue ranks; a higher one replaces a lower one."""

    STEP = "STEP"
    WARN = "WARN"
    FAULT = "FAULT"

    @property
    def rank(self) -> int:
        """0, 1, 2: a higher one replaces a lower one."""
        return list(Urgency).index(self)


class CueKind(StrEnum):
    """Every cue there is."""

    PREPARE = "PREPARE"
    TACK = "TACK"
    PREHEAT = "PREHEAT"
    SOAK = "SOAK"
    LOOK_AT_TACKS = "LOOK_AT_TACKS"
    READY = "READY"
    ALL_LAID = "ALL_LAID"
    FINISH = "FINISH"
    STOP = "STOP"
    ARC_LOST = "ARC_LOST"
    SHORT_BEAD = "SHORT_BEAD"
    PEEN = "PEEN"
    LOOK_AT_BEAD = "LOOK_AT_BEAD"
    LOOK_UNPEENED = "LOOK_UNPEENED"
    PAUSED = "PAUSED"
    LEAVE_IT = "LEAVE_IT"
    WAIT = "WAIT"
    SETTLING = "SETTLING"
    REHEAT = "REHEAT"
    PUT_BACK = "PUT_BACK"
    HOLD = "HOLD"
    LOOK_FOR_CRACKS = "LOOK_FOR_CRACKS"
    TYPE_A_READING = "TYPE_A_READING"
    POST_HEAT = "POST_HEAT"
    BURY = "BURY"
    COVERED = "COVERED"
    UNCOVER = "UNCOVER"
    DONE = "DONE"
    GAP = "GAP"
    UNTIMED_GAP = "UNTIMED_GAP"
    CANNOT = "CANNOT"
    READING_BACK = "READING_BACK"
    TOO_HOT = "TOO_HOT"
    TOO_COLD = "TOO_COLD"
    UNCOVERED_EARLY = "UNCOVERED_EARLY"
    COOLING_FAST = "COOLING_FAST"
    COOLING_SLOWLY = "COOLING_SLOWLY"
    PROBE_MOVED = "PROBE_MOVED"
    NOISY = "NOISY"
    ARC_IN_READING = "ARC_IN_READING"
    STUCK = "STUCK"
    WHICH_UNIT = "WHICH_UNIT"
    PROBE_OFF = "PROBE_OFF"
    JUMPED = "JUMPED"
    REVERSED = "REVERSED"
    WIRE_TYPE = "WIRE_TYPE"
    APART = "APART"
    NO_READING = "NO_READING"
    LOG_MOVED = "LOG_MOVED"
    LOG_NOT_SAVED = "LOG_NOT_SAVED"


DOUBTS = frozenset(
    {
        CueKind.STUCK,
        CueKind.WHICH_UNIT,
        CueKind.PROBE_OFF,
        CueKind.JUMPED,
        CueKind.REVERSED,
        CueKind.WIRE_TYPE,
        CueKind.APART,
    }
)
"""Questions about a number that is there but doesn't decide (`session/guard`)."""

BLIND = DOUBTS | {CueKind.NO_READING}
"""What says that nothing decides."""

OF_THE_LOG = frozenset({CueKind.LOG_NOT_SAVED, CueKind.LOG_MOVED})
"""What is told of the recording itself (`session/log_news.py`)."""

EVIDENCE = DOUBTS | {CueKind.NOISY, CueKind.ARC_IN_READING}
"""Their `because` is ours, no foreign words, and has fields of its own."""


class CueText(msgspec.Struct, frozen=True):
    """How a kind is told."""

    urgency: Urgency
    word: str
    "The giant word, at most 13 characters."
    words: str
    "One line; {name} is filled from the cue's values, in the user's units."


_S, _W, _F = Urgency.STEP, Urgency.WARN, Urgency.FAULT

CUES: dict[CueKind, CueText] = {
    CueKind.PREPARE: CueText(
        _S,
        "PREPARE",
        "Stop holes, groove to sound metal, vent hollows, clear the bench; press when done",
    ),
    CueKind.TACK: CueText(_S, "TACK", "Tack the piece so that it stays put; press when done"),
    CueKind.PREHEAT: CueText(_S, "PREHEAT", "Heat slowly and evenly to {preheat_c}"),
    CueKind.SOAK: CueText(
        _S, "SOAK", "Let the heat even out for {soak_s}; check the thick and the far places"
    ),
    CueKind.LOOK_AT_TACKS: CueText(
        _S, "LOOK", "Look at the tacks: grind out and redo any that cracked"
    ),
    CueKind.READY: CueText(
        _S, "READY", "Weld when you are: bead {bead}, place {place}; no flame on the part"
    ),
    CueKind.ALL_LAID: CueText(
        _S, "ALL LAID", "The {planned} planned beads are laid: weld another, or finish (F)"
    ),
    CueKind.FINISH: CueText(_S, "FINISH", "Fill the crater"),
    CueKind.STOP: CueText(_S, "STOP", "Bead length reached: stop the arc"),
    CueKind.ARC_LOST: CueText(
        _S,
        "ARC LOST",
        "After {arc_s}: {because}, grind the spot, restrike on weld metal 5-10 mm back",
    ),
    CueKind.SHORT_BEAD: CueText(
        _S, "SHORT BEAD", "{arc_s} of arc is not counted; give its length to count it"
    ),
    CueKind.PEEN: CueText(
        _S, "PEEN", "Bead clean, then light blows on the weld metal, at once, for {peen_s}"
    ),
    CueKind.LOOK_AT_BEAD: CueText(
        _S, "LOOK", "Look at bead {bead}: crack, crater, slag; mark a crack seen with K"
    ),
    CueKind.LOOK_UNPEENED: CueText(
        _S,
        "LOOK",
        "Do not peen run {run}; look at bead {bead}: crack, crater, slag; mark a crack with K",
    ),
    CueKind.PAUSED: CueText(_S, "PAUSED", "The rhythm stands still: press to go on"),
    CueKind.LEAVE_IT: CueText(_S, "LEAVE IT", "Too late to peen: do not peen it cold"),
    CueKind.WAIT: CueText(
        _S, "WAIT", "Past the ceiling {ceiling_c}, at {temp_c}: wait for {until_c}"
    ),
    CueKind.SETTLING: CueText(
        _S, "WAIT", "The reading is just back, {temp_c}: some seconds until a bead is called by it"
    ),
    CueKind.REHEAT: CueText(
        _S, "REHEAT", "Near or under the floor {floor_c}, at {temp_c}: heat to {until_c}"
    ),
    CueKind.PUT_BACK: CueText(
        _S,
        "PUT BACK",
        "Near or under the floor {floor_c}, at {temp_c}: back into the heat, to {until_c}",
    ),
    CueKind.HOLD: CueText(_S, "HOLD", "Keep the part warm; press to go on, or cover it"),
    CueKind.LOOK_FOR_CRACKS: CueText(
        _S,
        "NEW CRACKS?",
        "Before bead {bead}: look along the weld and beside it; mark a crack with K, then press",
    ),
    CueKind.TYPE_A_READING: CueText(
        _S, "MEASURE", "No trusted reading: measure at the joint and type it (R)"
    ),
    CueKind.POST_HEAT: CueText(
        _S, "POST-HEAT", "Last bead laid: bring the part to {temp_c} and hold {hold_s}"
    ),
    CueKind.BURY: CueText(
        _S, "BURY", "Heat off, clamps loose, gloves on: cover the part now, then press"
    ),
    CueKind.COVERED: CueText(
        _S, "COVERED", "HOT: do not move or uncover it before {until_c} at the probe"
    ),
    CueKind.UNCOVER: CueText(
        _S,
        "UNCOVER",
        "{temp_c} at the probe; sand and thick parts can be hotter: uncover with gloves",
    ),
    CueKind.DONE: CueText(
        _S, "DONE", "Inspect, grind, prove, write it down; look again for cracks after a day"
    ),
    CueKind.GAP: CueText(
        _S, "LOOK", "Nobody watched for {gap_s}: check the part and its temperature first"
    ),
    CueKind.UNTIMED_GAP: CueText(
        _S,
        "LOOK",
        "Nobody watched, nor is it known for how long: check the part and its temperature first",
    ),
    CueKind.CANNOT: CueText(_S, "NOT NOW", "{because}"),
    CueKind.READING_BACK: CueText(_S, "READING", "The reading is back: {temp_c}"),
    CueKind.TOO_HOT: CueText(
        _W, "TOO HOT", "Past the ceiling {ceiling_c}, at {temp_c}: take the heat away"
    ),
    CueKind.TOO_COLD: CueText(
        _W, "TOO COLD", "Under the floor {floor_c}, at {temp_c}: bring the heat back"
    ),
    CueKind.UNCOVERED_EARLY: CueText(
        _W, "UNCOVERED", "Uncovered at {temp_c}, above {until_c}: keep draughts and water away"
    ),
    CueKind.COOLING_FAST: CueText(
        _W,
        "FAST",
        "Cooling faster than this cover should: damp, part showing, draught, or the probe moved",
    ),
    CueKind.COOLING_SLOWLY: CueText(
        _S,
        "SLOW",
        "Cooling slower than planned: more, lighter or warmer cover than was said; it takes longer",
    ),
    CueKind.PROBE_MOVED: CueText(
        _W, "PROBE", "A step in the reading that no cover makes, now {temp_c}: has the probe moved?"
    ),
    CueKind.NOISY: CueText(
        _S, "NOISY", "{because}: the median still stands; look at plug, wire and work clamp"
    ),
    CueKind.ARC_IN_READING: CueText(
        _S,
        "ARC NOISE",
        "{because}: readings while the arc burns are left out; see pacer guide wiring",
    ),
    CueKind.STUCK: CueText(
        _F, "STUCK", "{because}: measure by hand and type it (R), or press if it is right"
    ),
    CueKind.WHICH_UNIT: CueText(
        _F, "WHICH UNIT", "{because}: measure by hand and type it (R), or press if it is right"
    ),
    CueKind.PROBE_OFF: CueText(
        _F, "PROBE ON?", "{because}: is the probe still on? Press if it is, or measure and type (R)"
    ),
    CueKind.JUMPED: CueText(
        _F,
        "JUMPED",
        "{because}, no part does: look at the probe, press if it is right, or type (R)",
    ),
    CueKind.REVERSED: CueText(
        _F, "REVERSED", "{because}: are the probe's leads swapped? Measure by hand and type it (R)"
    ),
    CueKind.WIRE_TYPE: CueText(
        _F,
        "WIRE TYPE",
        "{because}: check the type; press if you measured another place, or type (R)",
    ),
    CueKind.APART: CueText(
        _F, "APART", "{because}: which is right? Press to go by the deciding one, or type it (R)"
    ),
    CueKind.NO_READING: CueText(
        _F, "NO READING", "{because}: measure by hand and type it (R); the clock goes on"
    ),
    CueKind.LOG_MOVED: CueText(_F, "LOG MOVED", "Nothing is lost, press: the recording {because}"),
    CueKind.LOG_NOT_SAVED: CueText(
        _F, "LOG NOT SAVED", "Go on, it is kept in memory; see to the disk: {because}"
    ),
}

_COOLER = "Under the ceiling {ceiling_c}, at {temp_c}: wait for {until_c}"
_COOL = "Cool enough, at {temp_c}: some seconds until the next bead is called"


class Cue(msgspec.Struct, frozen=True):
    """One thing told at one moment."""

    kind: CueKind
    t_s: float
    "Its deadline or its event's time, session time in s."
    values: dict[str, float] = {}
    "SI and °C numbers, named with their units."
    because: str = ""
    """The evidence in one line; CANNOT, ARC_LOST and what is told of the sensor show it in their words.
    Of the kinds in `EVIDENCE` its {fields} are filled from the values, too."""
    again: int = 0
    "0 when first told; 1, 2, 3: told again, since nobody answered (`session/prompt.py`)."

    @property
    def urgency(self) -> Urgency:
        """STEP, WARN or FAULT."""
        return CUES[self.kind].urgency

    @property
    def word(self) -> str:
        """The giant word."""
        return CUES[self.kind].word

    @property
    def words(self) -> str:
        """The line, its {names} not filled in: a WAIT that stands on below the ceiling says so."""
        temp_c, ceiling_c = self.values.get("temp_c"), self.values.get("ceiling_c")
        if self.kind is not CueKind.WAIT or temp_c is None or ceiling_c is None:
            return CUES[self.kind].words
        if temp_c > ceiling_c:
            return CUES[self.kind].words
        return _COOL if temp_c <= self.values.get("until_c", ceiling_c) else _COOLER
