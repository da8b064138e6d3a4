"""What the reaction of an experiment is to the equilibrium solver.

A reaction of a carbonate or bicarbonate with an acid of the table `carbonates.toml` is solved as an
equilibrium. Any other reaction that gives off a gas is taken to go to the end and to keep no gas
back; `assumptions` says so in words, and results carry them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final, TypeAlias

from tarebook.chemistry.equilibrium import StrongIon, System, acid
from tarebook.chemistry.formula import Formula, parse_formula
from tarebook.core.tables import reference_table
from tarebook.model.effects import CupEffect
from tarebook.series.experiment import Reaction

Composition: TypeAlias = frozenset[tuple[str, int]]

CATION, ANION = StrongIon("M+", 1), StrongIon("X-", -1)
"""The strong ions of the cup, whatever metal and acid they come from."""

DOUBLE_CATION: Final = StrongIon("M2+", 2)
"""Calcium or magnesium: it counts four times in the ionic strength."""

CARBONIC: Final = "carbonic"

AIR_MOLAR_MASS: Final = 28.96
"""g/mol; a gas lighter than this rises out of an open vessel (CIPM-2007: 28.965 with 400 ppm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dissolved:
    """What one mole of a substance puts into the solution.

    Attributes
    ----------
    acids : mapping of str to float, [mol/mol]
        Weak acids in all their forms.
    charge : float, [mol/mol]
        Charge of the strong ions it brings, which the acids' forms balance.
    ion : StrongIon
        The strong ion that carries a positive charge.
    protons : float, [mol/mol]
        Protons that turn all of its carbonate into CO2; 0 for an acid.
    water : float, [mol/mol]
        Water of crystallisation.
    dissolves : bool
        Whether it dissolves of itself, or only as far as acid takes it.
    reaction_heat : float, [J/mol]
        Of the solid and strong acid to solution and gas, 298 K; positive cools the cup.
    solution_heat : float, [J/mol]
        Of the solid to its solution, for the part that finds no acid.
    """

    acids: Mapping[str, float]
    charge: float
    ion: StrongIon = CATION
    protons: float = 0.0
    water: float = 0.0
    dissolves: bool = True
    reaction_heat: float = 0.0
    solution_heat: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CupChemistry:
    """A reaction as the equilibrium solver sees it.

    Attributes
    ----------
    system : System
    analyte, reagent : Dissolved
    """

    system: System
    analyte: Dissolved
    reagent: Dissolved


def cup_chemistry(reaction: Reaction) -> CupChemistry | None:
    """Return a reaction as an equilibrium; None where it is not one that is known here.

    Parameters
    ----------
    reaction : Reaction
    """
    return _chemistry(reaction.analyte, reaction.reagent, reaction.gas)


def solves_equilibrium(reaction: Reaction, effects: frozenset[CupEffect]) -> bool:
    """Return whether the pH of the cups is known.

    Parameters
    ----------
    reaction : Reaction
    effects : frozenset of CupEffect
    """
    return CupEffect.DISSOLVED_GAS in effects and cup_chemistry(reaction) is not None


@lru_cache(maxsize=256)
def _chemistry(analyte: str, reagent: str, gas: str) -> CupChemistry | None:
    solid = carbonate(analyte)
    liquid = _rows("acid").get(_composition(reagent))
    if solid is None or liquid is None or _composition(gas) != _composition("CO2"):
        return None
    acid_in_stock = Dissolved(
        acids=liquid.get("acids", {}),
        charge=liquid.get("charge", 0.0),
        water=liquid.get("water", 0.0),
    )
    names = dict.fromkeys([*solid.acids, *acid_in_stock.acids])
    ions = dict.fromkeys([CATION, solid.ion, ANION])
    return CupChemistry(
        system=System(acids=tuple(acid(name) for name in names), strong_ions=tuple(ions)),
        analyte=solid,
        reagent=acid_in_stock,
    )


@lru_cache(maxsize=256)
def carbonate(formula: str) -> Dissolved | None:
    """Return what a carbonate of the table puts into solution; None if it is not in the table.

    Parameters
    ----------
    formula : str

    Examples
    --------
    >>> soda = carbonate("Na2CO3.10H2O")
    >>> soda.protons, soda.water
    (2, 10)
    """
    row = _rows("carbonate").get(_composition(formula))
    if row is None:
        return None
    return Dissolved(
        acids={name: row[name] for name in (CARBONIC, "ammonium") if name in row},
        charge=row["charge"],
        ion=DOUBLE_CATION if row.get("ion_charge", 1) == 2 else CATION,
        protons=row["protons"],
        water=row.get("water", 0),
        dissolves=row.get("dissolves", True),
        reaction_heat=1000.0 * row["reaction_kJ"],
        solution_heat=1000.0 * row["solution_kJ"],
    )


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
    if _composition(reaction.gas) == _composition("H2"):
        return 2.0 * reaction.gas_coefficient
    return 0.0


def assumptions(reaction: Reaction) -> tuple[str, ...]:
    """Return what the model takes for granted about a reaction and cannot test, in sentences.

    Parameters
    ----------
    reaction : Reaction
    """
    found = []
    chemistry = cup_chemistry(reaction)
    if chemistry is None:
        found.append(
            f"No equilibrium is known here for {reaction.analyte} and {reaction.reagent}: the "
            f"reaction is taken to go to the end, no {reaction.gas} to stay dissolved, and the "
            "temperature not to change; no pH is given."
        )
    elif not chemistry.analyte.dissolves:
        found.append(
            f"{reaction.analyte} is taken to dissolve as far as the acid allows by the equation, "
            "no further, and to have had the time for it."
        )
    if protons_of_extent(reaction) == 0.0:
        found.append(f"Acid of the sample itself is taken to have no part in {reaction.gas}.")
    return tuple(found)


def _composition(formula: Formula | str) -> Composition:
    parsed = parse_formula(formula) if isinstance(formula, str) else formula
    return frozenset(parsed.counts)


@lru_cache(maxsize=2)
def _rows(kind: str) -> dict[Composition, dict[str, Any]]:
    """Return the rows of one kind by what the formula is made of, however it is spelled."""
    rows = reference_table("tarebook.model", "carbonates")[kind]
    return {_composition(row["formula"]): row for row in rows}
