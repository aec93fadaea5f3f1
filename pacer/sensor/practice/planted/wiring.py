"""What lies between probe and instrument: an open circuit, a probe knocked off, a second channel."""

from __future__ import annotations

from pacer.sensor.practice.planted.course import Course
from pacer.sensor.practice.truth import stream

_SECOND_NOISE_DC = 0.3


class Wiring:
    """Makes of what the probe would show what the instrument gets; as it is, unless planted."""

    def __init__(self, seed: int, *, channels: int = 1) -> None:
        self.channels = channels
        self._chance = stream(seed, "second probe")
        self.open_s = (0.0, 0.0)
        "From when to when the circuit is open."
        self.off_dc: Course | None = None
        "What the probe shows above the place it was fixed to."
        self.second_dc: Course | None = None
        "What the second place is hotter than the first."

    def temps_c(self, t_s: float, shown_c: float) -> tuple[float, ...] | None:
        """Return what each channel shows, °C; None while the circuit is open."""
        if self.open_s[0] <= t_s < self.open_s[1]:
            return None
        first_c = shown_c + _added(self.off_dc, t_s)
        if self.channels == 1:
            return (first_c,)
        noise_dc = self._chance.gauss(0.0, _SECOND_NOISE_DC)
        return first_c, shown_c + _added(self.second_dc, t_s) + noise_dc


def _added(course: Course | None, t_s: float) -> float:
    return 0.0 if course is None else course.at(t_s) or 0.0
