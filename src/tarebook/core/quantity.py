"""Numbers that know their uncertainty and where they come from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from tarebook.core.errors import OutOfRangeError

Basis: TypeAlias = Literal[
    "read", "secondary", "library", "computed", "memory", "common practice", "declared", "found"
]
"""How sure we are of a source.

read: seen in the source itself. secondary: seen in a work that carries it. library: the value of a
named package. computed: worked out from other entries. memory: remembered and not seen since.
common practice: a fact of the trade without a source. declared: written in the experiment's own
definition. found: the result of this experiment.
"""


COVERAGE_95: Final = 1.959963984540054
"""Half-length of every 95 % interval of a normal distribution, in standard uncertainties."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number comes from.

    Attributes
    ----------
    work : str
        Standard, book, paper, package or "the definition".
    basis : Basis
        How sure we are of it.
    """

    work: str
    basis: Basis

    def __str__(self) -> str:
        return f"{self.work} ({self.basis})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A value and its standard uncertainty `u` (k = 1), both in `unit`; no `source`, no object.

    Raises
    ------
    OutOfRangeError
        If `u` is negative, infinite or not a number, or the value is not finite.
    """

    value: float
    u: float
    unit: str
    source: Source

    def __post_init__(self) -> None:
        if not 0 <= self.u < math.inf:
            raise OutOfRangeError("standard uncertainty", self.u, self.unit, "[0, inf)")
        if not math.isfinite(self.value):
            raise OutOfRangeError("value", self.value, self.unit, "finite numbers")


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A result: value, standard uncertainty and the ends of its 95 % interval, all in `unit`.

    Attributes
    ----------
    value : float
        Best estimate.
    u : float
        Standard uncertainty (k = 1).
    low, high : float
        Ends of the 95 % coverage interval; not symmetric where the distribution is not.
    unit : str
        ``"1"`` for a pure number.
    """

    value: float
    u: float
    low: float
    high: float
    unit: str
