"""Solutions and acids that only tests ask for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium import Acid, Equilibrium, System, capped
from tarebook.chemistry.equilibrium.acids import log_k_from_enthalpy
from tarebook.chemistry.equilibrium.constants import Shifts
from tarebook.chemistry.equilibrium.equilibrate import equilibrate
from tarebook.core.quantity import Source

PLENTY = 10.0
"""Carbon that no gas of the tests holds in solution, mol/kg."""


def closed(
    system: System,
    *,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    shifts: Shifts | None = None,
) -> Equilibrium:
    """Return solutions that keep all their carbon, or have none: no gas is there."""
    return equilibrate(system, totals, strong, temperature, np.inf, shifts)


def open_to(
    system: System,
    *,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
) -> Equilibrium:
    """Return solutions under a gas without end: of plenty of carbon they keep what it holds."""
    return capped(
        system,
        totals={**totals, "carbonic": PLENTY},
        strong=strong,
        temperature=temperature,
        pressure=pressure,
    )


def invented_acid(
    name: str, charge: int, pk: Sequence[float], low: float = 278.15, high: float = 313.15
) -> Acid:
    """Return an acid that is in no table, its pK the same at all temperatures."""
    return Acid(
        name=name,
        species=tuple(f"{name}({charge - j})" for j in range(len(pk) + 1)),
        charge=charge,
        steps=tuple(map(log_k_from_enthalpy, pk)),
        water=(0,) * len(pk),
        low=low,
        high=high,
        source=Source("invented", "declared"),
    )
