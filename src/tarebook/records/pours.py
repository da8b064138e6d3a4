"""What was poured in each run: how much, in how many fillings, how surely each was read."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.measurement.volumes import VolumeInstrument, own_u
from tarebook.records.readings import Quantity, Reading, RunTable
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
    return np.ceil(np.maximum(volume, 0.0) / instrument.capacity * (1.0 - SLACK))


def fillings_of(instrument: VolumeInstrument, volume: float) -> int:
    """Return how often ware has to be filled for one volume, [L]; 0 for none."""
    return int(n_fillings(instrument, np.array(volume))) if volume > 0 else 0


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
    if reading is not None and len(reading.fillings) > 1:
        return reading.fillings
    instrument, planned = ware_of(experiment, quantity), experiment.planned_run(run)
    asked = experiment.total_volume
    if planned is not None:
        asked = planned.reagent if quantity is Quantity.REAGENT else planned.diluent
    n = min(fillings_of(instrument, volume), max(fillings_of(instrument, asked), 1))
    return (volume / n,) * n if n else ()


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
    counts, u = np.zeros((2, len(table.runs)))
    for place, run in enumerate(table.runs):
        readings = table.of(run, quantity)
        parts = [
            fillings(experiment, run, quantity, reading.value, reading) for reading in readings
        ]
        flat = np.array([max(part, 0.0) for each in parts for part in each])
        if flat.size:
            counts[place] = max(len(each) for each in parts)
            each = own_u(instrument, flat, table.independent(run, quantity))
            u[place] = math.sqrt(float(np.sum(each**2)) / len(readings))
    return Pours(volume=table.mean(quantity, math.nan), fillings=counts, own_u=u)
