"""Balancing: the whole-number null space of the matrix of element counts and charge."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice, product

from tarebook.chemistry.formula import Formula
from tarebook.core.errors import TarebookError

CHARGE = "charge"
_MOST_TRIALS = 20_000


class EquationError(TarebookError, ValueError):
    """A text that is no equation, or an equation that cannot be balanced as it stands.

    Parameters
    ----------
    equation : str
        The equation.
    reason : str
        What is wrong with it.
    evidence : sequence of str
        Lines that show it.
    do : str
        What to do.
    """

    code = "equation"

    def __init__(
        self, equation: str, reason: str, evidence: Sequence[str] = (), do: str = ""
    ) -> None:
        super().__init__(equation, reason, tuple(evidence), do)
        self.equation, self.reason = equation, reason
        self.evidence, self.do = tuple(evidence), do

    def __str__(self) -> str:
        lines = [f"{self.equation}: {self.reason}.", *(f"  {line}" for line in self.evidence)]
        return "\n".join([*lines, self.do] if self.do else lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class SideCount:
    """How much of one element, or of charge, stands on each side."""

    element: str
    left: int
    right: int

    @property
    def off(self) -> bool:
        """Whether the sides differ."""
        return self.left != self.right


def side_text(terms: Iterable[tuple[Formula, int]]) -> str:
    """Return one side as text; a coefficient of 1 is not written."""
    return " + ".join(f"{n} {f.text}" if n != 1 else f.text for f, n in terms)


def difference_text(row: SideCount) -> str:
    """Return the counts of one element as text."""
    sign = "+" if row.element == CHARGE else ""
    return f"{row.element}: {row.left:{sign}d} left, {row.right:{sign}d} right"


def counts_by_side(
    reactants: Sequence[tuple[Formula, int]], products: Sequence[tuple[Formula, int]]
) -> list[SideCount]:
    """Return the total of each element, then of charge, on both sides."""
    keys = _keys([formula for formula, _ in (*reactants, *products)])
    return [
        SideCount(
            element=key,
            left=sum(n * _amount(f, key) for f, n in reactants),
            right=sum(n * _amount(f, key) for f, n in products),
        )
        for key in keys
    ]


def balance_coefficients(left: Sequence[Formula], right: Sequence[Formula]) -> list[int]:
    """Return the smallest positive whole coefficients, reactants first.

    Raises
    ------
    EquationError
        If no set of them balances, a species would get none or stands on the wrong side, or more
        than one set does.
    """
    keys = _keys([*left, *right])
    matrix = [
        [Fraction(_amount(f, key)) for f in left] + [Fraction(-_amount(f, key)) for f in right]
        for key in keys
    ]
    basis = _null_space(matrix, len(left) + len(right))
    names = [formula.text for formula in (*left, *right)]
    text = f"{' + '.join(names[: len(left)])} -> {' + '.join(names[len(left) :])}"
    if not basis:
        raise _impossible(text, left, right, keys)
    if len(basis) > 1:
        raise _ambiguous(text, left, right, basis)
    numbers = _smallest(basis[0])
    if sum(numbers) < 0:
        numbers = [-number for number in numbers]
    if min(numbers) <= 0:
        raise _wrong_side(text, names, len(left), numbers, _one_sided(left, right, keys))
    return numbers


def _keys(formulas: Sequence[Formula]) -> list[str]:
    """Elements in the order of appearance, then the charge if there is any."""
    elements = list(dict.fromkeys(symbol for f in formulas for symbol, _ in f.counts))
    return [*elements, CHARGE] if any(f.charge for f in formulas) else elements


def _amount(formula: Formula, key: str) -> int:
    return formula.charge if key == CHARGE else formula.count(key)


def _null_space(matrix: list[list[Fraction]], n_columns: int) -> list[list[Fraction]]:
    """Return a basis, one vector for each free column, by Gauss-Jordan elimination."""
    rows = [list(row) for row in matrix]
    pivots: list[int] = []
    for column in range(n_columns):
        depth = len(pivots)
        found = next((i for i in range(depth, len(rows)) if rows[i][column]), None)
        if found is None:
            continue
        rows[depth], rows[found] = rows[found], rows[depth]
        head = rows[depth][column]
        rows[depth] = [value / head for value in rows[depth]]
        for i, row in enumerate(rows):
            factor = row[column]
            if i != depth and factor:
                pairs = zip(row, rows[depth], strict=True)
                rows[i] = [value - factor * p for value, p in pairs]
        pivots.append(column)
    basis = []
    for free in (column for column in range(n_columns) if column not in pivots):
        vector = [Fraction(0)] * n_columns
        vector[free] = Fraction(1)
        for depth, column in enumerate(pivots):
            vector[column] = -rows[depth][free]
        basis.append(vector)
    return basis


def _smallest(vector: Sequence[Fraction]) -> list[int]:
    """Return the smallest whole numbers in the ratio of `vector`."""
    scale = math.lcm(*(value.denominator for value in vector))
    whole = [int(value * scale) for value in vector]
    divisor = math.gcd(*whole) or 1
    return [value // divisor for value in whole]


def _impossible(
    text: str, left: Sequence[Formula], right: Sequence[Formula], keys: Sequence[str]
) -> EquationError:
    evidence = _one_sided(left, right, keys)
    if evidence:
        do = "Add the species that is missing, or take out the one that does not belong."
        return EquationError(text, "no coefficients can balance it", evidence, do)
    do = "Every element is on both sides, yet in no common ratio: is a species missing?"
    return EquationError(text, "no coefficients can balance it", (), do)


def _one_sided(left: Sequence[Formula], right: Sequence[Formula], keys: Sequence[str]) -> list[str]:
    """Return a line for each element, or the charge, that only one side holds."""
    lines = []
    for key in keys:
        on_left = [f.text for f in left if _amount(f, key)]
        on_right = [f.text for f in right if _amount(f, key)]
        if bool(on_left) != bool(on_right):
            side, held = ("left", on_left) if on_left else ("right", on_right)
            lines.append(f"{key} stands only on the {side}: {', '.join(held)}")
    return lines


def _wrong_side(
    text: str, names: list[str], n_left: int, numbers: list[int], one_sided: list[str]
) -> EquationError:
    evidence = list(one_sided)
    for i, (name, number) in enumerate(zip(names, numbers, strict=True)):
        side, other = ("left", "right") if i < n_left else ("right", "left")
        if number < 0:
            evidence.append(f"{name} stands on the {side} and belongs on the {other} ({number})")
        elif number == 0:
            evidence.append(f"{name} takes no part (0)")
    do = "Move what stands on the wrong side; leave out what takes no part."
    return EquationError(text, "it balances only with a coefficient below 1", evidence, do)


def _ambiguous(
    text: str, left: Sequence[Formula], right: Sequence[Formula], basis: list[list[Fraction]]
) -> EquationError:
    n_left = len(left)

    def shown(numbers: Sequence[int]) -> str:
        return (
            f"{side_text(zip(left, numbers[:n_left], strict=True))} -> "
            f"{side_text(zip(right, numbers[n_left:], strict=True))}"
        )

    found = list(islice(_positive_balances(basis), 2))
    if len(found) < 2:
        do = "Is it two equations in one, or does a species stand on the wrong side?"
        reason = (
            f"{len(basis)} independent balances satisfy the elements, and none with all "
            "coefficients positive was found"
        )
        return EquationError(text, reason, (), do)
    do = "Two reactions run side by side in it. Write the coefficients yourself, or split it."
    reason = "more than one set of coefficients balances it"
    return EquationError(text, reason, [shown(numbers) for numbers in found], do)


def _positive_balances(basis: list[list[Fraction]]) -> Iterator[list[int]]:
    """Yield different balances with all coefficients positive, among small combinations."""
    # Each free species has its own vector, so a positive balance is a positive combination.
    reach = max(2, int(_MOST_TRIALS ** (1 / len(basis))))
    seen: set[tuple[int, ...]] = set()
    trials = sorted(product(range(1, min(reach, 40) + 1), repeat=len(basis)), key=sum)
    for factors in trials:
        vector = [
            sum((f * v for f, v in zip(factors, column, strict=True)), Fraction(0))
            for column in zip(*basis, strict=True)
        ]
        if min(vector) <= 0:
            continue
        numbers = tuple(_smallest(vector))
        if numbers not in seen:
            seen.add(numbers)
            yield list(numbers)
