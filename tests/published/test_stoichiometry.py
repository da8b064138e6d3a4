"""Worked examples of a general chemistry text: limiting reactant, yield, dilution, titration.

The text rounds its molar masses (Si 28.09, Cu 63.55); ours carry five figures. Every printed
answer is met with ours to half of its last digit, except where a test says why theirs are used.
"""

from __future__ import annotations

from dataclasses import replace
from importlib import resources

import numpy as np
import pytest

from tarebook.chemistry.equation import parse_equation
from tarebook.chemistry.molar_mass import molar_mass, molar_mass_sensitivities
from tarebook.chemistry.stock import (
    from_dilution,
    from_mass_fraction_and_density,
    from_titration,
    from_weighed_solid,
)
from tarebook.chemistry.weights import standard_atomic_weight
from tarebook.core.quantity import Measured, Source
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.limiting import Extents, extents
from tarebook.model.priors import central_parameters
from tarebook.planning.prepare.amounts import BY_EQUATION
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment, Reaction

BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
BOOK = "OpenStax, Chemistry 2e (Flowers, Theopold, Langley, Robinson)"


def printed(value: float, unit: str) -> Measured:
    """A number of the text, which gives no uncertainty."""
    return Measured(value=value, u=0.0, unit=unit, source=Source(BOOK, "read"))


def vessel(equation: str, analyte: str, reagent: str, product: str) -> Experiment:
    """A vessel in which a weighed solid and a reagent make a product, whether or not it leaves."""
    balanced = parse_equation(equation)
    ratio = molar_mass(analyte).value / molar_mass(product).value
    reaction = Reaction(
        equation=balanced,
        analyte=analyte,
        reagent=reagent,
        gas=product,
        analyte_coefficient=balanced.coefficient(analyte),
        reagent_coefficient=balanced.coefficient(reagent),
        gas_coefficient=balanced.coefficient(product),
        analyte_molar_mass=molar_mass(analyte),
        reagent_molar_mass=molar_mass(reagent),
        gas_molar_mass=molar_mass(product),
        mass_ratio=printed(ratio, "1"),
    )
    return replace(parse_definition(BLANK), reaction=reaction)


def reached(cup: Experiment, grams: float, moles: float = np.inf) -> Extents:
    """How far the reaction goes with so much of the pure solid and of the reagent, in excess."""
    pure = central_parameters(cup).with_values(content=np.array(1.0))
    return extents(cup, pure, np.array(moles), np.array(grams))


@pytest.mark.published(f"{BOOK}, Example 3.10: percent composition of aspirin; read")
def test_percent_composition_of_aspirin() -> None:
    total = molar_mass("C9H8O4").value
    counts = molar_mass_sensitivities("C9H8O4")
    percent = {s: 100 * n * standard_atomic_weight(s).value / total for s, n in counts.items()}
    assert percent["C"] == pytest.approx(60.00, rel=0, abs=0.005)
    assert percent["H"] == pytest.approx(4.476, rel=0, abs=0.0005)
    assert percent["O"] == pytest.approx(35.52, rel=0, abs=0.005)


@pytest.mark.published(f"{BOOK}, Example 3.16: 25.2 g acetic acid in 0.500 L = 0.839 mol/L; read")
def test_molarity_from_mass() -> None:
    found = from_weighed_solid(
        "CH3CO2H", printed(25.2, "g"), printed(1.0, "1"), printed(0.500, "L")
    )
    assert found.value == pytest.approx(0.839, rel=0, abs=0.0005)


@pytest.mark.published(f"{BOOK}, Example 3.19: 0.850 L of 5.00 mol/L to 1.80 L = 2.36 mol/L; read")
def test_dilution() -> None:
    found = from_dilution(printed(5.00, "mol/L"), printed(0.850, "L"), printed(1.80, "L"))
    assert found.value == pytest.approx(2.36, rel=0, abs=0.005)


@pytest.mark.published(f"{BOOK}, Example 3.21: 0.314 L of 1.59 mol/L makes 5.00 L of 0.100; read")
def test_volume_of_stock_needed() -> None:
    # The dilution is linear in the volume taken: scale the one of a litre to the strength wanted.
    one_litre = from_dilution(printed(1.59, "mol/L"), printed(1.0, "L"), printed(5.00, "L"))
    assert 0.100 / one_litre.value == pytest.approx(0.314, rel=0, abs=0.0005)


@pytest.mark.published(f"{BOOK}, Example 3.23: 0.500 L of 37.2 % acid, 1.19 g/mL: 221 g HCl; read")
def test_mass_from_percent_and_density() -> None:
    found = from_mass_fraction_and_density("HCl", printed(37.2, "%"), printed(1190.0, "g/L"))
    mass = found.value * 0.500 * molar_mass("HCl").value
    assert mass == pytest.approx(221, rel=0, abs=0.5)


@pytest.mark.published(f"{BOOK}, Example 4.10: 22 g NaOH for 16 g Mg(OH)2; read")
def test_mass_of_reactant_needed() -> None:
    equation = parse_equation("MgCl2 + NaOH -> Mg(OH)2 + NaCl")
    extent = 16 / molar_mass("Mg(OH)2").value / equation.coefficient("Mg(OH)2")
    mass = extent * equation.coefficient("NaOH") * molar_mass("NaOH").value
    assert mass == pytest.approx(22, rel=0, abs=0.5)


@pytest.mark.published(f"{BOOK}, Example 4.12: 2.00 g Si and 1.50 g N2, silicon is limiting; read")
def test_limiting_reactant() -> None:
    cup = vessel("Si + N2 -> Si3N4", "Si", "N2", "Si3N4")
    both = reached(cup, 2.00, 1.50 / molar_mass("N2").value)
    assert both.excess > 0
    made = [float(one) * cup.reaction.gas_coefficient for one in (both.reached, both.by_reagent)]
    assert made[0] == pytest.approx(0.0237, rel=0, abs=0.00005)
    assert made[1] == pytest.approx(0.0268, rel=0, abs=0.00005)


@pytest.mark.published(f"{BOOK}, Example 4.13: 0.392 g Cu from 1.274 g CuSO4 = 77.3 %; read")
def test_percent_yield() -> None:
    cup = vessel("CuSO4 + Zn -> Cu + ZnSO4", "CuSO4", "Zn", "Cu")
    copper = float(reached(cup, 1.274).gas) * cup.reaction.gas_coefficient
    theoretical = copper * cup.reaction.gas_molar_mass.value
    assert theoretical == pytest.approx(0.5072, rel=0, abs=0.00005)
    assert 100 * 0.392 / theoretical == pytest.approx(77.3, rel=0, abs=0.05)


@pytest.mark.published(f"{BOOK}, Example 4.14: 50.00 mL HCl takes 35.23 mL of 0.250 NaOH; read")
def test_titration() -> None:
    found = from_titration(printed(0.250, "mol/L"), [printed(0.03523, "L")], printed(0.0500, "L"))
    assert found.value == pytest.approx(0.176, rel=0, abs=0.0005)


@pytest.mark.published(f"{BOOK}, Example 4.15: 0.6168 g BaSO4 from 0.4550 g = 69.91 % MgSO4; read")
def test_mass_percent_by_precipitation() -> None:
    equation = parse_equation("MgSO4 + Ba(NO3)2 -> BaSO4 + Mg(NO3)2")
    extent = 0.6168 / molar_mass("BaSO4").value / equation.coefficient("BaSO4")
    mass = extent * equation.coefficient("MgSO4") * molar_mass("MgSO4").value
    assert mass == pytest.approx(0.3181, rel=0, abs=0.00005)
    # The text goes on with its printed 0.3181 g; unrounded the share is 69.90 %.
    assert 100 * round(mass, 4) / 0.4550 == pytest.approx(69.91, rel=0, abs=0.005)


@pytest.mark.published(
    f"{BOOK}, chapter 4 end exercises, 87th in source order: 49.6 mL of 0.600 mol/L HCl for 2.50 g "
    "NaHCO3; read"
)
def test_acid_for_bicarbonate() -> None:
    cup = parse_definition(BLANK.replace("nominal_g = 1.00", "nominal_g = 2.50"))
    assert str(cup.reaction.equation) == "NaHCO3 + HCl -> NaCl + H2O + CO2"
    pure = central_parameters(cup).with_values(content=np.array(1.0), concentration=np.array(0.600))
    millilitres = 1000 * float(equivalence_reading(cup, pure, BY_EQUATION))
    assert millilitres == pytest.approx(49.6, rel=0, abs=0.05)


@pytest.mark.published(f"{BOOK}, Example 4.16: polyethylene burns to CO2 and H2O as CH2; read")
def test_combustion() -> None:
    hydrogen = 2 * 0.00161 / molar_mass("H2O").value
    carbon = 0.00394 / molar_mass("CO2").value
    assert hydrogen / carbon == pytest.approx(2.0, rel=0, abs=0.05)
    assert str(parse_equation("CH2 + O2 -> CO2 + H2O")) == "2 CH2 + 3 O2 -> 2 CO2 + 2 H2O"


@pytest.mark.published(f"{BOOK}, Example 9.19: 8.88 g Ga gives 4.94 L H2, 300 K, 723 torr; read")
def test_volume_of_gas() -> None:
    cup = vessel("Ga + HCl -> GaCl3 + H2", "Ga", "HCl", "H2")
    hydrogen = float(reached(cup, 8.88).gas) * cup.reaction.gas_coefficient
    # Their gas constant, 0.08206 L atm/(mol K), and their rounded 300 K.
    assert hydrogen * 0.08206 * 300 / (723 / 760) == pytest.approx(4.94, rel=0, abs=0.005)


@pytest.mark.published(f"{BOOK}, Example 5.9: sucrose and KClO3, 43.7 kJ: -5960 kJ/mol; read")
def test_limiting_reactant_and_heat() -> None:
    cup = vessel("C12H22O11 + KClO3 -> CO2 + H2O + KCl", "C12H22O11", "KClO3", "CO2")
    found = reached(cup, 2.67, 7.19 / molar_mass("KClO3").value)
    assert found.excess < 0
    assert -43.7 / float(found.reached) == pytest.approx(-5960, rel=0, abs=5)
