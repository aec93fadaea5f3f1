"""A part in sand, vermiculite, a blanket or a furnace: conduction along the outward normal.

The part is one temperature; the medium round it is a stack of shells, each parallel to
the part's convex envelope: ``A(x) = A (1 + (w - 1) exp(-x/l)) + 2 M x + 4 pi x^2``. Close
to the part it is the iron that counts, `w` envelopes of it: a cup is touched inside too, a
plate with holes is not touched there; further than `l` the flow no longer sees that (left
out, a cup's first minutes look like a good conductor and its forecast is 20 % early, a
ring's 25 % late). A furnace is the same with brick for a medium, soaked with heat.
Properties are constant, so the flow is linear: one symmetric eigenproblem gives the
curve at all times at once, for many parameter sets together.

Properties do change with temperature: hot vermiculite conducts better, hot iron holds
more. Both speed up or slow down the whole flow, so they are taken as a clock that runs
``exp(q (T - T_mid))`` times as fast while the part is at T; the flow on that clock stays linear.
Without it a blanket's forecast is some 10 % early, which is the dangerous side.

Not modelled: moisture, sand that is opened or shifts, convection in coarse vermiculite.
Against a two-dimensional truth with the same properties the shape simplification costs
under 1.5 °C for plates up to four hours.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from pacer.heat.part import steiner_m

Floats = npt.NDArray[np.float64]

CELLS = 24
GROWTH = 1.22
"12 cells are 10 °C wrong in the first ten minutes, 22 within 0.5 °C of the exact sphere."

NODES = 1 + CELLS
_HERE = np.arange(NODES)
_STEPS = np.concatenate([[0.0], np.cumsum(GROWTH ** np.arange(CELLS))])
_FACES = _STEPS / _STEPS[-1]
_DEPTHS = 0.5 * (_FACES[1:] + _FACES[:-1])
"Faces and middles of the shells as a share of the medium's depth."

K, RHO_CP, CONTACT, HEAT, AREA, EXTENT = range(6)
OUTER, START, MEDIUM_START, AMBIENT, QUICKENING = range(6, 11)
TOUCH, CLOSING, SOAKED = range(11, 14)
"""Columns of a parameter array, as `prior` orders them.

`TOUCH` is w, `CLOSING` l (m), `SOAKED` see `start_excess_dc`; `EXTENT` is the medium's volume
(m3) or, where it is a layer, its thickness (m).
"""

CLOCK_S = np.concatenate([[0.0], np.geomspace(30.0, 4e6, 71)])
"Where the two clocks are compared, s; a step of 18 % changes the rate by some 1 %."


@dataclass(frozen=True, eq=False)
class Modes:
    """Cooling curves as sums of decaying exponentials, one row a parameter set."""

    ambient_c: Floats
    "(sets,)"
    rate_1_s: Floats
    "(sets, modes)"
    weight_dc: Floats
    "(sets, modes)"
    clock_s: Floats | None = None
    "(sets, steps): real time at each `CLOCK_S` of the linear flow; None: the same."

    def at(self, times_s: Floats) -> Floats:
        """Return the part's temperature, °C, shape (sets, times).

        `times_s` is (times,) for all sets or (sets, times).
        """
        if self.clock_s is None:
            return self._linear(times_s)
        wanted = np.broadcast_to(times_s, (len(self.clock_s), times_s.shape[-1]))
        rows = zip(wanted, self.clock_s, strict=True)
        return self._linear(np.array([np.interp(t, real_s, CLOCK_S) for t, real_s in rows]))

    def _linear(self, times_s: Floats) -> Floats:
        times = times_s[:, :, None] if times_s.ndim == 2 else times_s[None, :, None]
        # Cut where nothing is left: exponents beyond it are slow, subnormal numbers.
        decay = np.exp(np.maximum(-self.rate_1_s[:, None, :] * times, -60.0))
        return self.ambient_c[:, None] + (decay @ self.weight_dc[:, :, None])[:, :, 0]

    def clocked(self, quickening: Floats, middle_c: Floats) -> Modes:
        """Return these curves on the real clock, for ``q`` and ``T_mid`` of each set."""
        above_dc = np.clip(self._linear(CLOCK_S) - middle_c[:, None], -1000.0, 1000.0)
        slowness = np.exp(-np.clip(quickening[:, None] * above_dc, -1.0, 1.0))
        pieces = 0.5 * (slowness[:, 1:] + slowness[:, :-1]) * np.diff(CLOCK_S)
        real_s = np.concatenate([np.zeros((len(pieces), 1)), np.cumsum(pieces, axis=1)], axis=1)
        return replace(self, clock_s=real_s)


def depth_m(area_m2: Floats, steiner: Floats, volume_m3: Floats) -> Floats:
    """Return x with ``A x + M x^2 + 4/3 pi x^3 = V`` by Newton from above (convex: safe)."""
    third = 4.0 / 3.0 * np.pi
    x = np.minimum(volume_m3 / area_m2, np.cbrt(volume_m3 / third))
    for _ in range(8):
        excess = ((third * x + steiner) * x + area_m2) * x - volume_m3
        x = x - excess / ((3.0 * third * x + 2.0 * steiner) * x + area_m2)
    return x


def _shells(params: Floats, shape: float, blanket: bool) -> tuple[Floats, Floats]:
    """Return heat capacities and conductances of the shells, part's side first.

    Conductance j lies before shell j, one more joins the last shell to the room.
    """
    area = params[:, AREA]
    steiner = np.sqrt(area) * steiner_m(1.0, shape)
    reach = params[:, EXTENT] if blanket else depth_m(area, steiner, params[:, EXTENT])
    faces = reach[:, None] * _FACES
    middles = 0.5 * (faces[:, 1:] + faces[:, :-1])

    more = (area * (params[:, TOUCH] - 1.0))[:, None]
    closing = params[:, CLOSING, None]

    def area_at(x: Floats) -> Floats:
        open_area = more * np.exp(-x / closing)
        return area[:, None] + 2.0 * steiner[:, None] * x + 4.0 * np.pi * x**2 + open_area

    def volume_at(x: Floats) -> Floats:
        whole = ((4.0 / 3.0 * np.pi * x + steiner[:, None]) * x + area[:, None]) * x
        return whole - more * closing * np.expm1(-x / closing)

    def resistance(a: Floats, b: Floats) -> Floats:
        # Simpson: dx/A(x) over one step, where A changes by some 20 % at most.
        mean = (1.0 / area_at(a) + 4.0 / area_at(0.5 * (a + b)) + 1.0 / area_at(b)) / 6.0
        return (b - a) * mean / params[:, K, None]

    points = np.concatenate([faces[:, :1], middles, faces[:, -1:]], axis=1)
    between = resistance(points[:, :-1], points[:, 1:])
    between[:, 0] += 1.0 / (params[:, CONTACT] * params[:, TOUCH] * area)
    between[:, -1] += 1.0 / (params[:, OUTER] * area_at(faces[:, -1:])[:, 0])
    shells = params[:, RHO_CP, None] * np.diff(volume_at(faces), axis=1)
    return shells, 1.0 / between


def network(params: Floats, shape: float, blanket: bool = False) -> tuple[Floats, Floats]:
    """Return heat capacities (J/K) and conductances (W/K), shape (sets, `NODES`) each.

    Node 0 is the part, then the shells; conductance j lies between node j and the next one
    out, the last joins the room. Parameters as in `modes`.
    """
    shells, joint = _shells(params, shape, blanket)
    return np.concatenate([params[:, HEAT, None], shells], axis=1), joint


def bands(heat: Floats, joint: Floats) -> tuple[Floats, Floats]:
    """Return diagonal (sets, `NODES`) and side diagonal of the symmetric decay matrix, 1/s."""
    out = joint.copy()
    out[:, 1:] += joint[:, :-1]
    return out / heat, -joint[:, :-1] / np.sqrt(heat[:, 1:] * heat[:, :-1])


def modes_of(diagonal: Floats, side: Floats) -> tuple[Floats, Floats]:
    """Return decay rates (sets, `NODES`) and eigenvectors (sets, `NODES`, `NODES`)."""
    matrix = np.zeros((*diagonal.shape, NODES))
    matrix[:, _HERE, _HERE] = diagonal
    # Only the lower triangle is read.
    matrix[:, _HERE[1:], _HERE[:-1]] = side
    rate, vector = np.linalg.eigh(matrix)
    return np.maximum(rate, 0.0), vector


def modes(params: Floats, shape: float, blanket: bool = False) -> Modes:
    """Return the cooling curves of `params`, shape (sets, 14) in the order named above.

    Parameters are in SI units and °C, logarithms already taken off. `shape` is
    ``S / sqrt(A)``; with `blanket` the extent is a thickness, else the medium's volume.
    """
    heat, joint = network(params, shape, blanket)
    rate, vector = modes_of(*bands(heat, joint))
    root = np.sqrt(heat)
    share = np.einsum("snm,sn->sm", vector, root * start_excess_dc(params))
    weight = share * vector[:, 0, :] / root[:, 0, None]
    linear = Modes(params[:, AMBIENT], rate, weight)
    if not np.any(params[:, QUICKENING]):
        return linear
    return linear.clocked(params[:, QUICKENING], middle_c(params))


def start_excess_dc(params: Floats) -> Floats:
    """Return how far each node is above ambient at the start, °C, (sets, `NODES`).

    The medium is as cold as it came, plus what has soaked into it while the part was hot
    already: falling evenly to nothing at its outside. Only a furnace is soaked.
    """
    part = (params[:, START] - params[:, AMBIENT])[:, None]
    came = (params[:, MEDIUM_START] - params[:, AMBIENT])[:, None]
    medium = came + params[:, SOAKED, None] * part * (1.0 - _DEPTHS)
    return np.concatenate([part, medium], axis=1)


def middle_c(params: Floats) -> Floats:
    """Return the temperature at which the clock runs true, °C, (sets,)."""
    return np.asarray(0.5 * (params[:, START] + params[:, AMBIENT]), dtype=np.float64)


def temperatures(params: Floats, times_s: Floats, shape: float, blanket: bool = False) -> Floats:
    """Return the part's temperature, °C, shape (sets, times); see `modes`."""
    return modes(params, shape, blanket).at(times_s)
