"""Inputs of a strength: their units and ranges, and the product that most strengths are."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.quantity import Measured, Source


class UnitMismatchError(TarebookError, ValueError):
    """A quantity came in another unit than the one it is worked with.

    Parameters
    ----------
    name : str
        Which quantity.
    unit : str
        The unit it came in.
    allowed : sequence of str
        The units it may have.
    """

    code = "unit"

    def __init__(self, name: str, unit: str, allowed: Sequence[str]) -> None:
        super().__init__(name, unit, tuple(allowed))
        self.name, self.unit, self.allowed = name, unit, tuple(allowed)

    def __str__(self) -> str:
        return f"{self.name} is in {self.unit!r}; allowed: {' or '.join(self.allowed)}. Convert it."


def product(value: float, factors: Sequence[Measured], work: str) -> Measured:
    """Return a strength that is a product or quotient: relative uncertainties add in quadrature.

    Parameters
    ----------
    value : float, [mol/L]
    factors : sequence of Measured
        What was multiplied or divided by, none of it zero.
    work : str
        What it was computed from.
    """
    relative = math.sqrt(sum((factor.u / factor.value) ** 2 for factor in factors))
    return Measured(value=value, u=value * relative, unit="mol/L", source=Source(work, "computed"))


def require_positive(quantity: Measured, name: str, *units: str) -> None:
    """Refuse a quantity in another unit, or one that is not positive.

    Parameters
    ----------
    quantity : Measured
    name : str
        What it is called in an error.
    *units : str
        Those it may come in.

    Raises
    ------
    UnitMismatchError, OutOfRangeError
    """
    if quantity.unit not in units:
        raise UnitMismatchError(name, quantity.unit, units)
    if not quantity.value > 0:
        raise OutOfRangeError(name, quantity.value, quantity.unit, "(0, inf)")


def as_fraction(quantity: Measured, name: str) -> Measured:
    """Return a percentage or a fraction as a fraction in (0, 1].

    Parameters
    ----------
    quantity : Measured, [1] or [%]
    name : str
        What it is called in an error.

    Raises
    ------
    UnitMismatchError, OutOfRangeError
    """
    require_positive(quantity, name, "1", "%")
    scale = 0.01 if quantity.unit == "%" else 1.0
    value = quantity.value * scale
    if value > 1:
        allowed = "(0, 1]" if scale == 1.0 else "(0, 100]"
        fix = "Write 99.9 % as 0.999, or give its unit as '%'." if scale == 1.0 else ""
        raise OutOfRangeError(name, quantity.value, quantity.unit, allowed, fix)
    return Measured(value=value, u=quantity.u * scale, unit="1", source=quantity.source)
