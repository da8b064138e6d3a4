"""The 95 % interval of the content: linear, or by profile where the linear one is poor.

References
----------
.. [1] D. M. Bates and D. G. Watts, Nonlinear Regression Analysis, Wiley 1988, chapter 6 (profiles).
"""

from __future__ import annotations

import math

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.joint.distributions import NORMAL_95
from tarebook.reduction.joint.problem import predict, rows_of
from tarebook.reduction.joint.results import IntervalMethod
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.starts import left_by_others
from tarebook.reduction.joint.trial import CONTENT, CONTENT_RANGE

MOST_SECANTS = 20

POOR = 0.10
"""Relative error of the linear sum of squares at the ends that makes a profile worth its time."""


def content_interval(solution: Solution) -> tuple[float, float, IntervalMethod]:
    """Return the ends of the 95 % interval of the content and how they were found.

    Parameters
    ----------
    solution : Solution
    """
    best = float(solution.unknowns[CONTENT])
    u = math.sqrt(solution.covariance.shared[CONTENT, CONTENT])
    if _linear_is_good(solution, u):
        return best - NORMAL_95 * u, best + NORMAL_95 * u, "linear"
    try:
        low, high = (_end(solution, best, sign * NORMAL_95 * u) for sign in (-1.0, 1.0))
    except (NoFitError, OutOfRangeError):
        return best - NORMAL_95 * u, best + NORMAL_95 * u, "linear"
    return low, high, "profile"


def _linear_is_good(solution: Solution, u: float) -> bool:
    """Return whether the profile of the sum of squares grows as the linear interval says.

    The other unknowns first move along their straight path; what that path misses for being
    straight is then taken up by one linear step of theirs, with the slopes of the minimum.
    """
    path = solution.covariance.column(CONTENT) / u**2
    ends = np.array([-NORMAL_95 * u, NORMAL_95 * u])
    sets: FloatArray = solution.unknowns + ends[:, None] * path
    problem = solution.problem
    rows = rows_of(problem, sets, predict(problem, sets).readings)
    left = left_by_others(problem, solution.slopes, rows)
    growth = np.sum(left**2, axis=-1) - solution.chi2
    return bool(np.all(np.abs(growth / NORMAL_95**2 - 1.0) < POOR))


def _end(solution: Solution, best: float, first: float) -> float:
    """Return where the profile of the sum of squares has grown by that of 95 %, by secant steps.

    A profile that stays flat ends where contents are no longer looked at.
    """
    fixed = np.zeros(len(solution.unknowns), dtype=np.bool_)
    fixed[CONTENT] = True
    start, distance = solution.unknowns, first
    low, high = CONTENT_RANGE
    for _ in range(MOST_SECANTS):
        distance = float(np.clip(distance, low - best, high - best))
        moved = start.copy()
        moved[CONTENT] = best + distance
        there = solve(solution.problem, start=moved, fixed=fixed, with_covariance=False)
        root = math.sqrt(max(there.chi2 - solution.chi2, 1e-12))
        at_the_end = best + distance in (low, high)
        if abs(root / NORMAL_95 - 1.0) < 1e-3 or (at_the_end and root < NORMAL_95):
            return best + distance
        # The profile is smooth and near the linear one: a step of more than twice is no help.
        start, distance = there.unknowns, distance * float(np.clip(NORMAL_95 / root, 0.5, 2.0))
    raise NoFitError
