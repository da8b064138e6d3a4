"""Solution densities away from the rows of the table, against other models and libraries."""

from __future__ import annotations

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from tarebook.chemistry.density import (
    concentration,
    estimated_density,
    mass_fraction_of,
    solution_density,
    solution_density_uncertainty,
)
from tarebook.chemistry.solution_table import (
    SOLUTES,
    UNLISTED,
    density_source,
    solute_table,
)
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError


def water_density(celsius: float) -> float:
    """Tanaka et al., Metrologia 38 (2001) 301."""
    t = celsius
    return 999.97495 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


def density_at(solute: str, fraction: FloatArray | float, celsius: float) -> FloatArray:
    return solution_density(
        solute, fraction, temperature=celsius + 273.15, water_density=water_density(celsius)
    )


# Laliberte, J. Chem. Eng. Data 54 (2009) 1725; coefficients c0 to c4 as in chemicals 1.5.2.
LALIBERTE = {
    "NaCl": (-0.00324112223655149, 0.0636354335906616, 1.01371399467365, 0.0145951015210159,
             3317.34854426537),
    "NaHCO3": (0.0377378060615898, 0.00710029652458366, 0.0735733388535116, 0.00168369765511221,
               3291.38382252025),
    "HCl": (0.000283872260482906, 0.00394946957169882, 2.85020047681807, -0.0157747012568046,
            -3766.20868665006),
    "CH3COONa": (1732.57047592873, 83.5413523305266, 0.0400429680170604, 0.0000471569682646929,
                 -274.927412526629),
    "CaCl2": (-9.72893747074295, 14.7005352975276, 4.19033341468332, 0.0397403624277021,
              2708.12778894614),
}  # fmt: skip


@pytest.mark.parametrize("solute", list(LALIBERTE))
@pytest.mark.parametrize("celsius", [5.0, 10.0, 22.0, 30.0, 40.0])
def test_temperature_against_the_full_formula(solute: str, celsius: float) -> None:
    c0, c1, c2, c3, c4 = LALIBERTE[solute]
    w = np.linspace(0.005, min(solute_table(solute).fractions[-1], 0.20), 25)
    apparent = (c0 * w + c1) * np.exp(1e-6 * (celsius + c4) ** 2) / (w + c2 + c3 * celsius)
    formula = 1 / ((1 - w) / water_density(celsius) + w / apparent)
    u = solution_density_uncertainty(solute, w, temperature=celsius + 273.15)
    # Twice the stated standard uncertainty, and half of the last digit of the table.
    assert np.all(np.abs(density_at(solute, w, celsius) - formula) <= 2 * u + 0.005)
    # What the straight line in temperature adds is itself within what is stated for it.
    bend = 0.02 * np.abs((celsius - 20) * (celsius - 25)) * w
    assert np.all(np.abs(density_at(solute, w, celsius) - formula) <= 1.1 * bend + 0.05)


@pytest.mark.parametrize(("fraction", "celsius"), [(0.11, 10), (0.11, 20), (0.12, 10), (0.12, 20)])
def test_ethanol_against_a_library(fraction: float, celsius: float) -> None:
    # CoolProp 8, INCOMP::MEA2 (11 to 60 %). Laliberte would be 3.8 kg/m3 off here.
    library = PropsSI("D", "T", celsius + 273.15, "P", 101325, f"INCOMP::MEA2[{fraction}]")
    u = float(solution_density_uncertainty("C2H5OH", fraction, temperature=celsius + 273.15))
    assert density_at("C2H5OH", fraction, celsius) == pytest.approx(library, rel=0, abs=2 * u)


def test_ethanol_is_not_that_of_the_salt_model() -> None:
    # Laliberte for ethanol is 2.9 kg/m3 high at 5 % and 3.8 at 10 %.
    np.testing.assert_allclose(density_at("C2H5OH", np.array([0.05, 0.10]), 20.0),
                               [989.38, 981.87], rtol=0, atol=0.01)  # fmt: skip


# phreeqc.dat by phreeqpython 1.6.2: mass percent, density in kg/m3 at 20 and at 25 degC.
PHREEQC = [
    ("Na2CO3", 1.049, 1009.20, 1007.92),
    ("Na2CO3", 5.033, 1050.81, 1049.12),
    ("Na2CO3", 9.583, 1099.10, 1097.00),
    ("NaCl", 0.581, 1002.36, 1001.15),
    ("NaCl", 2.839, 1018.41, 1017.02),
    ("NaCl", 5.521, 1037.67, 1036.06),
    ("CaCl2", 1.098, 1007.32, 1006.10),
    ("CaCl2", 5.257, 1042.39, 1040.91),
    ("CaCl2", 9.989, 1084.06, 1082.22),
    ("NaHCO3", 0.833, 1004.31, 1003.08),
]


@pytest.mark.parametrize(("solute", "percent", "at_20", "at_25"), PHREEQC)
def test_against_a_geochemical_model(
    solute: str, percent: float, at_20: float, at_25: float
) -> None:
    # NaHCO3 above 1 % is left out: there that model is 1 to 4 kg/m3 above table and handbook.
    for celsius, expected in [(20.0, at_20), (25.0, at_25)]:
        u = float(solution_density_uncertainty(solute, percent / 100, temperature=celsius + 273.15))
        ours = density_at(solute, percent / 100, celsius)
        assert ours == pytest.approx(expected, rel=0, abs=2 * u + 0.005)


def test_strong_acid_and_lye_stand_on_the_handbook() -> None:
    # Handbook (CRC-type) 1.1977, 1.3277, 1.4299 g/mL at 20 degC; the salt model is 2 to 4 off.
    np.testing.assert_allclose(density_at("HCl", 0.40, 20.0), 1197.7, rtol=0, atol=0.05)
    np.testing.assert_allclose(density_at("NaOH", 0.30, 20.0), 1327.7, rtol=0, atol=0.05)
    np.testing.assert_allclose(density_at("NaOH", 0.40, 20.0), 1429.9, rtol=0, atol=0.05)


# Grams of acetic acid in 100 mL, mol/L, mass percent, g/mL: computed from a quartic through
# handbook points at 20 degC, with M = 60.052 g/mol.
VINEGAR = [
    (4.0, 0.6661, 3.985, 1.0038),
    (5.0, 0.8326, 4.974, 1.0052),
    (6.0, 0.9991, 5.961, 1.0066),
    (8.0, 1.3322, 7.927, 1.0093),
    (10.0, 1.6652, 9.882, 1.0119),
]


@pytest.mark.parametrize(("label", "molar", "percent", "density"), VINEGAR)
def test_vinegar(label: float, molar: float, percent: float, density: float) -> None:
    at = {"temperature": 293.15, "water_density": water_density(20.0)}
    fraction = mass_fraction_of("CH3COOH", label * 10 / 60.052, **at)
    assert concentration("CH3COOH", fraction, **at) == pytest.approx(molar, rel=0, abs=5.1e-5)
    assert 100 * fraction == pytest.approx(percent, rel=0, abs=5.1e-4)
    ours = solution_density("CH3COOH", fraction, **at)
    assert ours == pytest.approx(1000 * density, rel=0, abs=0.051)


@pytest.mark.parametrize("solute", SOLUTES)
def test_concentration_and_back(solute: str) -> None:
    w = np.linspace(0.0, solute_table(solute).fractions[-1], 401)
    temperature = np.array([[278.15], [293.15], [313.15]])
    at = {"temperature": temperature, "water_density": np.array([[999.97], [998.21], [992.22]])}
    molar = concentration(solute, w, **at)
    assert np.all(np.diff(molar, axis=1) > 0)
    np.testing.assert_allclose(
        mass_fraction_of(solute, molar, **at), np.broadcast_to(w, (3, 401)), rtol=0, atol=1e-14
    )


@pytest.mark.parametrize("solute", SOLUTES)
def test_pure_water_and_no_jumps(solute: str) -> None:
    assert density_at(solute, 0.0, 22.0) == pytest.approx(water_density(22.0), rel=1e-15)
    dense = density_at(solute, np.linspace(0, solute_table(solute).fractions[-1], 20_001), 22.0)
    steps = np.abs(np.diff(dense))
    assert steps.max() < 10 * np.median(steps) + 1e-6
    assert density_source(solute).work


def test_complex_step_is_the_slope() -> None:
    step, h = 1e-30, 1e-6
    at = {"temperature": 295.0, "water_density": 997.8}
    exact = solution_density("NaCl", 0.055 + 1j * step, **at).imag / step
    ends = [solution_density("NaCl", 0.055 + sign * h, **at) for sign in (1, -1)]
    assert exact == pytest.approx((ends[0] - ends[1]) / (2 * h), rel=1e-6)


def test_uncertainty_parts() -> None:
    assert solution_density_uncertainty("NaCl", 0.0, temperature=298.15) == 0.0
    own = float(solution_density_uncertainty("NaCl", 0.10, temperature=298.15))
    cold = float(solution_density_uncertainty("NaCl", 0.10, temperature=278.15))
    assert own == pytest.approx(0.15, rel=1e-12)
    assert cold == pytest.approx(math.hypot(0.15, 0.02 * 15 * 20 * 0.10), rel=1e-9)


def test_out_of_the_table() -> None:
    at = {"temperature": 293.15, "water_density": 998.2067}
    with pytest.raises(OutOfRangeError, match=r"mass fraction of CH3COOH = 5 "):
        solution_density("CH3COOH", np.array([0.05, 5.0]), **at)
    with pytest.raises(OutOfRangeError, match="mass fraction of NaCl"):
        solution_density("NaCl", -0.01, **at)
    with pytest.raises(OutOfRangeError, match="mass fraction of NaCl"):
        solution_density("NaCl", np.nan, **at)
    with pytest.raises(OutOfRangeError, match="to degrees Celsius"):
        solution_density("NaCl", 0.05, temperature=20.0, water_density=998.2067)
    with pytest.raises(OutOfRangeError, match="temperature"):
        solution_density("NaCl", 0.05, temperature=320.0, water_density=989.0)
    with pytest.raises(OutOfRangeError, match="Dilute"):
        mass_fraction_of("NaHCO3", 1.5, **at)
    with pytest.raises(OutOfRangeError, match="concentration of HCl"):
        mass_fraction_of("HCl", np.array([0.1, -0.1]), **at)


ACIDS = ("HCl", "H2SO4", "CH3COOH", "C6H8O7", "HNO3", "H3PO4", "HCOOH", "C3H6O3", "NaHSO4")


def test_estimate_for_other_acids_is_the_mean_of_those_listed() -> None:
    water = water_density(20.0)
    volumes = [(1.0 / float(density_at(acid, 0.05, 20.0)) - 0.95 / water) / 0.05 for acid in ACIDS]
    assert UNLISTED.value == pytest.approx(np.mean(volumes), abs=0.005e-3)
    assert UNLISTED.u == pytest.approx(np.std(volumes, ddof=1), abs=0.005e-3)


@pytest.mark.parametrize("acid", ACIDS)
def test_estimate_holds_for_the_acids_that_are_listed(acid: str) -> None:
    strength = np.array([0.1, 0.5, 1.0])
    water = water_density(20.0)
    fraction = mass_fraction_of(acid, strength, temperature=293.15, water_density=water)
    density, u = estimated_density(acid, strength, water_density=water)
    assert np.all(np.abs(density - density_at(acid, fraction, 20.0)) < 2.0 * u)
