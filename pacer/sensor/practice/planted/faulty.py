"""A welder with planted faults: which of them is due, and what he has made of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from pacer.job.job import Job
from pacer.sensor.practice.casting import Casting
from pacer.sensor.practice.mishaps import Mishaps
from pacer.sensor.practice.planted.fault import Fault
from pacer.sensor.practice.planted.wiring import Wiring
from pacer.sensor.practice.welder import Doing, Welder
from pacer.session.events import Act, AnyEvent, Deed


class Faulty(Welder):
    """What every planted fault needs: which is due, what he does at a time, what he made."""

    def __init__(
        self, job: Job, casting: Casting, wiring: Wiring, seed: int, faults: Iterable[Fault]
    ) -> None:
        super().__init__(job, casting, seed)
        self._wiring = wiring
        self._faults = {fault.name: fault for fault in faults}
        paused = self._faults.get("not peened")
        # A rhythm can stand still only where nothing tells of the arc.
        self._mishaps = Mishaps(None, None, None, paused.bead if paused else None, noted=True)
        self._bead = 0
        self._busy_s = 0.0
        "Until then he hears nothing."
        self.made: dict[str, tuple[float, float]] = {}
        "From when to when each fault was made, session time in s."

    def _amount(self, name: str) -> float | None:
        fault = self._faults.get(name)
        return None if fault is None else fault.amount

    def _due(self, name: str) -> float | None:
        """Return the amount of a fault of the bead in hand that was not made yet, or None."""
        fault = self._faults.get(name)
        at_bead = fault is not None and fault.bead == self._bead
        return fault.amount if fault is not None and at_bead and name not in self.made else None

    def _make(self, name: str, from_s: float, lasts_s: float = 0.0) -> None:
        self.made[name] = (from_s, from_s + lasts_s)

    def _at(self, t_s: float, do: Callable[[], AnyEvent | None]) -> None:
        self._plan(Doing(round(1000 * t_s), do))

    def _say(self, t_s: float, deed: Deed, text: str | None = None) -> None:
        self._at(t_s, lambda: Act(t_ms=0, deed=deed, by="practice", text=text))

    def _probe_c(self) -> float:
        return self._casting.probe_c
