"""How many beads a groove needs: its area and volume, the runs that fill it, the places along it.

Areas are plane geometry; the bead's cross-section is an estimate (row A01 of the trade
tables, calculated, no published figure). Beads are counted, not strength. What the groove
looks like is `outline.py`'s.
"""

from __future__ import annotations

import math

from pacer.job.job import BeadPlan, BeadRules, Joint, Preparation
from pacer.trade.rows import row

CAP_SHARE = 0.1
"Weld metal above the surface, as a share of the groove (common practice, no source)."
ROOT_RADIUS_M = 0.004
"Of a U groove, or half its depth if that is less (common practice, no source)."
_LEAST_MM2, _MOST_MM2 = 2.0, 25.0


def groove_area_m2(
    preparation: Preparation, angle_deg: float, depth_m: float, gap_m: float = 0.0
) -> float:
    """Return the cross-section of the opened groove without cap and root face, m².

    V: ``d² tan(a/2)``; double V: two of half the depth; U: a round root of radius r with
    walls tangent to it; square: gap times depth; fillet weld: ``z² sin(a)/2`` with legs z.

    >>> round(groove_area_m2("single-V", 60.0, 0.010) * 1e6, 1)
    57.7
    """
    half = math.radians(angle_deg) / 2.0
    gap_m2 = gap_m * depth_m
    if preparation == "single-V":
        return depth_m**2 * math.tan(half) + gap_m2
    if preparation == "double-V":
        return depth_m**2 * math.tan(half) / 2.0 + gap_m2
    if preparation == "fillet weld":
        return depth_m**2 * math.sin(2.0 * half) / 2.0 + gap_m2
    if preparation == "square":
        return gap_m2
    return _u_area_m2(half, depth_m) + gap_m2


def _u_area_m2(half: float, depth_m: float) -> float:
    r = min(ROOT_RADIUS_M, depth_m / 2.0)
    sine, cosine = math.sin(half), math.cos(half)
    # The round root ends where the wall is tangent to it, r sin(half) below its centre.
    root = r * r * (math.pi / 2.0 - half - sine * cosine)
    above, below = depth_m - r, -r * sine
    walls = 2.0 * r / cosine * (above - below) + (above**2 - below**2) * math.tan(half)
    return root + walls


def groove_volume_m3(joint: Joint) -> float:
    """Return the volume of the opened groove over the joint's length, without cap, m³."""
    area_m2 = groove_area_m2(joint.preparation, joint.angle_deg, joint.depth_m, joint.gap_m)
    return area_m2 * joint.crack_length_m


def weld_volume_m3(joint: Joint) -> float:
    """Return the volume of weld metal, cap included, m³."""
    return weld_area_m2(joint) * joint.crack_length_m


def bead_section_m2(diameter_m: float, travel_m_s: float) -> float:
    """Return the cross-section of one bead, m², scaled from row A01.

    ``6.5 mm² (d / 2.5 mm)² (120 mm/min / v)``, kept between 2 and 25 mm²: more rod
    melts with a thicker core, and it is spread thinner by faster travel.
    """
    low, high = section_range_m2(diameter_m, travel_m_s)
    return (low + high) / 2.0


def section_range_m2(diameter_m: float, travel_m_s: float) -> tuple[float, float]:
    """Return the least and greatest likely cross-section of one bead, m²."""
    known = row("beads", "A01").values
    scale = (diameter_m * 1e3 / known["diameter_mm"]) ** 2
    scale *= known["travel_mm_min"] / (travel_m_s * 60e3)
    low, high = known["section_mm2"]
    return (
        min(max(low * scale, _LEAST_MM2), _MOST_MM2) * 1e-6,
        min(max(high * scale, _LEAST_MM2), _MOST_MM2) * 1e-6,
    )


def runs_for(weld_m2: float, section_m2: float) -> int:
    """Return how many runs of a cross-section fill an area; at least one."""
    return max(1, math.ceil(round(weld_m2 / section_m2, 6)))


def weld_area_m2(joint: Joint) -> float:
    """Return the cross-section of weld metal, cap and the gap between root faces included, m²."""
    area_m2 = groove_area_m2(joint.preparation, joint.angle_deg, joint.depth_m, joint.gap_m)
    return area_m2 * (1.0 + CAP_SHARE) + joint.gap_m * joint.root_face_m


def counted(joint: Joint, bead: BeadRules, diameter_m: float) -> BeadPlan:
    """Return runs and places for a joint, one bead and its rod; the order is `order.py`'s."""
    places = max(1, math.ceil(round(joint.crack_length_m / bead.length_m, 6)))
    runs = runs_for(weld_area_m2(joint), bead_section_m2(diameter_m, bead.travel_m_s))
    return BeadPlan(runs, places, tuple(range(places)))
