"""Trial steps: how far they may go, what the rows are there, how often the model is asked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.parameters import NAMES
from tarebook.model.priors import centres_and_u
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import (
    LATENT,
    N_SHARED,
    READ,
    JointProblem,
    predict,
    rows_of,
)
from tarebook.reduction.joint.slopes import (
    N_CURVED,
)

MOST_CALLS = 500
"""Calls of the model in all walks of one fit together, from wherever they begin: an assumption.
Good rows of the laboratories take up to 91 (computed: 21 laboratories, 12 series of each); a row
that leaves the content open took more than 250. Readings such as no cup can give would take
thousands."""

CONTENT = NAMES.index("content")

CONTENT_RANGE = (1e-3, 1.5)
"""Trial steps are kept in here; a content above 1 is a finding, not an impossibility."""

MOST_U = 12.0
"""Trial steps stay within this many prior standard uncertainties: a logarithm must not run away."""

LEAST_PORTION = 1e-3
"""g; a trial step must not leave the sample."""

LEAST_CONCENTRATION = 1e-6
"""mol/L; a trial step must not leave the acid."""


@dataclass(slots=True)
class Calls:
    """Calls of the model that the walks of one fit have left."""

    left: int = MOST_CALLS


def rows_where_possible(problem: JointProblem, sets: FloatArray, calls: Calls) -> FloatArray:
    """Return the rows at sets of unknowns; nan where the model does not reach or is not asked."""
    nothing = np.full((len(sets), len(READ) * problem.n_runs + N_SHARED), np.nan)
    if calls.left <= 0:
        return nothing
    calls.left -= 1
    try:
        return rows_of(problem, sets, predict(problem, sets).readings)
    except OutOfRangeError:
        if len(sets) == 1:
            return nothing
        half = len(sets) // 2
        parts = (sets[:half], sets[half:])
        return np.concatenate([rows_where_possible(problem, part, calls) for part in parts])


def squares(rows: FloatArray) -> FloatArray:
    """Return sums of squares, infinite where the model does not reach."""
    chi2 = np.einsum("ij,ij->i", rows, rows)
    return np.where(np.isfinite(chi2), chi2, np.inf)


def kept_in_range(problem: JointProblem, unknowns: FloatArray) -> FloatArray:
    """Return unknowns, changed in place where they left the range of trial steps."""
    n = problem.n_runs
    unknowns[..., CONTENT] = np.clip(unknowns[..., CONTENT], *CONTENT_RANGE)
    centre, u = centres_and_u(problem.priors)
    reach = MOST_U * u
    shared = slice(0, len(NAMES))
    unknowns[..., shared] = np.clip(unknowns[..., shared], centre - reach, centre + reach)
    strength = NAMES.index("concentration")
    unknowns[..., strength] = np.maximum(unknowns[..., strength], LEAST_CONCENTRATION)
    for index, quantity in enumerate(LATENT[:N_CURVED]):
        part = slice(N_SHARED + index * n, N_SHARED + (index + 1) * n)
        # A portion never weighs nothing; a blank cup holds just that.
        least = LEAST_PORTION * problem.portioned if quantity is Quantity.SAMPLE else 0.0
        unknowns[..., part] = np.maximum(unknowns[..., part], least)
    return unknowns
