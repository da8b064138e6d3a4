"""Molar masses, and what they share: one element's weight is off by the same amount everywhere."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from tarebook.chemistry.formula import Formula, as_formula
from tarebook.chemistry.weights import standard_atomic_weight
from tarebook.core.arrays import FloatArray
from tarebook.core.quantity import Measured, Source

_SOURCE = Source("sum of the IUPAC 2021 abridged standard atomic weights", "computed")


def molar_mass(formula: Formula | str) -> Measured:
    """Return the molar mass of a species.

    All atoms of one element share the error of its atomic weight, so with n atoms it counts n
    times; different elements are independent. The electrons of an ion (0.00055 g/mol a charge)
    are left out: they are below the uncertainty of the weights.

    Parameters
    ----------
    formula : Formula or str
        The species.

    Returns
    -------
    Measured, [g/mol]
        Sum of n_i * A_i; u is the root of the sum of (n_i * u_i)^2 over elements.

    Raises
    ------
    FormulaError
        If the text is no formula.
    NoAtomicWeightError
        If an element has no standard atomic weight.

    References
    ----------
    .. [1] Eurachem/CITAC, Quantifying Uncertainty in Analytical Measurement, 3rd ed., 2012, A2:
       the molar mass of potassium hydrogen phthalate.

    Examples
    --------
    >>> mass = molar_mass("NaHCO3")
    >>> round(mass.value, 4), round(mass.u, 4)
    (84.006, 0.0022)
    """
    value, variance = 0.0, 0.0
    for symbol, count in molar_mass_sensitivities(formula).items():
        weight = standard_atomic_weight(symbol)
        value += count * weight.value
        variance += (count * weight.u) ** 2
    return Measured(value=value, u=math.sqrt(variance), unit="g/mol", source=_SOURCE)


def molar_mass_sensitivities(formula: Formula | str) -> dict[str, int]:
    """Return d(molar mass)/d(atomic weight) for each element: the count of its atoms.

    Parameters
    ----------
    formula : Formula or str
        The species.

    Returns
    -------
    dict of str to int
        Element symbol to count, in the order of the formula.

    Raises
    ------
    FormulaError
        If the text is no formula.

    Examples
    --------
    >>> molar_mass_sensitivities("CuSO4.5H2O")
    {'Cu': 1, 'S': 1, 'O': 9, 'H': 10}
    """
    return dict(as_formula(formula).counts)


def molar_mass_covariance(formulas: Sequence[Formula | str]) -> FloatArray:
    """Return the covariance matrix of the molar masses of several species.

    Species that share an element share its error, so a ratio such as M(NaHCO3)/M(CO2) is known
    better than its parts.

    Parameters
    ----------
    formulas : sequence of Formula or str, length n
        The species.

    Returns
    -------
    ndarray, shape (n, n), [(g/mol)^2]
        Sum over elements of n_ik * n_jk * u_k^2; the diagonal holds the squares of `molar_mass`'s
        uncertainties.

    Raises
    ------
    FormulaError
        If a text is no formula.
    NoAtomicWeightError
        If an element has no standard atomic weight.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), F.1.2.3: covariance through common input quantities.

    Examples
    --------
    >>> molar_mass_covariance(["CO2", "H2O"]).round(8)
    array([[2.67e-06, 6.70e-07],
           [6.70e-07, 3.90e-07]])
    """
    counts = [molar_mass_sensitivities(formula) for formula in formulas]
    elements = sorted({symbol for one in counts for symbol in one})
    jacobian = np.array(
        [[one.get(symbol, 0) for symbol in elements] for one in counts], dtype=float
    )
    scaled = jacobian * np.array([standard_atomic_weight(symbol).u for symbol in elements])
    covariance: FloatArray = scaled @ scaled.T
    return covariance
