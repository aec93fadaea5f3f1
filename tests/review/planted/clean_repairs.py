"""Repairs without a fault: the review must have no finding above a note of them."""

from __future__ import annotations

from typing import Any

from kinds import job

from pacer.job.job import Job

COVERS: dict[str, tuple[tuple[str, Any], ...]] = {
    "dry sand": (("cooldown.volume", "25 l"),),
    "vermiculite": (("cooldown.cover", "vermiculite"), ("cooldown.volume", "25 l")),
    "ceramic blanket": (
        ("cooldown.cover", "ceramic blanket"),
        ("cooldown.volume", None),
        ("cooldown.thickness", "50 mm"),
    ),
    "still air": (("cooldown.cover", "still air"), ("cooldown.volume", None)),
    "furnace": (("cooldown.cover", "furnace"), ("cooldown.volume", None)),
}
"""A good burial in each."""

SHAPES: dict[str, tuple[tuple[str, Any], ...]] = {
    "thin": (
        ("part.size", ("200 mm", "150 mm", "10 mm")),
        ("part.mass", "2.1 kg"),
    ),
    "compact": (
        ("part.size", ("110 mm", "90 mm", "48 mm")),
        ("part.mass", "3.4 kg"),
        ("part.wall", "48 mm"),
        ("joint.root_face", "43 mm"),
        # The practice grill can't bring a block with so much rim to its preheat.
        ("heating.with", "torch"),
    ),
}


def buried(cover: str, shape: str) -> Job:
    """Return a job of a part of this shape, left in this cover until bare hands may touch it."""
    return job(*COVERS[cover], *SHAPES[shape], ("cooldown.until", "40 degC"))
