"""What the reaction of an experiment is to the equilibrium solver.

A reaction of a carbonate or bicarbonate with an acid of the table `substances.toml` is solved as an
equilibrium. Any other reaction that gives off a gas is taken to go to the end and to keep no gas
back; `assumptions` says so, and results carry them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from tarebook.chemistry.equilibrium import System, acid
from tarebook.chemistry.substances import (
    Substance,
    acid_substance,
    carbonate,
    composition,
    metal,
    strong_ion,
)
from tarebook.core.phrase import Phrase
from tarebook.core.tables import reference_table
from tarebook.model.effects import CupEffect
from tarebook.series.experiment import Experiment, Reaction

CATION, ANION = strong_ion("Na+"), strong_ion("Cl-")
"""The ions that come with acid or base of the sample that has no name."""

AIR_MOLAR_MASS: Final = 28.96
"""g/mol; a gas lighter than this rises out of an open vessel (CIPM-2007: 28.965 with 400 ppm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CupChemistry:
    """A reaction as the equilibrium solver sees it.

    Attributes
    ----------
    system : System
    analyte, reagent : Substance
    """

    system: System
    analyte: Substance
    reagent: Substance


def cup_chemistry(reaction: Reaction, own_acids: tuple[str, ...] = ()) -> CupChemistry | None:
    """Return a reaction as an equilibrium; None where it is not one that is known here.

    Parameters
    ----------
    reaction : Reaction
    own_acids : tuple of str
        Formulas of the acids that the sample carries.
    """
    return _chemistry(reaction.analyte, reaction.reagent, reaction.gas, own_acids)


def gas_kept_is_unknown(reaction: Reaction) -> bool:
    """Return whether nobody can say how much of the gas stays in the liquid.

    Parameters
    ----------
    reaction : Reaction
    """
    if cup_chemistry(reaction) is not None:
        return False
    hardly = reference_table("tarebook.model", "cup")["hardly_soluble"]["gases"]
    return composition(reaction.gas) not in {composition(gas) for gas in hardly}


def solves_equilibrium(reaction: Reaction, effects: frozenset[CupEffect]) -> bool:
    """Return whether the pH of the cups is known.

    Parameters
    ----------
    reaction : Reaction
    effects : frozenset of CupEffect
    """
    return CupEffect.DISSOLVED_GAS in effects and cup_chemistry(reaction) is not None


@lru_cache(maxsize=256)
def _chemistry(
    analyte: str, reagent: str, gas: str, own_acids: tuple[str, ...]
) -> CupChemistry | None:
    solid, poured = carbonate(analyte), acid_substance(reagent)
    if solid is None or poured is None or composition(gas) != composition("CO2"):
        return None
    carried = [found for formula in own_acids if (found := acid_substance(formula)) is not None]
    names = dict.fromkeys(name for one in (solid, poured, *carried) for name in one.acids)
    ions = dict.fromkeys(name for one in (solid, poured, *carried) for name in one.ions)
    ions |= dict.fromkeys((CATION.name, ANION.name))
    return CupChemistry(
        system=System(
            acids=tuple(acid(name) for name in names),
            strong_ions=tuple(strong_ion(name) for name in ions),
        ),
        analyte=solid,
        reagent=poured,
    )


def reacting_solid(reaction: Reaction) -> Substance | None:
    """Return the solid whose heat of reaction is known: a carbonate or a metal of the table.

    Parameters
    ----------
    reaction : Reaction
    """
    if composition(reaction.gas) == composition("H2"):
        return metal(reaction.analyte)
    return carbonate(reaction.analyte) if cup_chemistry(reaction) else None


def protons_of_extent(reaction: Reaction) -> float:
    """Return the protons that one extent of reaction takes up: what acid of the sample counts for.

    A carbonate takes those of its table row, a hydrogen molecule is made of two. Where acid has no
    known part in the reaction the answer is 0 and a sample's own acid does nothing.

    Parameters
    ----------
    reaction : Reaction
    """
    solid = carbonate(reaction.analyte)
    if solid is not None:
        return float(solid.protons * reaction.analyte_coefficient)
    if composition(reaction.gas) == composition("H2"):
        return 2.0 * reaction.gas_coefficient
    return 0.0


def assumptions(experiment: Experiment) -> tuple[Phrase, ...]:
    """Return what the model takes for granted about an experiment and cannot test.

    Parameters
    ----------
    experiment : Experiment
    """
    return (*_of_reaction(experiment.reaction), *_of_own_acid(experiment))


def _of_reaction(reaction: Reaction) -> list[Phrase]:
    found = []
    chemistry = cup_chemistry(reaction)
    if chemistry is None:
        found.append(
            Phrase.of(
                "model-no_equilibrium",
                analyte=reaction.analyte,
                reagent=reaction.reagent,
                heat=reacting_solid(reaction) is not None,
            )
        )
    elif not chemistry.analyte.dissolves:
        found.append(Phrase.of("model-dissolves_so_far", analyte=reaction.analyte))
    if protons_of_extent(reaction) == 0.0:
        found.append(Phrase.of("model-acid_has_no_part", gas=reaction.gas))
    return found


def _of_own_acid(experiment: Experiment) -> list[Phrase]:
    sample = experiment.sample
    if sample.acid_is_unknown and not sample.acids:
        return [Phrase("model-acid_without_name")]
    if sample.own_acid is not None and sample.own_acid.value > 0:
        return [Phrase("model-acid_taken_for_strong")]
    return [Phrase("model-may_hold_base")] if may_hold_base(experiment) else []


def may_hold_base(experiment: Experiment) -> bool:
    """Return whether nothing says that a sample is free of base, and it may well hold some.

    Parameters
    ----------
    experiment : Experiment
    """
    sample, solid = experiment.sample, carbonate(experiment.reaction.analyte)
    is_said = sample.acids or sample.acid_is_unknown or sample.acid_is_none or sample.own_acid
    return solid is not None and not solid.dissolves and not is_said
