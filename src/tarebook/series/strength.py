"""The strength of the stock, from however people have it to mol/L with its uncertainty."""

from __future__ import annotations

import math

import numpy as np

from tarebook.chemistry.density import (
    estimated_density,
    mass_fraction_of,
    solution_density,
    solution_density_uncertainty,
)
from tarebook.chemistry.solution_table import SOLUTES, UnknownSoluteError, density_source
from tarebook.chemistry.stock import (
    from_dilution,
    from_mass_fraction_and_density,
    from_mass_per_volume,
    from_mass_percent,
    from_molarity,
    from_titration,
    from_weighed_solid,
)
from tarebook.core.errors import Fault, InputError, OutOfRangeError
from tarebook.core.quantity import Measured, Source
from tarebook.core.units import litres
from tarebook.measurement.instruments import volume_instrument
from tarebook.measurement.water import water_density
from tarebook.series import schema
from tarebook.series.experiment import Reagent
from tarebook.series.possible_strength import impossible_density, impossible_strength, odd_parts

DECLARED = Source("the definition", "declared")

ESTIMATED = Source("estimated: the table of densities does not hold this solution", "computed")


def read_reagent(table: schema.ReagentTable, solute: str, temperature: float) -> Reagent:
    """Return the reagent of a definition.

    Parameters
    ----------
    table : ReagentTable
    solute : str
        Formula of the reagent species.
    temperature : float, [K]
        Of the room, at which the stock is used.

    Returns
    -------
    Reagent

    Raises
    ------
    InputError
        If the strength cannot be turned into mol/L.
    """
    strength = table.strength
    faults = list(odd_parts(strength, solute))
    if faults:
        raise InputError(faults)
    concentration = _concentration(strength, solute, temperature)
    impossible = impossible_strength(strength, solute, concentration.value)
    if impossible is not None:
        raise InputError([impossible])
    density = _density(table, solute, concentration, temperature)
    usual = _usual_density(solute, concentration, temperature)
    if density.source == DECLARED and usual.source != ESTIMATED:
        odd = impossible_density(strength, density.value, usual.value)
        if odd is not None:
            raise InputError([odd])
    titration = _titration(strength)
    return Reagent(
        name=table.name,
        concentration=concentration,
        density=density,
        how=_how(strength, concentration.source),
        strength_is_sure=_is_sure(strength),
        titres=tuple(litres(titre) for titre in titration.titrant_mL) if titration else (),
        titre_tolerance=litres(titration.burette_tolerance_mL) if titration else 0.0,
    )


def _how(strength: schema.AnyStrength, source: Source) -> str:
    """Return how the strength is known, for a reader."""
    if source.work.endswith(DECLARED.work):
        return f"{strength.given_as}, figures from {DECLARED.work}"
    return f"{strength.given_as}: {source.work}"


def _is_sure(strength: schema.AnyStrength) -> bool:
    if isinstance(strength, schema.Dilution):
        return _is_sure(strength.of)
    if isinstance(strength, schema.Titration):
        return True
    return strength.relative_u is not None or strength.tolerance_percent is not None


def _titration(strength: schema.AnyStrength) -> schema.Titration | None:
    """Return the titration by which a strength was found, also that of what was diluted."""
    if isinstance(strength, schema.Dilution):
        return _titration(strength.of)
    return strength if isinstance(strength, schema.Titration) else None


def _declared(value: float, strength: schema.Strength, unit: str) -> Measured:
    relative = strength.relative_u or (strength.tolerance_percent or 0.0) / 100.0 / math.sqrt(3.0)
    return Measured(value=value, u=value * relative, unit=unit, source=DECLARED)


def _concentration(strength: schema.AnyStrength, solute: str, temperature: float) -> Measured:
    if isinstance(strength, schema.Molarity):
        return from_molarity(_declared(strength.mol_per_L, strength, "mol/L"))
    if isinstance(strength, schema.MassPercent):
        return _from_percent(strength, solute, temperature)
    if isinstance(strength, schema.MassPerVolume):
        per_volume = _declared(strength.g_per_100_mL, strength, "g/100 mL")
        return from_mass_per_volume(solute, per_volume)
    if isinstance(strength, schema.MassFractionAndDensity):
        density = Measured(
            value=1000.0 * strength.density_g_per_mL, u=0.0, unit="g/L", source=DECLARED
        )
        return from_mass_fraction_and_density(
            solute, _declared(strength.mass_fraction, strength, "1"), density
        )
    if isinstance(strength, schema.WeighedSolid):
        purity = _declared(strength.purity, strength, "1")
        mass = Measured(value=strength.mass_g, u=0.0, unit="g", source=DECLARED)
        return from_weighed_solid(
            strength.solid or solute, mass, purity, _pour(strength.made_up_to)
        )
    if isinstance(strength, schema.Dilution):
        stock = _concentration(strength.of, solute, temperature)
        return from_dilution(stock, _pour(strength.taken), _pour(strength.made_up_to))
    return _from_titration(strength)


def _from_percent(strength: schema.MassPercent, solute: str, temperature: float) -> Measured:
    water = float(water_density(temperature))
    try:
        return from_mass_percent(
            solute,
            _declared(strength.mass_percent, strength, "%"),
            temperature=Measured(value=temperature, u=0.0, unit="K", source=DECLARED),
            water_density=Measured(value=water, u=0.0, unit="g/L", source=DECLARED),
        )
    except UnknownSoluteError as error:
        fault = Fault(
            where="mass_percent",
            found=f"{error.solute}, whose density no table here holds",
            allowed=", ".join(SOLUTES),
            do='Give the density too: given_as = "mass fraction and density".',
        )
        raise InputError([fault]) from None


def _from_titration(strength: schema.Titration) -> Measured:
    def volume(value: float, tolerance: float) -> Measured:
        u = litres(tolerance) / math.sqrt(6.0)
        return Measured(value=litres(value), u=u, unit="L", source=DECLARED)

    titrant = Measured(
        value=strength.titrant_mol_per_L,
        u=strength.titrant_u_mol_per_L,
        unit="mol/L",
        source=DECLARED,
    )
    titres = [volume(titre, strength.burette_tolerance_mL) for titre in strength.titrant_mL]
    aliquot = volume(strength.aliquot_mL, strength.aliquot_tolerance_mL)
    return from_titration(titrant, titres, aliquot, ratio=1.0 / strength.titrant_moles_per_mole)


def _pour(pour: schema.Pour) -> Measured:
    """Return a measured volume: the tolerance given, or that of the standard's table."""
    if pour.tolerance_mL is not None:
        u = litres(pour.tolerance_mL) / math.sqrt(6.0)
        return Measured(value=litres(pour.mL), u=u, unit="L", source=DECLARED)
    ware = volume_instrument(pour.kind, litres(pour.mL), standard=pour.standard, grade=pour.grade)
    return Measured(
        value=litres(pour.mL), u=ware.tolerance_u, unit="L", source=ware.tolerance_source
    )


def _density(
    table: schema.ReagentTable, solute: str, concentration: Measured, temperature: float
) -> Measured:
    """Return the density of the stock: the one given, that of the table, or an estimate."""
    if table.density_g_per_mL is not None:
        value = 1000.0 * table.density_g_per_mL
        return Measured(value=value, u=0.0005 * value, unit="g/L", source=DECLARED)
    strength = table.strength
    if isinstance(strength, schema.MassFractionAndDensity):
        value = 1000.0 * strength.density_g_per_mL
        return Measured(value=value, u=0.0005 * value, unit="g/L", source=DECLARED)
    return _usual_density(solute, concentration, temperature)


def _usual_density(solute: str, concentration: Measured, temperature: float) -> Measured:
    """Return the density of a stock from the table, or estimated where there is none."""
    water = float(water_density(temperature))
    try:
        fraction = mass_fraction_of(
            solute, np.float64(concentration.value), temperature=temperature, water_density=water
        )
        density = solution_density(solute, fraction, temperature=temperature, water_density=water)
        u = solution_density_uncertainty(solute, fraction, temperature=temperature)
        source = density_source(solute)
    except (UnknownSoluteError, OutOfRangeError):
        density, u = estimated_density(solute, concentration.value, water_density=water)
        source = ESTIMATED
    return Measured(value=float(np.real(density)), u=float(u), unit="g/L", source=source)
