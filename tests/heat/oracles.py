"""Closed forms for a perfect conductor cooling in an endless medium.

Nothing here is used by the program. Excess temperature over the medium, start = 1.
`b` is 3 times the heat capacity of the displaced medium over the body's; `tau` is
``alpha t / R^2``; `bi` is ``h R / k`` of the contact.
"""

from __future__ import annotations

import csv
import itertools
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from scipy.integrate import quad
from scipy.special import j0, j1, y0, y1


def sphere(b: float, tau: float) -> float:
    """Return the sphere's excess, perfect contact, by its integral over real frequencies.

    The problem is in Carslaw and Jaeger, ch. XIII (from memory, the book not seen); the
    integral was derived afresh, see heat.md R1.
    """

    def integrand(u: float) -> float:
        return float(u**2 * np.exp(-tau * u**2) / ((u**2 - b) ** 2 + b**2 * u**2))

    near, far = np.sqrt(b), 12.0 / np.sqrt(tau)
    low = quad(integrand, 0.0, near, limit=200, epsabs=1e-13)[0]
    high = quad(integrand, near, max(near, far), limit=400, epsabs=1e-13)[0]
    return float(2.0 * b / np.pi * (low + high))


def sphere_in_contact(b: float, bi: float, tau: float) -> float:
    """Return the sphere's excess behind a contact resistance, by Talbot inversion."""

    def transform(s: complex) -> complex:
        through = 1.0 + np.sqrt(s)
        return complex(1.0 / (s + b * bi * through / (bi + through)))

    return talbot(transform, tau)


def talbot(transform: Callable[[complex], complex], t: float, terms: int = 24) -> float:
    """Invert a Laplace transform at `t` along Talbot's contour (fixed Talbot).

    Good to some 1e-9 for transforms without singularities off the negative real axis.
    """
    r = 2.0 * terms / (5.0 * t)
    total = 0.5 * transform(r) * np.exp(r * t)
    for i in range(1, terms):
        angle = i * np.pi / terms
        cot = 1.0 / np.tan(angle)
        s = complex(r * angle * (cot + 1j))
        weight = 1.0 + 1j * (angle + (angle * cot - 1.0) * cot)
        total = total + np.exp(t * s) * transform(s) * weight
    return float(np.real(total) * r / terms)


def cylinder(alpha: float, beta: float) -> float:
    """Return F(alpha, beta) of the slug test, i.e. a cylinder's excess, by quadrature.

    ``8 alpha/pi^2 Int exp(-beta u^2/alpha) / (u [(u J0 - 2 a J1)^2 + (u Y0 - 2 a Y1)^2]) du``
    (Cooper, Bredehoeft and Papadopulos 1967, from memory). As heat: alpha is the heat
    capacity of the medium over the body's (both a volume), beta = ``k t / (R^2 rho c)`` with the
    body's rho c. Integrated over ln u: most of it lies at very small u.
    """

    def integrand(log_u: float) -> float:
        u = np.exp(log_u)
        real = u * j0(u) - 2.0 * alpha * j1(u)
        imaginary = u * y0(u) - 2.0 * alpha * y1(u)
        return float(np.exp(-beta * u**2 / alpha) / (real**2 + imaginary**2))

    top = np.log(np.sqrt(60.0 * alpha / beta))
    parts = np.linspace(-14.0, top, 25)
    pieces = itertools.pairwise(parts)
    total = sum(quad(integrand, a, b, limit=200, epsabs=1e-12)[0] for a, b in pieces)
    return float(8.0 * alpha / np.pi**2 * total)


def slug_test_table() -> Iterator[tuple[float, float, float]]:
    """Yield (alpha, beta, F) of the published table, beta to full precision.

    The head of `sources/slug_test.csv` tells its status and the entry left out.
    """
    path = Path(__file__).parent / "sources" / "slug_test.csv"
    lines = [x for x in path.read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
    for row in csv.DictReader(lines):
        beta = 10.0 ** (round(3.0 * np.log10(float(row["beta"]))) / 3.0)
        for alpha in (1e-1, 1e-3, 1e-5):
            name = f"alpha_1e{round(np.log10(alpha))}"
            if alpha == 1e-1 and row["beta"] == "0.0464":
                continue
            yield alpha, beta, float(row[name])
