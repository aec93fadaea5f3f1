"""What is believed of a cool-down before its first reading.

A `Prior` is plain numbers and words. Its label and numbers stand in the recording's head: a
forecast asked for later comes from today's file, and `VERSION` tells whether that is the same.
Every parameter is normal; those that can't be negative are normal in their logarithm
(names beginning with ``ln``), where an sd of 0.3 means 30 %.

The numbers follow published values where there are any (beside each); where there are
none they say "estimate". Standard library only: the fold keeps a `Prior`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pacer.heat.lumped import heat_capacity_j_kgk
from pacer.heat.part import CoolingPart, Cover, shape_constant

ModelName = Literal["buried", "wrapped", "still air", "furnace", "any body"]

VERSION = 2
"Rises whenever a model or a prior below changes, so that old forecasts can be told apart."


@dataclass(frozen=True)
class Prior:
    """A cooling model and what is believed of its parameters."""

    model: ModelName
    names: tuple[str, ...]
    "One a parameter; those beginning with `ln` are logarithms."
    mean: tuple[float, ...]
    sd: tuple[float, ...]
    shape: float
    "S / sqrt(A) of a covered part, m/m; mass in kg of a bare one; 0 for any body."
    ambient_c: float
    start_c: float
    version: int = VERSION

    @property
    def label(self) -> str:
        """Model and version in one word, as recordings and `--json` name them."""
        return f"{self.model.replace(' ', '-')}/{self.version}"


@dataclass(frozen=True)
class _Medium:
    """A covering medium: median and relative sd of each property."""

    k_w_mk: tuple[float, float]
    rho_cp_j_m3k: tuple[float, float]
    contact_w_m2k: tuple[float, float]
    quickening_1_dc: tuple[float, float]
    """How much faster heat flows for each degree the part is hotter, and its sd.

    Half the relative slope of k (half of the part's excess is the medium's), less that of
    the iron's specific heat, 0.0008 (see `lumped`), as far as the iron holds the heat.
    """
    start_sd_dc: float
    "How far its temperature at the start may be from ambient: sand is re-used warm."

    @property
    def rows(self) -> list[tuple[str, float, float]]:
        """Name, mean and sd of its first three parameters."""
        return [
            ("ln k_w_mk", math.log(self.k_w_mk[0]), self.k_w_mk[1]),
            ("ln rho_cp_j_m3k", math.log(self.rho_cp_j_m3k[0]), self.rho_cp_j_m3k[1]),
            ("ln contact_w_m2k", math.log(self.contact_w_m2k[0]), self.contact_w_m2k[1]),
        ]


_MEDIA = {
    # k: dry silica sand beds 0.17-0.46 W/mK, 1180-1460 kg/m3, 25-85 °C (abstract of a
    # paper in High Temperatures-High Pressures 35/36, SEEN-S): their geometric
    # middle is 0.28, a little more for sand hotter than that; single values elsewhere 0.25
    # (SEEN-S) and 0.27 (from memory). c 830 J/kgK (SEEN-S). Contact: an air gap of 0.2 mm (estimate). k rises 0.1 % a degree (estimate);
    # half the heat is in the sand.
    # rho c holds the spread of the densities, 12 %, and some moisture.
    "dry sand": _Medium((0.29, 0.28), (1550.0 * 850.0, 0.15), (150.0, 0.6), (0.0002, 0.0003), 3.0),
    # k: loose 0.063-0.074 W/mK cold (abstract SEEN-S; ASHRAE rows in `ht`, SEEN-P), more
    # when hot: about double at 300 °C (one page, SEEN-S). Contact: gap 0.5 mm (estimate).
    "vermiculite": _Medium(
        (0.090, 0.30), (115.0 * 1000.0, 0.30), (60.0, 0.6), (0.0007, 0.0003), 3.0
    ),
    # From memory; a pottery page gives 0.035-0.063 W/mK at 427 °C (SEEN-S, looks low).
    "ceramic blanket": _Medium(
        (0.060, 0.30), (100.0 * 900.0, 0.30), (40.0, 0.7), (0.0007, 0.0003), 3.0
    ),
}

_MEDIUM_WARMER_DC = 2.0
"""Sand is warmed, or warm from the last job; colder than the shop it hardly is (estimate).

Late is the safe side: a degree is 4 % of the time in sand.
"""

_OUTER_W_M2K, _OUTER_SD = 8.0, 0.30
"Loss from the box or blanket to the room (estimate: natural convection and radiation)."
_VOLUME_SD, _THICKNESS_SD, _NOT_GIVEN_SD = 0.18, 0.20, 0.60
"The box as told (15 %, and its layer isn't even), the blanket as told, either not told (estimates)."
_AREA_SD, _AREA_SD_MASS_ONLY, _TOUCH_SD = 0.15, 0.45, 0.15
"""Envelope from sizes and mass (outline 8 %, sizes 7 %, mass and wall 11 %, shape), or from
mass and wall alone; iron the medium touches over envelope (estimates)."""
_CHAMBER_M2 = 0.6
"Inner face of a small furnace (estimate)."
_HEAT_SD = 0.10
_START_SD_DC, _AMBIENT_SD_DC = 12.0, 1.5


def prior(part: CoolingPart, cover: Cover, ambient_c: float, start_c: float) -> Prior:
    """Return the prior of `part` cooling in `cover` from `start_c`.

    After the part was uncovered, ask again with ``Cover("still air")`` and its
    temperature then: digging it out starts the heat flow anew.
    """
    if cover.name == "still air":
        return _bare(part, ambient_c, start_c)
    if cover.name == "furnace":
        return _furnace(part, ambient_c, start_c)
    return _covered(part, cover, ambient_c, start_c)


def _covered(part: CoolingPart, cover: Cover, ambient_c: float, start_c: float) -> Prior:
    medium = _MEDIA[cover.name]
    buried = cover.name != "ceramic blanket"
    # The mean over the fall to room temperature: one number for a linear model.
    heat_j_k = part.mass_kg * heat_capacity_j_kgk(0.5 * (start_c + ambient_c))
    extent = cover.medium_volume_m3(part) if buried else cover.blanket_m()
    given = cover.volume_m3 is not None if buried else cover.thickness_m is not None
    area_sd = _AREA_SD if part.size_m is not None else _AREA_SD_MASS_ONLY
    rows = [
        *medium.rows,
        ("ln heat_j_k", math.log(heat_j_k), _HEAT_SD),
        ("ln area_m2", math.log(part.envelope_area_m2), area_sd),
        (
            "ln medium_m3" if buried else "ln blanket_m",
            math.log(extent),
            (_VOLUME_SD if buried else _THICKNESS_SD) if given else _NOT_GIVEN_SD,
        ),
        ("ln outer_w_m2k", math.log(_OUTER_W_M2K), _OUTER_SD),
        ("start_c", start_c, _START_SD_DC),
        ("medium_start_c", ambient_c + _MEDIUM_WARMER_DC, medium.start_sd_dc),
        ("ambient_c", ambient_c, _AMBIENT_SD_DC),
        ("quickening_1_dc", *medium.quickening_1_dc),
        # A blanket bridges hollows and holes.
        ("ln touch", math.log(part.touch) if buried else 0.0, _TOUCH_SD if buried else 0.10),
        ("ln closing_m", math.log(part.closing_m), 0.5),
        ("soaked", 0.0, 0.0),
    ]
    shape = shape_constant(part.thin_ratio)
    return _of("buried" if buried else "wrapped", rows, shape, ambient_c, start_c)


def _bare(part: CoolingPart, ambient_c: float, start_c: float) -> Prior:
    # The wall at the joint stands for the whole part, hence 25 %.
    rows = [
        ("ln area_m2", math.log(part.plate_area_m2), 0.25),
        ("ln convection", 0.0, 0.30),
        # Emissivity 0.75 with 0.55-0.95 as the range of the tables named in `lumped`.
        ("ln emissivity", math.log(0.75), 0.15),
        ("start_c", start_c, 6.0),
        ("ambient_c", ambient_c, _AMBIENT_SD_DC),
        # Free convection 1/4; a draught makes it 0 (textbook powers, the spread an estimate).
        ("film_power", 0.25, 0.15),
    ]
    return _of("still air", rows, part.mass_kg, ambient_c, start_c)


def _furnace(part: CoolingPart, ambient_c: float, start_c: float) -> Prior:
    # A chamber of brick left shut (all estimates: nobody is asked about the furnace). Light
    # or dense brick is a factor of 5 in conductivity and 3 in heat capacity.
    heat_j_k = part.mass_kg * heat_capacity_j_kgk(0.5 * (start_c + ambient_c))
    film_w_k = part.plate_area_m2 * 16.0
    rows = [
        ("ln k_w_mk", math.log(0.35), 0.60),
        ("ln rho_cp_j_m3k", math.log(1.0e6), 0.50),
        # From the part to the chamber's inner face, radiation and air.
        ("ln contact_w_m2k", math.log(film_w_k / _CHAMBER_M2), 0.80),
        ("ln heat_j_k", math.log(heat_j_k), 0.20),
        ("ln area_m2", math.log(_CHAMBER_M2), 0.50),
        ("ln lining_m", math.log(0.10), 0.35),
        ("ln outer_w_m2k", math.log(10.0), 0.35),
        ("start_c", start_c, _START_SD_DC),
        ("medium_start_c", ambient_c, 3.0),
        ("ambient_c", ambient_c, 2.0),
        ("quickening_1_dc", 0.0003, 0.0005),
        ("ln touch", 0.0, 0.05),
        ("ln closing_m", math.log(0.01), 0.05),
        ("soaked", 0.75, 0.25),
    ]
    return _of("furnace", rows, shape_constant(0.5), ambient_c, start_c)


def any_body(prior: Prior, time_s: float) -> Prior:
    """Return what is believed of a body that isn't the one `prior` tells of.

    `time_s` is when the curve of `prior` has some 1/e of its excess left.
    """
    # All estimates: a factor of 4 either way in time; from quickening to a power law.
    rows = [
        ("ln time_s", math.log(time_s), 1.5),
        ("slowing", 0.3, 0.4),
        ("ln quick", math.log(0.15), 1.3),
        ("ln ratio", math.log(6.0), 0.8),
        ("start_c", prior.start_c, _START_SD_DC),
        ("ambient_c", prior.ambient_c, 3.0),
    ]
    return _of("any body", rows, 0.0, prior.ambient_c, prior.start_c)


def _of(
    model: ModelName,
    rows: list[tuple[str, float, float]],
    shape: float,
    ambient_c: float,
    start_c: float,
) -> Prior:
    names, mean, sd = zip(*rows, strict=True)
    return Prior(model, names, mean, sd, shape, ambient_c, start_c)
