"""Acid-base equilibria in water, closed or under a gas that holds carbon dioxide."""

from tarebook.chemistry.equilibrium.acids import (
    Acid,
    StrongIon,
    UnknownSubstanceError,
    acid,
    acid_names,
    user_acid,
)
from tarebook.chemistry.equilibrium.activity import ActivityModel
from tarebook.chemistry.equilibrium.constants import Shifts, henry_constant, shift_uncertainties
from tarebook.chemistry.equilibrium.exchange import phreeqc_database
from tarebook.chemistry.equilibrium.modes import capped, closed, open_to
from tarebook.chemistry.equilibrium.system import Equilibrium, System

__all__ = [
    "Acid",
    "ActivityModel",
    "Equilibrium",
    "Shifts",
    "StrongIon",
    "System",
    "UnknownSubstanceError",
    "acid",
    "acid_names",
    "capped",
    "closed",
    "henry_constant",
    "open_to",
    "phreeqc_database",
    "shift_uncertainties",
    "user_acid",
]
