"""Cups for which the model does not hold: they must not cost the others their result."""

from __future__ import annotations

import numpy as np

from tarebook.core.errors import OutOfRangeError
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.records.readings import RunTable
from tarebook.reduction.joint.problem import READ, joint_problem, predict
from tarebook.reduction.joint.results import BeyondModel
from tarebook.reduction.joint.trial import CONTENT, CONTENT_RANGE
from tarebook.series.experiment import Experiment


def cups_beyond(
    experiment: Experiment,
    table: RunTable,
    runs: tuple[str, ...] | None = None,
    content: float | None = None,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
) -> tuple[BeyondModel, ...]:
    """Return the cups outside the range of the model, each looked at by itself.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    runs : tuple of str, optional
        The runs to look at; else all that have a reading.
    content : float or None, [g/g]
        Of the sample, as far as it is known; else what is claimed or usual.
    effects : frozenset of CupEffect
    """
    if runs is None:
        runs = tuple(run for run in table.runs if any(table.of(run, q) for q in READ))
    if runs and _holds(experiment, table, runs, content, effects) is None:
        return ()
    found = []
    for run in runs:
        error = _holds(experiment, table, (run,), content, effects)
        if error is not None:
            found.append(BeyondModel(run=run, error=error))
    return tuple(found)


def _holds(
    experiment: Experiment,
    table: RunTable,
    runs: tuple[str, ...],
    content: float | None,
    effects: frozenset[CupEffect],
) -> OutOfRangeError | None:
    """Return what is out of range in one of the cups; None if nothing is."""
    problem = joint_problem(experiment, table, runs, effects)
    unknowns = problem.start()
    if content is not None:
        unknowns[CONTENT] = float(np.clip(content, *CONTENT_RANGE))
    try:
        # A reading that cannot be has its own finding; here it only must not break the sum.
        with np.errstate(all="ignore"):
            predict(problem, unknowns[None, :])
    except OutOfRangeError as error:
        return error
    return None
