"""What a joint fit ends with: the minimum with its covariance, or none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import TarebookError
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.arrow import Covariance, Slopes
from tarebook.reduction.joint.problem import (
    READ,
    JointProblem,
    Predicted,
)


class NoFitError(TarebookError, ArithmeticError):
    """The joint fit did not settle."""

    code = "no-joint-fit"

    def __str__(self) -> str:
        return (
            "The readings fit no setting of the model well enough to choose one. Settle what was "
            "found odd about the readings and the definition first."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution:
    """The minimum of a joint problem, with m unknowns and r rows.

    Attributes
    ----------
    problem : JointProblem
    unknowns : ndarray, shape (m,)
    predicted : Predicted
        At the minimum, k = 1.
    about : Predicted
        At the sets of `perturbed` from which the slopes are, the first of which is the minimum.
    rows : ndarray, shape (r,)
        Residuals over u; those of readings not taken are 0.
    slopes : Slopes
        Of the predicted values over u; the rows' own are minus them.
    covariance : Covariance
        Of the unknowns; 0 for those that were left where they were.
    steps : int
    """

    problem: JointProblem
    unknowns: FloatArray
    predicted: Predicted
    about: Predicted
    rows: FloatArray
    slopes: Slopes
    covariance: Covariance
    steps: int

    @property
    def chi2(self) -> float:
        """Sum of squares of all rows."""
        return float(self.rows @ self.rows)

    @property
    def dof(self) -> int:
        """Rows that say something, less unknowns.

        What stands in for a tare that was not read is no knowledge and does not count.
        """
        tare = READ.index(Quantity.TARE)
        stand_ins = int(np.count_nonzero(~self.problem.taken[tare]))
        return max(self.slopes.n_telling() - stand_ins - len(self.unknowns), 0)
