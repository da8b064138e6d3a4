"""How far the activity model can be trusted: standard uncertainty of pH and of dissolved carbon."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np

from tarebook.chemistry.equilibrium.acids import CARBONIC, Acid, StrongIon, equilibrium_table
from tarebook.chemistry.equilibrium.constants import LN10
from tarebook.core.arrays import BoolArray, FloatArray

TINY = float(np.finfo(np.float64).tiny)


class Solved(Protocol):
    """What is asked of solutions at equilibrium."""

    @property
    def ph(self) -> FloatArray:
        """-log10 of the activity of H+."""
        ...

    @property
    def ionic_strength(self) -> FloatArray:
        """Half the sum of z**2 m, [mol/kg]."""
        ...

    @property
    def dissolved(self) -> FloatArray:
        """Carbonic acid in all its forms, [mol/kg]."""
        ...

    @property
    def held_by_gas(self) -> BoolArray:
        """Where the pressure limits the carbon."""
        ...

    def of(self, name: str) -> FloatArray:
        """Return the molality of one species, [mol/kg]."""
        ...


def u_of_ph(
    solution: Solved, acids: Sequence[Acid], strong_ions: Sequence[StrongIon]
) -> FloatArray:
    """Return the standard uncertainty of pH that the activity model leaves.

    The parts add as squares: a floor, the spread of the conventions for the activity of one ion;
    one that grows with the ionic strength; one with the part of it that forms of weak acids with a
    charge of 2 and more carry; one for carbonate beside hydrogen carbonate, on which databases
    differ; and one for what calcium or magnesium would bind of other such acids, which no pair here
    stands for. The slopes are set so that 95 % of outside values lie within two
    of it. Uncertainty of the pK values is not in it.

    Parameters
    ----------
    solution : Solved
    acids : sequence of Acid
    strong_ions : sequence of StrongIon

    Returns
    -------
    ndarray, [1]
    """
    row = equilibrium_table()["activity"]["uncertainty"]
    zero = np.zeros_like(solution.ph)
    polyvalent = double = single = alkaline = zero
    for acid in acids:
        for name, charge in zip(acid.species, acid.charges, strict=True):
            if abs(charge) >= 2:
                polyvalent = polyvalent + 0.5 * charge**2 * solution.of(name)
        total = sum((solution.of(name) for name in acid.species), zero)
        if acid.name == CARBONIC:
            two = solution.of("CO3^2-")
            alkaline = 2.0 * two / np.maximum(solution.of("HCO3-") + 2.0 * two, TINY)
        elif acid.charges[-1] <= -2:
            double = double + total
        elif acid.charges[-1] == -1:
            single = single + total
    metal = sum((solution.of(ion.name) for ion in strong_ions if ion.charge >= 2), zero)
    parts = (
        zero + row["floor_pH"],
        row["per_strength"] * solution.ionic_strength,
        row["per_polyvalent"] * polyvalent,
        row["alkaline_pH"] * alkaline,
        row["bound_pH"] * _bound(metal, double),
        row["bound_single_pH"] * _bound(metal, single),
    )
    return np.asarray(np.sqrt(sum(part * part for part in parts)))


def _bound(metal: FloatArray, acid: FloatArray) -> FloatArray:
    """Return the part of an acid that so much of a metal can bind, one to one."""
    return np.asarray(np.minimum(metal, acid) / np.maximum(acid, TINY))


def u_of_dissolved(
    solution: Solved, acids: Sequence[Acid], strong_ions: Sequence[StrongIon]
) -> FloatArray:
    """Return the relative standard uncertainty of the dissolved carbon from the activity model.

    CO2 follows its salting out. The ions of carbonic acid follow the pH as far as other acids hold
    that; where they are the only buffer, the strong ions fix their charge, and it is the share of
    carbonate that is not known. What the gas does not limit has none.

    Parameters
    ----------
    solution : Solved
    acids : sequence of Acid
    strong_ions : sequence of StrongIon

    Returns
    -------
    ndarray, [1]
    """
    row = equilibrium_table()["activity"]["uncertainty"]
    carbon = np.maximum(solution.dissolved, TINY)
    if CARBONIC not in (acid.name for acid in acids):
        return np.zeros_like(solution.ph)
    one, two = solution.of("HCO3-"), solution.of("CO3^2-")
    others = solution.of("H+") + solution.of("OH-")
    for acid in acids:
        if acid.name != CARBONIC:
            others = others + _buffer(acid, solution)
    held = others / np.maximum(others + one + 4.0 * two, TINY)
    u_log = LN10 * u_of_ph(solution, acids, strong_ions)
    with_ph = u_log * held * (one + two) / carbon
    moved = (1.0 - held) * one * two / np.maximum(one + 2.0 * two, TINY)
    shared = row["carbonate_share"] * u_log * moved / carbon
    salted = row["salting_out"] * solution.ionic_strength * solution.of("CO2") / carbon
    found = np.sqrt(with_ph**2 + shared**2 + salted**2)
    return np.where(solution.held_by_gas, found, 0.0)


def _buffer(acid: Acid, solution: Solved) -> FloatArray:
    """Return the variance of an acid's charge times its total: what it does against a change."""
    forms = np.stack([solution.of(name) for name in acid.species])
    charges = np.array(acid.charges, dtype=np.float64)
    total = np.maximum(forms.sum(axis=0), TINY)
    mean = np.tensordot(charges, forms, 1) / total
    return np.asarray(np.tensordot(charges**2, forms, 1) - mean * mean * total)
