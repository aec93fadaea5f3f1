"""Two recordings for tests of the replay side by side: one hot repair, begun sooner or later.

As in `run/driving.hot_script`: preheat from 1 s, 262 °C from 9 s, soak from 12 s, READY at
72 s, the first bead from 74 s. `late_s` moves all of it but the first reading. Invented data.
"""

from __future__ import annotations

from pathlib import Path

from written import head_of, lines_of, write_lines

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.film import Film
from pacer.session.events import Act, AnyEvent, Reading

PREHEAT_S, SOAK_S, READY_S, BEAD_S = 1.0, 12.0, 72.0, 74.0


def hot_events(
    to_s: int = 130, late_s: int = 0, soaked_c: float = 262.0, fallen: bool = False
) -> list[AnyEvent]:
    """Return the events of a repair recorded for `to_s` + `late_s`.

    `soaked_c`: what is read from 9 s on. `fallen`: below the floor of 200 °C in the end.
    """
    events: list[AnyEvent] = [Reading(t_ms=0, raw=(20.0,), status="ok")]
    for t_s in range(1, late_s + 1):
        events.append(Reading(t_ms=1000 * t_s, raw=(20.0,), status="ok"))
    now_c = soaked_c
    for t_s in range(1, to_s + 1):
        t_ms = 1000 * (t_s + late_s)
        if fallen and t_s > 88:
            now_c -= 2.5
        temp_c = 150.0 if t_s < 9 else now_c
        if t_s > 1:
            events.append(Reading(t_ms=t_ms, raw=(temp_c,), status="ok"))
        if t_s in {1, 74}:
            events.append(Act(t_ms=t_ms, deed="next"))
        if t_s == 85:
            events.append(Act(t_ms=t_ms + 500, deed="next"))
    return events


def recorded(path: Path, job: Job, events: list[AnyEvent], **head: object) -> Path:
    """Write a recording."""
    return write_lines(path, lines_of(head_of(job, **head), events))


def film(path: Path, job: Job, events: list[AnyEvent], **head: object) -> Film:
    """Return the film of a recording just written."""
    return Film(Recording(recorded(path, job, events, **head)))
