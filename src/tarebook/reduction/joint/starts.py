"""Where a joint fit begins: contents that are looked at beforehand, the most promising first."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.parameters import NAMES
from tarebook.reduction.joint.arrow import Normal, Slopes, held
from tarebook.reduction.joint.problem import (
    JointProblem,
)
from tarebook.reduction.joint.slopes import (
    linearise,
    linearised_and_rows,
)
from tarebook.reduction.joint.trial import (
    CONTENT,
    Calls,
    kept_in_range,
    rows_where_possible,
    squares,
)

SCAN = np.linspace(0.05, 1.3, 26)
"""Contents of which the best is where the fit begins."""

OWN_ACID = NAMES.index("own_acid")

HARDLY_KNOWN = 3e-4
"""mol/g; with a wider prior the own acid is scanned beside the content."""

ACID_SCAN = np.array([-0.65, -0.5, -0.35, -0.2, 0.25, 0.5, 1.0, 1.5])
"""Own acids that are looked at, in prior standard uncertainties from the centre."""

MOST_STARTS, APART = 3, 0.2
"""Starts that are tried while another one promises more, and how far apart they lie, g/g."""


def left_by_others(problem: JointProblem, slopes: Slopes, rows: FloatArray) -> FloatArray:
    """Return what is left of rows when all but the content have taken up what they can.

    Parameters
    ----------
    problem : JointProblem
    slopes : Slopes
        By which they do, in one straight step.
    rows : ndarray, shape (..., r)
        With nan where the model does not reach; so they remain.
    """
    others = np.arange(problem.n_unknowns) != CONTENT
    straight = slopes.scaled(held(problem.scales(), others))
    step = Normal(straight, others).solved(straight.against(np.nan_to_num(rows)))
    return rows - straight.along(step)


def scanned_starts(problem: JointProblem) -> tuple[FloatArray, FloatArray]:
    """Return unknowns to begin from, the most promising first, with what they promise.

    They are those of `problem.start` with the best contents of a row that lie apart. What the other
    unknowns can take up in one straight step does not count against a content.

    Parameters
    ----------
    problem : JointProblem

    Returns
    -------
    starts : ndarray, shape (s, m)
        At most `MOST_STARTS`.
    chi2 : ndarray, shape (s,)
        Sum of squares that each promises; infinite where the model does not reach.
    """
    begin = kept_in_range(problem, problem.start())
    sets = _scanned(problem, begin)
    try:
        # Both in one call of the model, which costs as much as one of them.
        local, rows = linearised_and_rows(problem, begin, sets)
        rows = left_by_others(problem, local.slopes, rows)
    except OutOfRangeError:
        rows = _scanned_apart(problem, begin, sets)
    chi2 = squares(rows)
    chosen: list[int] = []
    for index in np.argsort(chi2, kind="stable").tolist():
        apart = np.abs(sets[chosen, CONTENT] - sets[index, CONTENT])
        if np.all(apart >= APART) and len(chosen) < MOST_STARTS:
            chosen.append(index)
    return sets[chosen], chi2[chosen]


def _scanned_apart(problem: JointProblem, begin: FloatArray, sets: FloatArray) -> FloatArray:
    """Return the rows at sets of unknowns where the model does not reach all of them."""
    rows = rows_where_possible(problem, sets, Calls())
    try:
        local = linearise(problem, begin, central=False)
    except OutOfRangeError:
        # The plan itself may lie outside; some other content may not.
        return rows
    return left_by_others(problem, local.slopes, rows)


def _scanned(problem: JointProblem, begin: FloatArray) -> FloatArray:
    """Return the unknowns that are looked at before a fit begins, shape (s, m).

    Content and own acid bend the row together: where the acid is hardly known, a content that is
    looked at with the wrong acid promises nothing, and the fit would end in a valley beside.
    """
    prior = problem.priors[OWN_ACID]
    acids = np.array([begin[OWN_ACID]])
    if prior.u > HARDLY_KNOWN:
        acids = np.append(acids, begin[OWN_ACID] + prior.u * ACID_SCAN)
    grid = np.array([(content, acid) for acid in acids for content in SCAN])
    sets = np.tile(begin, (len(grid) + 1, 1))
    sets[1:, CONTENT], sets[1:, OWN_ACID] = grid.T
    return sets
