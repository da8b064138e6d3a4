"""The straight model about a point: difference quotients, all from one call of the model."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray


def moved(point: FloatArray, steps: FloatArray, *, central: bool = False) -> FloatArray:
    """Return a point as it is, then with each step made, then with each undone if `central`.

    Parameters
    ----------
    point : ndarray, any shape
    steps : ndarray, shape (m, ...)
        Each of a shape that broadcasts to that of the point.
    central : bool

    Returns
    -------
    ndarray, shape (1 + m, ...) or (1 + 2 m, ...)

    Examples
    --------
    >>> moved(np.array([1.0, 2.0]), np.diag([0.1, 0.2]), central=True).tolist()
    [[1.0, 2.0], [1.1, 2.0], [1.0, 2.2], [0.9, 2.0], [1.0, 1.8]]
    """
    m = len(steps)
    sets = np.empty((1 + (2 if central else 1) * m, *point.shape))
    sets[:] = point
    sets[1 : 1 + m] += steps
    if central:
        sets[1 + m :] -= steps
    return sets


def quotients(values: FloatArray, widths: FloatArray) -> FloatArray:
    """Return difference quotients of values at the sets that `moved` returns.

    Parameters
    ----------
    values : ndarray, shape (1 + m, ...) or (1 + 2 m, ...)
    widths : ndarray, shape (m, ...)
        Of the steps, in the unit that the quotients are wanted in.

    Examples
    --------
    >>> at = moved(np.array(3.0), np.array([0.1]), central=True)
    >>> quotients(at**2, np.array([0.1])).round(9).tolist()
    [6.0]
    """
    m = len(widths)
    central = len(values) == 1 + 2 * m
    behind, width = (values[1 + m :], 2.0 * widths) if central else (values[0], widths)
    found: FloatArray = (values[1 : 1 + m] - behind) / width
    return found
