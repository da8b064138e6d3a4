"""The table of observables: each row is read on an instrument, and the fit holds what it says."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tarebook.model.contents import Contents
from tarebook.model.cup import cup_state
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.observables import IN_VESSEL, LINEAR, OBSERVABLES, READ, Seen
from tarebook.model.priors import central_parameters
from tarebook.records.instruments import instrument_of, reading_u
from tarebook.records.readings import Quantity
from tarebook.series.experiment import Experiment

Cups = Callable[..., Contents]


@pytest.mark.parametrize("quantity", OBSERVABLES)
def test_each_is_read_on_an_instrument_that_errs(granules: Experiment, quantity: Quantity) -> None:
    instrument = instrument_of(granules, quantity)
    assert instrument is not None
    assert instrument.name
    value = np.array([0.010, 0.020])
    errors = instrument.own_errors(value)
    squares = sum(np.square(error.u) + 0.0 * value for error in errors)
    np.testing.assert_allclose(reading_u(granules, quantity, value), np.sqrt(squares), rtol=1e-12)
    assert np.all(reading_u(granules, quantity, value) > 0.0)


def test_what_is_read_on_nothing_has_no_uncertainty(granules: Experiment) -> None:
    with pytest.raises(LookupError, match="minutes"):
        reading_u(granules, Quantity.MINUTES, np.array([10.0]))


def test_a_heavier_vessel_adds_to_what_is_weighed_with_it_and_to_nothing_else(
    granules: Experiment, cups: Cups
) -> None:
    parameters, contents = central_parameters(granules), cups([10.0, 20.0])
    state = cup_state(granules, parameters, contents)
    light, heavy = (
        Seen(granules, parameters, contents, np.full(2, tare), state) for tare in (15.0, 18.0)
    )
    for quantity in OBSERVABLES:
        more = 3.0 if quantity in IN_VESSEL else 0.0
        np.testing.assert_allclose(heavy.of(quantity) - light.of(quantity), more, atol=1e-12)


def test_only_masses_have_a_straight_line_and_one_of_them_is_what_others_are_compared_to() -> None:
    masses = {quantity for quantity in READ if quantity.is_mass}
    assert masses - set(LINEAR) == {Quantity.LIQUID}
    assert set(LINEAR) < masses


@pytest.mark.parametrize("effect", [CupEffect.CALIBRATION, CupEffect.HOLD_UP, CupEffect.OWN_ACID])
def test_parameters_of_an_effect_switched_off_do_nothing(
    granules: Experiment, effect: CupEffect
) -> None:
    parameters = central_parameters(granules).with_values(
        scale_reagent=np.array(0.01), scale_diluent=np.array(0.01), own_acid=np.array(1e-4)
    )
    assert parameters.under(ALL_EFFECTS) is parameters
    off = parameters.under(ALL_EFFECTS - {effect})
    changed = {
        name
        for name in type(parameters).__slots__
        if not np.array_equal(getattr(off, name), getattr(parameters, name))
    }
    assert changed
    assert all(getattr(off, name) == 0.0 for name in changed)
    assert off.under(ALL_EFFECTS - {effect}) == off
