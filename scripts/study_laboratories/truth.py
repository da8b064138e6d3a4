"""What a truth is drawn from, as `truth.toml` says it: names carry their unit."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from tarebook.core.units import litres

ATMOSPHERE = 101325.0

UNITS = {
    "content": ("content", 1.0),
    "own_acid_mmol_per_g": ("own_acid", 1e-3),
    "strength_mol_per_L": ("concentration", 1.0),
    "hold_up_reagent_mL": ("hold_up_reagent", litres(1.0)),
    "hold_up_diluent_mL": ("hold_up_diluent", litres(1.0)),
    "gas_pressure_atm": ("gas_pressure", ATMOSPHERE),
    "degassing_per_minute": ("degassing", 1.0),
    "head_gas_fraction": ("head_fraction", 1.0),
    "evaporation_mg_per_minute": ("evaporation", 1e-3),
    "vapour_saturation": ("vapour_saturation", 1.0),
}
"""Key, the parameter it stands for, and its unit in the units of memory."""

Kind: TypeAlias = Literal["even", "normal", "log-normal"]

KEYS: dict[Kind, tuple[str, str]] = {
    "even": ("low", "high"),
    "normal": ("mean", "u"),
    "log-normal": ("median", "relative_u"),
}


@dataclass(frozen=True, slots=True)
class Spread:
    """A distribution, in the units of memory: two numbers and what they are.

    Attributes
    ----------
    kind : {"even", "normal", "log-normal"}
    first, second : float
        Low and high, mean and u, median and u of the logarithm.
    """

    kind: Kind
    first: float
    second: float

    def drawn(self, rng: np.random.Generator) -> float:
        """Return one value."""
        if self.kind == "even":
            return float(rng.uniform(self.first, self.second))
        noise = float(rng.standard_normal())
        if self.kind == "normal":
            return self.first + self.second * noise
        return self.first * math.exp(self.second * noise)


def spread_of(where: str, key: str, row: object) -> tuple[str, Spread]:
    """Return the parameter that a key stands for, and its spread.

    Parameters
    ----------
    where : str
        For what is said of a fault.
    key : str
    row : dict
        Of low and high, mean and u, or median and relative_u.

    Raises
    ------
    ValueError
        If there is no such key, or the row is none of the three.

    Examples
    --------
    >>> name, spread = spread_of("here", "own_acid_mmol_per_g", {"mean": 3.0, "u": 0.5})
    >>> name, spread.kind, spread.first
    ('own_acid', 'normal', 0.003)
    """
    if key not in UNITS:
        raise ValueError(f"{where}: {key} is none of {', '.join(UNITS)}")
    name, unit = UNITS[key]
    for kind, (one, other) in KEYS.items():
        if isinstance(row, dict) and set(row) == {one, other}:
            second = row[other] if kind == "log-normal" else unit * row[other]
            return name, Spread(kind, unit * row[one], second)
    asked = ", or ".join(f"{one} and {other}" for one, other in KEYS.values())
    raise ValueError(f"{where}: {key} = {row!r} is not a table of {asked}")
