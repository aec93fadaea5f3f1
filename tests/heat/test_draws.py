"""The fixed table of draws."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from pacer.heat.draws import PAIRS, _inverse_normal, normals


@pytest.mark.parametrize("columns", [4, 7, 14])
def test_draws_have_mean_0_variance_1_and_no_correlation(columns: int) -> None:
    """What makes the interval that of the fitted normal."""
    table = normals(columns)

    assert table.shape == (2 * PAIRS, columns)
    assert table.mean(axis=0) == pytest.approx(np.zeros(columns), abs=1e-12)
    assert table.T @ table / len(table) == pytest.approx(np.eye(columns), abs=1e-9)


@pytest.mark.parametrize("columns", [4, 7, 14])
def test_draws_along_any_direction_have_normal_tails(columns: int) -> None:
    """10 % and 90 % of random combinations: within 0.25 sd of 1.28 on average 0.1."""
    directions = np.random.default_rng(1).normal(size=(200, columns))
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    upper = np.quantile(normals(columns) @ directions.T, 0.9, axis=0)

    assert np.max(np.abs(upper - 1.2816)) < 0.35
    assert np.mean(upper) == pytest.approx(1.2816, abs=0.1)


def test_the_inverse_normal_is_that_of_a_published_library() -> None:
    """`scipy.stats.norm.ppf`."""
    for share in (1e-6, 0.1, 0.5, 0.77, 0.999):
        assert _inverse_normal(share) == pytest.approx(float(norm.ppf(share)), abs=1e-9)


def test_the_table_cannot_be_written_over() -> None:
    """It is shared: a change would change every later forecast."""
    with pytest.raises(ValueError, match="read-only"):
        normals(4)[0, 0] = 9.0
