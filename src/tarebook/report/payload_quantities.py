"""Quantities as JSON can hold them: value, u and interval, in the unit that stands beside them."""

from __future__ import annotations

import math
from typing import Any, TypeAlias

from tarebook.core.quantity import Estimate, Measured

Json: TypeAlias = dict[str, Any]


def quantity(estimate: Estimate | None) -> Json | None:
    """Return a quantity in its own unit; None stays None."""
    return None if estimate is None else in_unit(estimate, 1.0, estimate.unit)


def in_unit(estimate: Estimate, factor: float, unit: str) -> Json:
    """Return a quantity in another unit, `factor` of which make one of its own."""
    return {
        "value": estimate.value * factor,
        "u": plain(estimate.u * factor),
        "low": plain(estimate.low * factor),
        "high": plain(estimate.high * factor),
        "unit": unit,
    }


def in_millilitres(estimate: Estimate) -> Json:
    """Return a volume in mL."""
    return in_unit(estimate, 1000.0, "mL")


def measured(of: Measured) -> Json:
    """Return a value with its standard uncertainty."""
    return {"value": of.value, "u": of.u, "unit": of.unit}


def plain(value: float | str) -> float | str | None:
    """Return a value that JSON can hold; a number without bound has none."""
    if isinstance(value, str):
        return value
    return float(value) if math.isfinite(value) else None
