"""What the reaction of an experiment is to the equilibrium solver.

A reaction of a carbonate or bicarbonate with an acid is solved as an equilibrium. Any other
reaction that gives off a gas is taken to go to the end and to keep no gas back; the result says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tarebook.chemistry.equilibrium import StrongIon, System, acid
from tarebook.chemistry.formula import Formula, parse_formula
from tarebook.series.experiment import Reaction

Composition = frozenset[tuple[str, int]]


def _composition(formula: Formula | str) -> Composition:
    parsed = parse_formula(formula) if isinstance(formula, str) else formula
    return frozenset(parsed.counts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dissolved:
    """What one mole of a substance puts into the solution.

    Attributes
    ----------
    acids : mapping of str to float, [mol/mol]
        Weak acids in all their forms.
    charge : float, [mol/mol]
        Charge of the strong ions it brings, which the acids' forms balance.
    protons : float, [mol/mol]
        Protons that turn all of it into CO2; 0 for an acid.
    enthalpy : float, [J/mol]
        Of the solid and strong acid to solution and gas, 298 K; positive cools the cup.
    """

    acids: Mapping[str, float]
    charge: float
    protons: float = 0.0
    enthalpy: float = 0.0


BICARBONATE_ENTHALPY = 31.4e3
"""NaHCO3(s) + H+ -> Na+ + CO2 + H2O, J/mol: CRC ion enthalpies as `chemicals` 1.5.2 has them."""

CARBONATE_ENTHALPY = -28.8e3
"""Na2CO3(s) + 2 H+ -> 2 Na+ + CO2 + H2O, J/mol: from the same table."""

CARBONATES: Final[dict[Composition, Dissolved]] = {
    _composition(formula): dissolved
    for formula, dissolved in {
        "NaHCO3": Dissolved(
            acids={"carbonic": 1.0}, charge=1.0, protons=1.0, enthalpy=BICARBONATE_ENTHALPY
        ),
        # For these the heat is not in our table: no cooling is taken into account.
        "KHCO3": Dissolved(acids={"carbonic": 1.0}, charge=1.0, protons=1.0),
        "K2CO3": Dissolved(acids={"carbonic": 1.0}, charge=2.0, protons=2.0),
        "NH4HCO3": Dissolved(acids={"carbonic": 1.0, "ammonium": 1.0}, charge=0.0, protons=1.0),
        "Na2CO3": Dissolved(
            acids={"carbonic": 1.0}, charge=2.0, protons=2.0, enthalpy=CARBONATE_ENTHALPY
        ),
        "Na2CO3.10H2O": Dissolved(acids={"carbonic": 1.0}, charge=2.0, protons=2.0),
    }.items()
}
"""Soluble carbonates. A carbonate that does not dissolve on its own (CaCO3) is not among them."""

ACIDS: Final[dict[Composition, Dissolved]] = {
    _composition(formula): dissolved
    for formula, dissolved in {
        "HCl": Dissolved(acids={}, charge=-1.0),
        "HNO3": Dissolved(acids={}, charge=-1.0),
        "HBr": Dissolved(acids={}, charge=-1.0),
        "H2SO4": Dissolved(acids={"hydrogensulfate": 1.0}, charge=0.0),
        "NaHSO4": Dissolved(acids={"hydrogensulfate": 1.0}, charge=1.0),
        "C2H4O2": Dissolved(acids={"acetic": 1.0}, charge=0.0),
        "C6H8O7": Dissolved(acids={"citric": 1.0}, charge=0.0),
        "C6H8O7.H2O": Dissolved(acids={"citric": 1.0}, charge=0.0),
        "C4H6O6": Dissolved(acids={"tartaric": 1.0}, charge=0.0),
        "H3PO4": Dissolved(acids={"phosphoric": 1.0}, charge=0.0),
        "C9H8O4": Dissolved(acids={"acetylsalicylic": 1.0}, charge=0.0),
    }.items()
}

CATION, ANION = StrongIon("M+", 1), StrongIon("X-", -1)
"""The strong ions of the cup, whatever metal and acid they come from."""


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
    analyte = CARBONATES.get(_composition(reaction.analyte))
    reagent = ACIDS.get(_composition(reaction.reagent))
    if analyte is None or reagent is None or _composition(reaction.gas) != _composition("CO2"):
        return None
    names = dict.fromkeys([*analyte.acids, *reagent.acids])
    return CupChemistry(
        system=System(acids=tuple(acid(name) for name in names), strong_ions=(CATION, ANION)),
        analyte=analyte,
        reagent=reagent,
    )
