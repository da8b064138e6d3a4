"""Readings of a cup, pours, and the equivalence point."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.measurement.buoyancy import buoyancy_factor
from tarebook.model.cup import Contents, cup_state
from tarebook.model.delivery import delivered, liquid_mass, reading_for, reagent_density
from tarebook.model.effects import ALL_EFFECTS, NO_EFFECTS, CupEffect
from tarebook.model.equivalence import equivalence_mass, equivalence_reading
from tarebook.model.gas_space import room_air_density
from tarebook.model.observables import Seen
from tarebook.model.priors import central_parameters, drawn_parameters
from tarebook.records.readings import Quantity
from tarebook.series.experiment import Experiment

Cups = Callable[..., Contents]
Build = Callable[..., Experiment]


@given(
    volume=st.floats(0.0, 0.1),
    scale=st.floats(-0.01, 0.01),
    hold_up=st.floats(0.0, 5e-4),
)
def test_a_reading_that_delivers_a_volume_delivers_it(
    volume: float, scale: float, hold_up: float
) -> None:
    reading = reading_for(np.array(volume), np.array(scale), np.array(hold_up))
    back = delivered(reading, np.array(scale), np.array(hold_up))
    np.testing.assert_allclose(back, volume, rtol=1e-12, atol=1e-17)


def test_nothing_poured_leaves_nothing_behind() -> None:
    found = delivered(np.array([0.0, 0.010]), np.array(0.001), np.array(2e-4))
    np.testing.assert_allclose(found, [0.0, 0.00981], rtol=1e-12)


def test_masses_add(granules: Experiment, cups: Cups) -> None:
    contents = cups([10.0, 30.0], celsius=25.0)
    parts = liquid_mass(granules, contents.reagent, 0.0 * contents.diluent, contents.temperature)
    parts = parts + liquid_mass(
        granules, 0.0 * contents.reagent, contents.diluent, contents.temperature
    )
    whole = liquid_mass(granules, contents.reagent, contents.diluent, contents.temperature)
    np.testing.assert_allclose(whole, parts, rtol=1e-14)
    state = cup_state(granules, central_parameters(granules), contents)
    np.testing.assert_array_equal(state.liquid, whole)


def test_the_stock_thins_with_heat_as_water_does(granules: Experiment) -> None:
    warm, cool = (reagent_density(granules, np.array(t)) for t in (303.15, 293.15))
    assert cool == pytest.approx(granules.reagent.density.value, rel=1e-12)
    assert warm / cool == pytest.approx(0.99565 / 0.99821, rel=2e-5)


def test_the_final_mass_is_what_was_put_in_less_what_left(granules: Experiment, cups: Cups) -> None:
    contents, tare = cups([5.0, 20.0, 35.0]), np.array([15.0, 16.0, 17.0])
    parameters = central_parameters(granules)
    no_air = ALL_EFFECTS - {CupEffect.BUOYANCY}
    state = cup_state(granules, parameters, contents)
    shown = Seen(granules, parameters, contents, tare, state, no_air)
    left = state.gas_released + state.vapour + state.evaporated - state.head_gas
    np.testing.assert_allclose(shown.lost, left, rtol=1e-10)


def test_air_carries_the_liquid_as_the_buoyancy_factor_says(
    granules: Experiment, cups: Cups
) -> None:
    contents, tare = cups([20.0], sample=0.0), np.array([15.0])
    parameters = central_parameters(granules)
    state = cup_state(granules, parameters, contents, NO_EFFECTS)
    shown = Seen(granules, parameters, contents, tare, state, frozenset({CupEffect.BUOYANCY}))
    factor = buoyancy_factor(state.liquid_density, room_air_density(granules.room))
    np.testing.assert_allclose(shown.of(Quantity.LIQUID) - tare, state.liquid / factor, rtol=1e-13)
    # Without a sample the vessel shows the same at the end.
    np.testing.assert_allclose(shown.of(Quantity.FINAL), shown.of(Quantity.LIQUID), rtol=1e-13)


def test_at_the_equivalence_reading_nothing_is_left_over(granules: Experiment, cups: Cups) -> None:
    rng = np.random.Generator(np.random.SFC64(12))
    parameters = drawn_parameters(granules, rng, 20).with_values(
        content=np.linspace(0.5, 1.0, 20)[:, None]
    )
    reading = equivalence_reading(granules, parameters)
    poured = delivered(reading, parameters.scale_reagent, parameters.hold_up_reagent)
    contents = cups(1000.0 * poured, sample=granules.sample.nominal_mass)
    state = cup_state(granules, parameters, contents)
    np.testing.assert_allclose(state.excess, 0.0, atol=1e-15)


def test_liquid_stays_behind_at_every_filling_up_to_the_equivalence_point(build: Build) -> None:
    small = build({"capacity_mL = 50": "capacity_mL = 10"})
    parameters = central_parameters(small).with_values(content=np.array(0.95))
    reading = float(equivalence_reading(small, parameters))
    assert 0.020 < reading < 0.030
    held = 3.0 * parameters.hold_up_reagent
    poured = delivered(np.array(reading), parameters.scale_reagent, held)
    moles = 1.5 * 0.95 / small.reaction.analyte_molar_mass.value
    spare = central_parameters(small).own_acid * 1.5
    assert float(poured * parameters.concentration + spare) == pytest.approx(moles, rel=1e-9)


def test_at_the_equivalence_mass_nothing_is_left_over(build: Build, cups: Cups) -> None:
    grows = build(
        {"[5, 10, 14, 18, 22, 26, 30, 35]": "[30]\nsample_g = [0.5, 1, 1.5, 2, 2.5, 3]"}
        | {"capacity_mL = 50": "capacity_mL = 10"}
    )
    assert grows.grows == "sample"
    assert grows.common_reagent == pytest.approx(0.030)
    parameters = central_parameters(grows).with_values(content=np.array(0.9))
    mass = equivalence_mass(grows, parameters)
    poured = delivered(np.array(0.030), parameters.scale_reagent, 3.0 * parameters.hold_up_reagent)
    contents = cups(1000.0 * poured, sample=float(mass))
    state = cup_state(grows, parameters, contents)
    np.testing.assert_allclose(state.excess, 0.0, atol=1e-12)


def test_the_equivalence_reading_without_effects_is_the_textbooks(granules: Experiment) -> None:
    parameters = central_parameters(granules).with_values(content=np.array(0.9))
    found = equivalence_reading(granules, parameters, NO_EFFECTS)
    amount = 1.5 * 0.9 / granules.reaction.analyte_molar_mass.value
    np.testing.assert_allclose(found, amount / 0.750, rtol=1e-12)


def test_the_equivalence_of_a_carbonate_counts_two_protons(build: Build) -> None:
    soda = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2",
            '"NaHCO3"': '"Na2CO3"',
        }
    )
    parameters = central_parameters(soda).with_values(
        content=np.array(0.9), own_acid=np.array(1e-3)
    )
    effects = frozenset({CupEffect.OWN_ACID})
    found = equivalence_reading(soda, parameters, effects)
    protons = 2 * 1.5 * 0.9 / soda.reaction.analyte_molar_mass.value - 1.5e-3
    np.testing.assert_allclose(found, protons / 0.750, rtol=1e-12)
