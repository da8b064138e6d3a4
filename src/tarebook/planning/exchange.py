"""Exact optimal designs by coordinate exchange: which n of the candidates to take.

Every candidate j adds A_j^T A_j to the information matrix of p parameters. A design is the multiset
of n candidates that makes a criterion smallest; the criterion is averaged over s scenarios (values
of what is not known beforehand), so that the design is good for all of them.

One slot at a time is emptied and every candidate tried in it. With C the inverse of the
information without that slot, B = A C and K = 1 + B A^T (k by k, k the rows that one candidate
adds), Woodbury's identity gives the criterion of all candidates at once without another inverse.

References
----------
.. [1] V. V. Fedorov, Theory of Optimal Experiments, Academic Press 1972 (exchange).
.. [2] R. K. Meyer and C. J. Nachtsheim, Technometrics 37 (1995) 60-69 (coordinate exchange).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError

IntArray: TypeAlias = NDArray[np.int64]
"""Places of candidates."""

RIDGE = 1e-9
"""Of the largest diagonal element: lets a design with too few runs be looked at."""

SETTLED = 1e-9
"""Relative gain below which an exchange is not worth making."""

MOST_ROUNDS = 50


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Design:
    """An exact design.

    Attributes
    ----------
    chosen : tuple of int, length n
        Candidates, in ascending order; one that stands there twice is a replicate.
    value : float
        Criterion of the design: mean over the scenarios.
    rounds : int
        Passes over all slots that the best start took.
    """

    chosen: tuple[int, ...]
    value: float
    rounds: int


def information(factors: FloatArray, base: FloatArray, chosen: IntArray) -> FloatArray:
    """Return the information matrix of a choice of candidates, or of many choices.

    Parameters
    ----------
    factors : ndarray, shape (s, c, k, p)
        The rows that each candidate adds, in each scenario.
    base : ndarray, shape (p, p)
        Known beforehand.
    chosen : ndarray of int, shape (..., n)

    Returns
    -------
    ndarray, shape (s, ..., p, p)
    """
    own = np.einsum("scki,sckj->scij", factors, factors)
    total: FloatArray = base + own[:, chosen].sum(axis=-3)
    return total


def criterion(matrices: FloatArray, goal: FloatArray | None) -> FloatArray:
    """Return the criterion of information matrices, averaged over the scenarios.

    Parameters
    ----------
    matrices : ndarray, shape (s, ..., p, p)
    goal : ndarray, shape (s, p), or None
        Gradient of the wanted number: the criterion is its variance (c-optimality). None for minus
        the logarithm of the determinant (D-optimality).

    Returns
    -------
    ndarray, shape (...)
    """
    if goal is None:
        _, logarithm = np.linalg.slogdet(matrices)
        return np.asarray(-logarithm.mean(axis=0), dtype=np.float64)
    extra = matrices.ndim - 3
    right = goal.reshape((goal.shape[0], *(1,) * extra, goal.shape[1], 1))
    solved = np.linalg.solve(matrices, np.broadcast_to(right, (*matrices.shape[:-1], 1)))
    variance: FloatArray = (solved * right).sum(axis=(-2, -1)).mean(axis=0)
    return variance


def with_one_more(inverse: FloatArray, factors: FloatArray, goal: FloatArray | None) -> FloatArray:
    """Return the criterion that each candidate would give if it were added, in each scenario.

    Parameters
    ----------
    inverse : ndarray, shape (s, p, p)
        Of the information without it.
    factors : ndarray, shape (s, c, k, p)
    goal : ndarray, shape (s, p), or None
        As in `criterion`; for None the constant that all candidates share is left out.

    Returns
    -------
    ndarray, shape (s, c)
    """
    reach = factors @ inverse[:, None]
    kernel = np.eye(factors.shape[2]) + reach @ np.swapaxes(factors, -1, -2)
    if goal is None:
        _, logarithm = np.linalg.slogdet(kernel)
        return -np.asarray(logarithm, dtype=np.float64)
    before = np.einsum("si,sij,sj->s", goal, inverse, goal)
    side = np.einsum("scki,si->sck", reach, goal)[..., None]
    taken = (side * np.linalg.solve(kernel, side)).sum(axis=(-2, -1))
    variance: FloatArray = before[:, None] - taken
    return variance


def exchange(
    factors: FloatArray,
    base: FloatArray,
    allowed: BoolArray,
    goal: FloatArray | None,
    starts: IntArray,
    most_alike: int | None = None,
) -> Design:
    """Return the best exact design that exchanges reach from any of the starts.

    Parameters
    ----------
    factors : ndarray, shape (s, c, k, p)
    base : ndarray, shape (p, p)
    allowed : ndarray of bool, shape (n, c)
        Which candidates may stand in each of the n slots.
    goal : ndarray, shape (s, p), or None
    starts : ndarray of int, shape (m, n)
        Designs to begin from; a candidate that its slot does not allow is moved to the nearest one
        (candidates are taken to be in order).
    most_alike : int, optional
        How often one candidate may stand in a design; as often as it likes if not given.

    Returns
    -------
    Design

    Raises
    ------
    OutOfRangeError
        If a slot allows no candidate, or the slots together ask for more than there are.

    Examples
    --------
    A straight line on [-1, 1], four runs, D-optimal: two at each end.

    >>> x = np.linspace(-1, 1, 5)
    >>> rows = np.stack([np.ones(5), x], axis=1)[None, :, None, :]
    >>> every = np.ones((4, 5), dtype=np.bool_)
    >>> exchange(rows, np.zeros((2, 2)), every, None, np.array([[0, 1, 2, 3]])).chosen
    (0, 0, 4, 4)
    >>> exchange(rows, np.zeros((2, 2)), every, None, np.array([[0, 1, 2, 3]]), most_alike=1).chosen
    (0, 1, 3, 4)
    """
    for slot, row in enumerate(allowed):
        if not row.any():
            raise OutOfRangeError(f"candidates of slot {slot + 1}", 0.0, "1", "at least 1")
    sound = ridged(base, factors)
    most = len(allowed) if most_alike is None else most_alike
    begun = [_moved(start, allowed, most) for start in starts]
    designs = [_from_start(factors, sound, allowed, goal, start, most) for start in begun]
    return min(designs, key=lambda design: (design.value, design.chosen))


def ridged(base: FloatArray, factors: FloatArray) -> FloatArray:
    """Return the information known beforehand with so little added that it can be inverted.

    Parameters
    ----------
    base : ndarray, shape (p, p)
    factors : ndarray, shape (s, c, k, p)
    """
    largest = float(np.einsum("scki,scki->sci", factors, factors).max())
    sound: FloatArray = base + RIDGE * largest * np.eye(base.shape[0])
    return sound


def _moved(start: IntArray, allowed: BoolArray, most_alike: int) -> IntArray:
    """Return a start that every slot allows, those that allow least served first."""
    moved, taken = start.copy(), np.zeros(allowed.shape[1], dtype=np.int64)
    for slot in np.argsort(allowed.sum(axis=1), kind="stable"):
        options = np.flatnonzero(allowed[slot] & (taken < most_alike))
        if not options.size:
            raise OutOfRangeError(f"candidates left for slot {slot + 1}", 0.0, "1", "at least 1")
        moved[slot] = options[np.argmin(np.abs(options - start[slot]))]
        taken[moved[slot]] += 1
    return moved


def _from_start(
    factors: FloatArray,
    base: FloatArray,
    allowed: BoolArray,
    goal: FloatArray | None,
    chosen: IntArray,
    most_alike: int,
) -> Design:
    own = np.einsum("scki,sckj->scij", factors, factors)
    total = base + own[:, chosen].sum(axis=1)
    value, rounds, improved = float(criterion(total, goal)), 0, True
    while improved and rounds < MOST_ROUNDS:
        rounds, improved = rounds + 1, False
        for slot in range(len(chosen)):
            without = total - own[:, chosen[slot]]
            inverse = np.linalg.inv(without)
            tried = with_one_more(inverse, factors, goal).mean(axis=0)
            others = np.bincount(np.delete(chosen, slot), minlength=allowed.shape[1])
            free = allowed[slot] & (others < most_alike)
            better = int(np.argmin(np.where(free, tried, np.inf)))
            gain = float(tried[chosen[slot]] - tried[better])
            if gain > SETTLED * max(abs(value), SETTLED):
                chosen[slot], improved = better, True
                total = without + own[:, better]
                value = float(criterion(total, goal))
    return Design(chosen=tuple(sorted(int(c) for c in chosen)), value=value, rounds=rounds)
