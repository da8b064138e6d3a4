"""Can the strength of a stock be? Titres that agree, and no more in a litre than a litre holds.

All bounds are our own and far outside of what a laboratory has.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator
from typing import Final

from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.substances import strongest_solution
from tarebook.core.errors import Fault
from tarebook.series import schema
from tarebook.series.experiment import Experiment
from tarebook.series.other_units import unit_of, was_it

TITRES_AGREE: Final = 0.1
"""Part of the middle titre by which one may differ: our own choice, far above what a burette and a
drop make, so that only a slip of the pen or a rough titre lies beyond."""

UNITS: Final = (10.0, 100.0, 1000.0)
"""Factors by which a decimal point or a unit is off."""

NEAR: Final = 0.1
"""Part by which a number may miss another one and still be meant by it."""

SEEN: Final = 0.1
"""Part of the last digit of a balance: a row in which no cup loses as much is in another unit. What
is only somewhat too little the plan says."""

ERROR_OF_POUR: Final = 0.25
"""Part of a poured volume by which it may be off."""

SMALLEST_FLASK: Final = 1.0
"""mL."""

UNSURE: Final = 0.3
"""Part of a titrant's strength that its uncertainty may be."""

DENSITY_OFF: Final = 0.15
"""Part by which a density may miss that of the table for such a stock."""

_KEY_OF = {
    "mol per L": "mol_per_L",
    "mass percent": "mass_percent",
    "g per 100 mL": "g_per_100_mL",
    "mass fraction and density": "mass_fraction",
    "weighed solid": "mass_g",
    "dilution": "taken",
    "titration": "titrant_mL",
}


def odd_parts(strength: schema.AnyStrength, solute: str) -> Iterator[Fault]:
    """Yield a fault for each number of a strength that contradicts another one.

    Parameters
    ----------
    strength : AnyStrength
    solute : str
        Formula.
    """
    if isinstance(strength, schema.Titration):
        yield from odd_titres(strength)
        yield from _odd_errors(strength)
    elif isinstance(strength, schema.Dilution):
        yield from _odd_pour("taken", strength.taken)
        yield from _odd_pour("made_up_to", strength.made_up_to)
        yield from _more_taken_than_made(strength)
    elif isinstance(strength, schema.WeighedSolid):
        yield from _odd_pour("made_up_to", strength.made_up_to)
        yield from other_solid(strength.solid, solute)


def odd_titres(strength: schema.Titration) -> Iterator[Fault]:
    """Yield a fault for each titre that does not agree with the others.

    Parameters
    ----------
    strength : Titration
    """
    titres = strength.titrant_mL
    if len(titres) < 2:
        return
    # Of two that differ nobody knows which is wrong: said once, of the second.
    usual = statistics.median(titres) if len(titres) > 2 else titres[0]
    for place, titre in enumerate(titres, start=1):
        if abs(titre - usual) <= TITRES_AGREE * usual:
            continue
        others = [other for at, other in enumerate(titres, start=1) if at != place]
        do = "Look it up where it was first written down; leave a rough titre out."
        meant = _meant(titre, usual)
        if meant is not None:
            do = f"Was it {meant:.6g} mL? The decimal point or the unit may be wrong."
        yield Fault(
            where=f"titrant_mL, item {place}",
            found=f"{titre:g} mL beside {', '.join(f'{other:g}' for other in others[:5])} mL",
            allowed=f"titres of one solution, which agree to {100 * TITRES_AGREE:g} % and better",
            do=do,
        )


def impossible_strength(strength: schema.AnyStrength, solute: str, found: float) -> Fault | None:
    """Return the fault of a stock that holds more than a solution of this substance can.

    Parameters
    ----------
    strength : AnyStrength
        As the definition gives it.
    solute : str
        Formula.
    found : float, [mol/L]
        What it comes to.
    """
    most = strongest_solution(solute)
    if found <= most:
        return None
    smaller = [f"{found / factor:.3g}" for factor in UNITS if found / factor <= most]
    do = "Check every number of the table."
    if smaller:
        do += f" With one of them off by a decimal point or a unit it is {' or '.join(smaller)}."
    return Fault(
        where=_KEY_OF[strength.given_as],
        found=f"a stock of {found:.3g} mol/L {solute}",
        allowed=f"at most {most:.3g} mol/L, more is in no solution of it",
        do=do,
    )


def impossible_density(strength: schema.AnyStrength, given: float, usual: float) -> Fault | None:
    """Return the fault of a density that is not that of such a stock.

    Parameters
    ----------
    strength : AnyStrength
    given, usual : float, [g/L]
        What the definition says, and what the table has for a stock of this strength.
    """
    if abs(given - usual) <= DENSITY_OFF * usual:
        return None
    return Fault(
        where="density_g_per_mL",
        found=f"{given / 1000:g} g/mL for a stock that was given as {strength.given_as}",
        allowed=f"within {100 * DENSITY_OFF:g} % of {usual / 1000:.3f} g/mL, which a stock of this "
        "strength has",
        do="Is it the density of the stock itself? Check the strength and the density.",
    )


def other_solid(solid: str | None, solute: str) -> Iterator[Fault]:
    """Yield a fault for a solid that cannot give the reagent: it lacks atoms of it.

    Parameters
    ----------
    solid : str or None
        Formula of what was weighed.
    solute : str
        Formula of the reagent.
    """
    if solid is None:
        return
    weighed, wanted = parse_formula(solid), parse_formula(solute)
    if all(weighed.count(element) >= atoms for element, atoms in wanted.counts):
        return
    yield Fault(
        where="solid",
        found=f"{solid[:60]}, and the reagent is {solute}",
        allowed=f"a solid that holds all atoms of {solute}, such as a crystal with its water",
        do=f"Write what was weighed as the label has it: {solute}, or {solute}.H2O with water.",
    )


def no_gas_to_see(experiment: Experiment) -> Fault | None:
    """Return the fault of a row in which no cup can lose what its balance shows.

    Parameters
    ----------
    experiment : Experiment
    """
    reaction, step = experiment.reaction, experiment.equipment.balance.readability
    strength = experiment.reagent.concentration.value
    sample = experiment.sample
    # A sample that carries acid makes gas in water alone.
    unnamed = sample.own_acid is not None and sample.own_acid.value > 0
    own = unnamed or bool(sample.acids) or sample.acid_is_unknown
    most = max(
        min(
            math.inf if own else strength * run.reagent / reaction.reagent_coefficient,
            run.sample / reaction.analyte_molar_mass.value / reaction.analyte_coefficient,
        )
        for run in experiment.planned
    )
    grams = most * reaction.gas_coefficient * reaction.gas_molar_mass.value
    if grams >= SEEN * step:
        return None
    return Fault(
        where="series",
        found=f"at most {grams:.2g} g of {reaction.gas} from any cup, on a balance that shows "
        f"{step:g} g",
        allowed="a row in which at least one cup loses what the balance shows",
        do="Check the strength, the masses of sample, the volumes and readability_g, each with its "
        "unit: one of them may have its decimal point elsewhere.",
    )


def _odd_errors(strength: schema.Titration) -> Iterator[Fault]:
    """Yield a fault for what a titration is unsure of, where that is as large as the thing."""
    titrant, given = strength.titrant_mol_per_L, strength.model_fields_set
    parts = (
        ("titrant_u_mol_per_L", UNSURE, titrant, "the titrant's strength"),
        ("burette_tolerance_mL", ERROR_OF_POUR, min(strength.titrant_mL), "the smallest titre"),
        ("aliquot_tolerance_mL", ERROR_OF_POUR, strength.aliquot_mL, "the aliquot"),
    )
    for key, part, of, words in parts:
        if key in given:
            yield from _too_unsure(key, getattr(strength, key), part, of, words)


def _odd_pour(where: str, pour: schema.Pour) -> Iterator[Fault]:
    if where == "made_up_to" and pour.mL < SMALLEST_FLASK:
        yield Fault(
            where=f"{where}.mL",
            found=f"{pour.mL:g} mL",
            allowed=f"a flask of {SMALLEST_FLASK:g} mL or more",
            do=was_it("mL", pour.mL, lambda other: SMALLEST_FLASK <= other <= 20_000),
        )
    if pour.tolerance_mL is not None:
        key = f"{where}.tolerance_mL"
        yield from _too_unsure(key, pour.tolerance_mL, ERROR_OF_POUR, pour.mL, "the volume")


def _too_unsure(key: str, value: float, part: float, of: float, words: str) -> Iterator[Fault]:
    unit = unit_of(key)
    if value > part * of:
        yield Fault(
            where=key,
            found=f"{value:g} {unit}, and {words} is {of:g} {unit}",
            allowed=f"at most {100 * part:g} % of it",
            do=was_it(key, value, lambda other: 1e-5 * of <= other <= 0.1 * of)
            or "Check both numbers and their units.",
        )


def _more_taken_than_made(strength: schema.Dilution) -> Iterator[Fault]:
    taken, made = strength.taken.mL, strength.made_up_to.mL
    if taken > made:
        yield Fault(
            where="made_up_to.mL",
            found=f"{made:g} mL, and {taken:g} mL were taken",
            allowed="at least what was taken",
            do=was_it("mL", made, lambda other: taken <= other <= 10_000)
            or "Are the two numbers in each other's place?",
        )


def _meant(value: float, usual: float) -> float | None:
    """Return what a number would be with another unit, if that agrees with the usual one."""
    for factor in UNITS:
        for other in (value / factor, value * factor):
            if math.isclose(other, usual, rel_tol=NEAR):
                return other
    return None
