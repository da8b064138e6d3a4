"""What is left over, and what makes it neutral."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.substances import acid_substance
from tarebook.planning.contents import content_range
from tarebook.planning.prepare.amounts import molar_volume, run_sums
from tarebook.planning.prepare.supply import bought_row
from tarebook.series.experiment import Experiment


class WasteWay(StrEnum):
    """What becomes of what is left over."""

    ACID = "acid"
    BASE = "base"
    COLLECT = "collect"


@dataclass(frozen=True, slots=True, kw_only=True)
class Waste:
    """All groups' cups and the stock that was put out on top.

    Attributes
    ----------
    way : WasteWay
        Whether acid or base is left, or it is collected because the tables do not know it.
    volume : float, [L]
        From the cups, without rinsing water.
    stock_left : float, [L]
        Most that can be left of the stock.
    equivalents : float, [mol]
        Of acid (or base) in the cups with reagent to spare and in the stock left, at most: for the
        lowest content that the row is planned for. Acid that the sample brought counts too.
    neutraliser : str
        Formula; empty if it is collected.
    mass : float, [g]
        Of the neutraliser for that.
    gas_volume : float, [L]
        Of CO2 that neutralising gives.
    gas_on_pooling : float, [L]
        Of the experiment's gas that comes when cups with reagent to spare are poured together with
        cups that have sample to spare.
    """

    way: WasteWay
    volume: float
    stock_left: float
    equivalents: float
    neutraliser: str
    mass: float
    gas_volume: float
    gas_on_pooling: float


def _pooled(experiment: Experiment, content: float) -> float:
    """Return how far one group's cups still react when they are poured together, [mol]."""
    sums, reaction = run_sums(experiment, content), experiment.reaction
    return min(
        sum(one.reagent_left for one in sums) / reaction.reagent_coefficient,
        sum(one.analyte_left for one in sums) / reaction.analyte_coefficient,
    )


def waste(experiment: Experiment, groups: int, stock_made: float) -> Waste:
    """Return what is left over after the lesson.

    Parameters
    ----------
    experiment : Experiment
    groups : int
    stock_made : float, [L]
    """
    reaction = experiment.reaction
    contents = content_range(experiment)
    poured = groups * sum(run.reagent for run in experiment.planned)
    stock_left = max(stock_made - poured, 0.0)
    # Most is left of the acid (or base) where the sample holds least.
    spare = groups * sum(one.reagent_left for one in run_sums(experiment, contents.low))
    moles = spare + stock_left * experiment.reagent.concentration.value
    row = bought_row(reaction.reagent)
    poured_acid = acid_substance(reaction.reagent)
    litres_per_mole = molar_volume(experiment)
    pooled = groups * max(_pooled(experiment, share) for share in contents.scenarios)
    way, neutraliser, equivalents, gas = WasteWay.COLLECT, "", 0.0, 0.0
    if poured_acid is not None:
        way, neutraliser = WasteWay.ACID, "NaHCO3"
        equivalents = moles * poured_acid.protons
        gas = equivalents
        mass = equivalents * molar_mass(neutraliser).value
    elif row is not None and "hydroxides" in row:
        way, neutraliser = WasteWay.BASE, "C6H8O7.H2O"
        equivalents = moles * row["hydroxides"]
        mass = equivalents / 3.0 * molar_mass(neutraliser).value
        gas = moles if "CO3" in row["solute"] else 0.0
    else:
        mass = 0.0
    return Waste(
        way=way,
        volume=groups * len(experiment.planned) * experiment.total_volume,
        stock_left=stock_left,
        equivalents=equivalents,
        neutraliser=neutraliser,
        mass=mass,
        gas_volume=gas * litres_per_mole,
        gas_on_pooling=pooled * reaction.gas_coefficient * litres_per_mole,
    )
