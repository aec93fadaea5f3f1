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
    """Return what can be tried: each plays READY until it is answered."""
    tried = Cue(kind=CueKind.READY, t_s=0.0)
    return tuple(
        Way(sink.name, QUESTIONS[sink.name], partial(sink.play, tried), sink.hush)
        for sink in sinks
        if sink.name in QUESTIONS
    )
