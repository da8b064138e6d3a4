"""The equivalence point: where both reactants are just used up."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.model.delivery import delivered, reading_for
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.limiting import extents
from tarebook.model.parameters import Parameters
from tarebook.records.pours import n_fillings
from tarebook.series.experiment import Experiment


def equivalence_reading(
    experiment: Experiment,
    parameters: Parameters,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
) -> FloatArray:
    """Return the reagent reading at which both reactants are just used up, [L].

    Liquid stays behind at every filling of the ware. How often it is filled is taken alike for all
    sets of parameters, as the middle one needs it: a set of them is about one row.

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
    scale, held = _handling(parameters, effects)
    volume = moles / parameters.concentration
    reading, ware = reading_for(volume, scale, held), experiment.equipment.reagent
    # What the fillings leave behind may take one filling more to make up for.
    for _ in range(2):
        fillings = np.maximum(n_fillings(ware, np.array(np.median(reading))), 1.0)
        reading = reading_for(volume, scale, held * fillings)
    return reading


def equivalence_mass(
    experiment: Experiment,
    parameters: Parameters,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
) -> FloatArray:
    """Return the sample that uses up the reagent of a row in which the sample grows, [g].

    Infinite where the sample's own acid is more than its analyte takes up.

    Parameters
    ----------
    experiment : Experiment
        Its runs ask for the same volume of reagent.
    parameters : Parameters
        Numbers or arrays of one shape.
    effects : frozenset of CupEffect
    """
    scale, held = _handling(parameters, effects)
    asked = np.array(experiment.common_reagent)
    fillings = n_fillings(experiment.equipment.reagent, asked)
    reagent = delivered(asked, scale, held * fillings) * parameters.concentration
    one_gram = extents(experiment, parameters, reagent, np.array(1.0), effects)
    takes = one_gram.by_analyte - one_gram.by_own_acid
    with np.errstate(divide="ignore"):
        return np.where(takes > 0, one_gram.by_reagent / np.maximum(takes, 0.0), np.inf)


def _handling(
    parameters: Parameters, effects: frozenset[CupEffect]
) -> tuple[FloatArray, FloatArray]:
    """Return the scale error and the hold-up of the reagent's ware, as far as they count."""
    none = np.zeros(np.shape(parameters.content))
    scale = parameters.scale_reagent if CupEffect.CALIBRATION in effects else none
    held = parameters.hold_up_reagent if CupEffect.HOLD_UP in effects else none
    return scale, held
