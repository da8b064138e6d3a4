"""Strengths of stock solutions, from whatever is known of them, as amount concentration.

Every function takes measured inputs and returns mol/L with a standard uncertainty by the law of
propagation to first order (JCGM 100:2008, 5.1.2). The inputs are taken as independent unless the
function says otherwise. A strength printed without an uncertainty goes through `from_tolerance`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from tarebook.chemistry.density import concentration, solution_density_uncertainty
from tarebook.chemistry.formula import Formula, as_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.solution_table import density_source, solute_key
from tarebook.chemistry.strength_inputs import as_fraction, product, require_positive
from tarebook.core.arrays import NumberArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.propagation import propagate
from tarebook.core.quantity import Measured, Source


def from_tolerance(value: float, half_width: float, unit: str, source: Source) -> Measured:
    """Return a value known to lie within a half-width, with no part of it more likely.

    Parameters
    ----------
    value, half_width : float, [`unit`]
        What the label says, and the tolerance to either side.
    unit : str
        Unit of both.
    source : Source
        Where they come from.

    Returns
    -------
    Measured, [`unit`]
        With u = half_width / sqrt(3).

    Raises
    ------
    OutOfRangeError
        If `half_width` is negative or not finite.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 4.3.7: rectangular distribution.

    Examples
    --------
    >>> label = from_tolerance(1.0, 0.01, "mol/L", Source("label", "declared"))
    >>> label.value, round(label.u, 5)
    (1.0, 0.00577)
    """
    return Measured(value=value, u=half_width / math.sqrt(3.0), unit=unit, source=source)


def from_molarity(label: Measured) -> Measured:
    """Return a strength that is already an amount concentration.

    Parameters
    ----------
    label : Measured, [mol/L]
        As printed or known.

    Returns
    -------
    Measured, [mol/L]
        The same.

    Raises
    ------
    UnitMismatchError, OutOfRangeError
        If it is in another unit or not positive.
    """
    require_positive(label, "concentration", "mol/L")
    return label


def from_mass_fraction_and_density(
    solute: Formula | str, mass_fraction: Measured, density: Measured
) -> Measured:
    """Return the strength of a solution of known mass fraction and density.

    Parameters
    ----------
    solute : Formula or str
        What is dissolved.
    mass_fraction : Measured, [1] or [%]
        Of the solute in the solution.
    density : Measured, [g/L]
        Of the solution at the temperature of use.

    Returns
    -------
    Measured, [mol/L]
        mass fraction * density / molar mass.

    Raises
    ------
    UnitMismatchError, OutOfRangeError
        If an input is in another unit, not positive, or the mass fraction above 1.

    Examples
    --------
    >>> label = Source("label", "declared")
    >>> acid = from_mass_fraction_and_density(
    ...     "HCl",
    ...     Measured(value=37.2, u=0.1, unit="%", source=label),
    ...     Measured(value=1190.0, u=1.0, unit="g/L", source=label),
    ... )
    >>> round(acid.value, 3)
    12.142
    """
    fraction = as_fraction(mass_fraction, "mass fraction")
    require_positive(density, "density", "g/L")
    mass = molar_mass(solute)
    return product(
        fraction.value * density.value / mass.value,
        [fraction, density, mass],
        f"mass fraction ({mass_fraction.source.work}) and density ({density.source.work})",
    )


def from_mass_percent(
    solute: str, percent: Measured, *, temperature: Measured, water_density: Measured
) -> Measured:
    """Return the strength of a solution of known mass fraction, with the density of the table.

    The density depends on the mass fraction, so the error of the label counts through both. For a
    density of your own use `from_mass_fraction_and_density`.

    Parameters
    ----------
    solute : str
        One that the table of densities holds, in any spelling.
    percent : Measured, [%] or [1]
        Mass of solute in the mass of solution.
    temperature : Measured, [K]
        Temperature of use, 278.15 to 313.15.
    water_density : Measured, [g/L]
        Of water at that temperature; its u holds what an error of the temperature does to water,
        while that of `temperature` counts for the solute's part alone.

    Returns
    -------
    Measured, [mol/L]
        At that temperature.

    Raises
    ------
    FormulaError, UnknownSoluteError
        If the table does not hold the solute.
    UnitMismatchError, OutOfRangeError
        If an input is in another unit or out of the table.

    Examples
    --------
    >>> label = Source("invented", "declared")
    >>> acid = from_mass_percent(
    ...     "HCl",
    ...     Measured(value=10.0, u=0.0, unit="%", source=label),
    ...     temperature=Measured(value=293.15, u=0.0, unit="K", source=label),
    ...     water_density=Measured(value=998.2067, u=0.0, unit="g/L", source=label),
    ... )
    >>> round(acid.value, 3)
    2.873
    """
    fraction = as_fraction(percent, "mass percent")
    require_positive(temperature, "temperature", "K")
    require_positive(water_density, "density of water", "g/L")
    inputs = (fraction, temperature, water_density)

    def strength(values: NumberArray) -> NumberArray:
        w, kelvins, water = np.moveaxis(values, -1, 0)
        return concentration(solute, w, temperature=kelvins, water_density=water)

    found = propagate(
        strength,
        np.array([one.value for one in inputs]),
        np.diag([one.u**2 for one in inputs]),
    )
    value, variance = float(found.y), float(found.covariance)
    mass = molar_mass(solute_key(solute))
    own = float(solution_density_uncertainty(solute, fraction.value, temperature=temperature.value))
    variance += (fraction.value * own / mass.value) ** 2 + (value * mass.u / mass.value) ** 2
    work = f"mass percent ({percent.source.work}) and density ({density_source(solute).work})"
    return Measured(
        value=value, u=math.sqrt(variance), unit="mol/L", source=Source(work, "computed")
    )


def from_mass_per_volume(solute: Formula | str, strength: Measured) -> Measured:
    """Return the strength of a solution labelled in mass of solute per volume of solution.

    This is how vinegar is labelled: 5 % acidity is 5 g of acetic acid in 100 mL.

    Parameters
    ----------
    solute : Formula or str
        What the label counts as, for vinegar acetic acid.
    strength : Measured, [g/100 mL] or [g/L]
        Mass of solute per volume of solution.

    Returns
    -------
    Measured, [mol/L]
        Strength / molar mass.

    Raises
    ------
    UnitMismatchError, OutOfRangeError
        If the strength is in another unit or not positive.

    References
    ----------
    .. [1] FDA Compliance Policy Guide Sec. 525.825: vinegar in grams of acetic acid per 100 mL.

    Examples
    --------
    >>> label = Measured(value=5.0, u=0.1, unit="g/100 mL", source=Source("label", "declared"))
    >>> round(from_mass_per_volume("CH3COOH", label).value, 4)
    0.8326
    """
    require_positive(strength, "mass per volume", "g/100 mL", "g/L")
    per_litre = strength.value * (10.0 if strength.unit == "g/100 mL" else 1.0)
    mass = molar_mass(solute)
    return product(
        per_litre / mass.value, [strength, mass], f"mass per volume ({strength.source.work})"
    )


def from_weighed_solid(
    solid: Formula | str, mass: Measured, purity: Measured, volume: Measured
) -> Measured:
    """Return the strength of a weighed solid made up to a volume.

    Parameters
    ----------
    solid : Formula or str
        What was weighed, with its water of crystallisation if it has any.
    mass : Measured, [g]
        Corrected for air buoyancy if that matters.
    purity : Measured, [1] or [%]
        Mass fraction of `solid` in what was weighed.
    volume : Measured, [L]
        Of the finished solution.

    Returns
    -------
    Measured, [mol/L]
        mass * purity / (molar mass * volume).

    Raises
    ------
    UnitMismatchError, OutOfRangeError
        If an input is in another unit, not positive, or the purity above 1.

    References
    ----------
    .. [1] Eurachem/CITAC, Quantifying Uncertainty in Analytical Measurement, 3rd ed., 2012, A1.
    """
    require_positive(mass, "mass", "g")
    fraction = as_fraction(purity, "purity")
    require_positive(volume, "volume", "L")
    molar = molar_mass(solid)
    return product(
        mass.value * fraction.value / (molar.value * volume.value),
        [mass, fraction, molar, volume],
        f"{as_formula(solid).text} weighed ({mass.source.work})",
    )


def from_dilution(stock: Measured, taken: Measured, made_up_to: Measured) -> Measured:
    """Return the strength of another stock, diluted.

    Parameters
    ----------
    stock : Measured, [mol/L]
        Strength of what was diluted.
    taken : Measured, [L]
        Volume of it taken.
    made_up_to : Measured, [L]
        Volume of the finished solution, not the volume of water added.

    Returns
    -------
    Measured, [mol/L]
        stock * taken / made_up_to, the three taken as independent.

    Raises
    ------
    UnitMismatchError, OutOfRangeError
        If an input is in another unit or not positive, or less is made than was taken.

    Examples
    --------
    >>> flask = Source("invented", "declared")
    >>> stock = Measured(value=1.0, u=0.004, unit="mol/L", source=flask)
    >>> taken = Measured(value=0.0250, u=0.00003, unit="L", source=flask)
    >>> made = from_dilution(stock, taken, Measured(value=0.25, u=0.0001, unit="L", source=flask))
    >>> round(made.value, 5), round(made.u, 5)
    (0.1, 0.00042)
    """
    require_positive(stock, "concentration of the stock", "mol/L")
    require_positive(taken, "volume taken", "L")
    require_positive(made_up_to, "volume made up to", "L")
    if taken.value > made_up_to.value:
        raise OutOfRangeError(
            "volume taken",
            taken.value,
            "L",
            f"(0, {made_up_to.value:g}]",
            "Give the volume of the finished solution.",
        )
    return product(
        stock.value * taken.value / made_up_to.value,
        [stock, taken, made_up_to],
        f"dilution of {stock.source.work}",
    )


def from_titration(
    titrant: Measured, titres: Sequence[Measured], aliquot: Measured, *, ratio: float = 1.0
) -> Measured:
    """Return the strength of a solution found by titration.

    One burette and one pipette serve all repeats, so the u of a titre and of the aliquot do not
    shrink with repeating; the scatter of the titres does. With one titre its u has to cover
    repeatability too.

    Parameters
    ----------
    titrant : Measured, [mol/L]
        Strength of what is in the burette.
    titres : sequence of Measured, length n >= 1, [L]
        Volumes of titrant to the end point.
    aliquot : Measured, [L]
        Volume of the solution titrated each time.
    ratio : float, [mol/mol]
        Amount of the solute for each mole of titrant, from the equation.

    Returns
    -------
    Measured, [mol/L]
        ratio * titrant * mean titre / aliquot.

    Raises
    ------
    UnitMismatchError, OutOfRangeError
        If an input is in another unit or not positive, or there is no titre.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 4.2.3: standard deviation of the mean.
    .. [2] Eurachem/CITAC, Quantifying Uncertainty in Analytical Measurement, 3rd ed., 2012, A3.
    """
    require_positive(titrant, "concentration of the titrant", "mol/L")
    require_positive(aliquot, "aliquot", "L")
    if not titres:
        raise OutOfRangeError("number of titres", 0, "1", "[1, inf)", "Give one at least.")
    for titre in titres:
        require_positive(titre, "titre", "L")
    if not 0 < ratio < math.inf:
        raise OutOfRangeError("ratio", ratio, "mol/mol", "(0, inf)")
    volumes = np.array([titre.value for titre in titres])
    scatter = float(np.std(volumes, ddof=1)) / math.sqrt(len(volumes)) if len(volumes) > 1 else 0.0
    shared = float(np.mean([titre.u for titre in titres]))
    mean = Measured(
        value=float(np.mean(volumes)),
        u=math.hypot(shared, scatter),
        unit="L",
        source=titres[0].source,
    )
    return product(
        ratio * titrant.value * mean.value / aliquot.value,
        [titrant, mean, aliquot],
        f"titration with {titrant.source.work}",
    )
