"""What the solutions do at their concentration, after the GHS."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.model.own_acid import own_acid
from tarebook.planning.prepare.stock_check import StockCheck
from tarebook.planning.prepare.stock_recipe import StockRecipe, Way
from tarebook.series.experiment import Confirmed, Experiment

WATER = 1000.0
"""Density that a dilute titrant is taken to have, g/L."""

PICTOGRAM_ORDER = ("GHS06", "GHS05", "GHS02", "GHS03", "GHS08", "GHS07", "GHS09")


@dataclass(frozen=True, slots=True, kw_only=True)
class Classification:
    """A substance or a solution, classified.

    Attributes
    ----------
    formula : str
    key : str
        Of the substance in the table; empty if the table does not hold it.
    mass_percent : float or None
        None for a solid.
    known : bool
        False: nothing is known here, which does not mean that it is harmless.
    H, P : tuple of str
        Codes.
    pictograms : tuple of str
        Codes, in the order in which they are shown.
    signal : str
        ``"danger"``, ``"warning"`` or empty.
    skin : str
        Subcategory of skin corrosion, if it corrodes.
    role : str
        ``"acid"``, ``"base"``, ``"salt"``, ``"metal"``, ``"oxidiser"`` or ``"indicator"``; empty if
        unknown.
    source : Source or None
    confirmed : Confirmed or None
        Who held it against the supplier's sheet.
    """

    formula: str
    key: str
    mass_percent: float | None
    known: bool
    H: tuple[str, ...] = ()
    P: tuple[str, ...] = ()
    pictograms: tuple[str, ...] = ()
    signal: str = ""
    skin: str = ""
    role: str = ""
    source: Source | None = None
    confirmed: Confirmed | None = None

    @property
    def verified(self) -> bool:
        """Whether the row was read in its source or a person confirmed it."""
        return self.confirmed is not None or (
            self.source is not None and self.source.basis == "read"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """One thing that stands in the prep room or on the bench.

    Attributes
    ----------
    what : str
        Key of its part in the work: ``"stock"``, ``"bought"``, ``"sample"``, ``"acid"`` (that
        the sample brings), ``"diluent"`` (other than water), ``"titrant"``, ``"indicator"``.
    name : str
        As the definition has it; empty if it names none.
    classification : Classification
    """

    what: str
    name: str
    classification: Classification


def classify(
    formula: str, mass_percent: float | None, confirmed: Iterable[Confirmed] = ()
) -> Classification:
    """Return what a substance does at its concentration.

    Parameters
    ----------
    formula : str
        Of the substance.
    mass_percent : float or None, [%]
        In water; None for a solid as it is weighed.
    confirmed : iterable of Confirmed
        Rows that a person has checked.

    Raises
    ------
    OutOfRangeError
        If the mass percent is not in (0, 100].

    Examples
    --------
    >>> weak, strong = classify("CH3COOH", 6.0), classify("CH3COOH", 99.8)
    >>> weak.H, weak.signal, strong.H, strong.pictograms, strong.signal
    ((), '', ('H226', 'H314'), ('GHS05', 'GHS02'), 'danger')
    """
    if mass_percent is not None and not 0 < mass_percent <= 100:
        raise OutOfRangeError("mass percent", mass_percent, "%", "(0, 100]")
    table = reference_table("tarebook.planning", "hazards")
    composition = parse_formula(formula).composition
    row = next((row for row in table["substances"] if _is_named(row, composition)), None)
    if row is None:
        return Classification(formula=formula, key="", mass_percent=mass_percent, known=False)
    found = _statements(row, mass_percent)
    if found is None:
        return Classification(
            formula=formula, key=row["key"], mass_percent=mass_percent, known=False
        )
    codes, skin = found
    return _classified(
        table,
        row,
        formula=formula,
        mass_percent=mass_percent,
        codes=codes,
        skin=skin,
        confirmed=confirmed,
    )


def _classified(
    table: dict[str, Any],
    row: dict[str, Any],
    *,
    formula: str,
    mass_percent: float | None,
    codes: list[str],
    skin: str,
    confirmed: Iterable[Confirmed],
) -> Classification:
    of_code = table["codes"]["H"]
    return Classification(
        formula=formula,
        key=row["key"],
        mass_percent=mass_percent,
        known=True,
        H=tuple(codes),
        P=_precautions(codes, of_code, table["codes"]["stricter"]),
        pictograms=_pictograms(codes, of_code),
        signal=_signal(codes, of_code),
        skin=skin,
        role=row["role"],
        source=Source(row["source"], row["basis"]),
        confirmed=next(
            (one for one in confirmed if _is_named(row, parse_formula(one.substance).composition)),
            None,
        ),
    )


def dropping_bottle(indicator: str, confirmed: Iterable[Confirmed] = ()) -> Classification:
    """Return what an indicator does as it stands on the bench, in its usual solution.

    Parameters
    ----------
    indicator : str
        Key of the indicator.
    confirmed : iterable of Confirmed
        Rows that a person has checked.

    Raises
    ------
    KeyError
        If the table has no such indicator: a fault of the program.

    Examples
    --------
    >>> dropping_bottle("phenolphthalein").signal, dropping_bottle("methyl orange").H
    ('danger', ())
    """
    table = reference_table("tarebook.planning", "hazards")
    row = {one["key"]: one for one in table["indicators"]}[indicator]
    formula = parse_formula(row["formula"])
    return _classified(
        table,
        row | {"role": "indicator", "formulas": [row["formula"]]},
        formula=formula.text,
        mass_percent=None,
        codes=row["H"],
        skin="",
        confirmed=confirmed,
    )


def hazards(
    experiment: Experiment, recipe: StockRecipe, check: StockCheck | None
) -> tuple[Hazard, ...]:
    """Return all that has to be known of what stands in the prep room and on the bench.

    Parameters
    ----------
    experiment : Experiment
    recipe : StockRecipe
    check : StockCheck or None
    """
    confirmed = experiment.preparation.confirmed
    reaction, reagent = experiment.reaction, experiment.reagent
    percent = percent_of(
        reagent.concentration.value, reaction.reagent_molar_mass.value, reagent.density.value
    )
    found = [
        Hazard(
            what="stock",
            name=reagent.name,
            classification=classify(reaction.reagent, percent, confirmed),
        )
    ]
    supply = recipe.supply
    if recipe.way is not Way.AS_BOUGHT:
        bought = None if supply.solid else min(100.0, 100.0 * supply.mass_fraction.value)
        found.append(
            Hazard(
                what="bought",
                name=supply.name,
                classification=classify(supply.solid or supply.solute, bought, confirmed),
            )
        )
    found.append(
        Hazard(
            what="sample",
            name=experiment.sample.name,
            classification=classify(reaction.analyte, None, confirmed),
        )
    )
    found += [
        Hazard(what="acid", name="", classification=classify(formula, None, confirmed))
        for formula in own_acid(experiment).formulas
    ]
    if experiment.diluent_density is not None:
        # Something else than water, of which nothing is known here but its density.
        unknown = Classification(formula="", key="", mass_percent=None, known=False)
        found.append(Hazard(what="diluent", name=experiment.diluent, classification=unknown))
    if check is not None:
        molar = molar_mass(check.titrant).value
        titrant = percent_of(check.titrant_strength.value, molar, WATER)
        found += [
            Hazard(
                what="titrant",
                name="",
                classification=classify(check.titrant, titrant, confirmed),
            ),
            Hazard(
                what="indicator",
                name="",
                classification=dropping_bottle(check.indicator, confirmed),
            ),
        ]
    return tuple(found)


def percent_of(concentration: float, molar_mass: float, density: float) -> float:
    """Return the mass percent of a solution.

    Parameters
    ----------
    concentration : float, [mol/L]
    molar_mass : float, [g/mol]
    density : float, [g/L]

    Examples
    --------
    >>> round(percent_of(1.0, 60.052, 1007.0), 3)
    5.963
    """
    return 100.0 * concentration * molar_mass / density


def _is_named(row: dict[str, Any], composition: Any) -> bool:
    return any(parse_formula(name).composition == composition for name in row["formulas"])


def _statements(row: dict[str, Any], mass_percent: float | None) -> tuple[list[str], str] | None:
    if mass_percent is None:
        return (list(row["solid"]), "") if "solid" in row else None
    for band in row["bands"]:
        if mass_percent >= band["from_percent"]:
            return list(band["H"]), band.get("skin", "")
    return None


def _pictograms(codes: Iterable[str], of_code: dict[str, Any]) -> tuple[str, ...]:
    rows = [of_code[code] for code in codes]
    drawn = [r for r in rows if "pictogram" in r]
    corrodes = any(r["pictogram"] == "GHS05" and r.get("skin_or_eyes") for r in drawn)
    shown = {
        r["pictogram"]
        for r in drawn
        if not (corrodes and r["pictogram"] == "GHS07" and r.get("skin_or_eyes"))
    }
    return tuple(code for code in PICTOGRAM_ORDER if code in shown)


def _signal(codes: Iterable[str], of_code: dict[str, Any]) -> str:
    words = {of_code[code].get("signal", "") for code in codes}
    return "danger" if "danger" in words else "warning" if "warning" in words else ""


def _precautions(
    codes: Iterable[str], of_code: dict[str, Any], stricter: dict[str, str]
) -> tuple[str, ...]:
    found = {code for one in codes for code in of_code[one]["P"]}
    return tuple(sorted(code for code in found if stricter.get(code) not in found))
