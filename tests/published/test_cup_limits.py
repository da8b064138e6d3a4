"""The effects of the cup against tabulated figures, one at a time.

The figures are of a collection of physical data worked out with general libraries (CoolProp 8.0.0,
chemicals 1.5.2, phreeqc.dat through phreeqpython 1.6.2); each test names the basis of its own.
"""

from __future__ import annotations

import numpy as np
import pytest

from tarebook.chemistry.substances import carbonate, metal
from tarebook.core.arrays import FloatArray
from tarebook.measurement.air import saturation_vapour_pressure
from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.delivery import liquid_mass
from tarebook.model.effects import CupEffect
from tarebook.model.gas_space import (
    WATER_MOLAR_MASS,
    head_gas,
    room_air_density,
    still_air_evaporation,
)
from tarebook.model.heat import vapour_per_gas
from tarebook.model.parameters import Parameters
from tarebook.model.priors import central_parameters
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment, Room, Vessel

DEFINITION = """
title = "Bicarbonate in invented granules"
[reaction]
equation = "NaHCO3 + HCl -> NaCl + H2O + CO2"
sample = "NaHCO3"
reagent = "HCl"
gas = "CO2"
[sample]
name = "granules"
nominal_g = 1.5
[reagent]
name = "acid"
[reagent.strength]
given_as = "mol per L"
mol_per_L = 0.1
[series]
total_mL = 25
reagent_mL = [5, 10, 15, 20]
[instruments.reagent]
kind = "graduated cylinder"
capacity_mL = 50
[instruments.diluent]
kind = "graduated cylinder"
capacity_mL = 50
[instruments.balance]
readability_g = 0.001
"""


def experiment() -> Experiment:
    return parse_definition(DEFINITION)


def room(celsius: float, humidity: float = 0.5) -> Room:
    return Room(temperature=celsius + 273.15, pressure=101325.0, relative_humidity=humidity)


def cup(celsius: float, reagent: float, sample: float, effects: set[CupEffect]) -> CupState:
    """A cup of 25 mL that was left under moist CO2 at 1 atm, without cooling or waiting."""
    one = experiment()
    temperature = celsius + 273.15
    vapour = {15.0: 1705.8, 20.0: 2339.2, 25.0: 3169.8}[celsius]
    values: dict[str, FloatArray] = {
        "content": np.array(1.0),
        "gas_pressure": np.array(101325.0 - vapour),
        "vapour_saturation": np.array(1.0),
    }
    parameters: Parameters = central_parameters(one).with_values(**values)
    contents = Contents(
        reagent=np.array([reagent]),
        diluent=np.array([0.025 - reagent]),
        sample=np.array([sample]),
        temperature=np.array([temperature]),
        minutes=np.array([0.0]),
    )
    return cup_state(one, parameters, contents, frozenset(effects))


@pytest.mark.published(
    "CO2 that stays dissolved under moist CO2 of 1 atm: 42.0 mg in 25 mL at 20 degC, 36.2 mg at 25 "
    "degC (Henry constant of Weiss 1974 as other codes carry it); basis: computed, secondary"
)
@pytest.mark.parametrize(("celsius", "milligrams"), [(20.0, 42.0), (25.0, 36.2)])
def test_dissolved_gas(celsius: float, milligrams: float) -> None:
    # Dilute acid in excess: no bicarbonate, and 0.07 mol/kg of sodium ion, which lowers the
    # solubility by 1 %: log10 of it by 0.0869 for each mol/kg (2 lambda/ln 10, Harvie 1984).
    # The two codes' Henry constants differ by 0.1 %; the reagent's own water by 0.2 %.
    state = cup(celsius, 0.025, 0.150, {CupEffect.DISSOLVED_GAS})
    salting_out = 10 ** (-0.0869 * 0.150 / 84.007 / 0.025)
    found = 1000.0 * float(state.dissolved[0]) / salting_out
    assert 0.09 < state.ionic_strength[0] < 0.11
    np.testing.assert_allclose(found, milligrams, rtol=0.005)


@pytest.mark.published(
    "Excess of moist CO2 over air (50 % humidity, 101325 Pa, 20 degC): 0.6149 mg/mL, 61 mg in 100 "
    "mL; CoolProp 8.0.0; basis: library"
)
def test_gas_in_the_head_space() -> None:
    vessel = Vessel(name="cup", capacity=0.100, opening_diameter=0.05, height=0.07)
    # so much gas that it fills the space to e^-50
    full = head_gas(
        room(20.0),
        vessel,
        experiment().reaction,
        np.array(0.0),
        np.array(50 * 0.100 / 24.0),
        np.array(293.15),
    )
    # CoolProp treats the vapour in the gas as real; ours has Z of CO2 for both: 0.1 % of 1.83 g/L
    np.testing.assert_allclose(1000.0 * full, 61.49, rtol=0, atol=0.2)


@pytest.mark.published(
    "Density of air at 20 degC, 101325 Pa, 50 %: 1.1993 kg/m3 (CIPM-2007); basis: secondary"
)
def test_air_of_the_room() -> None:
    np.testing.assert_allclose(room_air_density(room(20.0)), 1.1993, rtol=0, atol=0.000_05)


@pytest.mark.published(
    "Water carried by a gram of CO2 that leaves saturated, 101325 Pa: 0.00701 g at 15, 0.00967 at "
    "20, 0.01322 at 25, 0.01791 at 30 degC; IAPWS-95; basis: computed"
)
@pytest.mark.parametrize(
    ("celsius", "per_gram"), [(15.0, 0.00701), (20.0, 0.00967), (25.0, 0.01322), (30.0, 0.01791)]
)
def test_water_carried(celsius: float, per_gram: float) -> None:
    moles = np.array(1.0 / 44.009)
    at = np.array(celsius + 273.15)
    found = vapour_per_gas(room(celsius), np.array(1.0), at, np.array(0.0)) * moles
    np.testing.assert_allclose(WATER_MOLAR_MASS * found, per_gram, rtol=0, atol=0.000_005)


@pytest.mark.published(
    "Evaporation through still air at 101325 Pa, mg/(min cm2), gaps of 10, 30, 50, 80 mm; Stefan's "
    "law with D = 2.42e-5 m2/s at 20 degC; basis: computed"
)
@pytest.mark.parametrize(
    ("celsius", "humidity", "rates"),
    [
        (20.0, 0.5, (0.1277, 0.0426, 0.0255, 0.016)),
        (22.0, 0.5, (0.1455, 0.0485, 0.0291, 0.0182)),
        (25.0, 0.5, (0.1764, 0.0588, 0.0353, 0.0221)),
        (25.0, 0.3, (0.2462, 0.0821, 0.0492, 0.0308)),
    ],
)
def test_still_air(celsius: float, humidity: float, rates: tuple[float, ...]) -> None:
    found = [
        1000.0 * still_air_evaporation(room(celsius, humidity), 1e-4, gap)
        for gap in (0.010, 0.030, 0.050, 0.080)
    ]
    np.testing.assert_allclose(found, rates, rtol=0, atol=0.000_05)


@pytest.mark.published(
    "CRC ion and solid enthalpies in chemicals 1.5.2, H2O(l) -285.83 and CO2(g) -393.51 (CODATA): "
    "NaHCO3(s) + H+ 31.4, Na2CO3(s) + 2 H+ -28.8, CaCO3(s) + 2 H+ -14.5, NaHCO3(s) into water 18.7 "
    "kJ/mol; basis: library"
)
def test_enthalpies() -> None:
    found = [carbonate(formula) for formula in ("NaHCO3", "Na2CO3", "CaCO3")]
    heats = [solid.reaction_heat / 1000.0 for solid in found if solid]
    np.testing.assert_allclose(heats, [31.4, -28.8, -14.5], rtol=0, atol=0.05)
    assert found[0] is not None
    np.testing.assert_allclose(found[0].solution_heat, 18_700.0, rtol=0, atol=50.0)


@pytest.mark.published(
    "The same: 10 mmol of NaHCO3 with acid take up 314 J, with an excess of 10 mmol 501 J"
)
def test_heat_cools_the_liquid() -> None:
    one = experiment()
    mole = one.reaction.analyte_molar_mass.value
    parameters = central_parameters(one).with_values(
        content=np.array(1.0),
        concentration=np.array(1.0),
        heat_kept=np.array(1.0),
        vapour_saturation=np.array(0.0),
    )
    contents = Contents(
        reagent=np.array([0.010, 0.010]),
        diluent=np.array([0.030, 0.030]),
        sample=np.array([0.010 * mole, 0.020 * mole]),
        temperature=np.array([293.15, 293.15]),
        minutes=np.array([0.0, 0.0]),
    )
    state = cup_state(one, parameters, contents)
    liquid = liquid_mass(one, contents.reagent, contents.diluent, contents.temperature)
    heat = 4.18 * liquid * (293.15 - state.temperature)
    np.testing.assert_allclose(heat, [314.0, 501.0], rtol=0, atol=0.5)


@pytest.mark.published(
    "Enthalpies of formation of the dissolved ions: Mg2+ -466.9, Zn2+ -153.9, Al3+ -537.6, Ca2+ "
    "-542.8 kJ/mol (NBS Tables 1982); CODATA Key Values 1989: -467.0, -153.4, -538.4, -543.0; "
    "basis: secondary"
)
def test_heat_of_metals() -> None:
    heats = {formula: metal(formula) for formula in ("Mg", "Zn", "Al", "Ca")}
    found = [one.reaction_heat / 1000.0 for one in heats.values() if one]
    np.testing.assert_allclose(found, [-467.0, -153.4, -538.4, -543.0], rtol=0, atol=1.0)


@pytest.mark.published("Vapor pressure of water, IAPWS-95 by CoolProp; basis: library")
def test_vapour_of_a_warm_liquid() -> None:
    from CoolProp.CoolProp import PropsSI

    temperatures = np.arange(273.65, 363.2, 5.0)
    wanted = [PropsSI("P", "T", t, "Q", 0, "Water") for t in temperatures]
    np.testing.assert_allclose(saturation_vapour_pressure(temperatures), wanted, rtol=1e-3)
