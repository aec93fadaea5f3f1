"""The ways of telling of a session, for the check on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from pacer.screen.check import Way
from pacer.session.cues import Cue, CueKind
from pacer.sound.sink import Sink

QUESTIONS = {
    "sound": "Do you hear the sound at the table?",
    "speech": "Do you hear the word at the table?",
    "lamp": "Do you see the lamp from the table?",
}
"""By the name of the sink; what has no question here can't be tried."""


def ways_of(sinks: Sequence[Sink]) -> tuple[Way, ...]:
    """Return what can be tried: each plays the measure cue, which asks for nothing hot."""
    return tuple(
        Way(sink.name, QUESTIONS[sink.name], partial(_try, sink), sink.hush)
        for sink in sinks
        if sink.name in QUESTIONS
    )


def _try(sink: Sink) -> None:
    # A new cue each time: the same one asked again would have its old answer.
    sink.hush()
    sink.play(Cue(kind=CueKind.TYPE_A_READING, t_s=0.0))
