"""What the balance will show of the gas, by the forward model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.cup_chemistry import reacting_solid
from tarebook.model.priors import central_parameters
from tarebook.planning.expected import lost_as_planned
from tarebook.planning.prepare.amounts import content
from tarebook.series.experiment import Experiment


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ExpectedLoss:
    """Arrays over the planned runs, [g].

    Attributes
    ----------
    lost : ndarray
        What is missing on the balance at the last weighing.
    stays : ndarray
        Gas made that has not left the liquid.
    water : ndarray
        Water in the loss: vapour that the gas takes along, and what evaporates while waiting.
    """

    lost: FloatArray
    stays: FloatArray
    water: FloatArray


def expected_loss(experiment: Experiment) -> ExpectedLoss | None:
    """Return what the balance is expected to miss in every planned run, poured as planned.

    Parameters
    ----------
    experiment : Experiment

    Returns
    -------
    ExpectedLoss or None
        None where the model does not know the reaction or the strength is beyond its constants.
    """
    if reacting_solid(experiment.reaction) is None:
        return None
    parameters = central_parameters(experiment).with_values(content=np.array(content(experiment)))
    try:
        state, lost = lost_as_planned(experiment, parameters)
    except OutOfRangeError:
        return None
    return ExpectedLoss(lost=lost, stays=state.dissolved, water=state.vapour + state.evaporated)
