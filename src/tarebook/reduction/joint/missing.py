"""What the readings that were not taken cost: how much surer the content would be with them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.reduction.joint.problem import READ, readings_u
from tarebook.reduction.joint.results import MissingReading
from tarebook.reduction.joint.slopes import linearise
from tarebook.reduction.joint.solve import CONTENT, Solution


def missing_readings(solution: Solution) -> tuple[MissingReading, ...]:
    """Return the readings not taken, the dearest first.

    The reading is put in the place of what stands in for it, with the uncertainty its instrument
    has, and the covariance worked out anew with the slopes of the fit; no fit is run.

    Parameters
    ----------
    solution : Solution
    """
    problem = solution.problem
    gaps = np.argwhere(~problem.taken)
    if len(gaps) == 0:
        return ()
    as_taken = np.where(problem.taken, problem.u, readings_u(problem.experiment, problem.observed))
    there = linearise(replace(problem, u=as_taken), solution.unknowns, central=False).jacobian
    precision = solution.jacobian.T @ solution.jacobian
    scales = problem.scales()
    found = []
    for reading, run in gaps:
        row = int(reading) * problem.n_runs + int(run)
        with_it = precision - np.outer(solution.jacobian[row], solution.jacobian[row])
        with_it = with_it + np.outer(there[row], there[row])
        found.append(
            MissingReading(
                run=problem.runs[int(run)],
                reading=READ[int(reading)].value,
                u_if_taken=_content_u(with_it, scales),
            )
        )
    return tuple(sorted(found, key=lambda missing: missing.u_if_taken))


def _content_u(precision: FloatArray, scales: FloatArray) -> float:
    # In natural steps, so that litres and grams do not spoil the inverse.
    scaled = precision * np.outer(scales, scales)
    return math.sqrt(float(np.linalg.inv(scaled)[CONTENT, CONTENT])) * float(scales[CONTENT])
