"""Equations: balanced as a general library does it, refused with the reason."""

from __future__ import annotations

import math
import pickle
import random
import re

import pytest
from chempy import balance_stoichiometry
from hypothesis import given
from hypothesis import strategies as st

from tarebook.chemistry.balance import EquationError, counts_by_side
from tarebook.chemistry.equation import UnknownSpeciesError, balance, parse_equation
from tarebook.chemistry.formula import FormulaError

EQUATIONS = [
    "NaHCO3 + HCl -> NaCl + H2O + CO2",
    "NaHCO3 + CH3COOH -> CH3COONa + H2O + CO2",
    "Na2CO3 + HCl -> NaCl + H2O + CO2",
    "CaCO3 + HCl -> CaCl2 + H2O + CO2",
    "C6H8O7 + NaHCO3 -> Na3C6H5O7 + H2O + CO2",
    "NaHCO3 -> Na2CO3 + H2O + CO2",
    "Mg + HCl -> MgCl2 + H2",
    "Al + HCl -> AlCl3 + H2",
    "Zn + CuSO4 -> ZnSO4 + Cu",
    "H2O2 -> H2O + O2",
    "H2 + O2 -> H2O",
    "N2 + H2 -> NH3",
    "NH3 + O2 -> NO + H2O",
    "C3H8 + O2 -> CO2 + H2O",
    "C12H22O11 + O2 -> CO2 + H2O",
    "C8H18 + O2 -> CO2 + H2O",
    "Fe2O3 + CO -> Fe + CO2",
    "FeS2 + O2 -> Fe2O3 + SO2",
    "KClO3 -> KCl + O2",
    "C12H22O11 + KClO3 -> CO2 + H2O + KCl",
    "Si + N2 -> Si3N4",
    "Ca3(PO4)2 + SiO2 + C -> CaSiO3 + P4 + CO",
    "Al2(SO4)3 + NaHCO3 -> Al(OH)3 + Na2SO4 + CO2",
    "BaCl2 + Na2SO4 -> BaSO4 + NaCl",
    "Pb(NO3)2 + KI -> PbI2 + KNO3",
    "H3PO4 + NaOH -> Na3PO4 + H2O",
    "KMnO4 + HCl -> KCl + MnCl2 + H2O + Cl2",
    "K2Cr2O7 + FeSO4 + H2SO4 -> Cr2(SO4)3 + Fe2(SO4)3 + K2SO4 + H2O",
    "KMnO4 + FeSO4 + H2SO4 -> MnSO4 + Fe2(SO4)3 + K2SO4 + H2O",
    "K4Fe(CN)6 + H2SO4 + H2O -> K2SO4 + FeSO4 + (NH4)2SO4 + CO",
    "Cu + HNO3 -> Cu(NO3)2 + NO + H2O",
    "Na2S2O3 + I2 -> Na2S4O6 + NaI",
    "MnO4- + Fe^2+ + H+ -> Mn^2+ + Fe^3+ + H2O",
    "Cr2O7^2- + Fe^2+ + H+ -> Cr^3+ + Fe^3+ + H2O",
    "MnO4- + H2C2O4 + H+ -> Mn^2+ + CO2 + H2O",
    "S2O3^2- + I2 -> S4O6^2- + I-",
    "CO3^2- + H+ -> H2O + CO2",
    "IO3- + I- + H+ -> I2 + H2O",
    "Ag+ + Cl- -> AgCl",
    "Cu + NO3- + H+ -> Cu^2+ + NO + H2O",
    "Al + OH- + H2O -> Al(OH)4- + H2",
]


def _other_spelling(text: str) -> str:
    """Write Fe^2+ as Fe+2, the way the library reads it."""
    return re.sub(r"\^(\d)([+-])", r"\2\1", text)


@pytest.mark.parametrize("text", EQUATIONS)
def test_same_coefficients_as_a_general_library(text: str) -> None:
    # chempy 0.10, balance_stoichiometry.
    ours = parse_equation(text)
    left = {_other_spelling(f.text): n for f, n in ours.reactants}
    right = {_other_spelling(f.text): n for f, n in ours.products}
    theirs = balance_stoichiometry(set(left), set(right))
    assert left == {name: int(n) for name, n in theirs[0].items()}
    assert right == {name: int(n) for name, n in theirs[1].items()}


@given(st.sampled_from(EQUATIONS), st.randoms(use_true_random=False))
def test_order_does_not_matter(text: str, chance: random.Random) -> None:
    equation = parse_equation(text)
    left = [f for f, _ in equation.reactants]
    right = [f for f, _ in equation.products]
    chance.shuffle(left)
    chance.shuffle(right)
    again = balance(left, right)
    assert dict(again.reactants) == dict(equation.reactants)
    assert dict(again.products) == dict(equation.products)


@given(
    st.lists(
        st.tuples(st.sampled_from(["H", "N", "O", "S", "Na", "Fe", "Cl"]), st.integers(1, 9)),
        min_size=1,
        max_size=5,
        unique_by=lambda pair: pair[0],
    ),
    st.data(),
)
def test_elements_to_a_compound(parts: list[tuple[str, int]], data: st.DataObject) -> None:
    sizes = [data.draw(st.integers(1, 8)) for _ in parts]
    left = [f"{symbol}{size}" for (symbol, _), size in zip(parts, sizes, strict=True)]
    compound = "Kr1" + "".join(f"{symbol}{n}" for symbol, n in parts)
    equation = balance([*left, "Kr2"], [compound])
    assert not any(row.off for row in counts_by_side(equation.reactants, equation.products))
    numbers = [n for _, n in equation.reactants + equation.products]
    assert min(numbers) > 0
    assert math.gcd(*numbers) == 1
    assert parse_equation(equation.text) == equation


@pytest.mark.parametrize("arrow", ["->", "-->", "=", "→", "⇌", "=>", "<->", "<=>"])
def test_arrows(arrow: str) -> None:
    assert str(parse_equation(f"H2 + O2 {arrow} H2O")) == "2 H2 + O2 -> 2 H2O"


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("NaHCO3+HCl->NaCl+H2O+CO2", "NaHCO3 + HCl -> NaCl + H2O + CO2"),
        ("Ag+(aq) + Cl-(aq) -> AgCl(s)", "Ag+ + Cl- -> AgCl"),
        ("Ag++Cl-->AgCl", "Ag+ + Cl- -> AgCl"),
        ("Ag+(aq)+Cl-(aq)->AgCl(s)", "Ag+ + Cl- -> AgCl"),
        ("2H2 + O2 -> 2H2O", "2 H2 + O2 -> 2 H2O"),
        ("CuSO4.5H2O -> CuSO4 + H2O", "CuSO4.5H2O -> CuSO4 + 5 H2O"),
    ],
)
def test_spellings(text: str, read: str) -> None:
    assert parse_equation(text).text == read


def test_written_coefficients_are_kept() -> None:
    assert parse_equation("4 H2 + 2 O2 -> 4 H2O").coefficient("O2") == 2
    # Two reactions side by side: only the writer can say in what ratio.
    known = "2 KMnO4 + 5 H2O2 + 3 H2SO4 -> 2 MnSO4 + K2SO4 + 5 O2 + 8 H2O"
    assert parse_equation(known).text == known


def test_written_coefficients_are_checked() -> None:
    with pytest.raises(EquationError) as caught:
        parse_equation("Na2CO3 + 3 HCl -> 2 NaCl + H2O + CO2")
    assert caught.value.evidence == ("H: 3 left, 2 right", "Cl: 3 left, 2 right")
    assert "Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2" in caught.value.do


def test_written_charges_are_checked() -> None:
    with pytest.raises(EquationError) as caught:
        parse_equation("1 Fe^2+ + 2 H+ -> 1 Fe^3+ + H2")
    assert caught.value.evidence == ("charge: +4 left, +3 right",)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("Fe + O2 -> H2O", "Fe stands only on the left: Fe"),
        ("Na + Cl- -> NaCl", "charge stands only on the left: Cl-"),
        ("CO -> CO2", "in no common ratio"),
        ("H2 + O2 -> H2O + NaCl", "NaCl takes no part (0)"),
        ("H2O -> H2O2 + H2O3", "H2O3 stands on the right and belongs on the left (-1)"),
        ("H2O + O2", "two sides"),
        ("-> H2O", "two sides"),
        ("H2 + O2 -> H2O -> H2O2", "two sides"),
        ("NaCl -> NaCl", "NaCl stands more than once"),
        ("1/2 O2 + H2 -> H2O", "not a whole number"),
        ("0 O2 + H2 -> H2O", "not a whole number"),
        ("H2 +  + O2 -> H2O", "missing beside a '+'"),
    ],
)
def test_refuses_with_the_reason(text: str, message: str) -> None:
    with pytest.raises(EquationError) as caught:
        parse_equation(text)
    assert message in str(caught.value)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)


def test_ambiguous_shows_two_balances() -> None:
    with pytest.raises(EquationError, match="more than one set") as caught:
        parse_equation("KMnO4 + H2O2 + H2SO4 -> MnSO4 + K2SO4 + O2 + H2O")
    shown = caught.value.evidence
    assert len(set(shown)) == 2
    for text in shown:
        equation = parse_equation(text)
        assert not any(row.off for row in counts_by_side(equation.reactants, equation.products))


def test_bad_formula_in_an_equation() -> None:
    with pytest.raises(FormulaError, match="NaHC03"):
        parse_equation("NaHC03 + HCl -> NaCl + H2O + CO2")


def test_species_are_found_by_composition() -> None:
    equation = parse_equation("CH3COOH + Na2CO3 -> CH3COONa + H2O + CO2")
    assert equation.coefficient("C2H4O2") == 2
    assert equation.coefficient("NaC2H3O2") == 2
    with pytest.raises(UnknownSpeciesError, match="Allowed: CH3COOH, Na2CO3, CH3COONa") as caught:
        equation.coefficient("NaCl")
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)


def test_isomers_are_told_apart_by_text() -> None:
    equation = parse_equation("CH3OCH3 -> C2H5OH")
    assert equation.coefficient("CH3OCH3") == 1
    with pytest.raises(UnknownSpeciesError, match="more than one"):
        equation.coefficient("C2H6O")
