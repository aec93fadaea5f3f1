"""Checked values to the `Job` record; nothing is judged or defaulted here."""

from __future__ import annotations

import msgspec

from pacer.job.file.fill import Filled
from pacer.job.file.keys import keys
from pacer.job.groove import counted
from pacer.job.job import (
    Band,
    BeadRules,
    Cooldown,
    Filler,
    Heating,
    Job,
    Joint,
    Part,
    Postheat,
    SensorPlace,
)
from pacer.job.order import ordered


def build(filled: Filled) -> Job:
    """Return the job; every key must have a value and all checks must have passed."""
    joint, filler, bead = _joint(filled), _filler(filled), _bead(filled)
    job = Job(
        title=filled["job.title"],
        method=filled["job.method"],
        part=_part(filled),
        joint=joint,
        filler=filler,
        heating=Heating(
            source=filled["heating.with"],
            points=filled["heating.points"],
            max_rate_c_h=filled["heating.max_rate"],
        ),
        band=_band(filled),
        bead=bead,
        postheat=Postheat(
            temperature_c=filled["postheat.temperature"], hold_s=filled["postheat.hold"]
        ),
        cooldown=_cooldown(filled),
        sensor=SensorPlace(url=filled["sensor.url"], distance_m=filled["sensor.distance"]),
        plan=counted(joint, bead, filler.diameter_m),
        origin=filled.origin,
        facts={name: filled[name] for name, key in keys().items() if key.fact and filled.has(name)},
    )
    return msgspec.structs.replace(job, plan=ordered(job))


def _part(filled: Filled) -> Part:
    return Part(
        metal=filled["part.metal"],
        mass_kg=filled["part.mass"],
        size_m=filled["part.size"],
        wall_m=filled["part.wall"],
        service=filled["part.service"],
    )


def _joint(filled: Filled) -> Joint:
    return Joint(
        repair=filled["joint.repair"],
        access=filled["joint.access"],
        crack_length_m=filled["joint.crack_length"],
        tack=filled["joint.tack"],
        ends=filled["joint.ends"],
        preparation=filled["joint.preparation"],
        angle_deg=filled["joint.angle"],
        root_face_m=filled["joint.root_face"],
        depth_m=filled["joint.depth"],
        gap_m=filled["joint.gap"],
        butter=filled["joint.butter"] == "yes",
    )


def _filler(filled: Filled) -> Filler:
    return Filler(
        process=filled["filler.process"],
        designation=filled["filler.designation"],
        diameter_m=filled["filler.diameter"],
        current_a=filled["filler.current"],
        voltage_v=filled["filler.voltage"],
    )


def _band(filled: Filled) -> Band:
    return Band(
        preheat_c=filled["band.preheat"],
        floor_c=filled["band.floor"],
        ceiling_c=filled["band.ceiling"],
        soak_s=filled["band.soak"],
        deadband_dc=filled["band.deadband"],
    )


def _bead(filled: Filled) -> BeadRules:
    return BeadRules(
        length_m=filled["bead.length"],
        travel_m_s=filled["bead.travel"],
        peen_s=filled["bead.peen"],
        peen_within_s=filled["bead.peen_within"],
        hood_down_s=filled["bead.hood_down"],
        hood_up_s=filled["bead.hood_up"],
        look_s=filled["bead.look"],
        peen_runs=filled["bead.peen_runs"],
    )


def _cooldown(filled: Filled) -> Cooldown:
    return Cooldown(
        cover=filled["cooldown.cover"],
        volume_m3=filled["cooldown.volume"],
        thickness_m=filled["cooldown.thickness"],
        ambient_c=filled["cooldown.ambient"],
        until_c=filled["cooldown.until"],
        max_rate_c_h=filled["cooldown.max_rate"],
        max_spread_dc=filled["cooldown.max_spread"],
    )
