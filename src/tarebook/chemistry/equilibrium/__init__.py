"""Acid-base equilibria in water, closed or under a gas that holds carbon dioxide."""

from tarebook.chemistry.equilibrium.acids import (
    Acid,
    StrongIon,
    UnknownSubstanceError,
    acid,
    acid_names,
)
from tarebook.chemistry.equilibrium.activity import ACTIVITY_REACH
from tarebook.chemistry.equilibrium.constants import Shifts
from tarebook.chemistry.equilibrium.exchange import phreeqc_database
from tarebook.chemistry.equilibrium.system import Equilibrium, System
from tarebook.chemistry.equilibrium.under_gas import capped

__all__ = [
    "ACTIVITY_REACH",
    "Acid",
    "Equilibrium",
    "Shifts",
    "StrongIon",
    "System",
    "UnknownSubstanceError",
    "acid",
    "acid_names",
    "capped",
    "phreeqc_database",
]
