"""What was poured in each run: how much, in how many fillings, how surely each was read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray, IntArray
from tarebook.measurement.own_errors import own_u
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.records.instruments import ware_of
from tarebook.records.readings import PLUS, Quantity, Reading, RunTable
from tarebook.series.experiment import Experiment

SLACK = 1e-9
"""Part of a capacity that float noise may make of nothing."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pours:
    """The pours of one liquid; arrays of shape (n,), n runs.

    Attributes
    ----------
    volume : ndarray, [L]
        Mean of the repeats; NaN where nothing was read.
    fillings : ndarray, [1]
        How often the ware was filled, and so how often liquid stayed behind in it; 0 where nothing
        was poured.
    own_u : ndarray, [L]
        Standard uncertainty that the volume has of its own: each filling is read anew.
    """

    volume: FloatArray
    fillings: FloatArray
    own_u: FloatArray


def n_fillings(instrument: VolumeInstrument, volume: FloatArray) -> FloatArray:
    """Return how often ware has to be filled for volumes; 0 for none.

    Parameters
    ----------
    instrument : VolumeInstrument
    volume : ndarray, [L]
    """
    return np.ceil(np.maximum(_in_wares(instrument, volume), 0.0))


def _in_wares(instrument: VolumeInstrument, volume: FloatArray) -> FloatArray:
    """Return volumes in capacities of the ware, a hair less so that a full one is one."""
    return volume / instrument.capacity * (1.0 - SLACK)


def asked_fillings(
    experiment: Experiment, runs: Sequence[str], quantity: Quantity, volume: FloatArray
) -> FloatArray:
    """Return the fillings that volumes take which nobody wrote down as sums, shape (n,).

    As many as the ware needs, but no more than what the plan asks for needs (one at least): a slip
    of the pen fills nothing.

    Parameters
    ----------
    experiment : Experiment
    runs : sequence of str, length n
    quantity : Quantity
        `REAGENT` or `DILUENT`.
    volume : ndarray, shape (n,), [L]
    """
    instrument, of_reagent = ware_of(experiment, quantity), quantity is Quantity.REAGENT
    planned = {one.run: one.reagent if of_reagent else one.diluent for one in experiment.planned}
    asked = np.array([planned.get(run, experiment.total_volume) for run in runs])
    needed = np.maximum(n_fillings(instrument, asked), 1.0)
    return np.minimum(n_fillings(instrument, volume), needed)


def fillings(
    experiment: Experiment, run: str, quantity: Quantity, volume: float, reading: Reading | None
) -> tuple[float, ...]:
    """Return the fillings of one pour, [L]: as they were written, else as the plan needs them.

    Parameters
    ----------
    experiment : Experiment
    run : str
    quantity : Quantity
        `REAGENT` or `DILUENT`.
    volume : float, [L]
    reading : Reading or None
        None for a pour that was not read.
    """
    found = _filled(experiment, (run,), quantity, np.array([volume]), (reading,))
    return tuple(found.volume.tolist())


def pours(experiment: Experiment, table: RunTable, quantity: Quantity) -> Pours:
    """Return the pours of one liquid.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    quantity : Quantity
        `REAGENT` or `DILUENT`.
    """
    cells = [table.of(run, quantity) for run in table.runs]
    counts, u = np.zeros((2, len(cells)))
    if any(cells):
        n_pours = np.array([len(cell) for cell in cells])
        of_run = np.repeat(np.arange(len(cells)), n_pours)
        readings = [reading for cell in cells for reading in cell]
        values = np.array([reading.value for reading in readings])
        found = _filled(experiment, [r.run for r in readings], quantity, values, readings)
        np.maximum.at(counts, of_run, found.count)
        place = of_run[found.of_pour]
        independent = table.independent_of_each(quantity)[place]
        each = np.maximum(found.volume, 0.0)
        square = own_u(ware_of(experiment, quantity), each, independent) ** 2
        total = np.bincount(place, weights=square, minlength=len(cells))
        u = np.sqrt(total / np.maximum(n_pours, 1))
    return Pours(volume=table.mean(quantity, math.nan), fillings=counts, own_u=u)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Filled:
    """Fillings of some pours: how many of each, and of which pour each is, with its volume, [L]."""

    count: IntArray
    of_pour: IntArray
    volume: FloatArray


def _filled(
    experiment: Experiment,
    runs: Sequence[str],
    quantity: Quantity,
    volume: FloatArray,
    readings: Sequence[Reading | None],
) -> _Filled:
    n = asked_fillings(experiment, runs, quantity, volume).astype(np.intp)
    share = volume / np.maximum(n, 1)
    written = {
        at: reading.fillings
        for at, reading in enumerate(readings)
        if reading is not None and PLUS in reading.typed
    }
    for at, parts in written.items():
        n[at] = len(parts)
    of_pour = np.repeat(np.arange(n.size), n)
    each = share[of_pour]
    for at, parts in written.items():
        each[of_pour == at] = parts
    return _Filled(count=n, of_pour=of_pour, volume=each)
