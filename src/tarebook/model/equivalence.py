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
    acting = parameters.under(effects)
    left = extents(experiment, acting, np.zeros(np.shape(parameters.content)), mass)
    moles = (left.by_analyte - left.by_own_acid) * experiment.reaction.reagent_coefficient
    scale, held = acting.scale_reagent, acting.hold_up_reagent
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
    acting = parameters.under(effects)
    asked = np.array(experiment.common_reagent)
    fillings = n_fillings(experiment.equipment.reagent, asked)
    poured = delivered(asked, acting.scale_reagent, acting.hold_up_reagent * fillings)
    reagent = poured * parameters.concentration
    one_gram = extents(experiment, acting, reagent, np.array(1.0))
    takes = one_gram.by_analyte - one_gram.by_own_acid
    with np.errstate(divide="ignore"):
        return np.where(takes > 0, one_gram.by_reagent / np.maximum(takes, 0.0), np.inf)
