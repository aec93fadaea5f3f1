"""A practice welder: hears the cues, answers after a human time, and makes mistakes.

Whatever he does comes at least `NOTICES_S` after the cue, and until then he goes on with
what he was doing: so it makes no difference whether the driver brings a cue at its time
or only with the next reading. His choices are drawn in the order of the cues, his looks at
the reading from a stream of their own.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from pacer.job.job import Job
from pacer.sensor.practice.casting import Casting
from pacer.sensor.practice.mishaps import Mishaps
from pacer.sensor.practice.truth import stream
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent, Deed

NOTICES_S = 0.3
NOTICES_SLOW_S = 10.5
"Once covered, readings and so cues come 10 s apart."

_LOST_AT = 0.55
"Share of a planned bead after which the arc is lost: it counts, and is too short."

TINK = "practice: heard it tick beside the weld"
NOTE = "practice: took a new electrode"


class Doing(NamedTuple):
    """What he will do, and when."""

    t_ms: int
    do: Callable[[], AnyEvent | None]


class Welder:
    """Hands on one casting."""

    def __init__(self, job: Job, casting: Casting, seed: int, spoil: bool = False) -> None:
        self._job = job
        self._casting = casting
        self._chance = stream(seed, "welder")
        self._eyes = stream(seed, "eyes")
        self._mishaps = Mishaps.of(job)
        self._mishaps.uncovers_early = spoil
        self._doings: list[Doing] = []
        self._keep: tuple[float, float] | None = None
        self._look_s = 0.0
        self._by_clock = False
        "This bead he started with a press and says no more: the cadence runs it."
        self._now_ms = 0
        self.gone = False
        self._answers = self._table()

    @property
    def due_ms(self) -> int | None:
        """When he does something next, ms."""
        return self._doings[0].t_ms if self._doings else None

    def act(self) -> AnyEvent | None:
        """Do what is due first; None where no event comes of it."""
        doing = self._doings.pop(0)
        self._now_ms = doing.t_ms
        return doing.do()

    def look(self, t_s: float, shown_c: float) -> None:
        """See a reading; the flame goes on or off where he keeps the part warm."""
        if self._keep is None or t_s < self._look_s:
            return
        self._look_s = t_s + self._eyes.uniform(2.0, 6.0)
        low_c, high_c = self._keep
        if shown_c < low_c:
            self._casting.flame.on = True
        elif shown_c > high_c:
            self._casting.flame.on = False

    def hear(self, cue: Cue) -> None:
        """Take a cue; what it makes him do comes later."""
        answer = self._answers.get(cue.kind)
        if answer is None:
            return
        if cue.kind is not CueKind.STOP:
            self._drop_plans(cue)
        answer(cue)

    def _table(self) -> dict[CueKind, Callable[[Cue], None]]:
        """Return what answers which cue; the others change nothing."""
        return {
            CueKind.PREPARE: self._prepare,
            CueKind.TACK: self._tack,
            CueKind.PREHEAT: self._preheat,
            CueKind.SOAK: self._warm_for_welding,
            CueKind.READY: self._ready,
            CueKind.STOP: self._stop_arc,
            CueKind.ALL_LAID: self._all_laid,
            CueKind.PEEN: self._peen,
            CueKind.ARC_LOST: self._peen,
            CueKind.SHORT_BEAD: self._peen,
            CueKind.WAIT: self._wait,
            CueKind.REHEAT: self._reheat,
            CueKind.HOLD: self._hold,
            CueKind.LOOK_FOR_CRACKS: self._look_for_cracks,
            CueKind.POST_HEAT: self._post_heat,
            CueKind.BURY: self._bury,
            CueKind.COVERED: self._covered,
            CueKind.UNCOVERED_EARLY: self._uncovered_early,
            CueKind.UNCOVER: self._uncover,
            CueKind.DONE: self._done,
        }

    def _drop_plans(self, cue: Cue) -> None:
        until_ms = round(1000 * (cue.t_s + self._notices_s()))
        self._doings = [doing for doing in self._doings if doing.t_ms <= until_ms]
        if self._casting.arc:
            self._later(cue, 0.4, 1.0, self._arc_off)

    def _notices_s(self) -> float:
        return NOTICES_SLOW_S if self._casting.covered else NOTICES_S

    def _later(
        self, cue: Cue, least_s: float, most_s: float, do: Callable[[], AnyEvent | None]
    ) -> None:
        wait_s = max(self._chance.uniform(least_s, most_s), self._notices_s())
        self._plan(Doing(round(1000 * (cue.t_s + wait_s)), do))

    def _plan(self, doing: Doing) -> None:
        self._doings.append(doing)
        self._doings.sort(key=lambda planned: planned.t_ms)

    def _deed(
        self, cue: Cue, least_s: float, most_s: float, deed: Deed, text: str | None = None
    ) -> None:
        self._later(cue, least_s, most_s, lambda: Act(t_ms=0, deed=deed, by="practice", text=text))

    def _heat(self, on: bool, keep: tuple[float, float] | None = None) -> None:
        self._keep = keep
        self._casting.flame.on = on and self._job.method == "hot"

    def _flame(self, cue: Cue, least_s: float, most_s: float, on: bool) -> None:
        self._later(cue, least_s, most_s, lambda: self._heat(on))

    def _keep_warm(self, cue: Cue, low_c: float, high_c: float) -> None:
        if self._job.method == "hot":
            self._later(cue, 1.0, 3.0, lambda: self._heat(self._casting.flame.on, (low_c, high_c)))

    def _arc_on(self, place: int) -> Act:
        self._casting.strike(place)
        deed: Deed = "next" if self._by_clock else "arc on"
        return Act(t_ms=0, deed=deed, by="practice")

    def _arc_off(self) -> Act | None:
        if not self._casting.arc:
            return None
        self._casting.stop()
        if self._by_clock:
            return None
        return Act(t_ms=0, deed="arc off", by="practice")

    def _prepare(self, cue: Cue) -> None:
        self._deed(cue, 8.0, 15.0, "next")

    def _tack(self, cue: Cue) -> None:
        if self._job.joint.tack == "hot":
            self._warm_for_welding(cue)
        self._deed(cue, 60.0, 100.0, "next")

    def _preheat(self, cue: Cue) -> None:
        self._casting.uncover()
        self._flame(cue, 5.0, 12.0, True)

    def _warm_for_welding(self, cue: Cue) -> None:
        target_c = self._job.band.preheat_c
        if target_c is not None:
            self._keep_warm(cue, target_c - 4.0, target_c + 2.0)

    def _ready(self, cue: Cue) -> None:
        bead, place = round(cue.values["bead"]), round(cue.values["place"]) - 1
        if self._mishaps.flame_left_on:
            return
        self._flame(cue, 1.0, 2.0, False)
        if self._mishaps.dawdles(bead):
            return
        if self._mishaps.breaks_off(bead):
            self._deed(cue, 3.0, 5.0, "hold")
            return
        self._later(cue, 3.5, 7.0, lambda: self._strike(bead, place))

    def _strike(self, bead: int, place: int) -> Act | None:
        self._by_clock = self._mishaps.only_presses(bead)
        if self._mishaps.loses_arc(bead):
            lost_ms = round(1000 * _LOST_AT * self._job.bead.planned_s)
            self._plan(Doing(self._now_ms + lost_ms, self._arc_off))
        return self._arc_on(place)

    def _stop_arc(self, cue: Cue) -> None:
        self._later(cue, 0.4, 1.1, self._arc_off)

    def _all_laid(self, cue: Cue) -> None:
        self._flame(cue, 1.0, 2.0, False)
        self._deed(cue, 4.0, 8.0, "finish")

    def _peen(self, cue: Cue) -> None:
        """Peen until the time is up: nothing to press."""

    def _wait(self, cue: Cue) -> None:
        self._mishaps.takes_flame_away()
        self._flame(cue, 1.0, 2.5, False)
        if self._mishaps.notes():
            self._deed(cue, 4.0, 6.0, "note", NOTE)

    def _reheat(self, cue: Cue) -> None:
        if self._mishaps.comes_back():
            self._flame(cue, 45.0, 60.0, True)
        else:
            self._flame(cue, 1.5, 3.0, True)

    def _hold(self, cue: Cue) -> None:
        self._mishaps.broke_off()
        floor_c, preheat_c = self._job.band.floor_c, self._job.band.preheat_c
        if floor_c is not None and preheat_c is not None:
            self._keep_warm(cue, floor_c + 0.6 * (preheat_c - floor_c), preheat_c)
        self._deed(cue, 180.0, 260.0, "next")

    def _look_for_cracks(self, cue: Cue) -> None:
        self._deed(cue, 15.0, 30.0, "next")

    def _post_heat(self, cue: Cue) -> None:
        target_c = self._job.postheat.temperature_c
        self._keep_warm(cue, target_c - 1.0, target_c + 4.0)

    def _bury(self, cue: Cue) -> None:
        self._flame(cue, 1.0, 3.0, False)
        self._deed(cue, 25.0, 40.0, "covered")

    def _covered(self, cue: Cue) -> None:
        self._keep = None
        if not self._casting.covered:
            self._casting.cover()
        if self._mishaps.uncovers_early:
            self._mishaps.uncovers_early = False
            self._deed(cue, 1500.0, 2100.0, "uncovered")

    def _uncovered_early(self, cue: Cue) -> None:
        self._casting.uncover()
        self._deed(cue, 60.0, 300.0, "tink", TINK)

    def _uncover(self, cue: Cue) -> None:
        self._deed(cue, 40.0, 120.0, "uncovered")

    def _done(self, cue: Cue) -> None:
        self._later(cue, 30.0, 60.0, self._leave)

    def _leave(self) -> None:
        self.gone = True
