"""An equation that balances may still be none: what is refused, and what is proposed."""

from __future__ import annotations

import pytest

from tarebook.chemistry.equation import parse_equation
from tarebook.core.errors import Fault
from tarebook.series.possible_reaction import impossible_reaction
from tarebook.series.schema import ReactionTable


def faults(equation: str, sample: str, reagent: str, gas: str) -> list[Fault]:
    table = ReactionTable(equation=equation, sample=sample, reagent=reagent, gas=gas)
    return list(impossible_reaction(parse_equation(equation), table))


@pytest.mark.parametrize(
    ("equation", "sample", "reagent", "gas", "right"),
    [
        (
            "NaHCO3 + C6H8O7 -> NaC6H7O7 + H2O + CO2",
            "NaHCO3",
            "C6H8O7",
            "CO2",
            "3 NaHCO3 + C6H8O7 -> Na3C6H5O7 + 3 H2O + 3 CO2",
        ),
        (
            "NaHCO3 + H2SO4 -> NaHSO4 + H2O + CO2",
            "NaHCO3",
            "H2SO4",
            "CO2",
            "2 NaHCO3 + H2SO4 -> Na2SO4 + 2 H2O + 2 CO2",
        ),
        (
            "CaCO3 + C6H8O7 -> CaC6H6O7 + H2O + CO2",
            "CaCO3",
            "C6H8O7",
            "CO2",
            "3 CaCO3 + 2 C6H8O7 -> Ca3(C6H5O7)2 + 3 H2O + 3 CO2",
        ),
        (
            "2 Mg + 2 H2SO4 -> Mg2(SO4)2 + 2 H2",
            "Mg",
            "H2SO4",
            "H2",
            "",
        ),
        (
            "3 NaHCO3 + H3PO4 -> Na3PO4 + 3 H2O + 3 CO2",
            "NaHCO3",
            "H3PO4",
            "CO2",
            "2 NaHCO3 + H3PO4 -> Na2HPO4 + 2 H2O + 2 CO2",
        ),
    ],
)
def test_protons_that_the_acid_does_not_give(
    equation: str, sample: str, reagent: str, gas: str, right: str
) -> None:
    found = faults(equation, sample, reagent, gas)
    if not right:
        assert found == []
        return
    (fault,) = found
    assert fault.where == "equation"
    proposed = fault.do.partition('"')[2].rstrip('".')
    assert parse_equation(proposed).coefficient(sample) == parse_equation(right).coefficient(sample)
    assert parse_equation(proposed).coefficient(gas) == parse_equation(right).coefficient(gas)
    assert faults(proposed, sample, reagent, gas) == []


@pytest.mark.parametrize(
    ("equation", "sample", "reagent", "gas"),
    [
        ("NaHCO3 + HCl -> NaCl + H2O + CO2", "NaHCO3", "HCl", "CO2"),
        ("Na2CO3.10H2O + 2 HCl -> 2 NaCl + 11 H2O + CO2", "Na2CO3.10H2O", "HCl", "CO2"),
        ("3 KHCO3 + C6H8O7 -> K3C6H5O7 + 3 H2O + 3 CO2", "KHCO3", "C6H8O7", "CO2"),
        ("2 Al + 6 HCl -> 2 AlCl3 + 3 H2", "Al", "HCl", "H2"),
        ("NaHCO3 + NaHSO4 -> Na2SO4 + H2O + CO2", "NaHCO3", "NaHSO4", "CO2"),
        ("NH4Cl + NaOH -> NaCl + H2O + NH3", "NH4Cl", "NaOH", "NH3"),
        ("2 H2O2 -> 2 H2O + O2", "H2O2", "H2O2", "O2"),
    ],
)
def test_what_happens_is_let_through(equation: str, sample: str, reagent: str, gas: str) -> None:
    assert faults(equation, sample, reagent, gas) == []


def test_water_and_salts_do_not_leave() -> None:
    equation = "NaHCO3 + HCl -> NaCl + H2O + CO2"
    for gas in ("H2O", "NaCl"):
        (fault,) = faults(equation, "NaHCO3", "HCl", gas)
        assert fault.where == "gas"
        assert 'gas = "CO2"' in fault.do


def test_ions_are_no_substances() -> None:
    found = faults("HCO3- + H+ -> H2O + CO2", "HCO3-", "H+", "CO2")
    assert {fault.where for fault in found} == {"sample", "reagent"}
