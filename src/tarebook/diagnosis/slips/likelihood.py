"""The likelihood of a run's two differences, as seen from the other runs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.slips.cups import Views
from tarebook.diagnosis.slips.odds import slip_table
from tarebook.diagnosis.slips.shared import SharedFit

IMPOSSIBLE: Final = -200.0
"""Logarithm of the likelihood of a reading for which the model cannot even be asked."""

LOG_2PI: Final = math.log(2.0 * math.pi)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rest:
    """What the other runs say.

    Attributes
    ----------
    moved, covariance : ndarray
        Mean (from the fit) and covariance of the shared unknowns.
    scatter : float, [1]
        Factor on the variances by which the others scatter more than they should.
    """

    moved: FloatArray
    covariance: FloatArray
    scatter: float = 1.0

    def gaps(self, views: Views) -> tuple[FloatArray, FloatArray]:
        """Return the differences and their covariance as seen from the other runs."""
        gap = views.gap - views.by_shared @ self.moved
        through = np.einsum("kas,st->kat", views.by_shared, self.covariance)
        spread = views.own + np.einsum("kat,kbt->kab", through, views.by_shared)
        return gap, self.scatter * spread


def squares(gap: FloatArray, spread: FloatArray) -> FloatArray:
    """Return sums of squares of differences over their covariance, shape (k,)."""
    solved = np.linalg.solve(spread, gap[..., None])[..., 0]
    total: FloatArray = np.einsum("ka,ka->k", gap, solved)
    return total


def log_likelihood(gap: FloatArray, spread: FloatArray) -> FloatArray:
    """Return the logarithm of the likelihood; some runs scatter more than instruments say."""
    chance = slip_table()["chance"]
    share, factor = chance["share"], chance["factor"]
    square = squares(gap, spread)
    base = -LOG_2PI - 0.5 * np.linalg.slogdet(spread)[1]
    usual = math.log1p(-share) - 0.5 * square
    wide = math.log(share) - 2.0 * math.log(factor) - 0.5 * square / factor**2
    log: FloatArray = base + np.logaddexp(usual, wide)
    return log


def misfits(rest: Rest, views: Views) -> FloatArray:
    """Return sums of squares of what the other runs say, infinite where nothing can be said."""
    found: FloatArray = np.where(views.possible, squares(*rest.gaps(views)), np.inf)
    return found


def log_chances(rest: Rest, views: Views) -> FloatArray:
    """Return the logarithm of the likelihood, `IMPOSSIBLE` where the model could not be asked."""
    log: FloatArray = np.where(views.possible, log_likelihood(*rest.gaps(views)), IMPOSSIBLE)
    return log


def rest_without(fit: SharedFit, runs: list[int]) -> Rest:
    """Return what the runs but these say."""
    moved, covariance = fit.without(runs)
    return Rest(moved=moved, covariance=covariance, scatter=fit.scatter(runs))
