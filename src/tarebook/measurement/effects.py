"""Errors of readings: of what shape, how wide, and drawn.

The standard uncertainty is what a fit needs; the shape is what a Monte Carlo run needs.

References
----------
.. [1] JCGM 100:2008 (GUM), 4.2 and 4.3.
.. [2] JCGM 101:2008, 6.4.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from typing import Final, TypeAlias

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

Size: TypeAlias = int | Sequence[int]


class Shape(StrEnum):
    """Shape of the distribution of an error about zero."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"


HALF_WIDTHS_PER_U: Final[dict[Shape, float]] = {
    Shape.NORMAL: 1.959963984540054,
    Shape.RECTANGULAR: math.sqrt(3),
    Shape.TRIANGULAR: math.sqrt(6),
}
"""Half-width of a shape in units of its standard deviation; of the normal, at 95 % (GUM 4.3.4)."""


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


def draw(
    shape: Shape,
    u: float | FloatArray,
    rng: np.random.Generator,
    size: Size,
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

    Returns
    -------
    ndarray, shape `size`
        Errors, in the unit of `u`, which is their standard deviation.

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.2 (rectangular), 6.4.5 (triangular), 6.4.7 (normal).

    Examples
    --------
    >>> rng = np.random.Generator(np.random.SFC64(7))
    >>> float(draw(Shape.TRIANGULAR, 2.0, rng, 200_000).std().round(2))
    2.0
    """
    errors: FloatArray
    if shape is Shape.NORMAL:
        errors = rng.standard_normal(size)
        scale = 1.0
    elif shape is Shape.RECTANGULAR:
        errors = rng.random(size)
        errors -= 0.5
        scale = 2.0 * HALF_WIDTHS_PER_U[shape]
    else:
        errors = rng.random(size)
        errors += rng.random(size)
        errors -= 1.0
        scale = HALF_WIDTHS_PER_U[shape]
    errors *= scale * u
    return errors
