"""Weak acids, their constants as functions of temperature, and strong ions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any, TypeAlias

from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.quantity import Basis, Source
from tarebook.core.tables import reference_table
from tarebook.core.units import GAS_CONSTANT, kelvin

LogK: TypeAlias = tuple[float, float, float, float, float]
"""Coefficients of log10 K = c0 + c1*T + c2/T + c3*log10(T) + c4/T**2, T in K."""

REFERENCE_TEMPERATURE = 298.15
"""Temperature of the tabulated pK values, K."""

CARBONIC = "carbonic"
"""Name of the acid whose neutral form, CO2, may pass into the gas."""

MAX_STEPS = 6
"""More protons than this on one acid would let the products of its constants leave float64."""


class UnknownSubstanceError(TarebookError, LookupError):
    """A name that is in no table and in no system.

    Attributes
    ----------
    name : str
        What was asked for.
    known : tuple of str
        What could have been asked for.
    """

    code = "unknown-substance"

    def __init__(self, name: str, known: Sequence[str]) -> None:
        super().__init__(name, tuple(known))
        self.name, self.known = name, tuple(known)

    def __str__(self) -> str:
        known = ", ".join(self.known) or "nothing"
        return f"'{self.name}' is not known here. Known: {known}. Define it, or write it so."


@dataclass(frozen=True, slots=True, kw_only=True)
class Acid:
    """A weak acid or the acid of a weak base, with all its dissociation steps.

    Attributes
    ----------
    name : str
        Name under which its total is given.
    species : tuple of str, length n + 1
        Names of its forms, from the fully protonated one on.
    charge : int
        Charge of the fully protonated form.
    steps : tuple of LogK, length n
        One constant for each proton given up, molality scale, zero ionic strength.
    water : tuple of int, length n
        Molecules of water taken up in each step (1 for CO2 + H2O = HCO3- + H+).
    low, high : float, [K]
        Range of temperature for which the source gives the constants.
    source : Source
        Where the constants come from.
    charges : tuple of int, length n + 1
        Charges of the forms, in the order of `species`.

    Raises
    ------
    OutOfRangeError
        If the lengths do not fit, or there are no or too many steps.
    """

    name: str
    species: tuple[str, ...]
    charge: int
    steps: tuple[LogK, ...]
    water: tuple[int, ...]
    low: float
    high: float
    source: Source
    charges: tuple[int, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        n = len(self.steps)
        if not 1 <= n <= MAX_STEPS:
            raise OutOfRangeError(f"dissociation steps of {self.name}", n, "1", f"[1, {MAX_STEPS}]")
        for what, found, wanted in (
            ("forms", len(self.species), n + 1),
            ("counts of water", len(self.water), n),
        ):
            if found != wanted:
                raise OutOfRangeError(f"{what} of {self.name}", found, "1", f"{{{wanted}}}")

        charges = tuple(self.charge - j for j in range(len(self.species)))
        object.__setattr__(self, "charges", charges)


@dataclass(frozen=True, slots=True)
class StrongIon:
    """An ion that takes no part in any equilibrium but carries charge, such as Na+ or Cl-.

    Attributes
    ----------
    name : str
        Name under which its molality is given.
    charge : int
        Its charge, not zero.
    """

    name: str
    charge: int

    def __post_init__(self) -> None:
        if self.charge == 0:
            raise OutOfRangeError(f"charge of {self.name}", 0, "1", "the integers other than 0")


def log_k_from_enthalpy(pk: float, enthalpy: float = 0.0, heat_capacity: float = 0.0) -> LogK:
    """Return the coefficients of log10 K from a pK at 25 degC and its changes with temperature.

    The integrated van 't Hoff equation with constant heat capacity is linear in 1, 1/T and log T,
    so that the five coefficients hold it exactly.

    Parameters
    ----------
    pk : float, [1]
        pK at 298.15 K.
    enthalpy : float, [J/mol]
        Standard enthalpy of dissociation at 298.15 K.
    heat_capacity : float, [J/(mol K)]
        Standard change of heat capacity on dissociation.

    Returns
    -------
    LogK
        Coefficients c0 to c4.

    References
    ----------
    .. [1] Goldberg, Kishore and Lennen, J. Phys. Chem. Ref. Data 31 (2002) 231, section 2.

    Examples
    --------
    >>> c0, c1, c2, c3, c4 = log_k_from_enthalpy(4.756, -410.0, -142.0)
    >>> round(c0 + c2 / 288.15 + c3 * math.log10(288.15), 4)  # 15 degC
    -4.7579
    """
    t0, scale = REFERENCE_TEMPERATURE, GAS_CONSTANT * math.log(10.0)
    # log K = -pK + dH/scale*(1/T0 - 1/T) + dCp/scale*(T0/T - 1 + ln T - ln T0)
    constant = -pk + enthalpy / scale / t0 - heat_capacity / scale * (1.0 + math.log(t0))
    inverse = (heat_capacity * t0 - enthalpy) / scale
    return (constant, 0.0, inverse, heat_capacity / GAS_CONSTANT, 0.0)


def equilibrium_table() -> dict[str, Any]:
    """Return the table of constants that ships with the package."""
    return reference_table("tarebook.chemistry", "equilibrium")


def acid_names() -> tuple[str, ...]:
    """Return the names of the acids that ship with the package.

    Examples
    --------
    >>> "citric" in acid_names()
    True
    """
    return tuple(equilibrium_table()["acid"])


@cache
def acid(name: str) -> Acid:
    """Return an acid of the table.

    Parameters
    ----------
    name : str
        One of `acid_names`.

    Returns
    -------
    Acid
        With its constants, their range and source.

    Raises
    ------
    UnknownSubstanceError
        If there is no such acid in the table.

    Examples
    --------
    >>> acid("carbonic").species
    ('CO2', 'HCO3-', 'CO3^2-')
    """
    rows = equilibrium_table()["acid"]
    if name not in rows:
        raise UnknownSubstanceError(name, acid_names())
    row = rows[name]
    n = len(row["species"]) - 1
    if "analytic" in row:
        steps = tuple(log_k(row["analytic"][j]) for j in range(n))
    else:
        steps = tuple(
            map(log_k_from_enthalpy, row["pK_25"], row["dH_J_mol"], row["dCp_J_mol_K"]),
        )
    low, high = row["range_C"]
    return Acid(
        name=name,
        species=tuple(row["species"]),
        charge=row["charge"],
        steps=steps,
        water=tuple(row.get("water", [0] * n)),
        low=kelvin(low),
        high=kelvin(high),
        source=table_source(row),
    )


def log_k(coefficients: Sequence[float]) -> LogK:
    """Return the five coefficients of a row of the table as a tuple."""
    c0, c1, c2, c3, c4 = coefficients
    return (c0, c1, c2, c3, c4)


def table_source(row: dict[str, Any]) -> Source:
    """Return the source of a row of the table."""
    basis: Basis = row["basis"]
    return Source(row["source"], basis)
