"""The two distributions against a general library."""

from __future__ import annotations

import pytest
from scipy.stats import chi2 as chi2_distribution
from scipy.stats import norm

from tarebook.reduction.joint.distributions import (
    NORMAL_95,
    chance_below_zero,
    chi2_tail,
    normal_estimate,
)


@pytest.mark.parametrize("dof", [1, 2, 3, 7, 15, 16, 40, 400, 4001])
@pytest.mark.parametrize("chi2", [0.0, 0.3, 5.0, 17.0, 80.0, 3000.0, 4000.0])
def test_chi2_tail_against_scipy(chi2: float, dof: int) -> None:
    """Rows of any length: a series of 2000 runs too."""
    expected = float(chi2_distribution.sf(chi2, dof))
    assert chi2_tail(chi2, dof) == pytest.approx(expected, rel=1e-9, abs=1e-300)
    assert chi2_tail(chi2, 0) == 1.0


@pytest.mark.parametrize("value", [-3.0, -0.1, 0.0, 2.5])
def test_chance_below_zero_against_scipy(value: float) -> None:
    assert chance_below_zero(value, 0.7) == pytest.approx(float(norm.cdf(0.0, value, 0.7)))


def test_a_quantity_that_is_certain() -> None:
    assert chance_below_zero(-1.0, 0.0) == 1.0
    assert chance_below_zero(1.0, 0.0) == 0.0


def test_the_interval_holds_95_percent() -> None:
    found = normal_estimate(1.0, 0.5, "g")
    inside = norm.cdf(found.high, 1.0, 0.5) - norm.cdf(found.low, 1.0, 0.5)
    assert inside == pytest.approx(0.95, rel=1e-12)
    assert pytest.approx(float(norm.ppf(0.975)), rel=1e-15) == NORMAL_95
