"""Content found against content claimed."""

from __future__ import annotations

import math

import pytest

from tarebook.core.quantity import Estimate, Measured, Source
from tarebook.reduction.claim import compare_with_claim

LABEL = Source("the label", "declared")


def found(value: float, u: float) -> Estimate:
    return Estimate(value=value, u=u, low=value - 2 * u, high=value + 2 * u, unit="g/g")


def claimed(value: float, u: float) -> Measured:
    return Measured(value=value, u=u, unit="g/g", source=LABEL)


@pytest.mark.parametrize(
    ("value", "agrees"),
    [(0.90, True), (0.929, False), (0.871, False), (0.927, True), (0.873, True)],
)
def test_agreement_is_two_standard_uncertainties_of_the_difference(
    value: float, agrees: bool
) -> None:
    """u of the difference by hand: sqrt(0.01^2 + 0.01^2) = 0.0141, twice that is 0.0283."""
    comparison = compare_with_claim(found(value, 0.01), claimed(0.90, 0.01))
    assert comparison.u_difference == pytest.approx(0.0141421, abs=1e-7)
    assert comparison.difference == pytest.approx(value - 0.90)
    assert comparison.how_many_u == pytest.approx(abs(value - 0.90) / 0.0141421, rel=1e-5)
    assert comparison.agrees is agrees


def test_numbers_without_uncertainty_agree_only_if_equal() -> None:
    assert compare_with_claim(found(0.9, 0.0), claimed(0.9, 0.0)).agrees
    apart = compare_with_claim(found(0.9, 0.0), claimed(0.8, 0.0))
    assert apart.how_many_u == math.inf
    assert not apart.agrees
