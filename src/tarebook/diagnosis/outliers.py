"""Plain outlier tests of one number among its equals: Grubbs, and Dixon's ratio beside it.

They know nothing of the chemistry: they say that a number lies far from the others, not why. Both
hold for one outlier in a normal sample; with two, one may hide the other.

References
----------
.. [1] F. E. Grubbs, Technometrics 11 (1969) 1; NIST/SEMATECH e-Handbook of Statistical Methods,
   1.3.5.17.1.
.. [2] W. J. Dixon, Annals of Mathematical Statistics 22 (1951) 68, for the distribution of r10; the
   critical values are computed here from it and not taken from the printed tables.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

FEWEST: Final = 3
MOST_OF_DIXON: Final = 30
"""Above it the ratio of a gap to the range says little; printed tables end there too."""

_FARTHEST: Final = 8.0
"""Standard deviations over which the distribution is integrated."""

_NODES: Final = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlierTest:
    """One number held against the others.

    Attributes
    ----------
    index : int
        Of the number that lies farthest out.
    statistic, critical : float, [1]
        The number is called an outlier if `statistic` is larger.
    alpha : float, [1]
        Chance that a good sample has an outlier by this test.
    """

    index: int
    statistic: float
    critical: float
    alpha: float

    @property
    def is_outlier(self) -> bool:
        """Whether the number lies farther out than chance puts it."""
        return self.statistic > self.critical


def grubbs(values: FloatArray, alpha: float = 0.05) -> OutlierTest:
    """Test the number farthest from the mean, whichever side, by Grubbs' test.

    Parameters
    ----------
    values : ndarray, shape (n,)
        At least three numbers, not all equal.
    alpha : float, [1]

    Raises
    ------
    OutOfRangeError
        If there are too few numbers, if all are equal, or if `alpha` is not in (0, 1).

    Examples
    --------
    >>> pennies = np.array([3.067, 3.049, 3.039, 2.514, 3.048, 3.079, 3.094, 3.109, 3.102])
    >>> found = grubbs(pennies)
    >>> found.index, round(found.statistic, 3), round(found.critical, 3)
    (3, 2.643, 2.215)
    """
    values = _checked(values, alpha)
    away = np.abs(values - values.mean()) / values.std(ddof=1)
    index = int(np.argmax(away))
    return OutlierTest(
        index=index,
        statistic=float(away[index]),
        critical=grubbs_critical(values.size, alpha),
        alpha=alpha,
    )


def grubbs_critical(n: int, alpha: float = 0.05, *, two_sided: bool = True) -> float:
    """Return the critical value of Grubbs' statistic.

    Parameters
    ----------
    n : int
        Numbers in the sample.
    alpha : float, [1]
    two_sided : bool
        False where only one side was ever suspected.

    Raises
    ------
    OutOfRangeError
        If n is less than 3 or `alpha` is not in (0, 1).
    """
    from scipy.stats import t as student

    _check_size(n, math.inf)
    _check_alpha(alpha)
    each = alpha / (2 * n if two_sided else n)
    square = float(student.isf(each, n - 2)) ** 2
    return (n - 1) / math.sqrt(n) * math.sqrt(square / (n - 2 + square))


def dixon(values: FloatArray, alpha: float = 0.05) -> OutlierTest:
    """Test the number with the widest gap to its neighbour, whichever end, by Dixon's ratio r10.

    Parameters
    ----------
    values : ndarray, shape (n,)
        3 to 30 numbers, not all equal.
    alpha : float, [1]
        For both ends together: each end has half of it.

    Raises
    ------
    OutOfRangeError
        If there are too few or too many numbers, if all are equal, or if `alpha` is not in (0, 1).

    Examples
    --------
    >>> pennies = np.array([3.067, 3.049, 3.039, 2.514, 3.048, 3.079, 3.094, 3.109, 3.102])
    >>> found = dixon(pennies)
    >>> found.index, round(found.statistic, 3), found.is_outlier
    (3, 0.882, True)
    """
    values = _checked(values, alpha, MOST_OF_DIXON)
    order = np.argsort(values)
    ranked = values[order]
    width = ranked[-1] - ranked[0]
    below, above = (ranked[1] - ranked[0]) / width, (ranked[-1] - ranked[-2]) / width
    index = int(order[0] if below > above else order[-1])
    return OutlierTest(
        index=index,
        statistic=float(max(below, above)),
        critical=dixon_critical(values.size, alpha),
        alpha=alpha,
    )


@cache
def dixon_critical(n: int, alpha: float = 0.05) -> float:
    """Return the critical value of Dixon's r10 where either end was suspected.

    Parameters
    ----------
    n : int
        Numbers in the sample, 3 to 30.
    alpha : float, [1]
        For both ends together.

    Raises
    ------
    OutOfRangeError
        If n is outside 3 to 30 or `alpha` is not in (0, 1).
    """
    from scipy.optimize import brentq

    _check_size(n, MOST_OF_DIXON)
    _check_alpha(alpha)
    return float(brentq(lambda r: _dixon_tail(r, n) - alpha / 2.0, 1e-6, 1.0 - 1e-9, xtol=1e-7))


def _dixon_tail(ratio: float, n: int) -> float:
    """Return the chance that the gap at the upper end is more than a share of the range.

    The lowest and the highest of n normal numbers are integrated over; the others must lie between
    the lowest and the gap.
    """
    from scipy.special import ndtr

    nodes, weights = np.polynomial.legendre.leggauss(_NODES)
    low = _FARTHEST * nodes[:, None]
    width = _FARTHEST * (nodes + 1.0)[None, :]
    inner = ndtr(low + width * (1.0 - ratio)) - ndtr(low)
    density = np.exp(-0.5 * (low**2 + (low + width) ** 2)) / (2.0 * math.pi)
    area = _FARTHEST**2 * weights[:, None] * weights[None, :]
    return float(n * (n - 1) * np.sum(area * density * inner ** (n - 2)))


def _checked(values: FloatArray, alpha: float, most: float = math.inf) -> FloatArray:
    values = np.asarray(values, dtype=np.float64)
    _check_size(values.size, most)
    _check_alpha(alpha)
    if not np.ptp(values) > 0:
        raise OutOfRangeError("range of the numbers", float(np.ptp(values)), "1", "(0, inf)")
    return values


def _check_size(n: int, most: float) -> None:
    if not FEWEST <= n <= most:
        allowed = f"[{FEWEST}, {most:g}]"
        raise OutOfRangeError("number of values of an outlier test", n, "1", allowed)


def _check_alpha(alpha: float) -> None:
    if not 0.0 < alpha < 1.0:
        raise OutOfRangeError(
            "alpha of an outlier test", alpha, "1", "(0, 1)", "Write 5 % as 0.05."
        )
