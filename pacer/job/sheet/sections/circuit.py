"""The sensor as a part of the welding circuit: what disturbs a reading, and what does not."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.job.sheet.making import MEMORY, PRACTICE
from pacer.job.sheet.records import Step
from pacer.units import Shown

FELL_DC, FELL_WITHIN_S = 20.0, 10.0
"""A step down of so much so soon after peening asks whether the probe is still on, K and s;
the session's own rule."""
_BY_HAND = ("hand:", "practice:")


def circuit(job: Job, shown: Shown) -> Iterator[Step]:
    """Yield how the sensor is kept out of the welding circuit and how its readings are taken.

    Source: procedure notes of the project, from memory and common practice. A thermometer read
    by hand is in no circuit, but peening shakes it loose as well.
    """
    if not job.sensor.url.startswith(_BY_HAND):
        start = ", high-frequency start off where possible" if job.filler.process == "141" else ""
        yield Step(
            "The sensor is part of the welding circuit: insulated junction or isolated converter, "
            f"work clamp near the joint{start} (Cautions; pacer guide wiring).",
            MEMORY + PRACTICE,
        )
        yield Step(
            'An offset or a hum that comes and goes with the arc is "arc in the reading" and no '
            "temperature.",
            MEMORY + PRACTICE,
        )
    if job.bead.peen_s > 0.0:
        yield Step(
            f"Peening knocks clamped sensors off: after a step down of more than "
            f"{shown.temp_dc(FELL_DC)} within {shown.duration(FELL_WITHIN_S)} of peening the "
            "session asks whether the probe is still on.",
            MEMORY + PRACTICE,
        )
