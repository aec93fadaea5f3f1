"""A welder who tells whatever he can be asked to tell, and goes wrong where it was planted.

He makes none of the mishaps of every practice. Here: what he hears, and what goes wrong before the
first bead and after the last one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from pacer.job.job import Job
from pacer.sensor.practice.casting import Casting
from pacer.sensor.practice.planted.at_beads import AtBeads
from pacer.sensor.practice.planted.course import along
from pacer.sensor.practice.planted.fault import Fault
from pacer.sensor.practice.planted.wiring import Wiring
from pacer.session.cues import Cue, CueKind
from pacer.session.events import SKIPPED

_OVER_DC = 15.0
"How far above the ceiling a part is brought that is to be there for a while."
_SOAK_DC_S = 3.0
"How fast it is brought there and back."
_FURNACE_SHARE = 0.7
"How much of the allowed rate a furnace is set to."
_CLAMPED = frozenset({"clamps left on", "clamps not confirmed loose"})


class Hands(AtBeads):
    """Hands that follow the cues, but for the planted faults."""

    def __init__(
        self, job: Job, casting: Casting, wiring: Wiring, seed: int, faults: Iterable[Fault]
    ) -> None:
        super().__init__(job, casting, wiring, seed, faults)
        self._soaked = False
        self._holds_from_s: float | None = None
        self._change_cover()

    def hear(self, cue: Cue) -> None:
        """Take a cue, unless he is at a fault."""
        if cue.t_s >= self._busy_s or cue.kind in {CueKind.STOP, CueKind.PEEN}:
            super().hear(cue)
        if cue.kind is CueKind.GAP:
            # Back at the part he warms it again, whatever is to come next.
            super()._warm_for_welding(cue)

    def look(self, t_s: float, shown_c: float) -> None:
        """See a reading: it may be what he waits for."""
        super().look(t_s, shown_c)
        self._look_at_hold(t_s, shown_c)
        self._look_under_cover(t_s, shown_c)

    # Before the first bead.

    def _prepare(self, cue: Cue) -> None:
        skipped = "cautions not confirmed" in self._faults
        self._say(cue.t_s + 4.0, "prepared", SKIPPED if skipped else None)
        if skipped:
            self._make("cautions not confirmed", cue.t_s + 4.0)
        super()._prepare(cue)

    def _preheat(self, cue: Cue) -> None:
        super()._preheat(cue)
        rate_c_h = self._amount("heated too fast")
        target_c = self._job.band.preheat_c
        if rate_c_h is not None and target_c is not None:
            rise_s = (target_c + 3.0 - self._probe_c()) / rate_c_h * 3600.0
            self._casting.course = along(cue.t_s, self._probe_c(), (target_c + 3.0, rise_s))
            self._make("heated too fast", cue.t_s, rise_s)

    def _warm_for_welding(self, cue: Cue) -> None:
        super()._warm_for_welding(cue)
        if cue.kind is not CueKind.SOAK or self._soaked:
            return
        self._soaked = True
        held_s = self._amount("soak cut short")
        if held_s is not None:
            self._say(cue.t_s + held_s, "next")
            self._make("soak cut short", cue.t_s, held_s)
        if "tack cracked" in self._faults:
            self._say(cue.t_s + 30.0, "crack")
            self._make("tack cracked", cue.t_s + 30.0)
        self._soak_too_hot(cue.t_s)
        self._soak_uneven(cue.t_s)

    def _soak_too_hot(self, t_s: float) -> None:
        lasts_s = self._amount("above the ceiling")
        if lasts_s is None:
            return
        ceiling_c, now_c = self._job.band.ceiling_c, self._probe_c()
        rate_dc_s = _SOAK_DC_S
        edge_s = _OVER_DC / rate_dc_s
        rise_s = (ceiling_c - now_c) / rate_dc_s
        self._casting.course = along(
            t_s,
            now_c,
            (ceiling_c + _OVER_DC, rise_s + edge_s),
            (ceiling_c + _OVER_DC, max(0.0, lasts_s - 2.0 * edge_s)),
            (now_c, rise_s + edge_s),
        )
        self._make("above the ceiling", t_s + rise_s, lasts_s)

    def _soak_uneven(self, t_s: float) -> None:
        apart_dc = self._amount("uneven at the first bead")
        if apart_dc is not None:
            soak_s = self._job.band.soak_s
            self._wiring.second_dc = along(t_s, 0.0, (apart_dc, 20.0), (apart_dc, 3600.0))
            self._say(t_s + soak_s + 8.0, "next")

    # After the last bead.

    def _post_heat(self, cue: Cue) -> None:
        super()._post_heat(cue)
        self._holds_from_s = cue.t_s

    def _look_at_hold(self, t_s: float, shown_c: float) -> None:
        held_s = self._amount("post-heat cut short")
        if held_s is None or self._holds_from_s is None:
            return
        if shown_c >= self._job.postheat.temperature_c - self._job.band.deadband_dc:
            self._holds_from_s = None
            self._say(t_s + held_s, "next")
            self._make("post-heat cut short", t_s, held_s)

    def _bury(self, cue: Cue) -> None:
        self._holds_from_s = None
        super()._bury(cue)
        if "joint.clamps" in self._job.facts and not _CLAMPED & self._faults.keys():
            self._say(cue.t_s + 8.0, "loosened")

    def _covered(self, cue: Cue) -> None:
        super()._covered(cue)
        t_s = cue.t_s
        if "clamps not confirmed loose" in self._faults:
            self._make("clamps not confirmed loose", t_s)
        late_s = self._amount("clamps left on")
        if late_s is not None:
            self._say(t_s + late_s, "loosened")
            self._make("clamps left on", t_s, late_s)
        self._set_furnace(t_s)
        apart_dc = self._amount("channels apart")
        if apart_dc is not None:
            self._wiring.second_dc = along(t_s, 0.0, (apart_dc, 3000.0), (apart_dc, 3600.0))
            self._make("channels apart", t_s, 6600.0)
        if "cooled faster than its cover" in self._faults:
            self._make("cooled faster than its cover", t_s, 12.0 * 3600.0)

    def _set_furnace(self, t_s: float) -> None:
        """Let a furnace lose its heat as slowly as the job asks for; or faster, as planted."""
        cooldown, planted = self._job.cooldown, self._amount("cooled too fast")
        if cooldown.cover != "furnace" or cooldown.max_rate_c_h is None:
            return
        rate_c_h = _FURNACE_SHARE * cooldown.max_rate_c_h if planted is None else planted
        over_dc = self._probe_c() - self._casting.truth.ambient_c
        self._casting.furnace_fall_s = over_dc / rate_c_h * 3600.0
        if planted is not None:
            self._make("cooled too fast", t_s, 3600.0)

    def _change_cover(self) -> None:
        """Make the medium lead heat better than what was said: damp, or stirred by a draught."""
        k_w_mk = self._amount("cooled faster than its cover")
        medium = self._casting.truth.medium
        if k_w_mk is not None and medium is not None:
            medium = replace(medium, k_w_mk=k_w_mk)
            self._casting.truth = replace(self._casting.truth, medium=medium)

    def _look_under_cover(self, t_s: float, shown_c: float) -> None:
        at_c = self._amount("uncovered early")
        if at_c is None or not self._casting.covered or "uncovered early" in self.made:
            return
        if shown_c <= at_c:
            self._say(t_s + 1.0, "uncovered")
            self._make("uncovered early", t_s + 1.0)

    def _uncovered_early(self, cue: Cue) -> None:
        self._casting.lay_bare()
