"""The content found beside the content claimed, as a statement."""

from __future__ import annotations

import math

from tarebook.core.quantity import Estimate, Measured
from tarebook.reduction.results import ClaimComparison

AGREES_WITHIN = 2.0
"""Multiples of the standard uncertainty of the difference: about 95 % for a normal difference."""


def compare_with_claim(found: Estimate, claimed: Measured) -> ClaimComparison:
    """Return whether a result agrees with a claim.

    Parameters
    ----------
    found : Estimate, [g/g]
    claimed : Measured, [g/g]

    Returns
    -------
    ClaimComparison
        `agrees` if the two differ by no more than twice the standard uncertainty of the difference;
        the two are independent, so that is the root of the sum of squares.

    References
    ----------
    .. [1] ISO/IEC Guide 98-4 (JCGM 106:2012) for decisions under uncertainty; the factor 2 for
       about 95 % is common practice.

    Examples
    --------
    >>> from tarebook.core.quantity import Source
    >>> label = Measured(value=0.95, u=0.01, unit="g/g", source=Source("the label", "declared"))
    >>> found = Estimate(value=0.90, u=0.01, low=0.88, high=0.92, unit="g/g")
    >>> comparison = compare_with_claim(found, label)
    >>> round(comparison.how_many_u, 1), comparison.agrees
    (3.5, False)
    """
    difference = found.value - claimed.value
    u = math.hypot(found.u, claimed.u)
    how_many = abs(difference) / u if u > 0 else math.inf if difference else 0.0
    return ClaimComparison(
        claimed=claimed,
        found=found,
        difference=difference,
        u_difference=u,
        how_many_u=how_many,
        agrees=how_many <= AGREES_WITHIN,
    )
