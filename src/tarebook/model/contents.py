"""What is in each vessel, and how it got there: the one pour.

Fits, plans, the bench, slips and simulated hands say what was measured out; `pour` says what of it
reached the vessel.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.model.delivery import delivered
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.parameters import Parameters
from tarebook.records.instruments import ware_of
from tarebook.records.pours import n_fillings
from tarebook.records.readings import VOLUMES
from tarebook.series.experiment import Experiment


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What is really in each vessel; arrays with the runs on the last axis.

    Attributes
    ----------
    reagent, diluent : ndarray, [L]
        Volumes delivered.
    sample : ndarray, [g]
        True mass.
    temperature : ndarray, [K]
        Of the liquid before the sample goes in.
    minutes : ndarray, [min]
        From the end of the fizzing to the last weighing.
    sealed : ndarray of bool
        Where the vessel is closed from before the sample meets the liquid to the last weighing;
        nowhere unless it is said.
    """

    reagent: FloatArray
    diluent: FloatArray
    sample: FloatArray
    temperature: FloatArray
    minutes: FloatArray
    sealed: BoolArray = field(default_factory=lambda: np.array(False))

    def __post_init__(self) -> None:
        shape = np.broadcast_shapes(np.shape(self.sealed), np.shape(self.minutes))
        object.__setattr__(self, "sealed", np.broadcast_to(self.sealed, shape))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Portions:
    """What is measured out for each vessel; arrays with the runs on the last axis.

    Attributes
    ----------
    reagent, diluent : ndarray, [L]
        As an instrument without an error of its own would read them.
    fillings : ndarray, shape (2, n) or (2, 1), [1]
        How often the ware of reagent and diluent is filled: so often liquid stays behind.
    sample : ndarray, [g]
        True mass.
    temperature, minutes : ndarray, [K] and [min]
        As in `Contents`.
    waited : ndarray of bool
        Where the minutes were read; elsewhere they are the definition's, which a parameter
        stretches.
    sealed : ndarray of bool
    """

    reagent: FloatArray
    diluent: FloatArray
    fillings: FloatArray
    sample: FloatArray
    temperature: FloatArray
    minutes: FloatArray
    waited: BoolArray = field(default_factory=lambda: np.array(True))
    sealed: BoolArray = field(default_factory=lambda: np.array(False))


def pour(
    portions: Portions, parameters: Parameters, effects: frozenset[CupEffect] = ALL_EFFECTS
) -> Contents:
    """Return what is in the vessels once the portions are in them.

    A trial step of a fit may leave less than nothing: then there is nothing.

    Parameters
    ----------
    portions : Portions
    parameters : Parameters
    effects : frozenset of CupEffect
    """
    acting = parameters.under(effects)
    of_reagent, of_diluent = portions.fillings
    minutes = portions.minutes
    if not portions.waited.all():
        minutes = np.where(portions.waited, minutes, minutes * acting.waiting)
    reagent = delivered(portions.reagent, acting.scale_reagent, of_reagent * acting.hold_up_reagent)
    diluent = delivered(portions.diluent, acting.scale_diluent, of_diluent * acting.hold_up_diluent)
    return Contents(
        reagent=np.maximum(reagent, 0.0),
        diluent=np.maximum(diluent, 0.0),
        sample=np.maximum(portions.sample, 0.0),
        temperature=portions.temperature,
        minutes=minutes,
        sealed=portions.sealed,
    )


def planned_portions(
    experiment: Experiment,
    reagent: FloatArray,
    sample: FloatArray,
    diluent: FloatArray | None = None,
) -> Portions:
    """Return portions as a plan has them, in as many fillings as the ware needs.

    Parameters
    ----------
    experiment : Experiment
        Its room and its procedure give temperature and minutes.
    reagent : ndarray, shape (n,), [L]
    sample : ndarray, shape (n,), [g]
    diluent : ndarray, shape (n,), [L], optional
        What makes the reagent up to the total volume, if not given.
    """
    if diluent is None:
        diluent = np.maximum(experiment.total_volume - reagent, 0.0)
    return Portions(
        reagent=reagent,
        diluent=diluent,
        fillings=planned_fillings(experiment, reagent, diluent),
        sample=sample,
        temperature=np.full(len(reagent), experiment.room.temperature),
        minutes=np.full(len(reagent), experiment.procedure.minutes),
    )


def planned_fillings(
    experiment: Experiment, reagent: FloatArray, diluent: FloatArray
) -> FloatArray:
    """Return how often the ware of each liquid is filled for volumes, shape (2, n)."""
    return np.stack(
        [
            n_fillings(ware_of(experiment, quantity), volume)
            for quantity, volume in zip(VOLUMES, (reagent, diluent), strict=True)
        ]
    )
