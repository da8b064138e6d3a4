"""The joint fit's slopes and covariance written out whole, as only checks may: runs times runs."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.reduction.joint.arrow import Slopes
from tarebook.reduction.joint.solution import Solution


def jacobian(slopes: Slopes) -> FloatArray:
    """Return the slopes of all rows with all unknowns, shape (r, m)."""
    n, q, s = slopes.shared.shape
    p = slopes.own.shape[-1]
    whole = np.zeros((q * n + s, s + p * n))
    for run in range(n):
        for reading in range(q):
            row = reading * n + run
            whole[row, :s] = slopes.shared[run, reading]
            whole[row, s + run :: n] = slopes.own[run, reading]
    whole[q * n :, :s] = slopes.known
    return whole


def covariance(solution: Solution, fixed: BoolArray | None = None) -> FloatArray:
    """Return the covariance of all unknowns by one plain inverse; 0 for those that are fixed."""
    scales = solution.problem.scales()
    free: BoolArray = np.ones(len(scales), dtype=np.bool_) if fixed is None else ~fixed
    straight = jacobian(solution.slopes)[:, free] * scales[free]
    whole = np.zeros((len(scales), len(scales)))
    inner = np.linalg.inv(straight.T @ straight) * np.outer(scales[free], scales[free])
    whole[np.ix_(free, free)] = inner
    return whole
