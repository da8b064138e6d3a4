"""Activity coefficients, with the Debye-Hueckel slope from the permittivity of water.

Specific ion interaction: log10 gamma = -A z**2 sqrt(I)/(1 + 1.5 sqrt(I)) + S, where S is the sum of
epsilon * m over the strong ions (`interactions`). Water: a_w = 1 - 0.017 (sum of all molalities).
"""

from __future__ import annotations

import math
from functools import cache
from typing import Final

import numpy as np

from tarebook.chemistry.equilibrium.acids import equilibrium_table
from tarebook.chemistry.equilibrium.interactions import interaction_table
from tarebook.core.arrays import FloatArray
from tarebook.core.units import celsius

LOWEST, HIGHEST = 278.15, 313.15
"""Range of temperature of this package, K (5 to 40 degC)."""

ELEMENTARY_CHARGE = 1.602176634e-19  # C, exact (SI 2019)
AVOGADRO = 6.02214076e23  # 1/mol, exact (SI 2019)
BOLTZMANN = 1.380649e-23  # J/K, exact (SI 2019)
VACUUM_PERMITTIVITY = 8.8541878128e-12  # F/m, CODATA 2018


WATER_LOWERING: Final = float(equilibrium_table()["activity"]["water"])
"""By how much each mole of solute lowers the activity of water, kg/mol."""

ION_SIZE: Final = float(interaction_table()["meta"]["size"])
"""What stands before sqrt(I) in the denominator of the Debye-Hueckel term, kg^0.5/mol^0.5."""

ACTIVITY_REACH: Final = float(interaction_table()["meta"]["range_mol_kg"])
"""Ionic strength to which the activity model is meant to be used, mol/kg."""


def shielding(root: FloatArray) -> FloatArray:
    """Return log10 gamma/(A z**2) of an ion, without the specific part.

    Parameters
    ----------
    root : ndarray, any shape, [kg^0.5/mol^0.5]
        Square root of the ionic strength.

    References
    ----------
    .. [1] Grenthe, Plyasunov and Spahiu, in Modelling in Aquatic Chemistry, OECD/NEA, Paris, 1997,
       chapter IX.

    Examples
    --------
    >>> gamma = 10 ** (debye_hueckel_slope(np.array(298.15)) * shielding(np.sqrt(0.1)))
    >>> float(gamma.round(3))
    0.777
    """
    return np.asarray(-root / (1.0 + ION_SIZE * root))


def shielding_slope(root: FloatArray) -> FloatArray:
    """Return the derivative of `shielding` in `root`."""
    nearness = 1.0 + ION_SIZE * root
    return np.asarray(-1.0 / (nearness * nearness))


def water_density(temperature: FloatArray) -> FloatArray:
    """Return the density of air-free water under 1 atm.

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        Between 273.15 and 313.15.

    Returns
    -------
    ndarray, same shape, [kg/m3]
        The one place here that is not in g/L, to feed SI formulas.

    References
    ----------
    .. [1] Tanaka, Girard, Davis, Peuto and Bignell, Metrologia 38 (2001) 301.
    """
    a1, a2, a3, a4, a5 = equilibrium_table()["density"]["a"]
    t = celsius(temperature)
    return np.asarray(a5 * (1.0 - (t + a1) ** 2 * (t + a2) / (a3 * (t + a4))))


def permittivity(temperature: FloatArray, density: FloatArray) -> FloatArray:
    """Return the relative permittivity of water.

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        Temperature.
    density : ndarray, same shape, [kg/m3]
        Density of the water.

    Returns
    -------
    ndarray, same shape, [1]
        Static relative permittivity.

    References
    ----------
    .. [1] IAPWS R8-97, Release on the Static Dielectric Constant of Ordinary Water Substance.
    """
    row = equilibrium_table()["permittivity"]
    delta = density / row["critical_density_kg_m3"]
    tau = row["critical_temperature_K"] / temperature
    g = 1.0 + row["N12"] * delta * (temperature / 228.0 - 1.0) ** -1.2
    for n, i, j in zip(row["N"], row["i"], row["j"], strict=True):
        g = g + n * delta**i * tau**j
    number = row["avogadro_per_mol"] * density / row["molar_mass_kg_mol"]
    vacuum = row["vacuum_permittivity_F_m"]
    a = number * row["dipole_C_m"] ** 2 * g / (vacuum * row["boltzmann_J_K"] * temperature)
    b = number * row["polarizability_C2_J_m2"] / (3.0 * vacuum)
    root = np.sqrt(9.0 + 2.0 * a + 18.0 * b + a * a + 10.0 * a * b + 9.0 * b * b)
    return np.asarray((1.0 + a + 5.0 * b + root) / (4.0 - 4.0 * b))


def debye_hueckel_slope_direct(temperature: FloatArray) -> FloatArray:
    """Return the slope A of the Debye-Hueckel law from density and permittivity.

    A = e^3 sqrt(2 N_A rho) / (ln(10) 8 pi (eps_0 eps_r k T)^(3/2)), for log10 gamma.

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        Between 278.15 and 313.15.

    Returns
    -------
    ndarray, same shape, [kg^0.5/mol^0.5]
        A.
    """
    rho = water_density(temperature)
    energy = VACUUM_PERMITTIVITY * permittivity(temperature, rho) * BOLTZMANN * temperature
    top = ELEMENTARY_CHARGE**3 * np.sqrt(2.0 * AVOGADRO * rho)
    return np.asarray(top / (math.log(10.0) * 8.0 * math.pi * energy**1.5))


@cache
def _slope_polynomial() -> tuple[float, ...]:
    """Return A as a polynomial in (T - 295.65)/17.5 through 8 Chebyshev points, highest first.

    It differs from the direct formula by less than 3e-9 and costs seven multiplications.
    """
    nodes = np.cos((np.arange(8) + 0.5) * math.pi / 8.0)
    values = debye_hueckel_slope_direct(295.65 + 17.5 * nodes)
    return tuple(float(c) for c in np.polyfit(nodes, values, 7))


def debye_hueckel_slope(temperature: FloatArray) -> FloatArray:
    """Return the slope A of the Debye-Hueckel law.

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        Between 278.15 and 313.15.

    Returns
    -------
    ndarray, same shape, [kg^0.5/mol^0.5]
        A, for log10 gamma and molality.

    Examples
    --------
    >>> float(debye_hueckel_slope(np.array(298.15)).round(5))
    0.50978
    """
    t = (np.asarray(temperature) - 295.65) / 17.5
    total = np.zeros_like(t)
    for coefficient in _slope_polynomial():
        total = total * t + coefficient
    return total
