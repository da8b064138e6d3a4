"""Activity coefficients to 4 mol/kg: of salts as measured, of CO2 in salt solutions."""

from __future__ import annotations

import numpy as np
import pytest
from tests.cups import open_to

from tarebook.chemistry.equilibrium import StrongIon, System, acid
from tarebook.chemistry.equilibrium.activity import debye_hueckel_slope, shielding
from tarebook.chemistry.equilibrium.interactions import epsilon
from tarebook.core.arrays import FloatArray

MOLALITY = np.array([0.1, 0.5, 1.0, 2.0, 3.0, 4.0])
# Mean activity coefficients at 25 degC.
MEASURED = {
    ("Na+", "Cl-"): [0.778, 0.681, 0.657, 0.668, 0.714, 0.783],
    ("K+", "Cl-"): [0.770, 0.649, 0.604, 0.573, 0.569, 0.577],
    ("H+", "Cl-"): [0.796, 0.757, 0.809, 1.009, 1.316, 1.762],
    ("Na+", "CH3COO-"): [0.791, 0.735, 0.757, 0.851, 0.982],
    ("Na+", "OH-"): [0.766, 0.690, 0.678, 0.709, 0.784, 0.903],
}


def mean_gamma(cation: str, anion: str, molality: FloatArray) -> FloatArray:
    """Return gamma of a salt of two single charges from our table."""
    slope = debye_hueckel_slope(np.array(298.15))
    long_range = slope * shielding(np.sqrt(molality))
    return np.asarray(10 ** (long_range + epsilon(cation, 1, anion, -1) * molality))


@pytest.mark.published(
    "Robinson and Stokes, Electrolyte Solutions, 2nd ed. (1959), appendix 8.10: mean molal "
    "activity coefficients at 25 degC of NaCl, KCl, HCl, sodium acetate, NaOH; basis: memory"
)
@pytest.mark.parametrize("salt", MEASURED, ids="".join)
def test_salts(salt: tuple[str, str]) -> None:
    measured = np.array(MEASURED[salt])
    found = mean_gamma(*salt, MOLALITY[: measured.size])
    print(f"\n{''.join(salt)}: " + ", ".join(f"{100 * d:+.1f} %" for d in found / measured - 1))
    # One coefficient for all strengths: 0.02 in log10 gamma to 2 mol/kg, 0.06 at 4.
    allowed = np.maximum(0.02, 0.02 * (MOLALITY[: measured.size] - 1.0))
    assert (np.abs(np.log10(found / measured)) <= allowed).all()


@pytest.mark.published(
    "Peiper and Pitzer, J. Chem. Thermodyn. 14 (1982) 613: beta0 0.0277, beta1 0.0411 for NaHCO3, "
    "as read in pitzer.dat of PHREEQC; basis: computed from read values"
)
def test_sodium_bicarbonate() -> None:
    molality = np.array([0.1, 0.3, 0.5, 1.0])  # it dissolves to 1.2 mol/kg
    beta0, beta1, slope = 0.0277, 0.0411, 0.3915
    root = np.sqrt(molality)
    long_range = -slope * (root / (1 + 1.2 * root) + 2 / 1.2 * np.log(1 + 1.2 * root))
    fading = 1 - (1 + 2 * root - 2 * molality) * np.exp(-2 * root)
    published = np.exp(long_range + molality * (2 * beta0 + beta1 / (2 * molality) * fading))
    found = mean_gamma("Na+", "HCO3-", molality)
    assert (np.abs(np.log10(found / published)) <= 0.02).all()


@pytest.mark.published(
    "CO2 in NaCl at 25 degC: a salting-out constant of about 0.10 L/mol by volume (Harned and "
    "Davis, J. Am. Chem. Soc. 65 (1943) 2030; general tables), of about 0.01 or less in HCl; "
    "basis: memory"
)
def test_carbon_dioxide_in_salt_and_acid() -> None:
    """By mass of water: 0.10 per mol/L is 0.10 - 0.02 per mol/kg, salt takes up room itself."""
    r = open_to(
        System(acids=(acid("carbonic"),), strong_ions=(StrongIon("Na+", 1), StrongIon("Cl-", -1))),
        totals={},
        strong={"Na+": [0.0, 1.0, 0.0], "Cl-": [0.0, 1.0, 1.0]},
        temperature=298.15,
        pressure=101325.0,
    )
    water, salt, strong_acid = r.of("CO2")
    np.testing.assert_allclose(np.log10(water / salt), 0.08, rtol=0, atol=0.02)
    np.testing.assert_allclose(np.log10(water / strong_acid), 0.0, rtol=0, atol=0.015)


@pytest.mark.published(
    "Rumpf, Nicolaisen, Ocal and Maurer, J. Solution Chem. 23 (1994) 431: CO2 in NaCl, ln gamma = "
    "2 B m + 3 Gamma m^2 with B = 0.254 - 76.82/T - 10656/T^2 + 6312e3/T^3, Gamma = -0.0028; "
    "basis: secondary (read in a public code)"
)
@pytest.mark.parametrize("kelvins", [288.15, 298.15])
def test_carbon_dioxide_in_salt_by_another_formula(kelvins: float) -> None:
    salt = np.array([0.0, 0.25, 0.5, 1.0, 2.0])
    r = open_to(
        System(acids=(acid("carbonic"),), strong_ions=(StrongIon("Na+", 1), StrongIon("Cl-", -1))),
        totals={},
        strong={"Na+": salt, "Cl-": salt},
        temperature=kelvins,
        pressure=101325.0,
    )
    b = 0.254 - 76.82 / kelvins - 10656.0 / kelvins**2 + 6312e3 / kelvins**3
    published = 2 * b * salt - 3 * 0.0028 * salt**2
    found = np.log(r.of("CO2")[0] / r.of("CO2"))
    # two standard uncertainties as stated, 0.03 for each mol/kg
    assert (np.abs(found - published) <= 2 * 0.03 * salt + 1e-12).all()
    assert (r.u_dissolved[1:] < 0.031 * salt[1:]).all()
