"""Solutes of the table of densities: any spelling, and what is not there."""

from __future__ import annotations

import pytest

from tarebook.chemistry.solution_table import UnknownSoluteError, solute_key


@pytest.mark.parametrize(
    ("spelling", "key"),
    [("C2H4O2", "CH3COOH"), ("HC2H3O2", "CH3COOH"), ("NaC2H3O2", "CH3COONa"),
     ("C2H6O", "C2H5OH"), ("HOC(CH2COOH)2COOH", "C6H8O7")],
)  # fmt: skip
def test_spellings_of_a_solute(spelling: str, key: str) -> None:
    assert solute_key(spelling) == key


@pytest.mark.parametrize(
    ("solute", "hint"),
    [("KNO3", "yourself"), ("Na+", "whole salt"), ("CuSO4.5H2O", "without its water")],
)
def test_unknown_solute(solute: str, hint: str) -> None:
    with pytest.raises(UnknownSoluteError, match=hint):
        solute_key(solute)
