"""Where the probe sits beside where ISO 13916 has the temperature measured."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.job.measuring import iso13916
from pacer.units import Shown

NEAR_M = 0.005
"""So near the standard's distance there is nothing to tell: a probe is some millimetres wide.
Judgement."""


def probe_place(job: Job, shown: Shown) -> str:
    """Return the probe's place and what the standard asks, in one short line."""
    here, wall = shown.length_m(job.sensor.distance_m), shown.length_m(job.part.wall_m)
    asked = iso13916(job.part.wall_m)
    if asked.distance_m is not None:
        there = f"{shown.length_m(asked.distance_m)} for {wall} of wall"
    else:
        there = f"hot for {shown.length_m(asked.band_m or 0.0)} all round, {wall} of wall"
    return f"probe {here} from the joint; ISO 13916: {there}"


def probe_rule(job: Job, shown: Shown) -> str:
    """Return the same with the rule that gives the figure: t is the wall."""
    here, wall = shown.length_m(job.sensor.distance_m), shown.length_m(job.part.wall_m)
    asked, most = iso13916(job.part.wall_m), shown.length_m(0.05)
    if asked.distance_m is not None:
        there = f"{shown.length_m(asked.distance_m)} (4 t, at most {most}; t = {wall})"
    else:
        band = shown.length_m(asked.band_m or 0.0)
        there = f"hot for {band} all round (walls above {most})"
    return f"probe at {here}; ISO 13916: {there}"


def off_the_standard(job: Job) -> bool:
    """True where the probe's place and the standard's differ, or the standard names no place."""
    asked_m = iso13916(job.part.wall_m).distance_m
    return asked_m is None or abs(asked_m - job.sensor.distance_m) > NEAR_M
