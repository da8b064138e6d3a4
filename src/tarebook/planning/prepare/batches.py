"""Volumes that can be made and measured: batches, cylinders, what a dilution takes."""

from __future__ import annotations

import math

from tarebook.core.errors import OutOfRangeError
from tarebook.measurement.instruments import volume_instrument
from tarebook.measurement.volumes import VolumeInstrument

FLASKS = (2.0, 1.0, 0.5, 0.25)
"""Volumetric flasks, L."""

CANS = (10.0, 5.0)
"""Containers in which larger batches are weighed together, L."""

MOST_FLASKS = 4
"""More flasks than this are not filled one after the other: a larger container takes over."""

MOST_WASTE = 1.6
"""Times the volume needed that may be made to save a batch."""

CYLINDERS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0)
"""Graduated cylinders with a row in ASTM E1272, L."""

ENOUGH = 1e-9


def volume_to_take(wanted: float, made_up_to: float, bought: float) -> float:
    """Return the volume of a stronger solution that a weaker one needs, [L].

    Parameters
    ----------
    wanted, bought : float, [mol/L]
    made_up_to : float, [L]
        Volume of the finished solution.

    Raises
    ------
    OutOfRangeError
        If what is bought is weaker than what is wanted.

    Examples
    --------
    >>> volume_to_take(0.5, 2.0, 10.0)
    0.1
    """
    if not 0 < wanted <= bought * (1 + ENOUGH):
        raise OutOfRangeError(
            "strength of the stock",
            wanted,
            "mol/L",
            f"(0, {bought:.4g}]",
            "Diluting cannot make it stronger: buy something stronger or plan a weaker stock.",
        )
    return min(wanted / bought, 1.0) * made_up_to


def batches(volume: float, *, hot: bool = False) -> tuple[int, float, bool]:
    """Return how a volume of stock is made: number of batches, size of one [L], whether by mass.

    Parameters
    ----------
    volume : float, [L]
        At least this much is made.
    hot : bool
        Whether it becomes very hot: then never more at once than a flask holds.

    Examples
    --------
    >>> batches(0.2), batches(1.4), batches(7.0), batches(12.0)
    ((1, 0.25, False), (1, 2.0, False), (4, 2.0, False), (3, 5.0, True))
    >>> batches(12.0, hot=True)
    (6, 2.0, False)
    """
    if not 0 < volume < math.inf:
        raise OutOfRangeError("volume of stock", volume, "L", "(0, inf)")
    small = [(math.ceil(volume / size - ENOUGH), size) for size in FLASKS]
    small = [pair for pair in small if pair[0] <= MOST_FLASKS] or (small[:1] if hot else [])
    chosen = small or [(math.ceil(volume / size - ENOUGH), size) for size in CANS]
    # Few batches are less work; more than half as much again would be waste.
    sparing = [pair for pair in chosen if pair[0] * pair[1] <= MOST_WASTE * volume]
    count, size = min(
        sparing or chosen, key=lambda pair: (pair[0] if sparing else 0, pair[0] * pair[1])
    )
    return count, size, not small


def cylinder(volume: float) -> VolumeInstrument | None:
    """Return the smallest cylinder that takes a volume in one pour; None if none does."""
    for size in CYLINDERS:
        if volume <= size * (1 + ENOUGH):
            return volume_instrument("graduated cylinder", size, standard="ASTM E1272", grade="B")
    return None


def two_digits_down(value: float) -> float:
    """Return a positive number cut to two significant digits.

    Examples
    --------
    >>> two_digits_down(0.8326), two_digits_down(12.9)
    (0.83, 12.0)
    """
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return round(math.floor(value / step + ENOUGH) * step, 12)


def rounded_up(volume: float, step: float) -> float:
    """Return a volume rounded up to a step, both [L].

    Examples
    --------
    >>> rounded_up(0.4312, 0.05)
    0.45
    """
    return round(math.ceil(volume / step - ENOUGH) * step, 9)
