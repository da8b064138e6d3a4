"""Balances and thermometers, and the error of what they show."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.measurement.effects import Shape, u_of_half_width
from tarebook.measurement.own_errors import OwnError, own_u


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """A balance.

    Attributes
    ----------
    name : str
        What people call it.
    readability : float, [g]
        Step of its display.
    repeatability : float, [g]
        Standard deviation of weighing the same thing again.
    linearity : float, [g]
        Largest departure from a straight line, half-width.
    capacity : float, [g]
        Heaviest load.
    source : Source
        Where repeatability and linearity come from.

    Raises
    ------
    OutOfRangeError
        If readability or capacity is not positive or one of the others is negative.

    Notes
    -----
    Each weighing has its own rounding (rectangular) and repeatability (normal). Linearity is one
    error for the difference of two weighings on the same balance: it enters once, not twice, as the
    difference is what the straight line is needed for.
    """

    name: str
    readability: float
    repeatability: float
    linearity: float
    capacity: float
    source: Source

    def __post_init__(self) -> None:
        if not 0 < self.readability < math.inf:
            raise OutOfRangeError(f"readability of {self.name}", self.readability, "g", "(0, inf)")
        for field in ("repeatability", "linearity"):
            value = getattr(self, field)
            if not 0 <= value < math.inf:
                raise OutOfRangeError(f"{field} of {self.name}", value, "g", "[0, inf)")
        if not self.capacity > 0:
            raise OutOfRangeError(f"capacity of {self.name}", self.capacity, "g", "(0, inf]")

    @property
    def finest_reading(self) -> float:
        """Finest step that is read, [g]."""
        return self.readability

    def own_errors(self, value: FloatArray) -> tuple[OwnError, ...]:  # noqa: ARG002 (of any mass)
        """Return the errors that each weighing has of its own, [g]."""
        return (
            OwnError(label="rounding", shape=Shape.RECTANGULAR, u=self.readability / math.sqrt(12)),
            OwnError(label="repeatability", shape=Shape.NORMAL, u=self.repeatability),
        )

    @property
    def weighing_u(self) -> float:
        """Standard uncertainty that one weighing has of its own, [g]."""
        return float(own_u(self, np.array(0.0)))

    @property
    def linearity_u(self) -> float:
        """Standard uncertainty of the straight line, [g]: once in each difference."""
        return u_of_half_width(self.linearity, Shape.RECTANGULAR)


def mass_loss_u(main: Balance, own: Balance, *, linearity: bool = True) -> float:
    """Return the standard uncertainty of liquid + sample - final on the balances, [g].

    Parameters
    ----------
    main, own : Balance
        Of the vessels and of the sample.
    linearity : bool
        Whether the straight line of the main balance counts, which all cups share.
    """
    shared = main.linearity_u if linearity else 0.0
    return math.hypot(math.sqrt(2.0) * main.weighing_u, shared, own.weighing_u)


def repeatability_with_floor(balance: Balance) -> float:
    """Return the repeatability by which it is judged how small a mass may be weighed.

    Parameters
    ----------
    balance : Balance
        What it would be weighed on.

    Returns
    -------
    float, [g]
        The repeatability s, but no less than 0.41 readabilities. Where 0.10 % is asked for, the
        smallest mass is 2000 s.

    References
    ----------
    .. [1] United States Pharmacopeia, chapter 41, Balances.
    """
    rule = reference_table("tarebook.measurement", "balances")["minimum_mass"]
    return max(balance.repeatability, float(rule["floor_per_readability"]) * balance.readability)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thermometer:
    """A thermometer.

    Attributes
    ----------
    name : str
        What people call it.
    readability : float, [K]
        Step of its display, or the finest step read on its scale.
    tolerance : float, [K]
        Largest permitted error, half-width.
    source : Source
        Where the two come from.

    Raises
    ------
    OutOfRangeError
        If the readability is not positive or the tolerance is negative.
    """

    name: str
    readability: float
    tolerance: float
    source: Source

    def __post_init__(self) -> None:
        if not 0 < self.readability < math.inf:
            raise OutOfRangeError(f"readability of {self.name}", self.readability, "K", "(0, inf)")
        if not 0 <= self.tolerance < math.inf:
            raise OutOfRangeError(f"tolerance of {self.name}", self.tolerance, "K", "[0, inf)")

    @property
    def finest_reading(self) -> float:
        """Finest step that is read, [K]."""
        return self.readability

    def own_errors(self, value: FloatArray) -> tuple[OwnError, ...]:  # noqa: ARG002 (at any)
        """Return the errors that each reading has of its own, [K]."""
        return (
            OwnError(label="rounding", shape=Shape.RECTANGULAR, u=self.readability / math.sqrt(12)),
        )

    @property
    def tolerance_u(self) -> float:
        """Standard uncertainty that all readings share, [K]."""
        return u_of_half_width(self.tolerance, Shape.RECTANGULAR)

    @property
    def reading_u(self) -> float:
        """Standard uncertainty of one reading, [K]: its own and the shared part."""
        return math.hypot(float(own_u(self, np.array(0.0))), self.tolerance_u)
