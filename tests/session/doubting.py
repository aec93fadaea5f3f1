"""Sessions with a fault planted in their readings, for the tests of `session/guard`.

READY at 4 Hz: prepare pressed at 1 s, 262 °C from 1.25 s on. The median of one stands at the
first line; SOAK 2 s later, its 60 s end at 63.25 s. Numbers invented.
"""

from __future__ import annotations

from telling import Session

from pacer.job.job import Job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, Reading
from pacer.session.guard.standing import Standing, standing
from pacer.session.track import believed

PERIOD_S = 0.25


def ready_at_4_hz(job: Job, to_s: float = 75.0) -> Session:
    """READY since 63.25 s, with readings of 262 °C four times a second up to `to_s`."""
    session = Session(job, period_s=PERIOD_S).at(0, 20.0).at(1, "next")
    return read(session, 1.25, to_s, 262.0)


def read(session: Session, from_s: float, to_s: float, temp_c: float) -> Session:
    """Readings of `temp_c`, four times a second."""
    return session.steady(from_s, to_s, temp_c, every_s=PERIOD_S)


def ramp(session: Session, from_s: float, to_s: float, start_c: float, rate_dc_s: float) -> Session:
    """Readings that rise or fall, four times a second."""
    for index in range(round((to_s - from_s) / PERIOD_S)):
        since_s = index * PERIOD_S
        session.at(from_s + since_s, start_c + rate_dc_s * since_s)
    return session


def line(
    session: Session,
    t_s: float,
    *temps_c: float,
    names: tuple[str, ...] | None = None,
    units: tuple[str, ...] | None = None,
) -> Session:
    """One line with several channels, or one that marks its unit."""
    reading = Reading(t_ms=round(t_s * 1000), raw=temps_c, status="ok", names=names, units=units)
    return session.event(reading)


def pressed(session: Session, t_s: float, by: str = "key") -> Session:
    """A press by hand."""
    return session.event(Act(t_ms=round(t_s * 1000), deed="next", by=by))


def stands(session: Session) -> Standing:
    """The state of the deciding channel now."""
    return standing(session.state, session.state.t_s).state


def decides_c(session: Session) -> float | None:
    """The temperature that decides now."""
    now = believed(session.state, session.state.t_s)
    return None if now is None else now.temp_c


def first(session: Session, kind: CueKind) -> Cue:
    """The first cue of a kind."""
    return next(cue for cue in session.told if cue.kind is kind)
