"""Sources of error: how wide each is, of what shape, and whether readings share it.

An `Effect` is one line of an uncertainty budget before it meets a model. Its standard uncertainty
`u` is what first-order propagation needs; its shape is what a Monte Carlo run needs; `shared` says
whether all readings of one instrument carry the same error (the calibration of a vessel) or each
carries its own (the eye at the meniscus).

References
----------
.. [1] JCGM 100:2008 (GUM), 4.2 and 4.3.
.. [2] JCGM 101:2008, 6.4.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, TypeAlias

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source

Size: TypeAlias = int | Sequence[int]


class Shape(StrEnum):
    """Shape of the distribution of an error about zero."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    ARCSINE = "arcsine"


HALF_WIDTHS_PER_U: Final[dict[Shape, float]] = {
    Shape.NORMAL: 1.959963984540054,
    Shape.RECTANGULAR: math.sqrt(3),
    Shape.TRIANGULAR: math.sqrt(6),
    Shape.ARCSINE: math.sqrt(2),
}
"""Half-width of a shape in units of its standard deviation; of the normal, at 95 % (GUM 4.3.4)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One source of error.

    Attributes
    ----------
    name : str
        What errs and how, e.g. ``"50 mL cylinder: calibration"``.
    shape : Shape
        Shape of the distribution about zero.
    u : float, [unit]
        Standard uncertainty (k = 1).
    unit : str
        Unit of `u`; ``"1"`` for a relative error.
    shared : bool
        True if one draw holds for all readings of the instrument, False if each has its own.
    source : Source
        Where `u` comes from.
    dof : float, [1]
        Degrees of freedom of `u`.

    Raises
    ------
    OutOfRangeError
        If `u` is negative, infinite or not a number, or `dof` is not positive.
    """

    name: str
    shape: Shape
    u: float
    unit: str
    shared: bool
    source: Source
    dof: float = math.inf

    def __post_init__(self) -> None:
        if not 0 <= self.u < math.inf:
            raise OutOfRangeError(f"standard uncertainty of {self.name}", self.u, self.unit,
                                  "[0, inf)")  # fmt: skip
        if not self.dof > 0:
            raise OutOfRangeError(f"degrees of freedom of {self.name}", self.dof, "1", "(0, inf]")


def u_of_half_width(half_width: float, shape: Shape) -> float:
    """Return the standard uncertainty of an error stated as plus or minus a half-width.

    Parameters
    ----------
    half_width : float
        Largest size of the error; for a normal error the half-width of its 95 % interval.
    shape : Shape
        Shape of the distribution.

    Returns
    -------
    float
        Standard deviation, in the unit of `half_width`.

    Raises
    ------
    OutOfRangeError
        If `half_width` is negative or not a number.

    Examples
    --------
    >>> round(u_of_half_width(0.1, Shape.TRIANGULAR), 4)
    0.0408
    """
    if not half_width >= 0:
        raise OutOfRangeError("half-width", half_width, "1", "[0, inf)")
    return half_width / HALF_WIDTHS_PER_U[shape]


def rectangular(
    name: str, *, half_width: float, unit: str, shared: bool, source: Source, dof: float = math.inf
) -> Effect:
    """Return an error equally likely anywhere within `half_width` of zero.

    Examples
    --------
    >>> guide = Source("Eurachem/CITAC CG 4, example A1", "secondary")
    >>> effect = rectangular("temperature", half_width=0.084, unit="mL", shared=False, source=guide)
    >>> round(effect.u, 3)
    0.048
    """
    u = u_of_half_width(half_width, Shape.RECTANGULAR)
    return Effect(
        name=name, shape=Shape.RECTANGULAR, u=u, unit=unit, shared=shared, source=source, dof=dof
    )


def triangular(
    name: str, *, half_width: float, unit: str, shared: bool, source: Source, dof: float = math.inf
) -> Effect:
    """Return an error within `half_width` of zero, small values the likelier."""
    u = u_of_half_width(half_width, Shape.TRIANGULAR)
    return Effect(
        name=name, shape=Shape.TRIANGULAR, u=u, unit=unit, shared=shared, source=source, dof=dof
    )


def arcsine(
    name: str, *, half_width: float, unit: str, shared: bool, source: Source, dof: float = math.inf
) -> Effect:
    """Return an error that swings as a sine of amplitude `half_width`: a thermostat's cycle."""
    u = u_of_half_width(half_width, Shape.ARCSINE)
    return Effect(
        name=name, shape=Shape.ARCSINE, u=u, unit=unit, shared=shared, source=source, dof=dof
    )


def normal(
    name: str, *, u: float, unit: str, shared: bool, source: Source, dof: float = math.inf
) -> Effect:
    """Return a normal error of standard uncertainty `u`."""
    return Effect(
        name=name, shape=Shape.NORMAL, u=u, unit=unit, shared=shared, source=source, dof=dof
    )


def type_a(
    name: str,
    repeats: FloatArray,
    *,
    unit: str,
    shared: bool,
    source: Source,
    of_mean: bool = True,
) -> Effect:
    """Return the error of repeated readings, evaluated from their scatter.

    Parameters
    ----------
    name : str
        What was repeated.
    repeats : ndarray, shape (n,), [unit]
        At least two readings.
    unit : str
        Their unit.
    shared : bool
        True if the mean is used in more than one place.
    source : Source
        Where the readings come from.
    of_mean : bool
        True for the uncertainty of their mean, s/sqrt(n); False for that of a single reading, s.

    Returns
    -------
    Effect
        Normal, with n - 1 degrees of freedom.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two readings.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 4.2.

    Examples
    --------
    >>> bench = Source("five fillings", "found")
    >>> effect = type_a("filling", np.array([5.007, 4.994, 5.005, 4.990, 4.999]),
    ...                 unit="V", shared=False, source=bench)
    >>> round(effect.u, 4), effect.dof
    (0.0032, 4.0)
    """
    n_repeats = int(np.size(repeats))
    if n_repeats < 2:
        raise OutOfRangeError(
            f"number of readings of {name}", n_repeats, "1", "[2, inf)", "Read once more."
        )
    u = float(np.std(repeats, ddof=1))
    if of_mean:
        u /= math.sqrt(n_repeats)
    return normal(name, u=u, unit=unit, shared=shared, source=source, dof=float(n_repeats - 1))


def draw(
    shape: Shape,
    u: float | FloatArray,
    rng: np.random.Generator,
    size: Size,
    *,
    dof: float = math.inf,
) -> FloatArray:
    """Draw errors with mean zero.

    Parameters
    ----------
    shape : Shape
        Shape of the distribution.
    u : float or ndarray
        Standard uncertainty; an array must broadcast to `size`.
    rng : numpy.random.Generator
        Source of chance.
    size : int or sequence of int
        Shape of the result.
    dof : float, [1]
        Degrees of freedom of `u`. A normal error with finite `dof` is drawn from the t distribution
        scaled by `u`; the bounded shapes take their half-width as exactly known.

    Returns
    -------
    ndarray, shape `size`
        Errors, in the unit of `u`. Their standard deviation is `u` (for a t distribution
        u * sqrt(dof / (dof - 2)), where that exists).

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.2 (rectangular), 6.4.5 (triangular), 6.4.6 (arcsine),
       6.4.7 (normal), 6.4.9 (t).

    Examples
    --------
    >>> rng = np.random.Generator(np.random.SFC64(7))
    >>> float(draw(Shape.TRIANGULAR, 2.0, rng, 200_000).std().round(2))
    2.0
    """
    errors: FloatArray
    if shape is Shape.NORMAL:
        errors = rng.standard_normal(size) if math.isinf(dof) else rng.standard_t(dof, size)
        scale = 1.0
    elif shape is Shape.RECTANGULAR:
        errors = rng.random(size)
        errors -= 0.5
        scale = 2.0 * HALF_WIDTHS_PER_U[shape]
    elif shape is Shape.TRIANGULAR:
        errors = rng.random(size)
        errors += rng.random(size)
        errors -= 1.0
        scale = HALF_WIDTHS_PER_U[shape]
    else:
        errors = rng.random(size)
        errors *= 2.0 * math.pi
        np.sin(errors, out=errors)
        scale = HALF_WIDTHS_PER_U[shape]
    errors *= scale * u
    return errors
