"""Density of water and of moist air against the equations of state of a general library."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI

from tarebook.core.units import kelvin
from tarebook.measurement.air import air_density, saturation_vapour_pressure
from tarebook.measurement.water import water_density


@pytest.mark.published(
    "Tanaka et al., Metrologia 38 (2001) 301, table: 998.2067 at 20 degC and 997.0470 at 25 degC; "
    "coefficients secondary, the two table entries memory"
)
def test_water_density_of_the_table() -> None:
    np.testing.assert_allclose(
        water_density(kelvin(np.array([20.0, 25.0]))), [998.2067, 997.0470], rtol=0, atol=0.00005
    )


@pytest.mark.published(
    "IAPWS R6-95 as in CoolProp: density of water at 101325 Pa, 15 to 30 degC; library. The two "
    "formulas differ by up to 0.66 parts in a million there, so 0.7 is the tolerance"
)
def test_water_density_against_the_equation_of_state() -> None:
    temperature = kelvin(np.arange(15.0, 30.1, 0.5))
    reference = [PropsSI("D", "T", t, "P", 101325.0, "Water") for t in temperature]
    np.testing.assert_allclose(water_density(temperature), reference, rtol=0.7e-6, atol=0)


@pytest.mark.published(
    "IAPWS R6-95 as in CoolProp: water at 80 to 105 kPa, 0 to 40 degC; library, one part in a "
    "million"
)
def test_water_density_over_the_whole_range() -> None:
    temperature = kelvin(np.arange(0.5, 40.1, 2.5))[:, None]
    pressure = np.array([80e3, 95e3, 105e3])
    reference = np.vectorize(lambda t, p: PropsSI("D", "T", t, "P", p, "Water"))(
        temperature, pressure
    )
    np.testing.assert_allclose(water_density(temperature, pressure), reference, rtol=1e-6, atol=0)


def humid_air(temperature: float, pressure: float, humidity: float) -> float:
    # volume is of the humid air, m3/kg
    return 1.0 / float(HAPropsSI("Vha", "T", temperature, "P", pressure, "R", humidity))


@pytest.mark.published(
    "Humid air of CoolProp (ASHRAE RP-1485): denser than CIPM-2007 by 3.5e-5 to 3.8e-5 at 15 to 30 "
    "degC and 85 to 101.325 kPa; library"
)
@pytest.mark.parametrize(
    ("celsius", "pressure", "humidity"),
    [
        (15, 101325, 0.5),
        (20, 101325, 0.5),
        (20, 101325, 0.0),
        (25, 101325, 0.5),
        (30, 101325, 0.5),
        (22, 95000, 0.4),
        (22, 85000, 0.3),
    ],
)
def test_air_density_in_its_range(celsius: float, pressure: float, humidity: float) -> None:
    ours = float(air_density(kelvin(celsius), pressure, humidity))
    assert humid_air(kelvin(celsius), pressure, humidity) / ours - 1 == pytest.approx(
        3.65e-5, abs=0.2e-5
    )


@pytest.mark.published(
    "Humid air of CoolProp (ASHRAE RP-1485): within 5e-5 over all that is let through; library"
)
def test_air_density_beyond_its_range() -> None:
    for celsius in (0.5, 10.0, 35.0, 40.0):
        for pressure in (60e3, 85e3, 110e3):
            for humidity in (0.0, 0.5, 0.95):
                ours = float(air_density(kelvin(celsius), pressure, humidity))
                reference = humid_air(kelvin(celsius), pressure, humidity)
                assert ours == pytest.approx(reference, rel=5e-5)


@pytest.mark.published(
    "OIML R 111-1:2004, E.3, simplified formula (0.34848 p - 0.009 h exp(0.061 t)) / (273.15 + t), "
    "good to 2e-4 within 900 to 1100 hPa, 10 to 30 degC, h below 80 %; memory. Taken "
    "from 15 degC up: at 10 degC, 900 hPa and 79 % it is 2.15e-4 low, where humid air of "
    "CoolProp sides with CIPM-2007"
)
def test_air_density_against_the_simplified_formula() -> None:
    celsius = np.arange(15.0, 30.1, 5.0)[:, None]
    humidity = np.array([0.0, 0.3, 0.6, 0.79])
    for hectopascals in (900.0, 1013.25, 1100.0):
        simple = (0.34848 * hectopascals - 0.9 * humidity * np.exp(0.061 * celsius)) / (
            273.15 + celsius
        )
        ours = air_density(kelvin(celsius), 100 * hectopascals, humidity)
        np.testing.assert_allclose(ours, simple, rtol=2e-4, atol=0)


@pytest.mark.published(
    "IAPWS R6-95 as in CoolProp: saturation pressure of water, 10 to 40 degC; library. The "
    "older formula of CIPM-2007 lies up to 0.73e-4 lower, so 0.8e-4 is the tolerance"
)
def test_saturation_pressure() -> None:
    temperature = kelvin(np.arange(10.0, 40.1, 5.0))
    reference = [PropsSI("P", "T", t, "Q", 0, "Water") for t in temperature]
    np.testing.assert_allclose(
        saturation_vapour_pressure(temperature), reference, rtol=0.8e-4, atol=0
    )
