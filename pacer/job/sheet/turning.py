"""When a part that is welded from both sides is turned over, and how its places lie then."""

from __future__ import annotations

from itertools import pairwise

from pacer.job.job import Job
from pacer.job.layers import layers


def turning(job: Job) -> str:
    """Return after which runs the part is turned over; empty where it never is."""
    if job.joint.access != "both sides":
        return ""
    runs = [before.last for before, after in pairwise(layers(job)) if before.side != after.side]
    if not runs:
        return "Turn over after the root."
    return f"Turn over after run{'s' if len(runs) > 1 else ''} {', '.join(map(str, runs))}."


def mirrored(job: Job) -> str:
    """Return how the places lie once the part is turned over."""
    if job.joint.repair == "patch":
        return (
            "Turned about the line from left to right, left stays left and top is below: seen "
            "from there the places go round the other way, counter-clockwise."
        )
    return "Turned about the joint's length, left stays left."
