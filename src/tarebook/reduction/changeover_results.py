"""What the search for a change-over finds, or why it finds none: values only."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar, Literal, TypeAlias

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import TarebookError

Side: TypeAlias = Literal["left", "right", "both"]


class ChangeoverNotFound(TarebookError, ValueError):  # noqa: N818 (the outcome, not a mishap)
    """The points do not show a change-over with at least two runs on each side of it.

    Parameters
    ----------
    side : {"left", "right", "both"}
        Where runs are lacking; "both" if the points follow one straight line.
    low, high : float
        Where the best broken line would have its break, in the unit of x.
    fix : str
        What to do about it.

    Examples
    --------
    >>> print(ChangeoverNotFound("right", 9.0, 10.0, "Add runs with more reagent."))
    No equivalence point found: the best break lies from 9 to 10 and leaves fewer than 2 runs \
on the right; at least 2 are needed on each side. Add runs with more reagent.
    """

    code: ClassVar[str] = "no-changeover"

    def __init__(self, side: Side, low: float, high: float, fix: str) -> None:
        super().__init__(side, low, high, fix)
        self.side, self.low, self.high, self.fix = side, low, high, fix

    def __str__(self) -> str:
        if self.side == "both":
            found = f"the points from {self.low:g} to {self.high:g} follow one straight line"
        else:
            found = (
                f"the best break lies from {self.low:g} to {self.high:g} and leaves fewer than 2 "
                f"runs on the {self.side}"
            )
        said = f"No equivalence point found: {found}; at least 2 are needed on each side."
        return f"{said} {self.fix}"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ChangeoverFit:
    """The broken line of least (generalised) squares.

    Attributes
    ----------
    intercept, slope : float
        Left line.
    right_slope : float
        Slope of the right side; 0 for a plateau.
    plateau : float
        Level of the plateau; the level at the break where the right side is a line.
    breakpoint : float
        x of the change-over.
    covariance : ndarray, shape (5, 5)
        Of (intercept, slope, right_slope, plateau, breakpoint), to first order; its rank is 3 for a
        plateau and 4 for a line, as the break follows from the others. Scaled by the residual
        variance unless the covariance of the readings was given.
    plateau_u : float
        Standard error to first order.
    rss : float
        Weighted sum of squared residuals; chi-squared if the covariance was given.
    dof : int
        Points less 3 (plateau) or 4 (line).
    birge : float, [1]
        sqrt(chi2 / dof) if the covariance was given: about 1 if it and the model hold. Nothing is
        scaled by it here. 1 by construction otherwise.
    local_minima : tuple of (float, float)
        (break, rss) of every local minimum of the profile, from left to right.
    """

    intercept: float
    slope: float
    right_slope: float
    plateau: float
    breakpoint: float
    covariance: FloatArray
    plateau_u: float
    rss: float
    dof: int
    birge: float
    local_minima: tuple[tuple[float, float], ...]

    def height(self, x: FloatArray) -> FloatArray:
        """Return the height of the lines at x."""
        beyond = self.plateau + self.right_slope * (x - self.breakpoint)
        return np.where(x < self.breakpoint, self.intercept + self.slope * x, beyond)

    def tilted(self, slope: float) -> ChangeoverFit:
        """Return the lines of points that were fitted with a straight line through zero taken off.

        Parameters
        ----------
        slope : float
            Of the line that was taken off, taken as known.
        """
        rows = np.eye(5)
        rows[3, 4] = slope  # the level at the break lies higher by slope times the break
        covariance = rows @ self.covariance @ rows.T
        plateau = self.plateau + slope * self.breakpoint
        u = float(np.sqrt(max(covariance[3, 3], 0.0)))
        return replace(
            self,
            slope=self.slope + slope,
            right_slope=self.right_slope + slope,
            plateau=plateau,
            covariance=covariance,
            plateau_u=u,
        )
