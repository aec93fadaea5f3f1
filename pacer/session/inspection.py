"""What one look at a finished repair is made of; the event itself is `events.Inspection`.

SI units and °C. Short names are kept as they are on disk: guide/recording.md must change with
this file.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Look = Literal[
    "visual",
    "penetrant",
    "ring",
    "leak",
    "grinding",
    "pinholes",
    "back side",
    "proof load",
]
"""One way of looking at a repair; each sees some things and is blind to others."""

Looked = Literal["nothing found", "imperfections found", "not judged"]
"""What a look came to; none of them is a verdict on the part."""

RingHeard = Literal["clear", "dull"]


class Imperfection(msgspec.Struct, frozen=True, omit_defaults=True):
    """One imperfection that a look found: "not as it should be", not yet judged."""

    number: int
    "By ISO 6520-1, such as 1046; trade/imperfections.toml has those that are known here."
    name: str
    "Its name when it was written down, so that the record can be read without the table."
    bead: int | None = None
    "Number of the bead it is at."
    place: str = ""
    "Where it is, in words, cleaned."
    size_m: float | None = None
    "Its longest extent."


class Penetrant(msgspec.Struct, frozen=True, omit_defaults=True):
    """How a penetrant test was done (rows N01 to N14 of the trade's facts)."""

    surface_c: float | None = None
    "Temperature of the surface while the penetrant stood on it."
    dwell_s: float | None = None
    "For so long it stood there."
    developer_s: float | None = None
    "From the developer being dry to the look."
    maker_s: float | None = None
    "Least dwell that the penetrant's maker gives at room temperature."
    product: str = ""
    "Product family of penetrant, remover and developer, cleaned."
    from_service: bool | None = None
    "True: looked for cracks that came in service, which take the penetrant slowly."


class Proof(msgspec.Struct, frozen=True, omit_defaults=True):
    """A load put on by hand, and the section it bent; the stress is computed by whoever reads."""

    load_n: float | None = None
    "The load put on."
    arm_m: float | None = None
    "From where the load acts to the section that is looked at."
    width_m: float | None = None
    "Of a rectangular section: across the bending."
    height_m: float | None = None
    "Of a rectangular section: along the load."
    diameter_m: float | None = None
    "Of a round section."
    held_s: float | None = None
    "For so long it was held."
    grade: str = ""
    "Grade of the iron as it is known, such as `GJL-250`, cleaned."
