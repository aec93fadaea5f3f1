"""The seven sounds one after the other through the very sinks of a session."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence

from pacer.session.cues import Cue, CueKind
from pacer.sound.patterns import Pattern, pattern_of, sounding_s
from pacer.sound.sink import Sink
from pacer.sound.speech import WORDS_S, Speech

EXAMPLES = (
    CueKind.READY,
    CueKind.FINISH,
    CueKind.STOP,
    CueKind.PEEN,
    CueKind.REHEAT,
    CueKind.WAIT,
    CueKind.LOOK_AT_BEAD,
)
"""One cue for each pattern, in the order a bead meets them."""

PAUSE_S = 0.8


def rehearse(
    kinds: Iterable[CueKind],
    sinks: Sequence[Sink],
    announce: Callable[[Pattern], None],
    wait: Callable[[float], None] = time.sleep,
) -> list[str]:
    """Play a cue of each kind and wait for its end; return a line for each sink that failed."""
    failed: list[str] = []
    left = list(sinks)
    for kind in kinds:
        cue = Cue(kind, 0.0)
        announce(pattern_of(kind))
        for sink in list(left):
            try:
                sink.play(cue)
            except Exception as error:
                left.remove(sink)
                failed.append(f"{sink.name} is off: {error}")
        if not left:
            break
        spoken_s = WORDS_S if any(isinstance(sink, Speech) for sink in left) else 0.0
        wait(sounding_s(pattern_of(kind), cue.urgency) + spoken_s + PAUSE_S)
    return failed
