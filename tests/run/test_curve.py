"""A curve drawn for any stretch keeps its extremes and its gaps, however many points there are."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.run import curve as curve_module
from pacer.run.curve import Curve
from pacer.session.track import Believed


@dataclass
class _At:
    """What `Curve.add` looks at of a state."""

    t_s: float
    temp_c: float | None


@pytest.fixture(autouse=True)
def _believes(monkeypatch: pytest.MonkeyPatch) -> None:
    def believed(state: _At, t_s: float) -> Believed | None:
        return None if state.temp_c is None else Believed(state.temp_c, t_s, False, math.inf)

    monkeypatch.setattr(curve_module, "believed", believed)


def _of(temps: list[float | None]) -> Curve:
    curve = Curve()
    for t_s, temp_c in enumerate(temps):
        curve.add(_At(float(t_s), temp_c))  # type: ignore[arg-type]
    return curve


def test_a_bead_of_seconds_is_still_seen_in_a_day() -> None:
    """One second at 400 °C among 86,400: its part's hottest is drawn."""
    temps: list[float | None] = [20.0] * 86_400
    temps[50_000] = 400.0
    drawn = _of(temps).between(0.0, 86_400.0, 400)
    assert (50_000.0, 400.0) in drawn
    assert len(drawn) <= 800


def test_a_closer_look_has_every_second() -> None:
    """And one point beside each end, so that the line reaches the edges."""
    drawn = _of([float(t_s) for t_s in range(1000)]).between(500.0, 510.0, 400)
    assert drawn == tuple((float(t), float(t)) for t in range(499, 512))


@given(st.lists(st.one_of(st.none(), st.integers(0, 900).map(float)), min_size=1, max_size=300))
def test_no_gap_is_bridged_and_no_extreme_lost(temps: list[float | None]) -> None:
    """Thinned to a few parts: points are of the recording, in order, and the ends of its range."""
    drawn = _of(temps).between(0.0, float(len(temps)), 5)
    known = [temp_c for temp_c in temps if temp_c is not None]
    times = [t_s for t_s, _ in drawn]
    assert times == sorted(times)
    assert all(temps[int(t_s)] == temp_c for t_s, temp_c in drawn)
    drawn_c = [temp_c for _, temp_c in drawn if temp_c is not None]
    assert (min(drawn_c, default=None), max(drawn_c, default=None)) == (
        min(known, default=None),
        max(known, default=None),
    )
    for (a_s, a_c), (b_s, b_c) in pairwise(drawn):
        if a_c is not None and b_c is not None:
            assert None not in temps[int(a_s) : int(b_s)]
