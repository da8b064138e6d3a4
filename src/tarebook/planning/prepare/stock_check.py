"""How the strength of the stock is checked by titration, and put back into the definition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.stock import from_titration
from tarebook.core.quantity import Measured, Source
from tarebook.core.tables import reference_table
from tarebook.core.units import millilitres
from tarebook.measurement.instruments import volume_instrument
from tarebook.planning.prepare.supply import bought_row
from tarebook.series.experiment import Experiment

BURETTE = 0.05
"""Burette of 50 mL, L."""

TITRE = (0.012, 0.025)
"""The titre should lie here, L: large against the burette's tolerance, one filling for two."""

PIPETTES = (0.005, 0.01, 0.02, 0.025)
"""Transfer pipettes, L."""

DILUTIONS = (1, 10, 100)
REPEATS = 3
REPEATABILITY = 0.00003
"""Half-width by which repeats should agree, L: a drop; from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCheck:
    """A titration of the stock.

    Attributes
    ----------
    titrant : str
        Formula of what is in the burette.
    titrant_strength : Measured, [mol/L]
    indicator : str
        Key of the indicator.
    aliquot : float, [L]
        Taken with a pipette each time.
    dilution : int
        The aliquot is of the stock diluted so many times; 1 for the stock itself.
    titre : float, [L]
        Expected.
    per_mole : float, [mol/mol]
        Of titrant for a mole of reagent.
    aliquot_tolerance, burette_tolerance : float, [L]
    expected : Measured, [mol/L]
        The strength with the uncertainty that three good repeats will leave.
    """

    titrant: str
    titrant_strength: Measured
    indicator: str
    aliquot: float
    dilution: int
    titre: float
    per_mole: float
    aliquot_tolerance: float
    burette_tolerance: float
    expected: Measured

    @property
    def effective_aliquot(self) -> float:
        """Volume of undiluted stock in one titration, [L]."""
        return self.aliquot / self.dilution

    @property
    def flask(self) -> float:
        """Flask in which the stock is diluted first, [L]."""
        return 0.1 if self.dilution <= 10 else 1.0


def stock_check(experiment: Experiment) -> StockCheck | None:
    """Return how to titrate the stock; None where the reagent is no acid or base known here.

    Parameters
    ----------
    experiment : Experiment

    Notes
    -----
    Of all pipettes and titrants that give a titre in `TITRE` the one is taken that leaves the
    smallest uncertainty; among those within a tenth of it, the weakest titrant.
    """
    row = bought_row(experiment.reaction.reagent)
    if row is None or not ({"protons", "hydroxides"} & row.keys()):
        return None
    table = reference_table("tarebook.planning", "bought")["titrants"]
    per_mole = float(row.get("protons", row.get("hydroxides", 1)))
    titrant = table["base"] if "protons" in row else table["acid"]
    found = [
        _check(experiment, row, table, titrant, per_mole, strength, aliquot, dilution)
        for dilution in DILUTIONS
        for strength in table["mol_per_L"]
        for aliquot in PIPETTES
        if TITRE[0]
        <= experiment.reagent.concentration.value / dilution * aliquot * per_mole / strength
        <= TITRE[1]
    ]
    if not found:
        return None
    undiluted = [check for check in found if check.dilution == min(c.dilution for c in found)]
    best = min(check.expected.u for check in undiluted)
    near = [check for check in undiluted if check.expected.u <= 1.1 * best]
    return min(near, key=lambda check: (check.titrant_strength.value, check.aliquot))


def _check(
    experiment: Experiment,
    row: dict[str, Any],
    table: dict[str, Any],
    titrant: str,
    per_mole: float,
    strength: float,
    aliquot: float,
    dilution: int,
) -> StockCheck:
    made = Source(table["source"], table["basis"])
    known = Measured(value=strength, u=table["relative_u"] * strength, unit="mol/L", source=made)
    wanted = experiment.reagent.concentration.value
    titre = wanted / dilution * aliquot * per_mole / strength
    burette = volume_instrument("burette", BURETTE, grade="B")
    pipette = volume_instrument("transfer pipette", aliquot, standard="ASTM E969", grade="A")
    dilute_u = 0.0 if dilution == 1 else 0.001
    titres = [
        Measured(
            value=titre + shift * REPEATABILITY,
            u=burette.tolerance_u,
            unit="L",
            source=burette.tolerance_source,
        )
        for shift in (-1.0, 0.0, 1.0)
    ]
    taken = Measured(
        value=aliquot / dilution,
        u=((pipette.tolerance_u / dilution) ** 2 + (dilute_u * aliquot / dilution) ** 2) ** 0.5,
        unit="L",
        source=pipette.tolerance_source,
    )
    expected = from_titration(known, titres, taken, ratio=1.0 / per_mole)
    acid = "protons" in row
    return StockCheck(
        titrant=parse_formula(titrant).text,
        titrant_strength=known,
        indicator="phenolphthalein" if acid or not row.get("weak") else "methyl orange",
        aliquot=aliquot,
        dilution=dilution,
        titre=titre,
        per_mole=per_mole,
        aliquot_tolerance=pipette.tolerance,
        burette_tolerance=burette.tolerance,
        expected=expected,
    )


def titration_block(check: StockCheck, titres: str = "____, ____, ____") -> str:
    """Return the lines that put the result of the titration into the definition.

    Parameters
    ----------
    check : StockCheck
    titres : str
        The titres in mL, separated by commas; blanks to fill in if not given.

    Examples
    --------
    >>> source = Source("invented", "declared")
    >>> known = Measured(value=0.2, u=0.0004, unit="mol/L", source=source)
    >>> check = StockCheck(
    ...     titrant="NaOH", titrant_strength=known, indicator="phenolphthalein", aliquot=0.005,
    ...     dilution=1, titre=0.01875, per_mole=1.0, aliquot_tolerance=0.00001,
    ...     burette_tolerance=0.0001, expected=known,
    ... )
    >>> print(titration_block(check, "18.75, 18.80, 18.75").splitlines()[4])
    titrant_mL = [18.75, 18.80, 18.75]
    """
    aliquot = float(millilitres(check.effective_aliquot))
    tolerance = float(millilitres(check.aliquot_tolerance)) / check.dilution
    return "\n".join(
        [
            "[reagent.strength]",
            'given_as = "titration"',
            f"titrant_mol_per_L = {check.titrant_strength.value:.4f}",
            f"titrant_u_mol_per_L = {check.titrant_strength.u:.6f}".rstrip("0"),
            f"titrant_mL = [{titres}]",
            f"burette_tolerance_mL = {float(millilitres(check.burette_tolerance)):g}",
            f"aliquot_mL = {aliquot:g}",
            f"aliquot_tolerance_mL = {tolerance:g}",
            f"titrant_moles_per_mole = {check.per_mole:.1f}",
        ]
    )
