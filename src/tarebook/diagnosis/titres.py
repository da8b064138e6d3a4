"""Titres of one solution that do not agree: a burette misread, or two digits exchanged."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median
from typing import Final

from tarebook.core.phrase import Phrase
from tarebook.core.units import millilitres
from tarebook.findings.finding import Finding, Severity
from tarebook.series.experiment import Reagent

TOLERANCES: Final = 8.0
"""What titres may differ by, in what the burette may be off: 0.4 mL for one of 50 mL, twice what
counts as agreement (0.2 mL, common practice)."""

PART: Final = 0.02
"""And of the titre: a burette whose tolerance is given as nothing has drops all the same."""


def check_titres(reagent: Reagent) -> Iterator[Finding]:
    """Yield a finding if the titres by which the strength was found differ too much.

    Parameters
    ----------
    reagent : Reagent
    """
    titres = sorted(reagent.titres)
    if len(titres) < 2:
        return
    spread, usual = titres[-1] - titres[0], median(titres)
    if spread <= TOLERANCES * reagent.titre_tolerance or spread <= PART * usual:
        return
    yield Finding(
        code="titres-apart",
        severity=Severity.LOOK,
        evidence={"apart_mL": millilitres(spread), "part_of_the_titre": spread / usual},
        values={
            "titres_mL": tuple(Phrase.of("titre", titre_mL=millilitres(titre)) for titre in titres)
        },
    )
