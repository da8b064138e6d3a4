"""The cup's limits, balances and signs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tarebook.core.errors import OutOfRangeError
from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.parameters import Parameters
from tarebook.model.priors import central_parameters, drawn_parameters
from tarebook.model.release import Mixture, Released, by_equilibrium
from tarebook.series.experiment import Experiment

Cups = Callable[..., Contents]
Build = Callable[..., Experiment]


def pressure(experiment: Experiment, value: float) -> Parameters:
    return central_parameters(experiment).with_values(
        content=np.array(0.9), gas_pressure=np.array(value)
    )


def test_nothing_in_nothing_out(granules: Experiment, cups: Cups) -> None:
    """No sample; or a sample in water, where a closed bicarbonate solution gives off nothing."""
    parameters = pressure(granules, 95_000.0)
    for contents in (cups([0.0, 20.0], sample=0.0), cups([0.0])):
        state = cup_state(granules, parameters, contents)
        np.testing.assert_allclose(state.gas_released, 0.0, atol=1e-12)
        np.testing.assert_allclose(state.vapour, 0.0, atol=1e-12)
        np.testing.assert_allclose(state.head_gas, 0.0, atol=1e-12)
        np.testing.assert_array_equal(state.gas_made, 0.0)


@pytest.mark.parametrize("left", [0.0, 1e-9, 1e-6])
def test_a_pour_that_all_stays_behind_is_said(
    granules: Experiment, cups: Cups, left: float
) -> None:
    """Volumes below what the cylinder keeps: no warning, no molality of a million, but words."""
    contents = cups([left, 20.0])
    dry = replace(contents, reagent=np.array([left, 0.02]), diluent=np.array([0.0, 0.02]))
    with pytest.raises(OutOfRangeError, match=r"water in a vessel = .* stays behind at the pour"):
        cup_state(granules, pressure(granules, 95_000.0), dry)


def test_much_strong_acid_and_no_pressure_drive_all_carbon_out(build: Build, cups: Cups) -> None:
    """To the equation's amount within 1e-4: what 0.01 Pa of CO2 still holds is nothing."""
    strong = build({"mol_per_L = 0.750": "mol_per_L = 1.5"})
    parameters = pressure(strong, 0.01).with_values(degassing=np.array(0.0))
    state = cup_state(strong, parameters, cups([38.0], sample=1.0))
    carbon = 0.9 * 1.0 / strong.reaction.analyte_molar_mass.value
    gas = carbon * strong.reaction.gas_molar_mass.value
    np.testing.assert_allclose(state.gas_released, gas, rtol=1e-4)
    np.testing.assert_allclose(state.gas_made, gas, rtol=1e-14)


def test_excess_bicarbonate_holds_gas_back_until_little_co2_lies_above(
    granules: Experiment, cups: Cups
) -> None:
    """Under its own gas it keeps CO2; under room air it loses more than was made."""
    contents = cups([8.0, 35.0])
    under_gas = cup_state(granules, pressure(granules, 95_000.0), contents)
    assert under_gas.dissolved[0] > 0
    open_air = pressure(granules, 42.0).with_values(degassing=np.array(0.0))
    under_air = cup_state(granules, open_air, contents)
    assert under_air.dissolved[0] < 0 < under_air.dissolved[1] < 1e-3


@settings(max_examples=40)
@given(
    reagent=st.floats(0.0, 40.0),
    content=st.floats(0.1, 1.0),
    own_acid=st.floats(-1e-3, 2e-3),
    gas=st.floats(50.0, 1.5e5),
    minutes=st.floats(0.0, 200.0),
)
def test_mass_balance(
    granules: Experiment,
    reagent: float,
    content: float,
    own_acid: float,
    gas: float,
    minutes: float,
) -> None:
    """Carbon in is carbon out: released gas, and what the solution holds, never less than none."""
    parameters = central_parameters(granules).with_values(
        content=np.array(content), own_acid=np.array(own_acid), gas_pressure=np.array(gas)
    )
    acid = np.array([reagent / 1000.0])
    contents = Contents(
        reagent=acid,
        diluent=0.040 - acid,
        sample=np.array([1.5]),
        temperature=np.array([294.15]),
        minutes=np.array([minutes]),
    )
    kept: dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]] = {}

    def watched(mixture: Mixture) -> Released:
        released = by_equilibrium(mixture)
        kept["carbon"] = mixture.totals["carbonic"] * mixture.water
        return released

    state = cup_state(granules, parameters, contents, release=watched)
    reaction = granules.reaction
    carbon = content * 1.5 / reaction.analyte_molar_mass.value
    np.testing.assert_allclose(kept["carbon"], carbon, rtol=1e-13)
    gas_mass = reaction.gas_molar_mass.value
    assert -1e-12 <= state.gas_released[0] <= carbon * gas_mass * (1 + 1e-12)
    np.testing.assert_allclose(state.gas_made, state.gas_released + state.dissolved, atol=1e-14)
    expected = min(acid[0] * 0.75 + own_acid * 1.5, carbon)
    np.testing.assert_allclose(state.gas_made, max(expected, 0.0) * gas_mass, atol=1e-14)
    np.testing.assert_allclose(state.excess, acid[0] * 0.75 + own_acid * 1.5 - carbon, atol=1e-15)


def test_two_equations_of_one_reaction_agree(build: Build, cups: Cups) -> None:
    """Sulfuric acid of half the strength: coefficients of 2 change no amounts of gas or heat."""
    one = build({"acid": "acid"})
    two = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "2 NaHCO3 + H2SO4 -> Na2SO4 + 2 H2O + 2 CO2",
            'reagent = "HCl"': 'reagent = "H2SO4"',
            "mol_per_L = 0.750": "mol_per_L = 0.375",
        }
    )
    effects = ALL_EFFECTS - {CupEffect.DISSOLVED_GAS}
    parameters = central_parameters(one).with_values(own_acid=np.array(5e-4))
    halved = parameters.with_values(concentration=np.array(0.375))
    contents = cups([5.0, 20.0, 35.0], minutes=0.0)
    first = cup_state(one, parameters, contents, effects)
    second = cup_state(two, halved, contents, effects)
    np.testing.assert_allclose(second.gas_made, first.gas_made, rtol=1e-12)
    # The heat is the same; the two stocks differ in density.
    heats = [s.liquid * (contents.temperature - s.temperature) for s in (first, second)]
    np.testing.assert_allclose(heats[0], heats[1], rtol=1e-4)


def test_excess_bicarbonate_cools_by_dissolving(granules: Experiment, cups: Cups) -> None:
    """Without acid the solution's heat alone: 18.7 kJ/mol into 40 g of water."""
    contents = cups([0.0], minutes=0.0)
    kept = pressure(granules, 95_000.0).with_values(heat_kept=np.array(1.0))
    state = cup_state(granules, kept, contents)
    moles = 0.9 * 1.5 / granules.reaction.analyte_molar_mass.value
    fall = 18.7e3 * moles / (4.18 * float(state.liquid[0]))
    np.testing.assert_allclose(contents.temperature - state.temperature, fall, rtol=1e-12)
    assert 1.7 < fall < 1.9


def test_hydrate_brings_its_water(build: Build, cups: Cups) -> None:
    """The same moles as soda or as its decahydrate: 10 moles of water more in the cup."""
    equation = "NaHCO3 + HCl -> NaCl + H2O + CO2"
    dry = build({equation: "Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2", '"NaHCO3"': '"Na2CO3"'})
    wet = build(
        {
            equation: "Na2CO3.10H2O + 2 HCl -> 2 NaCl + 11 H2O + CO2",
            '"NaHCO3"': '"Na2CO3.10H2O"',
        }
    )
    found = {}
    for name, experiment in (("dry", dry), ("wet", wet)):

        def watched(mixture: Mixture, name: str = name) -> Released:
            found[name] = mixture
            return by_equilibrium(mixture)

        # ten millimoles of carbonate, half of it with acid
        mass = 0.010 * experiment.reaction.analyte_molar_mass.value
        parameters = central_parameters(experiment).with_values(content=np.array(1.0))
        cup_state(experiment, parameters, cups([13.0], sample=mass), release=watched)
    water = found["wet"].water - found["dry"].water
    np.testing.assert_allclose(water, 0.010 * 10 * 18.015 / 1000.0, rtol=1e-9)


def test_soda_turns_to_bicarbonate_before_any_gas_leaves(build: Build, cups: Cups) -> None:
    """Up to half of the acid of the equation nothing fizzes, and the model knows it."""
    soda = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2",
            '"NaHCO3"': '"Na2CO3"',
        }
    )
    parameters = central_parameters(soda).with_values(content=np.array(1.0))
    mass = 0.010 * soda.reaction.analyte_molar_mass.value
    state = cup_state(soda, parameters, cups([10.0, 20.0, 38.0], sample=mass))
    gas = soda.reaction.gas_molar_mass.value
    # 7.5 mmol of acid for 10 mmol of carbonate: none; 15 mmol: 5 mmol of gas; 28 mmol: all of it
    np.testing.assert_allclose(state.gas_made, [0.0, 0.005 * gas, 0.010 * gas], atol=1e-12)
    assert state.gas_released[0] == pytest.approx(0.0, abs=1e-9)
    assert state.gas_released[2] > 0.8 * state.gas_made[2]
    assert list(state.excess < 0) == [True, True, False]


def test_chalk_that_finds_no_acid_saturates_the_liquid(build: Build, cups: Cups) -> None:
    chalk = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "CaCO3 + 2 HCl -> CaCl2 + H2O + CO2",
            '"NaHCO3"': '"CaCO3"',
        }
    )
    found: list[Mixture] = []

    def watched(mixture: Mixture) -> Released:
        found.append(mixture)
        return by_equilibrium(mixture)

    parameters = central_parameters(chalk).with_values(content=np.array(1.0))
    state = cup_state(chalk, parameters, cups([10.0, 38.0], sample=1.0), release=watched)
    mixture = found[0]
    in_acid = 0.750 * 0.010 / 2
    np.testing.assert_allclose((mixture.totals["carbonic"] * mixture.water)[0], in_acid, rtol=1e-12)
    np.testing.assert_allclose((mixture.strong["Ca^2+"] * mixture.water)[0], in_acid, rtol=1e-12)
    # chalk is left over: the liquid is saturated, and HCO3- holds more carbon than CO2 alone
    assert 5.3 < state.ph[0] < 6.3
    assert 0.05 < state.dissolved[0] < 0.07
    assert state.ph[1] < 1.5
    none = replace(mixture, left_over={})
    assert by_equilibrium(none).ph[0] < 4.5
    assert by_equilibrium(none).gas[0] > by_equilibrium(mixture).gas[0]


def test_a_metal_that_gives_hydrogen(build: Build, cups: Cups) -> None:
    """Little retention, no pH; hydrogen left in the vessel makes it lighter, the liquid is warm."""
    metal = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "Mg + 2 HCl -> MgCl2 + H2",
            '"NaHCO3"': '"Mg"',
            'gas = "CO2"': 'gas = "H2"',
        }
    )
    parameters = central_parameters(metal).with_values(content=np.array(1.0))
    state = cup_state(metal, parameters, cups([10.0, 38.0], sample=0.2))
    moles = np.array([0.750 * 0.010 / 2, 0.2 / metal.reaction.analyte_molar_mass.value])
    np.testing.assert_allclose(state.gas_made, moles * 2.016, rtol=1e-12)
    # Henry: 0.78 mmol/(L atm), 40 mL under less than an atmosphere
    dissolved = 0.78e-3 * 0.040 * 2.016 * state.gas_pressure / 101_325
    np.testing.assert_allclose(state.dissolved, dissolved, rtol=0.05)
    assert np.all(state.head_gas < 0)
    # 467 kJ/mol; a part has gone to vessel, vapor and room ten minutes later
    rise = 466.9e3 * moles / (4.18 * state.liquid)
    assert np.all(state.temperature > 293.15 + 0.4 * rise)
    assert np.all(state.temperature < 293.15 + 0.65 * rise)
    # own acid: two protons make one hydrogen
    sour = parameters.with_values(own_acid=np.array(1e-3))
    more = cup_state(metal, sour, cups([10.0, 38.0], sample=0.2))
    np.testing.assert_allclose(more.excess - state.excess, 0.2 * 1e-3 / 2, rtol=1e-12)


def test_own_acid_is_worth_as_much_acid_of_the_stock(granules: Experiment, cups: Cups) -> None:
    """A sample with acid of its own reacts as one without, in a cup with that much more acid."""
    parameters = pressure(granules, 95_000.0)
    sour = parameters.with_values(own_acid=np.array(1e-3))
    own = cup_state(granules, sour, cups([10.0]))
    poured = cup_state(granules, parameters, cups([12.0], diluent=[28.0]))
    np.testing.assert_allclose(own.gas_made, poured.gas_made, rtol=1e-12)
    np.testing.assert_allclose(own.excess, poured.excess, rtol=1e-12)
    # 2 mL of stock hold 0.06 g less water than 2 mL of diluent
    np.testing.assert_allclose(own.ph, poured.ph, atol=1e-3)
    np.testing.assert_allclose(own.gas_released, poured.gas_released, rtol=5e-4)


def test_pressure_falls_to_that_of_room_air(granules: Experiment, cups: Cups) -> None:
    parameters = pressure(granules, 95_000.0).with_values(degassing=np.array(0.05))
    state = cup_state(granules, parameters, cups([35.0, 35.0, 35.0], minutes=[0.0, 20.0, 2000.0]))
    np.testing.assert_allclose(
        state.gas_pressure, [95_000.0, 42.0 + 94_958.0 * np.exp(-1.0), 42.0], rtol=1e-12
    )
    assert np.all(np.diff(state.dissolved) < 0)


def test_draws_and_runs_broadcast_as_loops_do(granules: Experiment, cups: Cups) -> None:
    rng = np.random.Generator(np.random.SFC64(3))
    parameters = drawn_parameters(granules, rng, 5)
    contents = cups([5.0, 20.0, 35.0])
    together = cup_state(granules, parameters, contents)
    for draw in range(5):
        values = {n: getattr(parameters, n)[draw, 0] for n in Parameters.__slots__}
        one = Parameters(**values)
        for run in range(3):
            cell = Contents(**{n: np.array(getattr(contents, n)[run]) for n in Contents.__slots__})
            alone = cup_state(granules, one, cell)
            for name in CupState.__slots__:
                np.testing.assert_allclose(
                    getattr(together, name)[draw, run], getattr(alone, name), rtol=1e-9, atol=1e-12
                )


def test_a_cup_too_cold_for_the_constants_is_refused(granules: Experiment, cups: Cups) -> None:
    with pytest.raises(OutOfRangeError, match="temperature"):
        cup_state(granules, pressure(granules, 95_000.0), cups([20.0], celsius=2.0))
