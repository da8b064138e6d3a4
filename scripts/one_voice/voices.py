"""One quantity as one output has it, and where two outputs do not agree."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

SAME = 1e-9
"""Relative difference of values that are held in full."""

BODY = r"[0-9]+(?:\.[0-9]+)?"
NUMBER = rf"[<>]?[+−]?{BODY}"
"""How a printed number looks, and one with its sign or as a bound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One quantity as one output has it.

    Attributes
    ----------
    name : str
        Of the quantity, the run in it.
    where : str
        The output.
    value : float
    last : float
        Size of one in the last printed place; 0 where the value is held in full.
    span : tuple of int
        Where the number stands in the text of its output; empty for outputs that are no text.
    """

    name: str
    where: str
    value: float
    last: float = 0.0
    span: tuple[int, int] = (0, 0)


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two values of one name."""

    first: Printed
    other: Printed

    def __str__(self) -> str:
        """Return the name and both values with where they stand."""
        first, other = self.first, self.other
        return (
            f"{first.name}: {first.value:.10g} in the {first.where}, "
            f"{other.value:.10g} in the {other.where}"
        )


def disagreements(every: Iterable[Printed]) -> tuple[Disagreement, ...]:
    """Return each pair of printed numbers that gives two values to one quantity.

    Parameters
    ----------
    every : iterable of Printed
    """
    named: dict[str, list[Printed]] = defaultdict(list)
    for one in every:
        named[one.name].append(one)
    return tuple(
        Disagreement(first, other)
        for found in named.values()
        for place, first in enumerate(found)
        for other in found[place + 1 :]
        if not _same(first, other)
    )


def only_once(every: Iterable[Printed]) -> tuple[str, ...]:
    """Return the names that one output alone has: nothing can contradict them.

    Parameters
    ----------
    every : iterable of Printed
    """
    places: dict[str, set[str]] = defaultdict(set)
    for one in every:
        places[one.name].add(one.where)
    return tuple(name for name, found in places.items() if len(found) == 1)


def _same(one: Printed, other: Printed) -> bool:
    slack = 0.5001 * (one.last + other.last) + SAME * max(abs(one.value), abs(other.value), 1e-6)
    return abs(one.value - other.value) <= slack


def read_number(shown: str) -> tuple[float, float]:
    """Return a printed number and the size of one in its last place.

    A bound, such as ``> 99.9``, is the middle of what it leaves open.

    Examples
    --------
    >>> read_number("−0.34"), read_number(">99.9"), read_number("<1")
    ((-0.34, 0.01), (99.95, 0.1), (0.5, 1.0))
    """
    bare = re.sub(r"[\s<>+]", "", shown).replace("−", "-")
    last = 10.0 ** -len(bare.partition(".")[2])
    value = float(bare)
    if shown.startswith(">"):
        value += 0.5 * last
    elif shown.startswith("<"):
        value -= 0.5 * last
    return round(value, 12), last
