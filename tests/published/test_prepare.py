"""Preparing a stock and labelling it, against a textbook, a standard and the regulation."""

from __future__ import annotations

from importlib import resources

import numpy as np
import pytest

from tarebook.chemistry.stock import from_dilution, from_mass_fraction_and_density
from tarebook.core.quantity import Measured, Source
from tarebook.planning.prepare.batches import volume_to_take
from tarebook.planning.prepare.hazards import classify
from tarebook.planning.prepare.stock_check import stock_check
from tarebook.planning.prepare.stock_recipe import stock_recipe
from tarebook.series.definition import parse_definition

BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
BOOK = Source("OpenStax, Chemistry 2e", "read")


def exactly(value: float, unit: str) -> Measured:
    return Measured(value=value, u=0.0, unit=unit, source=BOOK)


@pytest.mark.published(
    "OpenStax, Chemistry 2e (Flowers, Theopold, Langley, Robinson), Example 3.21: 0.314 L of "
    "1.59 mol/L KOH for 5.00 L of 0.100 mol/L; basis read"
)
def test_stock_needed_for_a_dilution() -> None:
    np.testing.assert_allclose(volume_to_take(0.100, 5.00, 1.59), 0.314, rtol=0, atol=0.0005)


@pytest.mark.published(
    "OpenStax, Chemistry 2e, Example 3.19: 0.850 L of 5.00 mol/L Cu(NO3)2 made up to 1.80 L is "
    "2.36 mol/L; basis read"
)
def test_concentration_after_a_dilution() -> None:
    made = from_dilution(exactly(5.00, "mol/L"), exactly(0.850, "L"), exactly(1.80, "L"))
    np.testing.assert_allclose(made.value, 2.36, rtol=0, atol=0.005)
    # And back: the recipe takes what the book began with.
    np.testing.assert_allclose(volume_to_take(2.36, 1.80, 5.00), 0.850, rtol=0, atol=0.002)


@pytest.mark.published(
    "OpenStax, Chemistry 2e, Example 3.23: 0.500 L of hydrochloric acid of 37.2 % and 1.19 g/mL "
    "holds 221 g of HCl; basis read"
)
def test_concentrated_acid_of_the_book() -> None:
    strength = from_mass_fraction_and_density("HCl", exactly(37.2, "%"), exactly(1190.0, "g/L"))
    np.testing.assert_allclose(0.500 * strength.value * 36.458, 221.0, rtol=0, atol=0.5)


@pytest.mark.published(
    "OpenStax, Chemistry 2e, Example 3.23: acid of 37.2 % and 1.19 g/mL as the bought material; "
    "what the recipe weighs holds the moles that the same text's c = n/V asks for; basis read"
)
def test_the_recipe_from_the_books_acid() -> None:
    bought = (
        '\n[prepare.bought]\nname = "acid of the book"\nstrength = { given_as = '
        '"mass fraction and density", mass_fraction = 0.372, density_g_per_mL = 1.19 }\n'
    )
    recipe = stock_recipe(parse_definition(BLANK + bought), 0.95)
    # The book's 221 g in 0.500 L are 6.06 mol: half a mole stands in 41.2 mL (0.1 mL: 221 has
    # three digits).
    assert recipe.batch == 1.0
    np.testing.assert_allclose(1000.0 * recipe.volume, 0.5 / (221.0 / 36.458) * 500.0, atol=0.1)


@pytest.mark.published(
    "ASTM E1272-02 (2019), Table 1, class B is within twice class A: 25 mL 0.34, 50 mL 0.5, "
    "100 mL 1.0, 250 mL 2, 500 mL 4 mL; basis read"
)
@pytest.mark.parametrize(
    ("strength", "capacity", "tolerance"),
    [(0.25, 25, 0.34), (0.5, 50, 0.5), (0.9, 100, 1.0), (2.5, 250, 2.0), (5.5, 500, 4.0)],
)
def test_the_cylinder_that_measures_the_acid(
    strength: float, capacity: float, tolerance: float
) -> None:
    text = BLANK.replace("mol_per_L = 0.500", f"mol_per_L = {strength}")
    recipe = stock_recipe(parse_definition(text), 0.99)
    assert recipe.batch == 1.0
    assert recipe.measuring is not None
    np.testing.assert_allclose(1000 * recipe.measuring.capacity, capacity, rtol=1e-12)
    np.testing.assert_allclose(1000 * recipe.measuring.tolerance, tolerance, rtol=1e-12)


@pytest.mark.published(
    "ASTM E969-02 (2012), Table 1, class A: 5 mL 0.01, 10 mL 0.02, 25 mL 0.03 mL; "
    "basis read (10 and 25 mL secondary)"
)
@pytest.mark.parametrize("strength", [0.02, 0.05, 0.11, 0.5])
def test_the_pipette_that_takes_the_aliquot(strength: float) -> None:
    rows = {5: 0.01, 10: 0.02, 20: 0.03, 25: 0.03}
    check = stock_check(
        parse_definition(BLANK.replace("mol_per_L = 0.500", f"mol_per_L = {strength}"))
    )
    assert check is not None
    size = round(1000 * check.aliquot)
    np.testing.assert_allclose(1000 * check.aliquot_tolerance, rows[size], rtol=1e-12)


LIMITS = "Regulation (EC) No 1272/2008, Annex VI, specific concentration limits of "


@pytest.mark.published(
    LIMITS + "acetic acid: 1A from 90 %, 1B from 25 %, irritant from 10 %; basis memory"
)
@pytest.mark.parametrize(
    ("percent", "statements", "skin"),
    [
        (100.0, {"H226", "H314"}, "1A"),
        (90.0, {"H226", "H314"}, "1A"),
        (89.9, {"H226", "H314"}, "1B"),
        (79.0, {"H314"}, "1B"),
        (25.0, {"H314"}, "1B"),
        (24.9, {"H315", "H319"}, ""),
        (10.0, {"H315", "H319"}, ""),
        (9.9, set(), ""),
        (5.0, set(), ""),
    ],
)
def test_acetic_acid(percent: float, statements: set[str], skin: str) -> None:
    found = classify("CH3COOH", percent)
    assert (set(found.H), found.skin) == (statements, skin)
    assert found.source is not None
    assert found.source.basis == "memory"


@pytest.mark.published(
    LIMITS + "hydrochloric acid: 1B from 25 %, irritant and H335 from 10 %; basis memory"
)
@pytest.mark.parametrize(
    ("percent", "statements"),
    [
        (37.0, {"H290", "H314", "H335"}),
        (25.0, {"H290", "H314", "H335"}),
        (24.9, {"H290", "H315", "H319", "H335"}),
        (10.0, {"H290", "H315", "H319", "H335"}),
        (9.9, {"H290"}),
        (0.4, {"H290"}),
    ],
)
def test_hydrochloric_acid(percent: float, statements: set[str]) -> None:
    found = classify("HCl", percent)
    assert set(found.H) == statements
    assert found.source is not None
    assert found.source.basis == "memory"
    assert not found.verified


@pytest.mark.published(
    LIMITS + "sodium hydroxide: 1A from 5 %, 1B from 2 %, irritant from 0.5 %; basis secondary"
)
@pytest.mark.parametrize(
    ("percent", "statements", "skin"),
    [
        (5.0, {"H290", "H314"}, "1A"),
        (4.9, {"H290", "H314"}, "1B"),
        (2.0, {"H290", "H314"}, "1B"),
        (1.9, {"H290", "H315", "H319"}, ""),
        (0.5, {"H290", "H315", "H319"}, ""),
        (0.49, {"H290"}, ""),
    ],
)
def test_sodium_hydroxide(percent: float, statements: set[str], skin: str) -> None:
    found = classify("NaOH", percent)
    assert (set(found.H), found.skin) == (statements, skin)


@pytest.mark.published(LIMITS + "sulfuric acid: 1A from 15 %, irritant from 5 %; basis secondary")
@pytest.mark.parametrize(
    ("percent", "statements", "skin"),
    [
        (96.0, {"H290", "H314"}, "1A"),
        (15.0, {"H290", "H314"}, "1A"),
        (14.9, {"H290", "H315", "H319"}, ""),
        (5.0, {"H290", "H315", "H319"}, ""),
        (4.9, {"H290"}, ""),
    ],
)
def test_sulfuric_acid(percent: float, statements: set[str], skin: str) -> None:
    found = classify("H2SO4", percent)
    assert (set(found.H), found.skin) == (statements, skin)


@pytest.mark.published(
    "UN GHS (ST/SG/AC.10/30): pictograms and signal words of the concentrated materials as "
    "suppliers' labels have them; basis memory (sodium hydroxide, sulfuric, acetic: secondary)"
)
@pytest.mark.parametrize(
    ("formula", "percent", "pictograms", "signal"),
    [
        ("CH3COOH", 99.8, {"GHS02", "GHS05"}, "danger"),
        ("HCl", 37.0, {"GHS05", "GHS07"}, "danger"),
        ("NaOH", None, {"GHS05"}, "danger"),
        ("H2SO4", 96.0, {"GHS05"}, "danger"),
        ("C6H8O7", None, {"GHS07"}, "warning"),
        ("Na2CO3", None, {"GHS07"}, "warning"),
        ("CaCl2", None, {"GHS07"}, "warning"),
        ("Mg", None, {"GHS02"}, "danger"),
        ("H2O2", 70.0, {"GHS03", "GHS05", "GHS07"}, "danger"),
        ("NaHCO3", None, set(), ""),
        ("NaCl", None, set(), ""),
    ],
)
def test_pictograms_and_signal_words(
    formula: str, percent: float | None, pictograms: set[str], signal: str
) -> None:
    found = classify(formula, percent)
    assert (set(found.pictograms), found.signal) == (pictograms, signal)
