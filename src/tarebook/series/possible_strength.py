"""Can the strength of a stock be? Titres that agree, and no more in a litre than a litre holds."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator
from typing import Final

from tarebook.chemistry.substances import strongest_solution
from tarebook.core.errors import Fault
from tarebook.series import schema

TITRES_AGREE: Final = 0.1
"""Part of the middle titre by which one may differ: our own choice, far above what a burette and a
drop make, so that only a slip of the pen or a rough titre lies beyond."""

UNITS: Final = (10.0, 100.0, 1000.0)
"""Factors by which a decimal point or a unit is off."""

NEAR: Final = 0.1
"""Part by which a number may miss another one and still be meant by it."""

_KEY_OF = {
    "mol per L": "mol_per_L",
    "mass percent": "mass_percent",
    "g per 100 mL": "g_per_100_mL",
    "mass fraction and density": "mass_fraction",
    "weighed solid": "mass_g",
    "dilution": "taken",
    "titration": "titrant_mL",
}


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


def _meant(value: float, usual: float) -> float | None:
    """Return what a number would be with another unit, if that agrees with the usual one."""
    for factor in UNITS:
        for other in (value / factor, value * factor):
            if math.isclose(other, usual, rel_tol=NEAR):
                return other
    return None
