"""What instruments show of a cup: the observables.

An observable is one row of `OBSERVABLES`: what is read (its column, unit and words are those of
its `Quantity`), how it follows from the state of the cup, and what its reading errs by. Its own
noise is that of the instrument on which it is read (`records.instruments`). Fit, plans, slips and
simulated hands read this table; a gas volume, a precipitate, an absorbance is one more row of it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.measurement.buoyancy import WEIGHT_DENSITY, buoyancy_factor
from tarebook.model.contents import Contents
from tarebook.model.cup import DISSOLVED_VOLUME, CupState
from tarebook.model.delivery import liquid_reading, reading_for
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.gas_space import room_air_density
from tarebook.model.parameters import Parameters
from tarebook.records.readings import Quantity
from tarebook.series.experiment import Experiment, Room

SOLID_DENSITY = 2200.0
"""Of the sample, g/L: sodium bicarbonate (`chemicals` 1.5.2); it matters only to the buoyancy."""


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """Cups, with all that a reading of them depends on.

    Attributes
    ----------
    experiment : Experiment
    parameters : Parameters
    contents : Contents
    tare : ndarray, [g]
        Reading of the empty vessel.
    state : CupState
        Of these contents.
    effects : frozenset of CupEffect
    """

    experiment: Experiment
    parameters: Parameters
    contents: Contents
    tare: FloatArray
    state: CupState
    effects: frozenset[CupEffect] = ALL_EFFECTS

    def of(self, quantity: Quantity) -> FloatArray:
        """Return what an instrument without an error of its own would show, in memory units."""
        return OBSERVABLES[quantity].shown(self)

    @property
    def lost(self) -> FloatArray:
        """Mass that the balances see leave, [g]."""
        return self.of(Quantity.LIQUID) + self.of(Quantity.SAMPLE) - self.of(Quantity.FINAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observable:
    """One kind of reading.

    Attributes
    ----------
    quantity : Quantity
        What is read.
    shown : callable
        What an instrument without an error of its own shows of cups.
    in_vessel : bool
        Whether the empty vessel is weighed with it.
    has_line : bool
        Whether the straight line of its balance is an error of its own; the vessel with liquid is
        what the others are compared to.
    is_fitted : bool
        Whether the joint fit holds its readings against the model; the others it takes as they are.
    """

    quantity: Quantity
    shown: Callable[[Seen], FloatArray]
    in_vessel: bool = False
    has_line: bool = False
    is_fitted: bool = True


def _reagent(seen: Seen) -> FloatArray:
    handled = seen.parameters.under(seen.effects)
    return reading_for(seen.contents.reagent, handled.scale_reagent, handled.hold_up_reagent)


def _diluent(seen: Seen) -> FloatArray:
    handled = seen.parameters.under(seen.effects)
    return reading_for(seen.contents.diluent, handled.scale_diluent, handled.hold_up_diluent)


def _liquid(seen: Seen) -> FloatArray:
    state = seen.state
    if CupEffect.BUOYANCY not in seen.effects:
        return seen.tare + state.liquid
    shown = liquid_reading(state.liquid, state.liquid_density, seen.experiment.room)
    return seen.tare + shown


def _sample(seen: Seen) -> FloatArray:
    if CupEffect.BUOYANCY not in seen.effects:
        return seen.contents.sample
    return seen.contents.sample / solid_buoyancy(seen.experiment.room)


@lru_cache(maxsize=256)
def solid_buoyancy(room: Room) -> float:
    """Return what the reading of a portion is multiplied by to give its mass, [1]."""
    return float(buoyancy_factor(SOLID_DENSITY, room_air_density(room)))


def _final(seen: Seen) -> FloatArray:
    contents, state = seen.contents, seen.state
    lost = state.gas_released + state.vapour + state.evaporated - state.head_gas
    mass = state.liquid + contents.sample - lost
    if CupEffect.BUOYANCY not in seen.effects:
        return seen.tare + mass
    air = room_air_density(seen.experiment.room)
    # A closed vessel goes on displacing what it did when it was closed, on the solid.
    of_a_gram = np.where(contents.sealed, 1.0 / SOLID_DENSITY, DISSOLVED_VOLUME)
    volume = state.liquid / state.liquid_density + of_a_gram * contents.sample
    return seen.tare + (mass - air * volume) / (1.0 - air / WEIGHT_DENSITY)


OBSERVABLES = {
    each.quantity: each
    for each in (
        Observable(quantity=Quantity.REAGENT, shown=_reagent),
        Observable(quantity=Quantity.DILUENT, shown=_diluent),
        Observable(
            quantity=Quantity.TARE,
            shown=lambda seen: seen.tare,
            in_vessel=True,
            has_line=True,
        ),
        Observable(quantity=Quantity.LIQUID, shown=_liquid, in_vessel=True),
        Observable(quantity=Quantity.SAMPLE, shown=_sample, has_line=True),
        Observable(quantity=Quantity.FINAL, shown=_final, in_vessel=True, has_line=True),
        Observable(
            quantity=Quantity.TEMPERATURE,
            shown=lambda seen: seen.contents.temperature,
            is_fitted=False,
        ),
    )
}
"""What is read of a cup, in the order in which the fit holds its rows."""

READ = tuple(each.quantity for each in OBSERVABLES.values() if each.is_fitted)
"""The readings that the joint fit holds against the model, in the order of their rows."""

IN_VESSEL = tuple(each.quantity for each in OBSERVABLES.values() if each.in_vessel)
"""Readings to which the empty vessel adds."""

LINEAR = tuple(
    each.quantity
    for each in sorted(OBSERVABLES.values(), key=lambda each: not each.in_vessel)
    if each.has_line
)
"""Readings with an error of their balance's straight line: the vessel's balance, then the other."""
