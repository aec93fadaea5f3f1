"""Jobs, sessions and a desk made by hand for the screen's tests.

Sessions are folded from events, never put together field by field, so that the screen is
tested on states that the fold really makes. The job is the example of design.md; its
numbers are made up for the tests.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import msgspec

from pacer.job.job import (
    Band,
    BeadPlan,
    BeadRules,
    Cooldown,
    Filler,
    Heating,
    Job,
    Joint,
    Part,
    Postheat,
    SensorPlace,
)
from pacer.screen.desk import Kind, Pace, Snapshot
from pacer.session.cues import Cue
from pacer.session.events import (
    Act,
    AnyEvent,
    Channel,
    ClockGap,
    Deed,
    GapBy,
    LogWord,
    Opened,
    Reading,
    Resumed,
    SensorChanged,
    Trouble,
)
from pacer.session.fold import advance, begin, step
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase

JOB = Job(
    title="Cracked foot, pump casing",
    method="hot",
    part=Part("grey iron", 3.2, (0.26, 0.18, 0.04), 0.012, "none"),
    joint=Joint(
        "crack", "one side", 0.12, "none", "both in the wall", "single-V", 60.0, 0.002, 0.01
    ),
    filler=Filler("111", "ENiFe-CI", 0.0025, 65.0, 22.0),
    heating=Heating("gas grill", 1),
    band=Band(preheat_c=260.0, floor_c=200.0, ceiling_c=300.0, soak_s=1200.0, deadband_dc=5.0),
    bead=BeadRules(length_m=0.025, travel_m_s=0.002, peen_s=15.0, peen_within_s=5.0),
    postheat=Postheat(260.0, 1200.0),
    cooldown=Cooldown("dry sand", 0.03, None, 20.0, 40.0, None),
    sensor=SensorPlace("practice:", 0.04),
    plan=BeadPlan(runs=8, places=5, order=(0, 4, 1, 3, 2)),
    origin={},
)
COLD_JOB = msgspec.structs.replace(
    JOB,
    method="cold",
    band=Band(preheat_c=None, floor_c=None, ceiling_c=60.0, soak_s=0.0, deadband_dc=5.0),
)


@dataclass(frozen=True)
class Forecast:
    """A cool-down forecast, s since its start."""

    eta_s: float
    low_s: float
    high_s: float | None
    planned: bool = False


class Session:
    """A fold with short names for what happens to it."""

    def __init__(
        self, job: Job = JOB, *, hand: bool = False, channel: Channel | None = None
    ) -> None:
        opened = Opened(
            v=(1, 0),
            sid="0" * 16,
            app="pacer test",
            wall="2026-01-01T00:00:00Z",
            job=job,
            channel=channel or Channel("t1", "degC"),
            hand=hand,
            period_s=None if hand else 0.5,
        )
        self.state, cues = begin(opened)
        self.cues: list[Cue] = list(cues)
        self.t_s = 0.0
        self.trend: list[tuple[float, float | None]] = []

    def event(self, event: AnyEvent) -> Session:
        """Fold an event."""
        self.state, cues = step(self.state, event)
        self.cues += cues
        self.t_s = max(self.t_s, event.t_s)
        return self

    def press(self, deed: Deed, **more: Any) -> Session:
        """The welder does something now."""
        return self.event(Act(t_ms=round(self.t_s * 1000), deed=deed, **more))

    def wait(self, seconds_s: float) -> Session:
        """Time passes with nothing said."""
        self.t_s += seconds_s
        self.state, cues = advance(self.state, self.t_s)
        self.cues += cues
        return self

    def read(self, temp_c: float, seconds_s: float = 0.5) -> Session:
        """The sensor says the same temperature twice a second for so long."""
        for _ in range(max(1, round(seconds_s / 0.5))):
            self.raw(temp_c)
        return self

    def ramp(self, temp_c: float, step_dc: float = 4.0) -> Session:
        """The sensor goes to a temperature no faster than a part may: 4 K every half second."""
        control = self.state.control
        now_c = temp_c if control is None or control.value_c is None else control.value_c
        while abs(temp_c - now_c) > step_dc:
            now_c += step_dc if temp_c > now_c else -step_dc
            self.raw(now_c)
        return self.read(temp_c)

    def raw(self, *values: float | str | None, status: Any = "ok") -> Session:
        """One line of the sensor, half a second later."""
        self.t_s += 0.5
        self.event(Reading(t_ms=round(self.t_s * 1000), raw=values, status=status))
        now = believed(self.state, self.t_s)
        # As `run/trend.py` keeps it: what isn't believed is a gap.
        self.trend.append((self.t_s, None if now is None else now.temp_c))
        return self

    def gap(self, seconds_s: float, by: GapBy = "wall") -> Session:
        """The program wasn't running for so long, and was started again."""
        start_ms = round(self.t_s * 1000)
        to_ms = start_ms + round(1000 * seconds_s)
        self.event(ClockGap(t_ms=start_ms, to_ms=to_ms, by=by))
        return self.event(Resumed(t_ms=to_ms, hand=self.state.sensor.hand))

    def log(self, what: LogWord, why: str = "no space left on device") -> Session:
        """News of the recording, told at once where that may be."""
        return self.event(Trouble(t_ms=round(self.t_s * 1000), what=what, why=why)).wait(0.0)

    def opened(self, settle_s: float) -> Session:
        """The port was opened, and isn't heard at first."""
        t_ms = round(self.t_s * 1000)
        return self.event(SensorChanged(t_ms=t_ms, state="opened", settle_s=settle_s))

    def lost(self, why: str) -> Session:
        """The port is gone."""
        return self.event(SensorChanged(t_ms=round(self.t_s * 1000), state="lost", why=why))

    def snapshot(self, **changed: Any) -> Snapshot:
        """Return the moment as a desk would."""
        base = Snapshot(
            state=self.state,
            t_s=self.t_s,
            kind="live",
            trend=tuple(self.trend[-600:]),
            cues=tuple(self.cues[-20:]),
            log="2026-01-01-foot.pacer",
        )
        return replace(base, **changed)


def prepared(**kwargs: Any) -> Session:
    """A session at its start."""
    return Session(**kwargs)


def preheating(job: Job = JOB) -> Session:
    """Heating up, not there yet."""
    return Session(job).press("next").read(140.0, 5.0)


def soaking(job: Job = JOB) -> Session:
    """At the preheat target, the soak counts."""
    return preheating(job).read(262.0, 10.0)


def ready(job: Job = JOB) -> Session:
    """The first bead may start."""
    return soaking(job).read(262.0, 30.0).press("next").read(262.0, 2.0)


def burning() -> Session:
    """Three seconds into the first bead."""
    return ready().press("next").read(262.0, 3.0)


def peening() -> Session:
    """Two seconds into the first peen."""
    return burning().read(265.0, 9.5).press("next").read(270.0, 2.0)


def looking() -> Session:
    """A second into the look at the first bead: a cadence, the arc's end was assumed."""
    session = burning()
    rules = msgspec.structs.replace(JOB.bead, look_s=3.0)
    job = msgspec.structs.replace(JOB, bead=rules)
    session.state = msgspec.structs.replace(session.state, job=job)
    while session.state.phase is not Phase.LOOK:
        session.read(265.0)
    return session.read(265.0, 1.0)


def paused() -> Session:
    """The rhythm stands still, five seconds into the peen."""
    return peening().press("pause").read(268.0, 5.0)


def root_laid(beads: int = JOB.plan.places) -> Session:
    """So many beads of a double V: after the five of the root the next lies on the other side."""
    joint = msgspec.structs.replace(JOB.joint, preparation="double-V", access="both sides")
    session = ready(msgspec.structs.replace(JOB, joint=joint))
    for _ in range(beads):
        session.press("next").read(262.0, 12.0).press("next").read(262.0, 16.0)
    return session


def waiting(temp_c: float = 312.0) -> Session:
    """Too hot after the first bead."""
    return peening().ramp(temp_c).read(temp_c, 20.0)


def reheating(temp_c: float = 190.0) -> Session:
    """Too cold after the first bead."""
    return peening().ramp(temp_c).read(temp_c, 20.0)


def inspecting() -> Session:
    """Two hours after the first bead, warm and soaked again: a look for new cracks."""
    session = peening().read(262.0, 14.0).gap(7200.0).read(150.0, 5.0).ramp(262.0)
    return session.read(262.0, 1250.0)


def another_day() -> Session:
    """A bead was laid yesterday."""
    return peening().read(262.0, 14.0).gap(15 * 3600.0).read(19.0, 20.0)


def bridged() -> Session:
    """Covered, the program off for two hours by the wall clock."""
    return cooling().gap(7200.0).read(95.0, 60.0)


def untimed() -> Session:
    """Covered, the program off for nobody knows how long, no reading yet."""
    return cooling().gap(0.0, "unknown").wait(5.0)


def holding() -> Session:
    """Stopped between beads."""
    return ready().press("hold").read(262.0, 5.0)


def postheating() -> Session:
    """No more beads."""
    return peening().read(262.0, 14.0).press("finish").read(262.0, 5.0)


def burying() -> Session:
    """To be covered."""
    return postheating().press("next").read(255.0, 5.0)


def cooling() -> Session:
    """Covered ten minutes ago."""
    return burying().press("covered").read(240.0, 600.0)


def cool() -> Session:
    """Cool enough at the probe."""
    return cooling().read(39.0, 10.0)


def done() -> Session:
    """Uncovered."""
    return cool().press("uncovered")


def state_of(session: Session) -> State:
    """Return the folded state."""
    return session.state


@dataclass
class FakeDesk:
    """A desk that shows one snapshot and writes down what it is told."""

    now: Snapshot
    deeds: list[tuple[Deed, dict[str, Any]]] = field(default_factory=list)
    paces: list[Pace] = field(default_factory=list)
    jumps: list[float] = field(default_factory=list)
    stops: int = 0
    reasons: list[str] = field(default_factory=list)
    changed: list[Callable[[], None]] = field(default_factory=list)

    def snapshot(self) -> Snapshot:
        """Return the snapshot in force."""
        return self.now

    def press(
        self,
        deed: Deed,
        *,
        temp_c: float | None = None,
        side: int = 0,
        length_m: float | None = None,
        text: str | None = None,
    ) -> None:
        """Write a deed down."""
        said = {"temp_c": temp_c, "side": side or None, "length_m": length_m, "text": text}
        self.deeds.append((deed, {k: v for k, v in said.items() if v is not None}))

    def pace(self, word: Pace) -> None:
        """Write a pace down."""
        self.paces.append(word)

    def jump(self, t_s: float) -> str:
        """Write a jump down."""
        self.jumps.append(t_s)
        return f"now at {t_s:g} s"

    def stop(self, why: str = "closed by the welder") -> None:
        """Count, and write the reason down."""
        self.stops += 1
        self.reasons.append(why)

    def on_change(self, changed: Callable[[], None]) -> None:
        """Remember whom to tell."""
        self.changed.append(changed)


def desk(session: Session, kind: Kind = "live", **changed: Any) -> FakeDesk:
    """Return a desk that shows a session's present moment."""
    return FakeDesk(session.snapshot(kind=kind, **changed))
