"""Substances of the cup: what one mole of a carbonate, a metal or an acid puts into solution.

A formula is looked up by what it is made of, however it is spelled; of isomers the table holds the
one that teaching laboratories use.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final, TypeAlias

import numpy as np

from tarebook.chemistry.equilibrium import StrongIon, acid
from tarebook.chemistry.equilibrium.acids import REFERENCE_TEMPERATURE, Acid
from tarebook.chemistry.equilibrium.constants import evaluate_log_k
from tarebook.chemistry.formula import Formula, parse_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.core.tables import reference_table

Composition: TypeAlias = frozenset[tuple[str, int]]

HEAVIEST_LITRE: Final = 2000.0
"""Mass that a litre of no acid at a bench goes beyond, [g]; pure sulfuric acid has 1840."""

COUNTS_BELOW_PK: Final = 7.5
"""A proton with a smaller pK counts against a carbonate: carbonic acid's own first pK is 6.35, and
in an open vessel the CO2 that leaves takes with it what a weaker acid would have given back."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Substance:
    """What one mole of a substance puts into the solution.

    Attributes
    ----------
    formula : str
        As the table writes it.
    common : str
        The name people know it by; the formula where the table has none.
    acids : mapping of str to float, [mol/mol]
        Weak acids in all their forms.
    ions : mapping of str to float, [mol/mol]
        Strong ions, which the acids' forms balance.
    protons : float, [mol/mol]
        That it takes up (a carbonate, a metal) or gives to a carbonate (an acid).
    water : float, [mol/mol]
        Water of crystallisation.
    dissolves : bool
        Whether it dissolves of itself, or only as far as acid takes it.
    reaction_heat : float, [J/mol]
        Of the solid and strong acid to solution and gas, 298 K; positive cools the cup.
    solution_heat : float, [J/mol]
        Of the solid to its solution, for the part that finds no acid.
    """

    formula: str
    common: str = ""
    acids: Mapping[str, float] = field(default_factory=dict)
    ions: Mapping[str, float] = field(default_factory=dict)
    protons: float = 0.0
    water: float = 0.0
    dissolves: bool = True
    reaction_heat: float = 0.0
    solution_heat: float = 0.0

    @property
    def charge(self) -> float:
        """Charge of its strong ions, [mol/mol]: that which the acids' forms balance."""
        return sum(count * strong_ion(name).charge for name, count in self.ions.items())


def strong_ion(name: str) -> StrongIon:
    """Return a strong ion by its name, from which its charge is read.

    Parameters
    ----------
    name : str
        Such as ``Na+``, ``Ca^2+`` or ``Cl-``.

    Examples
    --------
    >>> strong_ion("Ca^2+").charge, strong_ion("Cl-").charge
    (2, -1)
    """
    found = re.fullmatch(r".*?(?:\^(\d+))?([+-])", name)
    if found is None:
        raise ValueError(f"no charge in the name of the ion {name!r}")
    size = int(found[1] or 1)
    return StrongIon(name, size if found[2] == "+" else -size)


def composition(formula: Formula | str) -> Composition:
    """Return what a formula is made of, whatever its spelling."""
    parsed = parse_formula(formula) if isinstance(formula, str) else formula
    return frozenset(parsed.counts)


@lru_cache(maxsize=256)
def carbonate(formula: str) -> Substance | None:
    """Return a carbonate of the table; None if it is not in there.

    Parameters
    ----------
    formula : str

    Examples
    --------
    >>> soda = carbonate("Na2CO3.10H2O")
    >>> soda.protons, soda.water
    (2, 10)
    """
    return _substance("carbonate", formula)


@lru_cache(maxsize=256)
def metal(formula: str) -> Substance | None:
    """Return a metal that gives off hydrogen with acid; None if it is not in the table.

    Parameters
    ----------
    formula : str
    """
    return _substance("metal", formula)


@lru_cache(maxsize=256)
def acid_substance(formula: str) -> Substance | None:
    """Return an acid of the table, poured or carried by a sample; None if it is not in there.

    Parameters
    ----------
    formula : str

    Examples
    --------
    >>> [acid_substance(f).protons for f in ("C6H8O7", "H2SO4", "KC4H5O6", "H3PO4")]
    [3, 2, 1, 2]
    """
    found = _substance("acid", formula)
    if found is None:
        return None
    given = -found.charge
    for name, count in found.acids.items():
        given += count * _protons_of(acid(name))
    values = {name: getattr(found, name) for name in found.__slots__}
    return Substance(**{**values, "protons": given})


def strongest_solution(formula: str) -> float:
    """Return the strength that no solution of a substance goes beyond, [mol/L].

    Of an acid that the table does not hold, what a litre would be if it weighed `HEAVIEST_LITRE`
    and held nothing else.

    Examples
    --------
    >>> strongest_solution("HCl"), round(strongest_solution("HBr"), 1)
    (14.0, 24.7)
    """
    row = _rows("acid").get(composition(formula), {})
    mass = molar_mass(parse_formula(formula)).value
    return float(row.get("strongest_mol_per_L", HEAVIEST_LITRE / mass))


def acid_formulas() -> tuple[str, ...]:
    """Return the formulas of the acids that can be named, as the table writes them."""
    return tuple(
        row["formula"] for row in reference_table("tarebook.chemistry", "substances")["acid"]
    )


def _protons_of(weak: Acid) -> int:
    """Return the protons that the first form gives to a carbonate, its own charge told off."""
    pk = [-float(evaluate_log_k(step, np.array(REFERENCE_TEMPERATURE))) for step in weak.steps]
    return sum(value < COUNTS_BELOW_PK for value in pk) - weak.charge


def _substance(kind: str, formula: str) -> Substance | None:
    row = _rows(kind).get(composition(formula))
    if row is None:
        return None
    return Substance(
        formula=row["formula"],
        common=row.get("common", row["formula"]),
        acids=row.get("acids", {}),
        ions=row.get("ions", {}),
        protons=row.get("protons", 0),
        water=row.get("water", 0),
        dissolves=row.get("dissolves", True),
        reaction_heat=1000.0 * row.get("reaction_kJ", 0.0),
        solution_heat=1000.0 * row.get("solution_kJ", 0.0),
    )


@lru_cache(maxsize=4)
def _rows(kind: str) -> dict[Composition, dict[str, Any]]:
    """Return the rows of one kind by what the formula is made of, however it is spelled."""
    rows = reference_table("tarebook.chemistry", "substances")[kind]
    return {composition(row["formula"]): row for row in rows}
