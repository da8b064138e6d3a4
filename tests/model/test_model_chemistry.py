"""What a reaction is to the model, and what is said of it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.words import said as said_of

from tarebook.chemistry.equilibrium import acid
from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.substances import acid_substance, carbonate
from tarebook.core.tables import reference_table
from tarebook.model.cup_chemistry import (
    assumptions,
    cup_chemistry,
    protons_of_extent,
    solves_equilibrium,
)
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.series.experiment import Experiment

Build = Callable[..., Experiment]
EQUATION = "NaHCO3 + HCl -> NaCl + H2O + CO2"
CARBONATES = reference_table("tarebook.chemistry", "substances")["carbonate"]
ACIDS = reference_table("tarebook.chemistry", "substances")["acid"]


@pytest.mark.parametrize("row", CARBONATES, ids=lambda row: str(row["formula"]))
def test_a_carbonate_row_says_what_its_formula_says(row: dict[str, object]) -> None:
    """Carbon is all carbonate; what charge its cations carry, its anions do; hydrogens fit."""
    formula = parse_formula(str(row["formula"]))
    found = carbonate(str(row["formula"]))
    assert found is not None
    assert found.acids["carbonic"] == formula.count("C")
    assert formula.count("N") == found.acids.get("ammonium", 0.0)
    metals = {"Na": 1, "K": 1, "Ca": 2, "Mg": 2}
    assert found.charge == sum(n * formula.count(symbol) for symbol, n in metals.items())
    bicarbonate = formula.count("H") - 2 * found.water - 4 * found.acids.get("ammonium", 0.0)
    assert found.protons == 2 * formula.count("C") - bicarbonate
    assert 3 * formula.count("C") + found.water == formula.count("O")
    assert row["source"]
    assert row["basis"] in {"library", "memory"}


@pytest.mark.parametrize("row", ACIDS, ids=lambda row: str(row["formula"]))
def test_an_acid_row_is_neutral(row: dict[str, object]) -> None:
    """Strong ions and the acids' first forms balance but for the H+ that a strong acid has."""
    found = acid_substance(str(row["formula"]))
    assert found is not None
    forms = sum(acid(name).charge * n for name, n in found.acids.items())
    protons = -(found.charge + forms)
    formula = parse_formula(str(row["formula"]))
    metals = {"Na": 1, "K": 1, "Ca": 2}
    base = sum(n * formula.count(symbol) for symbol, n in metals.items())
    steps = sum(len(acid(name).steps) * n for name, n in found.acids.items())
    assert -base <= protons <= 1
    assert formula.count("H") >= steps + protons
    assert 1 <= found.protons <= steps + protons + (1 if not steps else 0)


@pytest.mark.parametrize(
    ("equation", "sample", "reagent", "gas", "protons", "known"),
    [
        (EQUATION, "NaHCO3", "HCl", "CO2", 1.0, True),
        ("Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2", "Na2CO3", "HCl", "CO2", 2.0, True),
        ("2 NaHCO3 + H2SO4 -> Na2SO4 + 2 H2O + 2 CO2", "NaHCO3", "H2SO4", "CO2", 2.0, True),
        (
            "3 NaHCO3 + C6H8O7.H2O -> Na3C6H5O7 + 4 H2O + 3 CO2",
            "NaHCO3",
            "C6H8O7.H2O",
            "CO2",
            3.0,
            True,
        ),
        ("NaHCO3 + C4H8O2 -> NaC4H7O2 + H2O + CO2", "NaHCO3", "C4H8O2", "CO2", 1.0, False),
        ("2 Al + 6 HCl -> 2 AlCl3 + 3 H2", "Al", "HCl", "H2", 6.0, False),
        ("NH4Cl + NaOH -> NaCl + H2O + NH3", "NH4Cl", "NaOH", "NH3", 0.0, False),
    ],
)
def test_protons_and_what_is_known(
    build: Build,
    equation: str,
    sample: str,
    reagent: str,
    gas: str,
    protons: float,
    known: bool,
) -> None:
    experiment = build(
        {
            EQUATION: equation,
            'sample = "NaHCO3"': f'sample = "{sample}"',
            'reagent = "HCl"': f'reagent = "{reagent}"',
            'gas = "CO2"': f'gas = "{gas}"',
        }
    )
    reaction = experiment.reaction
    assert protons_of_extent(reaction) == protons
    assert (cup_chemistry(reaction) is not None) is known
    assert solves_equilibrium(reaction, ALL_EFFECTS) is known
    assert not solves_equilibrium(reaction, ALL_EFFECTS - {CupEffect.DISSOLVED_GAS})
    said = [said_of(phrase) for phrase in assumptions(experiment)]
    assert bool(said) is not known
    assert all(sentence.endswith(".") for sentence in said)
    assert all(reagent in sentence or gas in sentence for sentence in said)


def test_what_is_taken_for_granted_of_chalk(build: Build) -> None:
    chalk = build({EQUATION: "CaCO3 + 2 HCl -> CaCl2 + H2O + CO2", '"NaHCO3"': '"CaCO3"'})
    dissolves, base = (said_of(phrase) for phrase in assumptions(chalk))
    assert "solubility product" in dissolves
    assert 'own_acid = "none"' in base


def test_spelling_does_not_matter(build: Build) -> None:
    vinegar = build(
        {
            EQUATION: "NaHCO3 + CH3COOH -> NaCH3COO + H2O + CO2",
            'reagent = "HCl"': 'reagent = "CH3COOH"',
        }
    )
    chemistry = cup_chemistry(vinegar.reaction)
    assert chemistry is not None
    assert dict(chemistry.reagent.acids) == {"acetic": 1}
    assert {a.name for a in chemistry.system.acids} == {"carbonic", "acetic"}
    assert molar_mass("C2H4O2").value == molar_mass("CH3COOH").value
