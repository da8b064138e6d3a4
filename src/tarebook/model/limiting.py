"""The limiting reactant: how far each of the two reactants lets the reaction go.

The one place where amounts are compared. Acid of the sample counts with the reagent poured.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.chemistry.equilibrium.acids import CARBONIC
from tarebook.chemistry.substances import carbonate
from tarebook.core.arrays import FloatArray
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.parameters import Parameters
from tarebook.series.experiment import Experiment, Reaction


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Extents:
    """How far the reaction can go, as the equation counts it; arrays that broadcast.

    Attributes
    ----------
    by_reagent : ndarray, [mol]
        With the reagent poured alone.
    by_own_acid : ndarray, [mol]
        With the acid of the sample alone.
    by_analyte : ndarray, [mol]
        With the analyte of the sample.
    lag : float, [1]
        Part of the acid that the analyte takes up before any gas comes: half of it for a dissolved
        carbonate, which turns into hydrogen carbonate first; 0 for most.
    """

    by_reagent: FloatArray
    by_own_acid: FloatArray
    by_analyte: FloatArray
    lag: float = 0.0

    @property
    def by_acid(self) -> FloatArray:
        """With all acid in the vessel: that of the sample and that poured, [mol]."""
        return self.by_reagent + self.by_own_acid

    @property
    def excess(self) -> FloatArray:
        """Extent that the acid allows less that which the analyte allows, [mol].

        Negative where the reagent limits.
        """
        return self.by_acid - self.by_analyte

    @property
    def reached(self) -> FloatArray:
        """How far the reaction goes, [mol]."""
        return np.maximum(np.minimum(self.by_acid, self.by_analyte), 0.0)

    @property
    def gas(self) -> FloatArray:
        """How far it goes as counted by the gas, [mol]: nothing before the lag is made up."""
        if self.lag == 0.0:
            return self.reached
        beyond = (self.reached - self.lag * self.by_analyte) / (1.0 - self.lag)
        return np.maximum(beyond, 0.0)


def extents(
    experiment: Experiment,
    parameters: Parameters,
    reagent_amount: FloatArray,
    sample_mass: FloatArray,
) -> Extents:
    """Return how far the reaction can go by each reactant.

    Parameters
    ----------
    experiment : Experiment
    parameters : Parameters
        Content and own acid of the sample; numbers or arrays. Of those of `Parameters.under`
        effects without OWN_ACID the sample's acid counts for nothing.
    reagent_amount : ndarray, [mol]
        Of the reagent in the vessel.
    sample_mass : ndarray, [g]
    """
    reaction = experiment.reaction
    analyte = parameters.content * sample_mass / reaction.analyte_molar_mass.value
    protons = protons_of_extent(reaction)
    own = parameters.own_acid * sample_mass / protons if protons > 0.0 else 0.0 * sample_mass
    return Extents(
        by_reagent=np.asarray(reagent_amount / reaction.reagent_coefficient),
        by_own_acid=np.asarray(own),
        by_analyte=np.asarray(analyte / reaction.analyte_coefficient),
        lag=lag_of(reaction),
    )


def lag_of(reaction: Reaction) -> float:
    """Return the part of its acid that the analyte takes up before any gas comes.

    Carbonate in solution takes up one proton and stays there as hydrogen carbonate; only the next
    one sets CO2 free. A solid that dissolves no faster than acid reaches it has no such step.

    Parameters
    ----------
    reaction : Reaction

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> [lag_of(SimpleNamespace(analyte=f)) for f in ("NaHCO3", "Na2CO3.10H2O", "CaCO3", "Mg")]
    [0.0, 0.5, 0.0, 0.0]
    """
    solid = carbonate(reaction.analyte)
    if solid is None or not solid.dissolves:
        return 0.0
    return (solid.protons - solid.acids[CARBONIC]) / solid.protons
