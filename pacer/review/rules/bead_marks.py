"""Which records tell of each bead's start and end, noted while a recording is folded."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.review.rules.rule import Step
from pacer.session.cues import CueKind
from pacer.session.events import Act
from pacer.session.track import Believed, believed
from pacer.session.work import Bead


@dataclass(slots=True)
class Mark:
    """What is known of a bead besides the bead itself."""

    started: int
    "Number of the record that started it, as are the others."
    start: Believed | None
    "What was believed of the part then."
    ended: int | None = None
    said: int | None = None
    "Where its length was said."
    left: tuple[int, float] | None = None
    "Record and time, s, of LEAVE IT."
    left_by_press: bool = False
    "He paused the peen, and his own press that went on came too late for it."
    peen: tuple[int, float] | None = None
    "Record and time, s, at which he said that he began to peen it."


class BeadMarks:
    """The marks of all beads, in the beads' order; an undone bead has none."""

    def __init__(self) -> None:
        self._beads: tuple[Bead, ...] = ()
        self._marks: list[Mark] = []

    def __getitem__(self, index: int) -> Mark:
        return self._marks[index]

    @property
    def last(self) -> Mark | None:
        """The running or last bead's."""
        return self._marks[-1] if self._marks else None

    def see(self, step: Step) -> None:
        """Note what the step changed of the beads: mostly nothing."""
        beads, before = step.state.work.beads, self._beads
        if beads is before:
            return
        self._beads = beads
        del self._marks[len(beads) :]
        # One step may end a bead, by its timer, and start the next; older ones don't change.
        for index in range(max(0, min(len(beads), len(before)) - 1), len(beads)):
            bead = beads[index]
            was = before[index] if index < len(before) else None
            if was is None:
                self._marks.append(Mark(step.record, believed(step.state, bead.started_s)))
            self._note(self._marks[index], bead, was, step)

    def _note(self, mark: Mark, bead: Bead, was: Bead | None, step: Step) -> None:
        if bead.ended_s is None:
            # Undone, or struck again soon enough to be the same bead.
            mark.ended = mark.peen = None
        elif was is None or bead.ended_s != was.ended_s:
            mark.ended = step.record
        if was is not None and bead.length_m != was.length_m:
            said = isinstance(step.event, Act) and step.event.deed == "bead"
            mark.said = step.record if said else None
        if bead.peened == "left alone" and (was is None or was.peened != "left alone"):
            told = [cue.t_s for cue in step.cues if cue.kind is CueKind.LEAVE_IT]
            mark.left = (step.record, told[0]) if told else None
            pressed = isinstance(step.event, Act) and step.event.deed == "next"
            mark.left_by_press = pressed and step.t_s in told
