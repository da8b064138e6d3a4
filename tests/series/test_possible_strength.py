"""Strengths that cannot be and titres that do not agree are refused, with what was meant."""

from __future__ import annotations

from pathlib import Path

import pytest

from tarebook.chemistry.substances import strongest_solution
from tarebook.core.errors import InputError
from tarebook.series.definition import parse_definition

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
CLEAN = (POOL / "experiment.toml").read_text(encoding="utf-8")
TITRES = "titrant_mL = [18.75, 18.80, 18.75]"


def said(old: str, new: str) -> str:
    assert old in CLEAN
    with pytest.raises(InputError) as raised:
        parse_definition(CLEAN.replace(old, new))
    return str(raised.value)


def test_a_titre_ten_times_the_others_is_named_with_what_was_meant() -> None:
    text = said(TITRES, "titrant_mL = [18.75, 18.80, 187.5]")
    assert text.startswith("1 fault")
    assert "reagent.strength.titrant_mL, item 3" in text
    assert "Was it 18.75 mL?" in text


def test_of_two_titres_that_differ_neither_is_held_the_right_one() -> None:
    text = said(TITRES, "titrant_mL = [18.75, 16.10]")
    assert text.startswith("1 fault")
    assert "leave a rough titre out" in text


def test_a_stock_that_no_litre_holds_is_refused_with_the_strengths_a_unit_away() -> None:
    text = said(TITRES, "titrant_mL = [1875, 1880, 1875]")
    assert "75.1 mol/L HCl" in text
    assert "at most 14 mol/L" in text
    assert "7.51 or 0.751" in text


@pytest.mark.parametrize("titres", ["[18.75]", "[18.75, 18.80]", "[18.75, 19.9, 18.6, 18.8]"])
def test_titres_as_people_have_them_are_taken(titres: str) -> None:
    assert parse_definition(CLEAN.replace(TITRES, f"titrant_mL = {titres}")).reagent


@pytest.mark.parametrize(
    ("reagent", "strength"), [("HCl", 12.4), ("H2SO4", 18.4), ("HNO3", 16.0), ("CH3COOH", 17.4)]
)
def test_the_strongest_bottles_of_a_shelf_can_be(reagent: str, strength: float) -> None:
    """Concentrated acids as they are sold, from memory: 38, 98, 70 and 100 % by mass."""
    assert strength < strongest_solution(reagent) < 2 * strength


@pytest.mark.parametrize("value", ["1e-300", "1e308", "-1.0", "inf", "9" * 4300, "9" * 5000])
def test_numbers_that_no_bench_has_are_refused(value: str) -> None:
    assert "fault" in said("nominal_g = 1.500", f"nominal_g = {value}")
