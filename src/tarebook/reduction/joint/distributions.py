"""The normal and the chi-squared distribution, as far as the fit needs them, without a library."""

from __future__ import annotations

import math
from typing import Final

from tarebook.core.quantity import COVERAGE_95, Estimate

NORMAL_95: Final = COVERAGE_95
"""The same constant under the name that the fit knows it by."""

BEYOND_BELIEF: Final = 1e-6
"""Chance of a worse misfit below which the readings are taken not to be of this model at all."""


def normal_estimate(value: float, u: float, unit: str) -> Estimate:
    """Return a value with the 95 % interval of a normal distribution about it.

    Parameters
    ----------
    value, u : float, [unit]
    unit : str
    """
    return Estimate(
        value=value, u=u, low=value - NORMAL_95 * u, high=value + NORMAL_95 * u, unit=unit
    )


def chance_below_zero(value: float, u: float) -> float:
    """Return the chance that a normal quantity lies below zero.

    Parameters
    ----------
    value, u : float

    Examples
    --------
    >>> chance_below_zero(0.0, 1.0), round(chance_below_zero(NORMAL_95, 1.0), 6)
    (0.5, 0.025)
    """
    return 0.5 * math.erfc(value / max(u, 1e-300) / math.sqrt(2.0))


def chi2_tail(chi2: float, dof: int) -> float:
    """Return the chance that a chi-squared variable exceeds a value.

    For whole degrees of freedom the integral is a finite sum, so that no library need be loaded.

    Parameters
    ----------
    chi2 : float
    dof : int
        With none there is nothing to exceed: 1.

    References
    ----------
    .. [1] Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5 (from
       memory; compared with a general library in the tests).

    Examples
    --------
    >>> round(chi2_tail(3.841459, 1), 6)
    0.05
    """
    if dof <= 0 or chi2 <= 0.0:
        return 1.0
    half = chi2 / 2.0
    # half**a exp(-half) / gamma(a + 1) for a = 0, 1, ... or 1/2, 3/2, ...: as logarithms, for
    # the factors of a long row leave the range of a number long before their product does.
    first = 0.5 if dof % 2 else 0.0
    total = math.erfc(math.sqrt(half)) if dof % 2 else 0.0
    for k in range(dof // 2):
        power = first + k
        total += math.exp(power * math.log(half) - half - math.lgamma(power + 1.0))
    return total
