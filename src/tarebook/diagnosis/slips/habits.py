"""What people usually do: pour near the target, weigh near the nominal mass, use cups of one kind.

A number that was meant should be a likely one. How closely this group keeps to its plan is taken
from the row itself as far as it says something.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray, IntArray
from tarebook.diagnosis.slips.cups import DILUENT, REAGENT, SAMPLE, TARE, Cups, largest_sample
from tarebook.diagnosis.slips.odds import slip_table
from tarebook.series.experiment import Experiment

HABITUAL: Final = (REAGENT, DILUENT, TARE, SAMPLE)
"""Readings of which something is known before they are taken."""

PRIOR_RUNS = 3.0
"""Runs that the table's spread is worth against the row's own."""

SMALLEST_PART = 0.1
"""Part of the largest portion below which a portion misses its mass by no less."""

MAD = 1.4826
"""From the median of absolute deviations to a standard deviation of a normal distribution."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Habits:
    """Where the readings of each run are expected, in the order of `READ`.

    Attributes
    ----------
    centre, spread : ndarray, shape (6, n)
        Infinite spread where nothing is expected.
    wide : ndarray, shape (6,)
        Width of the range in which the rare portion that keeps to no plan falls.
    free_share : float, [1]
        How rare it is.
    rough_pour : float, [L]
        Spread of a pour about its target that nobody read.
    """

    centre: FloatArray
    spread: FloatArray
    wide: FloatArray
    free_share: float
    rough_pour: float

    def log_density(self, row: int, run: int | IntArray, value: FloatArray) -> FloatArray:
        """Return the logarithm of the density of a reading.

        Parameters
        ----------
        row : int
            Place of the quantity in `READ`.
        run : int or ndarray of int
        value : ndarray, [L] or [g]
        """
        index = np.asarray(run, dtype=np.intp)
        spread = self.spread[row, index]
        usual = np.isfinite(spread)
        width = np.where(usual, spread, 1.0)
        z = (value - self.centre[row, index]) / width
        # A reading that is very far off is no more unlikely than any other that keeps to no plan.
        near = np.where(usual, np.exp(-0.5 * np.minimum(z**2, 1400.0)) / width, 0.0)
        near = near * (1.0 - self.free_share) / np.sqrt(2.0 * np.pi)
        share = np.where(usual, self.free_share, 1.0)
        far = share / self.wide[row] / (1.0 + (np.maximum(value, 0.0) / self.wide[row]) ** 2)
        # An empty vessel may read nothing: the balance was set to zero with it on the pan.
        may_be = (value > 0) | ((row == TARE) & (value == 0))
        log: FloatArray = np.log(near + np.where(may_be, far, 1e-3 * far))
        return log

    def odd(self, row: int, run: int, value: float) -> float:
        """Return by how many spreads a reading misses what is expected; 0 if nothing is."""
        spread = self.spread[row, run]
        return float((value - self.centre[row, run]) / spread) if np.isfinite(spread) else 0.0


def habits_of(experiment: Experiment, runs: tuple[str, ...], cups: Cups) -> Habits:
    """Return what is expected of the readings of a row."""
    table = slip_table()["habit"]
    n = len(runs)
    centre, spread = np.zeros((6, n)), np.full((6, n), np.inf)
    planned = {run.run: run for run in experiment.planned}
    equipment, nominal = experiment.equipment, experiment.sample.nominal_mass
    piece = experiment.sample.piece
    for row, instrument in ((REAGENT, equipment.reagent), (DILUENT, equipment.diluent)):
        targets = [
            (planned[run].reagent if row == REAGENT else planned[run].diluent)
            if run in planned
            else np.nan
            for run in runs
        ]
        centre[row] = targets
        finest = instrument.finest_reading or 0.01 * instrument.capacity
        usual = table["pour_steps"] * finest
        spread[row] = _spread(cups, row, centre[row], usual, finest)
    centre[SAMPLE] = [experiment.sample_asked(run) for run in runs]
    # Where the sample grows the portions of a row differ, and each misses its own mass.
    own = equipment.sample_balance.readability
    relative = piece.spread if piece else table["sample_relative"]
    size = np.maximum(centre[SAMPLE], largest_sample(experiment) * SMALLEST_PART)
    spread[SAMPLE] = np.maximum(
        _spread(cups, SAMPLE, centre[SAMPLE], relative * nominal, own) * size / nominal, own
    )
    _expect_tares(centre, spread, cups, table["tare_relative"], equipment.balance.readability)
    spread[np.isnan(centre)] = np.inf
    centre = np.nan_to_num(centre)
    capacity = equipment.balance.capacity
    heaviest = capacity if np.isfinite(capacity) else 1000.0
    wide = np.array(
        [
            2.0 * experiment.total_volume,
            2.0 * experiment.total_volume,
            heaviest,
            heaviest,
            3.0 * largest_sample(experiment),
            heaviest,
        ]
    )
    return Habits(
        centre=centre,
        spread=spread,
        wide=wide,
        free_share=table["free_share"],
        rough_pour=table["rough_pour_relative"] * experiment.total_volume,
    )


def _spread(
    cups: Cups, row: int, centre: FloatArray, usual: float, least: float
) -> FloatArray | float:
    """Return the spread about the centre: the table's, and the row's as far as there is one."""
    there = cups.taken[row] & np.isfinite(centre)
    n = int(np.count_nonzero(there))
    own = MAD * float(np.median(np.abs(cups.observed[row] - centre)[there])) if n else 0.0
    # A row that is off as a whole does not make every number a usual one.
    own = min(own, 3.0 * usual)
    return max(float(np.sqrt((PRIOR_RUNS * usual**2 + n * own**2) / (PRIOR_RUNS + n))), least)


def _expect_tares(
    centre: FloatArray, spread: FloatArray, cups: Cups, relative: float, least: float
) -> None:
    # A balance set to zero with the cup on it is a way of weighing and says nothing of the cup.
    there = np.flatnonzero(cups.taken[TARE] & (cups.observed[TARE] != 0.0))
    for run in range(centre.shape[1]):
        if cups.observed[TARE, run] == 0.0:
            continue
        others = cups.observed[TARE, there[there != run]]
        if others.size < 2:
            continue
        middle = abs(float(np.median(others)))
        own = MAD * float(np.median(np.abs(others - middle)))
        usual = relative * middle
        n = others.size
        centre[TARE, run] = middle
        wide = float(np.sqrt((PRIOR_RUNS * usual**2 + n * own**2) / (PRIOR_RUNS + n)))
        # Where the balance was set to zero on each cup, all tares are alike.
        spread[TARE, run] = max(wide, least)
