"""The equivalence point: where both reactants are just used up."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.model.delivery import reading_for
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.limiting import extents
from tarebook.model.parameters import Parameters
from tarebook.series.experiment import Experiment


def equivalence_reading(
    experiment: Experiment,
    parameters: Parameters,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
) -> FloatArray:
    """Return the reagent reading at which both reactants are just used up, [L].

    Parameters
    ----------
    experiment : Experiment
        Its nominal sample mass is the one that the volume is for.
    parameters : Parameters
        Numbers or arrays of one shape.
    effects : frozenset of CupEffect
    """
    mass = np.array(experiment.sample.nominal_mass)
    none = np.zeros(np.shape(parameters.content))
    left = extents(experiment, parameters, none, mass, effects)
    moles = (left.by_analyte - left.by_own_acid) * experiment.reaction.reagent_coefficient
    scale = parameters.scale_reagent if CupEffect.CALIBRATION in effects else 0.0 * moles
    held = parameters.hold_up_reagent if CupEffect.HOLD_UP in effects else 0.0 * moles
    return reading_for(moles / parameters.concentration, scale, held)
