"""What a row is drawn along: the reactant that grows, per portion of the one that stays the same.

In most rows the reagent grows, and volume and mass lost are taken per gram of sample: while the
reagent limits the loss rises with its volume, then the sample limits and it stays level. A row in
which the sample grows is the mirror of it: sample and mass lost are taken per portion of reagent.
While the sample limits the loss rises with its mass, by the gas of one gram; where the reagent is
used up the line breaks.

Beyond the break the loss of a mirror row stays level, unless

* the sample brings acid of its own, which goes on making gas with the analyte left over, or
* the analyte is a dissolved carbonate: each gram more then takes acid away from the hydrogen
  carbonate of the others, so that the gas falls as steeply as it rose and is gone at twice the
  sample of the break.

Both slopes follow from the equation and the rising line. So the falling line is not fitted freely:
it is taken off, and what is left is a line with a level part, as in any other row.
"""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.arrays import FloatArray
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.limiting import lag_of
from tarebook.series.experiment import Experiment, Grows, Reaction


@dataclass(frozen=True, slots=True, kw_only=True)
class RowAxis:
    """What a row is drawn along.

    Attributes
    ----------
    grows : {"reagent", "sample"}
        What grows: its amount is the x of the lines.
    fixed : float, [g] or [L]
        The portion of the other one that the row is drawn for: the nominal sample mass, or the
        reagent that each cup asks for.
    """

    grows: Grows
    fixed: float

    @property
    def unit(self) -> str:
        """Unit in memory of what grows."""
        return "L" if self.grows == "reagent" else "g"

    @property
    def portion(self) -> float:
        """Units of the fit in one portion of what stays the same.

        Where the reagent grows the lines are drawn per gram of sample, and a portion has several;
        where the sample grows they are drawn for the portion itself.
        """
        return self.fixed if self.grows == "reagent" else 1.0

    def shares(self, volume: FloatArray, sample: FloatArray) -> FloatArray:
        """Return how much each run has of what stays the same, in units of the fit.

        Parameters
        ----------
        volume : ndarray, [L]
            Of the reagent.
        sample : ndarray, [g]
        """
        return sample if self.grows == "reagent" else volume / self.fixed

    def grown(self, volume: FloatArray, sample: FloatArray) -> FloatArray:
        """Return how much each run has of what grows, [L] or [g]."""
        return volume if self.grows == "reagent" else sample

    def reagent_for(self, meets_at: FloatArray, mass: float) -> FloatArray:
        """Return the reagent that uses up a mass of sample, [L], from where the lines meet.

        Parameters
        ----------
        meets_at : ndarray, [L] or [g]
            In the picture: for the portion that it is drawn for.
        mass : float, [g]
            The nominal sample mass, which is that portion where the reagent grows.
        """
        return meets_at if self.grows == "reagent" else self.fixed * mass / meets_at

    def reagent_per_gram(self, x: FloatArray) -> FloatArray:
        """Return the reagent for a gram of sample at a place on the axis of the fit, [L/g]."""
        return x if self.grows == "reagent" else self.fixed / x


def row_axis(experiment: Experiment) -> RowAxis:
    """Return what the row of an experiment is drawn along."""
    if experiment.grows == "sample":
        return RowAxis(grows="sample", fixed=experiment.common_reagent)
    return RowAxis(grows="reagent", fixed=experiment.sample.nominal_mass)


def gas_of_content(reaction: Reaction) -> float:
    """Return the gas that a gram of pure analyte makes, [g/g]."""
    moles = reaction.gas_coefficient / reaction.analyte_coefficient
    return moles / reaction.mass_ratio.value


TIED_ROUNDS = 4
"""How often the lines are drawn where the right one follows from the left one: the left one hardly
depends on it, and settles after two."""


def rounds_of(axis: RowAxis, reaction: Reaction) -> int:
    """Return how often the lines of a row have to be drawn until both are settled."""
    return TIED_ROUNDS if axis.grows == "sample" and lag_of(reaction) > 0.0 else 1


def expected_rise(experiment: Experiment) -> float:
    """Return the gas that a gram of sample should make by its label, or if it is pure, [g/g]."""
    claimed = experiment.sample.claimed_mass_fraction
    return (claimed.value if claimed else 1.0) * gas_of_content(experiment.reaction)


def slope_beyond(
    axis: RowAxis, reaction: Reaction, rise: FloatArray, own_acid: FloatArray
) -> FloatArray:
    """Return the slope of the lines beyond the break, by the equation.

    Parameters
    ----------
    axis : RowAxis
    reaction : Reaction
    rise : ndarray
        Slope of the rising line.
    own_acid : ndarray, [mol/g]
        Protons that a gram of sample brings.

    Returns
    -------
    ndarray, [g/g]
        Gas for each gram of sample more; 0 where the reagent grows.
    """
    if axis.grows == "reagent":
        return 0.0 * rise
    lag, protons = lag_of(reaction), protons_of_extent(reaction)
    extent = own_acid / protons if protons else 0.0 * own_acid
    by_own_acid = extent * reaction.gas_coefficient * reaction.gas_molar_mass.value
    return (by_own_acid - lag * rise) / (1.0 - lag)
