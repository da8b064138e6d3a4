"""What each reading is taken on: the one look-up from a quantity to its instrument."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.measurement.own_errors import Instrument, own_u
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance
from tarebook.records.complete import quantity_of
from tarebook.records.readings import Quantity
from tarebook.series.experiment import Experiment


def instrument_of(experiment: Experiment, quantity: Quantity) -> Instrument | None:
    """Return what a quantity is read on; None for the waiting time and for pieces.

    Parameters
    ----------
    experiment : Experiment
    quantity : Quantity
        One of two readings whose difference counts is read on the same instrument as the other.
    """
    if quantity.is_volume:
        return ware_of(experiment, quantity)
    if quantity.is_mass:
        return balance_of(experiment, quantity)
    return experiment.equipment.thermometer if quantity is Quantity.TEMPERATURE else None


def reading_u(experiment: Experiment, quantity: Quantity, value: FloatArray) -> FloatArray:
    """Return the standard uncertainty that one reading of each value has of its own.

    Parameters
    ----------
    experiment : Experiment
    quantity : Quantity
        With an instrument.
    value : ndarray, in memory units
        Less than nothing is read as nothing.
    """
    instrument = instrument_of(experiment, quantity)
    if instrument is None:
        raise LookupError(f"{quantity.value} is read on no instrument")
    return own_u(instrument, np.maximum(value, 0.0))


def ware_of(experiment: Experiment, quantity: Quantity) -> VolumeInstrument:
    """Return the ware with which a liquid is poured."""
    equipment = experiment.equipment
    return equipment.reagent if quantity_of(quantity) is Quantity.REAGENT else equipment.diluent


def balance_of(experiment: Experiment, quantity: Quantity) -> Balance:
    """Return the balance of a mass: of the sample, with its holder too, or of the vessel."""
    equipment = experiment.equipment
    of_sample = quantity_of(quantity) is Quantity.SAMPLE
    return equipment.sample_balance if of_sample else equipment.balance
