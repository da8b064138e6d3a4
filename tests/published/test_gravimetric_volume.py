"""Volume from mass: a pipette, a flask of 1 L, the Z factors of ISO 8655-6, the least mass."""

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.units import kelvin
from tarebook.measurement.air import air_density
from tarebook.measurement.buoyancy import WEIGHT_DENSITY, buoyancy_factor
from tarebook.measurement.instruments import balance
from tarebook.measurement.water import water_density
from tarebook.measurement.weighing import repeatability_with_floor

BRASS = 8400.0


def litres_of_a_gram(
    density: NumberArray, air: NumberArray | float, weights: float = WEIGHT_DENSITY
) -> NumberArray:
    """Return the volume of liquid for each gram that a balance shows."""
    return buoyancy_factor(density, air, weights) / density


@pytest.mark.published(
    "D. T. Harvey, Modern Analytical Chemistry (2000), example 5.1: 9.9736 g of water weighed at "
    "25 degC are 9.9842 g and 10.014 mL, 10.003 mL without buoyancy; secondary"
)
def test_pipette_of_10_mL() -> None:  # noqa: N802
    mass = 9.9736 * buoyancy_factor(997.05, 1.2, BRASS)
    volume = mass / 997.05
    np.testing.assert_allclose(mass, 9.9842, rtol=0, atol=0.00005)
    np.testing.assert_allclose(1000 * volume, 10.014, rtol=0, atol=0.0005)
    np.testing.assert_allclose(9.9736 / 0.99705, 10.003, rtol=0, atol=0.0005)
    # and with our own density of water at 25 degC
    own = 9.9736 * litres_of_a_gram(water_density(298.15), 1.2, BRASS)
    np.testing.assert_allclose(1000 * own, 10.014, rtol=0, atol=0.0005)


@pytest.mark.published(
    "E. G. Mahin and R. H. Carr, Quantitative Agricultural Analysis (1923), table II, p. 44: "
    "apparent weight of the water in a glass vessel that holds 1 L at 20 degC; read. Water density "
    "and glass of that day are not stated and differ from ours: tolerance 0.06 g in 1 kg, not "
    "0.005 g"
)
def test_litre_of_water_weighed_in_air() -> None:
    temperature = kelvin(np.arange(15.0, 26.0))
    printed = [
        997.93, 997.80, 997.66, 997.51, 997.36, 997.18, 996.99, 996.81, 996.61, 996.39, 996.16,
    ]  # fmt: skip
    soda_glass = 2.5e-5
    vessel = 1.0 + soda_glass * (temperature - 293.15)
    apparent = vessel / litres_of_a_gram(water_density(temperature), 1.2, BRASS)
    np.testing.assert_allclose(apparent, printed, rtol=0, atol=0.06)


# degC, then uL/mg at 95, 100, 101.325 and 105 kPa: the printed table of a pipette manual
MANUAL = [
    [20.0, 1.0028, 1.0028, 1.0029, 1.0029],
    [20.5, 1.0029, 1.0029, 1.0030, 1.0030],
    [21.0, 1.0030, 1.0030, 1.0031, 1.0031],
    [21.5, 1.0031, 1.0032, 1.0032, 1.0032],
    [22.0, 1.0032, 1.0033, 1.0033, 1.0033],
    [22.5, 1.0033, 1.0034, 1.0034, 1.0034],
    [23.0, 1.0034, 1.0035, 1.0035, 1.0035],
    [23.5, 1.0036, 1.0036, 1.0036, 1.0037],
]
# degC, then uL/mg at 80, 85, 90, 95, 100, 101.325 and 105 kPa: table 1 of a journal paper of 2019
PAPER = [
    [25.0, 1.0038, 1.0038, 1.0039, 1.0039, 1.0040, 1.0040, 1.0040],
    [25.5, 1.0039, 1.0040, 1.0040, 1.0041, 1.0041, 1.0041, 1.0042],
    [26.0, 1.0040, 1.0041, 1.0041, 1.0042, 1.0042, 1.0043, 1.0043],
    [26.5, 1.0042, 1.0042, 1.0043, 1.0043, 1.0044, 1.0044, 1.0044],
    [27.0, 1.0043, 1.0044, 1.0044, 1.0045, 1.0045, 1.0045, 1.0046],
    [27.5, 1.0044, 1.0045, 1.0046, 1.0046, 1.0047, 1.0047, 1.0047],
    [28.0, 1.0046, 1.0046, 1.0047, 1.0047, 1.0048, 1.0048, 1.0048],
    [28.5, 1.0047, 1.0048, 1.0048, 1.0049, 1.0049, 1.0049, 1.0050],
    [29.0, 1.0049, 1.0049, 1.0050, 1.0050, 1.0051, 1.0051, 1.0051],
    [29.5, 1.0050, 1.0051, 1.0051, 1.0052, 1.0052, 1.0052, 1.0053],
    [30.0, 1.0052, 1.0052, 1.0053, 1.0053, 1.0054, 1.0054, 1.0054],
]


@pytest.mark.published(
    "ISO 8655-6, table of Z for distilled water, as printed in a pipette manual (20.0 to 23.5 "
    "degC) and in a journal paper of 2019 (25 to 30 degC), four decimals; secondary. Half a "
    "unit of the fourth decimal is the tolerance; humidity of the table taken as 50 %"
)
@pytest.mark.parametrize(
    ("table", "kilopascals"),
    [
        (MANUAL, [95.0, 100.0, 101.325, 105.0]),
        (PAPER, [80.0, 85.0, 90.0, 95.0, 100.0, 101.325, 105.0]),
    ],
)
def test_z_factors(table: list[list[float]], kilopascals: list[float]) -> None:
    rows: FloatArray = np.array(table)
    temperature = kelvin(rows[:, :1])
    air = air_density(temperature, 1000 * np.array(kilopascals), 0.5)
    z = 1000 * litres_of_a_gram(water_density(temperature), air)
    np.testing.assert_allclose(z, rows[:, 1:], rtol=0, atol=0.00005)


@pytest.mark.published(
    "Buoyancy factors at 1.2 kg/m3 and 8000 kg/m3 of water, sodium hydrogencarbonate and copper, "
    "computed independently from handbook densities (CRC, in the package chemicals); computed"
)
def test_buoyancy_factors() -> None:
    factors = buoyancy_factor(np.array([998.2, 2200.0, 8960.0]))
    np.testing.assert_allclose(factors, [1.001053, 1.000396, 0.999984], rtol=0, atol=0.5e-6)


@pytest.mark.published(
    "USP <41>: a repeatability of 0.00015 g allows 0.300 g and more, and the floor is 820 d; "
    "secondary"
)
def test_least_mass() -> None:
    semi = balance(0.0001, repeatability=0.00015)
    np.testing.assert_allclose(2000 * repeatability_with_floor(semi), 0.300, rtol=0, atol=0.0005)
    steady = balance(0.0001, repeatability=0.0)
    least = 2000 * repeatability_with_floor(steady)
    np.testing.assert_allclose(least, 820 * 0.0001, rtol=1e-12, atol=0)
