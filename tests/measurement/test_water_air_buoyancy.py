import math

import numpy as np
import pytest

from tarebook.core.errors import OutOfRangeError
from tarebook.core.propagation import jacobian
from tarebook.measurement.air import air_density, saturation_vapour_pressure
from tarebook.measurement.buoyancy import buoyancy_factor
from tarebook.measurement.water import water_density


@pytest.mark.parametrize("temperature", [272.9, 313.4, 20.0, math.nan])
def test_water_has_a_range(temperature: float) -> None:
    with pytest.raises(OutOfRangeError, match="water temperature"):
        water_density(np.array([293.15, temperature]))


def test_the_ends_of_the_range_belong_to_it() -> None:
    assert water_density(np.array([273.15, 313.15])).shape == (2,)


def test_water_is_densest_at_4_degrees() -> None:
    temperature = np.linspace(273.15, 283.15, 1001)
    densest = temperature[np.argmax(water_density(temperature))]
    assert densest == pytest.approx(273.15 + 3.98, abs=0.01)


def test_water_can_be_differentiated_by_a_complex_step() -> None:
    slope = jacobian(lambda x: water_density(x[..., 0]), np.array([293.15]))
    by_hand = (water_density(293.16) - water_density(293.14)) / 0.02
    assert slope[0] == pytest.approx(float(by_hand), rel=1e-5)


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((260.0, 101325.0, 0.5), "air temperature"),
        ((293.15, 1013.25, 0.5), "air pressure"),
        ((293.15, 101325.0, 50.0), "relative humidity"),
        ((293.15, 101325.0, 0.5, 0.4), "carbon dioxide"),
    ],
)
def test_air_has_its_ranges(arguments: tuple[float, ...], name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        air_density(*arguments)


def test_moist_air_is_lighter_and_carbon_dioxide_makes_it_heavier() -> None:
    dry, moist = air_density(293.15, 101325.0, np.array([0.0, 1.0]))
    assert moist < dry
    # 1 % more by amount adds 12.011/28.965 of 1 %
    rich = air_density(293.15, 101325.0, 0.0, 0.0104)
    assert rich / dry == pytest.approx(1 + 0.01 * 12.011 / 28.96546, rel=1e-9)


def test_vapour_pressure_has_a_range() -> None:
    with pytest.raises(OutOfRangeError, match="temperature of water vapour"):
        saturation_vapour_pressure(374.15)
    with pytest.raises(OutOfRangeError, match="air temperature"):
        air_density(314.0)


@pytest.mark.parametrize(("density", "air"), [(1.0, 1.2), (math.nan, 1.2), (998.0, math.nan)])
def test_what_floats_in_air_cannot_be_weighed(density: float, air: float) -> None:
    with pytest.raises(OutOfRangeError, match="above that of the air"):
        buoyancy_factor(np.array([998.0, density]), air)


def test_an_object_as_dense_as_the_weights_needs_no_correction() -> None:
    assert buoyancy_factor(8000.0) == 1.0
