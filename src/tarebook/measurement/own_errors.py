"""The errors that each reading has of its own: for fits, budgets, slips and simulated hands.

What all readings of an instrument share (the scale of ware, the straight line of a balance, the
tolerance of a thermometer) is not among them: it does not go away with more readings, and a fit
takes it as one unknown.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.measurement.effects import Shape


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OwnError:
    """One kind of error that each reading has anew.

    Attributes
    ----------
    label : str
        What it is, as a line of a budget.
    shape : Shape
    u : float or ndarray
        Standard uncertainty, in the unit of the reading.
    averages : bool
        Whether the mean of repeats has less of it: a graduation line stays where it is, however
        often it is read.
    """

    label: str
    shape: Shape
    u: FloatArray | float
    averages: bool = True


class Instrument(Protocol):
    """What a reading is taken on."""

    @property
    def name(self) -> str:
        """What people call it."""

    @property
    def finest_reading(self) -> float:
        """Finest step that is read, in the unit of the reading; 0 without a scale."""

    def own_errors(self, value: FloatArray) -> Sequence[OwnError]:
        """Return the errors that readings of these values have of their own."""


def own_u(
    instrument: Instrument, value: FloatArray, independent: FloatArray | float = 1.0
) -> FloatArray:
    """Return the standard uncertainty that each reading has of its own.

    Parameters
    ----------
    instrument : Instrument
        What the value was read on.
    value : ndarray, any shape
        Readings.
    independent : float or ndarray, [1]
        Effective number of readings of which each is the mean.

    Returns
    -------
    ndarray, shape of `value`

    Raises
    ------
    OutOfRangeError
        If a volume is negative or not a number.
    """
    once, each = np.zeros(np.shape(value)), np.zeros(np.shape(value))
    for error in instrument.own_errors(value):
        (each if error.averages else once)[...] += np.square(error.u)
    own: FloatArray = np.sqrt(once + each / independent)
    return own
