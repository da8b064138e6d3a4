"""Molar masses, their uncertainties and what species share."""

from __future__ import annotations

import math

import numpy as np
import periodictable
import pytest

from tarebook.chemistry.molar_mass import (
    molar_mass,
    molar_mass_covariance,
    molar_mass_sensitivities,
)
from tarebook.chemistry.weights import NoAtomicWeightError, standard_atomic_weight

# Sums of the full 2021 weights of periodictable 2.1.0 and their u, each half-width / sqrt(3).
LIBRARY = [
    ("H2O", 18.015, 0.00062),
    ("CO2", 44.009, 0.0016),
    ("C2H4O2", 60.052, 0.0026),
    ("NaHCO3", 84.0058, 0.0021),
    ("KHCO3", 100.1143, 0.0021),
    ("Na2CO3", 105.9875, 0.0021),
    ("CaCO3", 100.086, 0.0031),
    ("NaC2H3O2", 82.0338, 0.0026),
    ("NaC2H3O2.3H2O", 136.0788, 0.0038),
    ("C6H8O7", 192.123, 0.0081),
    ("C6H8O7.H2O", 210.138, 0.0084),
    ("HCl", 36.458, 0.0058),
    ("NaOH", 39.9968, 0.00059),
    ("H2SO4", 98.072, 0.012),
    ("NaCl", 58.4398, 0.0058),
    ("CaCl2", 110.978, 0.012),
    ("CaCl2.2H2O", 147.008, 0.012),
    ("CuSO4.5H2O", 249.677, 0.013),
    ("CuSO4", 159.602, 0.012),
    ("AgCl", 143.3182, 0.0058),
    ("AgNO3", 169.8722, 0.0018),
    ("BaSO4", 233.383, 0.012),
    ("BaCl2.2H2O", 244.257, 0.012),
    ("PbI2", 461.0089, 0.64),
    ("Mg", 24.305, 0.0012),
    ("MgO", 40.304, 0.0013),
    ("Zn", 65.38, 0.012),
    ("C12H22O11", 342.297, 0.015),
    ("C2H6O", 46.069, 0.0025),
    ("H2O2", 34.014, 0.0012),
    ("NH4Cl", 53.489, 0.0058),
    ("Fe(NO3)3.9H2O", 403.992, 0.011),
    ("KSCN", 97.1763, 0.012),
    ("(NH4)2Fe(SO4)2.6H2O", 392.125, 0.025),
]


@pytest.mark.parametrize(("formula", "mass", "u"), LIBRARY)
def test_against_the_full_weights(formula: str, mass: float, u: float) -> None:
    # Ours are abridged to five figures: allow just what the abridging took off, and half a digit.
    counts = molar_mass_sensitivities(formula)
    full = {symbol: getattr(periodictable, symbol).mass for symbol in counts}
    abridged = {symbol: standard_atomic_weight(symbol).value for symbol in counts}
    rounding = sum(n * abs(abridged[s] - full[s]) for s, n in counts.items())
    ours = molar_mass(formula)
    assert sum(n * full[s] for s, n in counts.items()) == pytest.approx(mass, rel=0, abs=5.1e-5)
    assert ours.value == pytest.approx(mass, rel=0, abs=rounding + 5.1e-5)
    if rounding < 1e-9:
        # 2 figures printed; 1.01 for values that sit on the half digit.
        half_digit = 0.5 * 10.0 ** (math.floor(math.log10(u)) - 1)
        assert ours.u == pytest.approx(u, rel=0, abs=1.01 * half_digit)
    else:
        assert ours.u >= u - 0.05 * u


def test_atoms_of_one_element_share_its_error() -> None:
    carbon = standard_atomic_weight("C")
    assert molar_mass("C60").u == pytest.approx(60 * carbon.u, rel=1e-12)


def test_covariance_through_shared_elements() -> None:
    species = ["NaHCO3", "CO2", "HCl"]
    covariance = molar_mass_covariance(species)
    own = [molar_mass(one).u ** 2 for one in species]
    np.testing.assert_allclose(np.diag(covariance), own, rtol=1e-12)
    carbon, oxygen = standard_atomic_weight("C").u, standard_atomic_weight("O").u
    assert covariance[0, 1] == pytest.approx(carbon**2 + 6 * oxygen**2, rel=1e-12)
    assert covariance[1, 2] == 0.0
    np.testing.assert_allclose(covariance, covariance.T, rtol=0, atol=0)


def test_element_without_a_weight() -> None:
    with pytest.raises(NoAtomicWeightError):
        molar_mass("RaCl2")
