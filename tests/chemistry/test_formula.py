"""Formulas: what is read, and what is refused with which hint."""

from __future__ import annotations

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.chemistry.formula import FormulaError, parse_formula


@pytest.mark.parametrize(
    ("text", "counts", "charge"),
    [
        ("NaHCO3", {"Na": 1, "H": 1, "C": 1, "O": 3}, 0),
        ("CuSO4.5H2O", {"Cu": 1, "S": 1, "O": 9, "H": 10}, 0),
        ("CuSO₄·5H₂O", {"Cu": 1, "S": 1, "O": 9, "H": 10}, 0),
        ("CuSO4 . 5H2O", {"Cu": 1, "S": 1, "O": 9, "H": 10}, 0),
        ("CuSO4·4NH3", {"Cu": 1, "S": 1, "O": 4, "N": 4, "H": 12}, 0),
        ("Na2CO3·1NaHCO3·2H2O", {"Na": 3, "C": 2, "O": 8, "H": 5}, 0),
        ("(NH4)2Fe(SO4)2.6H2O", {"N": 2, "H": 20, "Fe": 1, "S": 2, "O": 14}, 0),
        ("K4[Fe(CN)6].3H2O", {"K": 4, "Fe": 1, "C": 6, "N": 6, "H": 6, "O": 3}, 0),
        ("[Co(NH3)6]Cl3", {"Co": 1, "N": 6, "H": 18, "Cl": 3}, 0),
        ("C12H22O11", {"C": 12, "H": 22, "O": 11}, 0),
        ("C60", {"C": 60}, 0),
        ("CO", {"C": 1, "O": 1}, 0),
        ("Co", {"Co": 1}, 0),
        ("Ca^2+", {"Ca": 1}, 2),
        ("Ca²⁺", {"Ca": 1}, 2),
        ("Na+", {"Na": 1}, 1),
        ("Na^+", {"Na": 1}, 1),
        ("HCO3-", {"H": 1, "C": 1, "O": 3}, -1),
        ("CH3COO−", {"C": 2, "H": 3, "O": 2}, -1),
        ("NH4+", {"N": 1, "H": 4}, 1),
        ("H3O+", {"H": 3, "O": 1}, 1),
        ("SO4^2-", {"S": 1, "O": 4}, -2),
        ("SO4²⁻", {"S": 1, "O": 4}, -2),
        ("Na+(aq)", {"Na": 1}, 1),
        ("H₂O(l)", {"H": 2, "O": 1}, 0),
        (" CO2 (g) ", {"C": 1, "O": 2}, 0),
        ("CO2↑", {"C": 1, "O": 2}, 0),
        ("[Fe(CN)6]^3-", {"Fe": 1, "C": 6, "N": 6}, -3),
    ],
)
def test_reads(text: str, counts: dict[str, int], charge: int) -> None:
    formula = parse_formula(text)
    assert dict(formula.counts) == counts
    assert formula.charge == charge


@pytest.mark.parametrize(
    ("text", "found", "position", "hint"),
    [
        ("Ca2+", "2+", 2, "Ca^2+ or Ca2^+"),
        ("SO42-", "42-", 2, "SO4^2-"),
        ("Cr2O72-", "72-", 4, "Cr2O7^2-"),
        ("VO2+", "2+", 2, "VO^2+ or VO2^+"),
        ("[Fe(CN)6]3-", "3-", 9, "[Fe(CN)6]^3-"),
        ("Ca+2", "+2", 2, "Ca^2+"),
        ("Ca++", "++", 2, "Ca^2+"),
        ("Ca^", "^", 2, "SO4^2-"),
        ("Na^0+", "^0+", 2, "SO4^2-"),
        ("O2²", "²", 2, "at the end"),
        ("NaHC03", "03", 4, "NaHCO3"),
        ("H20", "20", 1, "H2O"),
        ("Fe203", "203", 2, "Fe2O3"),
        ("C6H1206", "1206", 3, "C6H12O6"),
        ("H2C204", "204", 3, "H2C2O4"),
        ("Ca(0H)2", "0", 3, "letter O"),
        ("CuSO45H2O", "45H2O", 4, "CuSO4.5H2O"),
        ("BaCl22H2O", "22H2O", 4, "BaCl2.2H2O"),
        ("(NH4)2Fe(SO4)26H2O", "26H2O", 13, "(NH4)2Fe(SO4)2.6H2O"),
        ("CuSO4*5H2O", "*", 5, "CuSO4.5H2O"),
        ("CuSO4.", ".", 5, "element symbol"),
        ("CuSO4.0.5H2O", "0", 6, "multiply"),
        ("nacl", "nacl", 0, "NaCl"),
        ("Nacl", "Nacl", 0, "NaCl"),
        ("Xx", "Xx", 0, "one capital"),
        ("", "", 0, "NaHCO3"),
        ("   ", "", 0, "NaHCO3"),
        ("(aq)", "", 0, "NaHCO3"),
        ("Ca(OH", "(", 2, "')'"),
        ("Ca(OH]", "]", 5, "')' is open"),
        ("CaOH)2", ")", 4, "No such bracket"),
        ("Ca()2", ")", 3, "at least one element"),
        ("Ca(O.H)", ".", 4, "inside a bracket"),
        ("Na0", "0", 2, "NaO"),
        ("Na0.5", "0", 2, "multiply"),
        ("Na1.5O", ".5", 3, "whole numbers"),
        ("Na2.5O", ".5", 3, "whole numbers"),
        ("2H2O", "2", 0, "coefficient"),
        ("Na Cl", " ", 2, "blanks"),
        ("e-", "e", 0, "capital"),
    ],
)
def test_refuses_with_a_hint(text: str, found: str, position: int, hint: str) -> None:
    with pytest.raises(FormulaError) as caught:
        parse_formula(text)
    error = caught.value
    assert (error.text, error.found, error.position) == (text, found, position)
    assert hint in str(error)
    assert str(pickle.loads(pickle.dumps(error))) == str(error)


def test_message_marks_the_place() -> None:
    with pytest.raises(FormulaError) as caught:
        parse_formula("NaHC03")
    assert str(caught.value).splitlines()[1:3] == ["  NaHC03", "      ^^"]


def test_spellings_of_one_composition() -> None:
    spellings = ["CH3COOH", "C2H4O2", "HC2H3O2"]
    assert len({parse_formula(text).composition for text in spellings}) == 1
    assert parse_formula("NH3").composition != parse_formula("NH4+").composition


_SYMBOLS = st.sampled_from(["H", "C", "N", "O", "Na", "Cl", "Fe", "Cu", "S", "Pb"])
_UNIT = st.tuples(_SYMBOLS, st.integers(1, 9))


@given(
    st.lists(_UNIT, min_size=1, max_size=4),
    st.lists(_UNIT, min_size=1, max_size=3),
    st.integers(1, 9),
    st.integers(0, 9),
)
def test_counts_are_those_written(
    outer: list[tuple[str, int]], inner: list[tuple[str, int]], times: int, waters: int
) -> None:
    def written(units: list[tuple[str, int]]) -> str:
        return "".join(f"{symbol}{number if number > 1 else ''}" for symbol, number in units)

    text = f"{written(outer)}({written(inner)}){times}" + (f"·{waters}H2O" if waters else "")
    expected: dict[str, int] = {}
    hydrate = [("H", 2 * waters), ("O", waters)] if waters else []
    for symbol, number in [*outer, *((s, n * times) for s, n in inner), *hydrate]:
        expected[symbol] = expected.get(symbol, 0) + number
    assert dict(parse_formula(text).counts) == expected


@given(st.text(alphabet="NaClHOSFe()[]0123456789.·^+-⁺²₂ *xaq", max_size=12))
def test_nothing_but_a_formula_or_its_error(text: str) -> None:
    try:
        formula = parse_formula(text)
    except FormulaError as error:
        refused = error
    else:
        assert formula.counts
        assert all(number > 0 for _, number in formula.counts)
        return
    assert refused.hint
    assert 0 <= refused.position <= len(text)
