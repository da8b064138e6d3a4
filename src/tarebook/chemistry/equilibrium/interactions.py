"""Specific ion interaction coefficients: how the strong ions of a solution act on its species."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.tables import reference_table


def interaction_table() -> dict[str, Any]:
    """Return the table of interaction coefficients that ships with the package."""
    return reference_table("tarebook.chemistry", "interactions")


@cache
def _listed() -> dict[frozenset[str], float]:
    """Return the coefficient of each pair of the table; the order of the two does not matter."""
    pairs = {}
    for group in interaction_table()["set"]:
        for one, other, value in group["epsilon"]:
            pairs[frozenset((one, other))] = float(value)
    return pairs


@cache
def _with_row() -> frozenset[str]:
    """Return the names that stand in the table."""
    return frozenset(name for pair in _listed() for name in pair)


def counterpart(ion: str, charge: int) -> str:
    """Return the ion of the table whose coefficients an ion takes: itself if it has a row.

    Parameters
    ----------
    ion : str
    charge : int

    Returns
    -------
    str
        Empty if nothing of that charge is known.

    Examples
    --------
    >>> counterpart("K+", 1), counterpart("Li+", 1), counterpart("X-", -1)
    ('K+', 'Na+', 'Cl-')
    """
    if ion in _with_row():
        return ion
    same = (row["ion"] for row in interaction_table()["stands_for"] if row["charge"] == charge)
    return str(next(same, ""))


def epsilon(species: str, charge: int, ion: str, ion_charge: int) -> float:
    """Return how a strong ion acts on a species.

    What has no row counts as its like: potassium as sodium, magnesium as calcium, an anion of an
    unlisted acid as the mean of its charge, a neutral acid as the mean of carboxylic acids. Ions of
    like sign do not act on each other.

    Parameters
    ----------
    species : str
        Name of a form of an acid, ``"H+"`` or ``"OH-"``.
    charge : int
        Its charge.
    ion : str
        Name of a strong ion.
    ion_charge : int
        Its charge.

    Returns
    -------
    float, [kg/mol]
        Change of log10 gamma of the species with the molality of the ion.

    Examples
    --------
    >>> epsilon("H+", 1, "Cl-", -1), epsilon("HCO3-", -1, "Cl-", -1)
    (0.12, 0.0)
    >>> epsilon("CO2", 0, "Na+", 1)
    0.0869
    """
    if charge * ion_charge > 0:
        return 0.0
    for stand_in in dict.fromkeys((counterpart(ion, ion_charge), counterpart("", ion_charge))):
        found = _listed().get(frozenset((species, stand_in)))
        if found is not None:
            return found
    if species in _with_row():
        # Listed with other ions only: what is not listed there was found to be nothing.
        return 0.0 if charge >= 0 else _of_anion(charge)
    if charge == 0:
        return float(interaction_table()["neutral"]["cation"]) if ion_charge > 0 else 0.0
    return _of_anion(charge) if charge < 0 else 0.0


def _of_anion(charge: int) -> float:
    values = interaction_table()["anion"]
    return float(values[str(max(charge, -4))])


def epsilon_matrix(
    species: Sequence[tuple[str, int]], ions: Sequence[tuple[str, int]]
) -> FloatArray:
    """Return the coefficients of many species with many ions.

    Parameters
    ----------
    species, ions : sequence of (name, charge)

    Returns
    -------
    ndarray, shape (n_species, n_ions), [kg/mol]
    """
    rows = [[epsilon(name, z, ion, charge) for ion, charge in ions] for name, z in species]
    return np.array(rows, dtype=np.float64).reshape(len(species), len(ions))
