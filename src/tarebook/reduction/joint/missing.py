"""What the readings that were not taken cost: how much surer the content would be with them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tarebook.reduction.joint.problem import READ, readings_u
from tarebook.reduction.joint.results import MissingReading
from tarebook.reduction.joint.slopes import linearise
from tarebook.reduction.joint.solution import Solution
from tarebook.reduction.joint.trial import CONTENT


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
    there = linearise(replace(problem, u=as_taken), solution.unknowns, central=False)
    scales = problem.scales()
    without, taken = solution.slopes.scaled(scales), there.slopes.scaled(scales)
    readings, runs = gaps.T
    each = np.arange(len(gaps))
    shared, own = without.shared[runs], without.own[runs]
    shared[each, readings], own[each, readings] = (
        taken.shared[runs, readings],
        taken.own[runs, readings],
    )
    said = without.condensed()
    gained = replace(without, shared=shared, own=own).condensed() - said[runs]
    precision = without.known.T @ without.known + said.sum(axis=0) + gained
    u = np.sqrt(np.linalg.inv(precision)[:, CONTENT, CONTENT]) * scales[CONTENT]
    found = [
        MissingReading(
            run=problem.runs[int(run)],
            reading=READ[int(reading)].value,
            u_if_taken=float(u_if_taken),
        )
        for (reading, run), u_if_taken in zip(gaps, u, strict=True)
    ]
    return tuple(sorted(found, key=lambda missing: missing.u_if_taken))
