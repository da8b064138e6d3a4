"""A carbonate that is left over: it dissolves as far as its solubility product allows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium.acids import CARBONIC, LogK, log_k, table_source
from tarebook.chemistry.equilibrium.activity import debye_hueckel_slope, shielding
from tarebook.chemistry.equilibrium.constants import LN10, Shifts, constants_at, evaluate_log_k
from tarebook.chemistry.equilibrium.interactions import epsilon
from tarebook.chemistry.equilibrium.system import Equilibrium, System
from tarebook.core.arrays import FloatArray
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table

LEAST_PRESSURE = 1e-300  # Pa, so that no carbon at all has a logarithm


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """A carbonate of an ion of charge 2.

    Attributes
    ----------
    formula : str
    ion : str
        Strong ion that it gives.
    water : int
        Water of crystallisation in the solubility product.
    product : LogK
        Coefficients of log10 of the solubility product.
    u_log_k : float, [1]
    source : Source
    """

    formula: str
    ion: str
    water: int
    product: LogK
    u_log_k: float
    source: Source


@cache
def solids() -> dict[str, Solid]:
    """Return the solids of the table by their formula.

    Examples
    --------
    >>> solids()["CaCO3"].ion
    'Ca^2+'
    """
    rows = reference_table("tarebook.chemistry", "solids")["solid"]
    return {
        formula: Solid(
            formula=formula,
            ion=row["ion"],
            water=row["water"],
            product=log_k(row["analytic"]),
            u_log_k=row["u_log_K"],
            source=table_source(row),
        )
        for formula, row in rows.items()
    }


def log_saturation(
    system: System,
    solid: Solid,
    solution: Equilibrium,
    temperature: ArrayLike,
    shifts: Shifts | None = None,
) -> FloatArray:
    """Return ln of the activity product of a solid over its solubility product.

    The activity of carbonate is that which goes with the solution's CO2 and pH.

    Parameters
    ----------
    system : System
    solid : Solid
    solution : Equilibrium
    temperature : array_like, [K]
    shifts : Shifts, optional
        As the solution had them.

    Returns
    -------
    ndarray, [1]
        0 where saturated, negative where more would dissolve.
    """
    t = np.asarray(temperature, dtype=np.float64)
    known = constants_at(system.acids, t, shifts)
    first, second = known.k[[acid.name for acid in system.acids].index(CARBONIC)]
    with np.errstate(divide="ignore"):
        ion = np.log(solution.of(solid.ion))
    root = np.sqrt(solution.ionic_strength)
    gamma = 4.0 * debye_hueckel_slope(t) * shielding(root)
    others = [(ion.name, ion.charge) for ion in system.strong_ions]
    for acid in system.acids:
        others += zip(acid.species, acid.charges, strict=True)
    for name, charge in others:
        gamma = gamma + epsilon(name, charge, solid.ion, 2) * solution.of(name)
    pressure = np.maximum(solution.pressure, LEAST_PRESSURE)
    carbonate = np.log(first * second * known.henry * pressure) + 2.0 * LN10 * solution.ph
    water = (1 + solid.water) * np.log(solution.water_activity)
    product = LN10 * evaluate_log_k(solid.product, t)
    return np.asarray(ion + LN10 * gamma + carbonate + water - product)
