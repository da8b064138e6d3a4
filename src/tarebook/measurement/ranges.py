"""The one check of a formula's range of validity."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import NumberArray
from tarebook.core.errors import OutOfRangeError


def require_within(name: str, values: NumberArray, low: float, high: float, unit: str) -> None:
    """Refuse values outside a closed range, or not numbers, and name the first one.

    Parameters
    ----------
    name : str
        What the values are.
    values : ndarray, any shape, [unit]
        Real or complex; of complex values the real part counts.
    low, high : float, [unit]
        Ends of the range.
    unit : str
        Unit for the message.

    Raises
    ------
    OutOfRangeError
        If a value is outside.
    """
    real = np.asarray(np.real(values))
    slack = 1e-9 * (high - low)  # 40 degC turned into kelvin and back is not quite 40
    if real.size and real.min() >= low - slack and real.max() <= high + slack:
        return
    allowed = (real >= low - slack) & (real <= high + slack)
    if not allowed.all():
        raise OutOfRangeError(name, float(real[~allowed].flat[0]), unit, f"[{low:g}, {high:g}]")
