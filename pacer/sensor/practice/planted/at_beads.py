"""What goes wrong at the beads: before the strike, while the arc burns, in the peen."""

from __future__ import annotations

from collections.abc import Iterable

from pacer.job.job import Job
from pacer.sensor.practice.casting import Casting
from pacer.sensor.practice.planted.course import along
from pacer.sensor.practice.planted.fault import Fault
from pacer.sensor.practice.planted.faulty import Faulty
from pacer.sensor.practice.planted.wiring import Wiring
from pacer.session.cues import Cue
from pacer.session.events import Act, ClockGap

_RATE_DC_S = 1.5
"How fast a planted course brings the part to another temperature: slower than any step."
_AIM_DC = 15.0
"How far below the floor a part is brought that is to be there for a while."
_BACK_DC = 3.0
"Above the preheat, so that a bead is called again."
_SETTLES_S = 12.0
"Held so long, lag and filter have the temperature when the arc is struck."
_LAST_BLOW_S = 13.0
"Into the peen: by then the arc's heat has mostly passed the probe."
_OFF_S = 30.0
"A probe knocked off is put back after so long."
_NOISE_DC = 2.0
"So near the ceiling a single reading doesn't tell."
_LOOKS_AGAIN_S = 3.0
"Called and then too hot he waits so long, unless he is told to wait for longer."
_CALM_S = 90.0
"So long after a bead its heat has passed the probe: what the reading does then is the probe's."
_ARC_TIMES = ("bead too long", "arc lost", "crater not filled")
_STRUCK_AT = ("bead above the ceiling", "bead below the floor")


class AtBeads(Faulty):
    """Hands at the beads."""

    def __init__(
        self, job: Job, casting: Casting, wiring: Wiring, seed: int, faults: Iterable[Fault]
    ) -> None:
        super().__init__(job, casting, wiring, seed, faults)
        self._hears_stop = True
        self._shown_c = 0.0

    def look(self, t_s: float, shown_c: float) -> None:
        """See a reading."""
        super().look(t_s, shown_c)
        self._shown_c = shown_c

    def _ready(self, cue: Cue) -> None:
        self._bead = round(cue.values["bead"])
        if self._bead - 1 == self._amount("fewer beads than planned"):
            self._make("fewer beads than planned", cue.t_s)
            self._all_laid(cue)
            return
        if not self._goes_wrong_before(cue.t_s):
            super()._ready(cue)

    def _goes_wrong_before(self, t_s: float) -> bool:
        """Do what was planted before this bead; True where he does not just strike."""
        for name in _STRUCK_AT:
            if (temp_c := self._due(name)) is not None:
                self._strike_at(name, t_s, temp_c)
                return True
        if (lasts_s := self._due("cooled through")) is not None:
            self._cool_through(t_s, lasts_s)
            return True
        if (lasts_s := self._due("reheat missed")) is not None:
            self._miss_reheat(t_s, lasts_s)
            return True
        return self._goes_blind(t_s) or self._goes_away(t_s) or self._turns(t_s)

    def _strike_from_now(self, t_s: float) -> None:
        bead = self._bead
        self._at(t_s, lambda: self._strike(bead, self._job.plan.place_of(bead)))

    def _strike_at(self, name: str, t_s: float, temp_c: float) -> None:
        """Strike where the part has been brought to a temperature, and bring it back after."""
        now_c = self._probe_c()
        there_s = abs(temp_c - now_c) / _RATE_DC_S
        welded_s = _SETTLES_S + self._job.bead.planned_s + 2.0
        self._casting.course = along(
            t_s, now_c, (temp_c, there_s), (temp_c, welded_s), self._warm_again(temp_c)
        )
        self._busy_s = t_s + there_s + _SETTLES_S
        self._heat(False)
        self._strike_from_now(self._busy_s)
        self._make(name, self._busy_s)

    def _warm_again(self, from_c: float) -> tuple[float, float]:
        """Return the leg of a course back to where beads are called."""
        back_c = (self._job.band.preheat_c or from_c) + _BACK_DC
        return back_c, abs(back_c - from_c) / _RATE_DC_S

    def _cool_through(self, t_s: float, lasts_s: float) -> None:
        """Let the part sink below the floor for a while, and strike once it is warm again."""
        floor_c, now_c = self._job.band.floor_c, self._probe_c()
        assert floor_c is not None
        edge_s, down_s = _AIM_DC / _RATE_DC_S, (now_c - floor_c) / _RATE_DC_S
        least_c, below_s = floor_c - _AIM_DC, t_s + down_s
        self._casting.course = along(
            t_s,
            now_c,
            (least_c, down_s + edge_s),
            (least_c, max(0.0, lasts_s - 2.0 * edge_s)),
            self._warm_again(least_c),
        )
        self._busy_s = below_s + lasts_s
        self._heat(False)
        self._make("cooled through", below_s, lasts_s)

    def _miss_reheat(self, t_s: float, lasts_s: float) -> None:
        """Let the part sink below the floor, and strike there after a while."""
        floor_c, now_c = self._job.band.floor_c, self._probe_c()
        assert floor_c is not None
        edge_s, down_s = _AIM_DC / _RATE_DC_S, (now_c - floor_c) / _RATE_DC_S
        least_c, below_s = floor_c - _AIM_DC, t_s + down_s
        welded_s = self._job.bead.planned_s + 2.0
        self._casting.course = along(
            t_s,
            now_c,
            (least_c, down_s + edge_s),
            (least_c, lasts_s - edge_s + welded_s),
            self._warm_again(least_c),
        )
        self._busy_s = below_s + lasts_s
        self._heat(False)
        self._strike_from_now(self._busy_s)
        self._make("reheat missed", below_s, lasts_s)

    def _goes_blind(self, t_s: float) -> bool:
        struck_blind_s, waits_s = (
            self._due("welded without a trusted reading"),
            self._due("nothing read"),
        )
        if struck_blind_s is not None:
            # Back only after the arc: a spike of it would be all that is known.
            welded_s = self._job.bead.planned_s + 3.0
            self._wiring.open_s = (t_s, t_s + struck_blind_s + welded_s)
            self._busy_s = t_s + struck_blind_s
            self._strike_from_now(self._busy_s)
            self._make("welded without a trusted reading", self._busy_s)
        elif waits_s is not None:
            self._wiring.open_s = (t_s, t_s + waits_s)
            self._busy_s = t_s + waits_s
            self._make("nothing read", t_s, waits_s)
        return struck_blind_s is not None or waits_s is not None

    def _goes_away(self, t_s: float) -> bool:
        gone_s = self._due("nobody watched")
        if gone_s is None:
            return False
        from_s = t_s + 1.0
        to_ms = round(1000 * (from_s + gone_s))
        self._busy_s = to_ms / 1000
        self._at(from_s, lambda: ClockGap(t_ms=0, to_ms=to_ms, why="practice: lid closed"))
        self._make("nobody watched", from_s, gone_s)
        return True

    def _turns(self, t_s: float) -> bool:
        lifted_s = self._due("turned, probe not fixed anew")
        if lifted_s is None:
            return False
        turned_s = t_s + _CALM_S
        self._say(turned_s, "turned")
        self._wiring.open_s = (turned_s + 1.0, turned_s + 1.0 + lifted_s)
        self._busy_s = turned_s + 1.0 + lifted_s
        if not lifted_s:
            self._busy_s = turned_s + 15.0
            self._strike_from_now(self._busy_s)
        self._make("turned, probe not fixed anew", turned_s)
        return True

    def _strike(self, bead: int, place: int) -> Act | None:
        """Strike, unless the heat of the last bead has come up meanwhile."""
        if self._shown_c > self._job.band.ceiling_c - _NOISE_DC and _STRUCK_AT[0] not in self.made:
            self._at(self._now_ms / 1000 + _LOOKS_AGAIN_S, lambda: self._strike(bead, place))
            return None
        act = super()._strike(bead, place)
        now_s = self._now_ms / 1000
        if self._wiring.second_dc is not None and "uneven at the first bead" not in self.made:
            # The arc's place and the far one even out from now on.
            apart_dc = self._amount("uneven at the first bead") or 0.0
            self._wiring.second_dc = along(now_s, apart_dc, (0.0, 20.0))
            self._make("uneven at the first bead", now_s)
        self._hears_stop = True
        for name in _ARC_TIMES:
            if (arc_s := self._due(name)) is not None:
                self._hears_stop = False
                self._at(now_s + arc_s, self._arc_off)
                self._make(name, now_s, arc_s)
        return act

    def _stop_arc(self, cue: Cue) -> None:
        if self._hears_stop:
            super()._stop_arc(cue)

    def _peen(self, cue: Cue) -> None:
        """Peen, say so, and tell what is heard and seen at the bead."""
        t_s = cue.t_s
        if self._due("not peened") is not None:
            self._pause_the_peen(t_s)
        elif "peens not confirmed" in self._faults:
            self._make("peens not confirmed", t_s)
        else:
            self._begin_to_peen(t_s)
        if (fall_dc := self._due("probe knocked off")) is not None:
            self._wiring.off_dc = along(
                t_s + _LAST_BLOW_S, 0.0, (-fall_dc, 0.5), (-fall_dc, _OFF_S), (0.0, 2.0)
            )
            self._make("probe knocked off", t_s + _LAST_BLOW_S, _OFF_S)
        if self._due("crack reported") is not None:
            self._say(t_s + 6.0, "crack")
            self._make("crack reported", t_s + 6.0)
        if self._due("tink heard") is not None:
            self._say(t_s + 6.0, "tink")
            self._make("tink heard", t_s + 6.0)

    def _begin_to_peen(self, t_s: float) -> None:
        late_s = self._due("late peen")
        if late_s is not None:
            self._make("late peen", t_s + late_s)
        self._say(t_s + (1.5 if late_s is None else late_s), "peen")

    def _pause_the_peen(self, t_s: float) -> None:
        # The cadence took the arc as ended with the call, less its beat.
        ended_s = t_s - self._job.bead.hood_up_s
        goes_on_s = ended_s + (self._amount("not peened") or 0.0)
        self._say(t_s + 2.0, "pause")
        self._say(goes_on_s, "next")
        self._make("not peened", ended_s, goes_on_s - ended_s)
