"""Standard atomic weights: the one table that every molar mass stands on."""

from __future__ import annotations

import math
from functools import cache

from tarebook.core.errors import TarebookError
from tarebook.core.quantity import Measured, Source
from tarebook.core.tables import reference_table

_TABLE = reference_table("tarebook.chemistry", "atomic_weights")

ELEMENTS: frozenset[str] = frozenset(_TABLE["elements"]) | frozenset(_TABLE["without"])
"""Symbols of all known elements, with or without a standard atomic weight."""


class NoAtomicWeightError(TarebookError, LookupError):
    """An element has no standard atomic weight, or the symbol is no element.

    Parameters
    ----------
    symbol : str
        What was asked for.
    """

    code = "no-atomic-weight"

    def __init__(self, symbol: str) -> None:
        super().__init__(symbol)
        self.symbol = symbol

    def __str__(self) -> str:
        if self.symbol in ELEMENTS:
            return (
                f"{self.symbol} has no standard atomic weight: its isotopes decay, so the mass "
                "depends on the sample. Allowed: the 84 elements of the IUPAC 2021 table. "
                "Give the mass of the isotope in use as the molar mass yourself."
            )
        return (
            f"{self.symbol!r} is no element symbol. Allowed: one capital letter, then at most one "
            "small letter, as in Na or C."
        )


@cache
def standard_atomic_weight(symbol: str) -> Measured:
    """Return the standard atomic weight of an element, as its molar mass.

    The table gives a half-width within which the weight in normal materials lies, without saying
    where: it is taken as rectangular, u = half-width / sqrt(3).

    Parameters
    ----------
    symbol : str
        Element symbol, such as ``"Na"``.

    Returns
    -------
    Measured, [g/mol]
        Abridged (five-figure) value of 2021 and its standard uncertainty.

    Raises
    ------
    NoAtomicWeightError
        If the symbol is no element, or the element has no standard atomic weight.

    References
    ----------
    .. [1] Prohaska et al., Standard atomic weights of the elements 2021, Pure Appl. Chem. 94
       (2022) 573.
    .. [2] van der Veen et al., Interpretation and use of standard atomic weights, Pure Appl. Chem.
       93 (2021), doi:10.1515/pac-2017-1002: rectangular, u = half-width / sqrt(3).

    Examples
    --------
    >>> weight = standard_atomic_weight("Na")
    >>> weight.value, round(weight.u, 6)
    (22.99, 0.000577)
    """
    row = _TABLE["elements"].get(symbol)
    if row is None:
        raise NoAtomicWeightError(symbol)
    return Measured(
        value=float(row["value"]),
        u=float(row["plus_minus"]) / math.sqrt(3.0),
        unit="g/mol",
        source=Source(_TABLE["source"], row["basis"]),
    )
