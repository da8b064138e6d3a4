"""What was poured in each run: how much, in how many fillings, how surely each was read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from tarebook.core.arrays import FloatArray, IntArray
from tarebook.measurement.volumes import VolumeInstrument, own_u
from tarebook.records.readings import PLUS, Quantity, Reading, RunTable
from tarebook.series.experiment import Experiment

Volumes = TypeVar("Volumes", float, FloatArray)

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


def ware_of(experiment: Experiment, quantity: Quantity) -> VolumeInstrument:
    """Return the ware with which a liquid is poured."""
    equipment = experiment.equipment
    return equipment.reagent if quantity is Quantity.REAGENT else equipment.diluent


def n_fillings(instrument: VolumeInstrument, volume: FloatArray) -> FloatArray:
    """Return how often ware has to be filled for volumes; 0 for none.

    Parameters
    ----------
    instrument : VolumeInstrument
    volume : ndarray, [L]
    """
    return np.ceil(np.maximum(_in_wares(instrument, volume), 0.0))


def fillings_of(instrument: VolumeInstrument, volume: float) -> int:
    """Return how often ware has to be filled for one volume, [L]; 0 for none."""
    # Rounded without numpy: an array of one would cost more than the sum.
    return math.ceil(max(_in_wares(instrument, volume), 0.0))


def _in_wares(instrument: VolumeInstrument, volume: Volumes) -> Volumes:
    """Return volumes in capacities of the ware, a hair less so that a full one is one."""
    return volume / instrument.capacity * (1.0 - SLACK)


def fillings(
    experiment: Experiment, run: str, quantity: Quantity, volume: float, reading: Reading | None
) -> tuple[float, ...]:
    """Return the fillings of one pour, [L]: as they were written, else as the plan needs them.

    A volume that was written as one number was poured in as many fillings as the ware needs for
    what the plan asks: a slip of the pen fills nothing.

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
    return _fillings(
        ware_of(experiment, quantity), _asked(experiment, run, quantity), volume, reading
    )


def _fillings(
    instrument: VolumeInstrument, asked: int, volume: float, reading: Reading | None
) -> tuple[float, ...]:
    written = () if reading is None else reading.fillings
    if len(written) > 1:
        return written
    n = min(fillings_of(instrument, volume), asked)
    return (volume / n,) * n if n else ()


def _asked(experiment: Experiment, run: str, quantity: Quantity) -> int:
    """Return the fillings that what the plan asks for needs, one at least."""
    planned, asked = experiment.planned_run(run), experiment.total_volume
    if planned is not None:
        asked = planned.reagent if quantity is Quantity.REAGENT else planned.diluent
    return max(fillings_of(ware_of(experiment, quantity), asked), 1)


def pours(experiment: Experiment, table: RunTable, quantity: Quantity) -> Pours:
    """Return the pours of one liquid.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    quantity : Quantity
        `REAGENT` or `DILUENT`.
    """
    instrument = ware_of(experiment, quantity)
    cells = [table.of(run, quantity) for run in table.runs]
    counts, u = np.zeros((2, len(cells)))
    if any(cells):
        asked = [
            _asked(experiment, run, quantity) if cell else 0
            for run, cell in zip(table.runs, cells, strict=True)
        ]
        n_pours = np.array([len(cell) for cell in cells])
        of_run = np.repeat(np.arange(len(cells)), n_pours)
        n, of_pour, volume = _all_fillings(
            instrument, np.array(asked)[of_run], [reading for cell in cells for reading in cell]
        )
        np.maximum.at(counts, of_run, n)
        place = of_run[of_pour]
        independent = table.independent_of_each(quantity)[place]
        square = own_u(instrument, np.maximum(volume, 0.0), independent) ** 2
        total = np.bincount(place, weights=square, minlength=len(cells))
        u = np.sqrt(total / np.maximum(n_pours, 1))
    return Pours(volume=table.mean(quantity, math.nan), fillings=counts, own_u=u)


def _all_fillings(
    instrument: VolumeInstrument, asked: IntArray, readings: Sequence[Reading]
) -> tuple[IntArray, IntArray, FloatArray]:
    """Return how many fillings each pour has, and of which pour each filling is, with its volume.

    As `_fillings`, for all pours at once.
    """
    volume = np.array([reading.value for reading in readings])
    n = np.minimum(n_fillings(instrument, volume), asked).astype(np.intp)
    share = volume / np.maximum(n, 1)
    written = {at: reading.fillings for at, reading in enumerate(readings) if PLUS in reading.typed}
    for at, parts in written.items():
        n[at] = len(parts)
    of_pour = np.repeat(np.arange(n.size), n)
    each = share[of_pour]
    for at, parts in written.items():
        each[of_pour == at] = parts
    return n, of_pour, each
