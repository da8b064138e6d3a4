"""Which reactant runs out, and what that lets the reaction make; arrays in, arrays out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tarebook.chemistry.equation import Equation
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitingReactant:
    """How far the reaction can go, and what stops it.

    Attributes
    ----------
    extent : ndarray, shape (...), [mol]
        Amount of reaction: the smallest of amount / coefficient.
    index : ndarray of int8, shape (...), [1]
        Which of `reactants` runs out first; on a tie the earlier one in the equation.
    reactants : tuple of str
        The reactants compared, as written in the equation and in its order.
    """

    extent: FloatArray
    index: NDArray[np.int8]
    reactants: tuple[str, ...]


def limiting_reactant(equation: Equation, amounts: Mapping[str, FloatArray]) -> LimitingReactant:
    """Return the extent of reaction and the reactant that limits it.

    Parameters
    ----------
    equation : Equation
        Balanced.
    amounts : mapping of str to ndarray, shapes that broadcast, [mol]
        Amount of each reactant put in. A reactant left out is taken to be in excess.

    Returns
    -------
    LimitingReactant
        Of the broadcast shape of the amounts.

    Raises
    ------
    FormulaError
        If a name is no formula.
    UnknownSpeciesError
        If a name is not one of the reactants.
    OutOfRangeError
        If no amount is given, or one is negative or not a number.

    Examples
    --------
    >>> from tarebook.chemistry.equation import parse_equation
    >>> made = limiting_reactant(
    ...     parse_equation("Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2"),
    ...     {"Na2CO3": np.array([0.010, 0.010]), "HCl": np.array([0.015, 0.030])},
    ... )
    >>> made.extent, [made.reactants[i] for i in made.index]
    (array([0.0075, 0.01  ]), ['HCl', 'Na2CO3'])
    """
    given = {}
    for name, amount in amounts.items():
        written, coefficient = equation.reactant(name)
        array = np.asarray(amount, dtype=np.float64)
        least = float(array.min()) if array.size else 0.0
        if not least >= 0.0:
            raise OutOfRangeError(f"amount of {written}", least, "mol", "[0, inf)")
        given[written] = array if coefficient == 1 else array / coefficient
    reactants = tuple(f.text for f, _ in equation.reactants if f.text in given)
    if not reactants:
        raise OutOfRangeError(
            "number of amounts", 0, "1", "[1, inf)", "Give one reactant's amount."
        )
    shape = np.broadcast_shapes(*(array.shape for array in given.values()))
    extent = np.broadcast_to(given[reactants[0]], shape)
    index = np.zeros(shape, dtype=np.int8)
    for i, name in enumerate(reactants[1:], start=1):
        index[given[name] < extent] = i
        extent = np.minimum(extent, given[name])
    return LimitingReactant(extent=np.array(extent), index=index, reactants=reactants)


def theoretical_amount(equation: Equation, product: str, extent: FloatArray) -> FloatArray:
    """Return the amount of a product that an extent of reaction makes.

    Parameters
    ----------
    equation : Equation
        Balanced.
    product : str
        One of its products.
    extent : ndarray, any shape, [mol]
        Amount of reaction, as `limiting_reactant` gives it.

    Returns
    -------
    ndarray, shape of `extent`, [mol]
        Coefficient times extent.

    Raises
    ------
    FormulaError
        If `product` is no formula.
    UnknownSpeciesError
        If it is not one of the products.

    Examples
    --------
    >>> from tarebook.chemistry.equation import parse_equation
    >>> equation = parse_equation("Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2")
    >>> theoretical_amount(equation, "NaCl", np.array([0.0075]))
    array([0.015])
    """
    amount: FloatArray = equation.product(product)[1] * np.asarray(extent, dtype=np.float64)
    return amount
