"""How the stock is made and checked."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.errors import InputError, OutOfRangeError
from tarebook.planning.prepare.batches import batches, volume_to_take
from tarebook.planning.prepare.stock_check import TITRE, stock_check, titration_block
from tarebook.planning.prepare.stock_recipe import Way, stock_recipe
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"
BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
GIVEN = 'given_as = "mol per L"\nmol_per_L = 0.500'


def with_reagent(formula: str, products: str, *, strength: str = GIVEN, more: str = "") -> str:
    text = BLANK.replace("NaHCO3 + HCl -> NaCl + H2O + CO2", f"NaHCO3 + {formula} -> {products}")
    return text.replace('reagent = "HCl"', f'reagent = "{formula}"').replace(GIVEN, strength) + more


def example(name: str) -> Experiment:
    return parse_definition((EXAMPLES / name / "experiment.toml").read_text(encoding="utf-8"))


def made_moles(experiment: Experiment, volume: float) -> tuple[float, float]:
    """Return moles that the batch holds by the masses on the sheet, and those wanted."""
    recipe = stock_recipe(experiment, volume)
    supply = recipe.supply
    molar = experiment.reaction.reagent_molar_mass.value
    return (
        recipe.mass * supply.mass_fraction.value / molar,
        recipe.batch * experiment.reagent.concentration.value,
    )


@pytest.mark.parametrize("name", ["clean-pool-granules", "weak-acid-foot-bath"])
def test_the_masses_on_the_sheet_hold_the_moles_wanted(name: str) -> None:
    held, wanted = made_moles(example(name), 1.2)
    np.testing.assert_allclose(held, wanted, rtol=1e-9)


def test_what_goes_in_weighs_what_comes_out() -> None:
    recipe = stock_recipe(example("clean-pool-granules"), 0.9)
    water_density = 998.0  # g/L at the 21 degC of the room
    inside = recipe.mass + recipe.water * water_density
    np.testing.assert_allclose(inside, recipe.batch * recipe.density, rtol=1e-4)
    assert 0 < recipe.first_water < recipe.batch


def test_a_dilution_is_made_from_the_stock_that_the_definition_names() -> None:
    recipe = stock_recipe(example("weak-acid-foot-bath"), 0.5)
    assert recipe.way is Way.LIQUID
    assert recipe.supply.concentration is not None
    assert recipe.supply.concentration.value == 4.0
    # 4.00 mol/L to 0.800 mol/L is one part in five.
    np.testing.assert_allclose(recipe.volume, recipe.batch / 5.0, rtol=1e-12)


def test_glacial_acid_is_the_usual_source_of_dilute_acetic_acid() -> None:
    text = with_reagent("CH3COOH", "NaCH3COO + H2O + CO2")
    recipe = stock_recipe(parse_definition(text), 0.9)
    assert recipe.supply.mass_fraction.value > 0.99
    assert recipe.supply.heat == "little"
    # 0.5 mol of 60.05 g/mol in 99.8 % acid: 30.09 g for a litre, 28.7 mL of 1.049 g/mL.
    np.testing.assert_allclose(recipe.mass / recipe.batch, 30.09, atol=0.005)
    np.testing.assert_allclose(1000 * recipe.volume / recipe.batch, 28.7, atol=0.05)


def test_water_of_crystallisation_is_weighed_and_counts_as_water() -> None:
    text = with_reagent("C6H8O7", "Na3C6H5O7 + H2O + CO2")
    recipe = stock_recipe(parse_definition(text), 1.0)
    assert recipe.way is Way.SOLID
    assert recipe.supply.solid == "C6H8O7.H2O"
    # 0.5 mol of the monohydrate, 210.14 g/mol, purity 99.5 %.
    np.testing.assert_allclose(recipe.mass, 0.5 * 210.14 / 0.995, rtol=1e-4)


def test_vinegar_given_by_its_label_is_used_as_it_comes() -> None:
    label = 'given_as = "g per 100 mL"\ng_per_100_mL = 5.0'
    text = with_reagent("CH3COOH", "NaCH3COO + H2O + CO2", strength=label)
    recipe = stock_recipe(parse_definition(text), 0.9)
    assert recipe.way is Way.AS_BOUGHT
    assert recipe.total == 0.9
    assert recipe.water == 0.0


def test_a_stock_stronger_than_what_is_bought_is_refused_with_what_works() -> None:
    bought = (
        '\n[prepare.bought]\nname = "vinegar"\n'
        'strength = { given_as = "g per 100 mL", g_per_100_mL = 2.0 }\n'
    )
    text = with_reagent("CH3COOH", "NaCH3COO + H2O + CO2", more=bought)
    with pytest.raises(InputError, match=r"from vinegar.*Plan a stock of 0\.33 mol/L"):
        stock_recipe(parse_definition(text), 1.0)


def test_more_than_dissolves_is_refused() -> None:
    strength = 'given_as = "mol per L"\nmol_per_L = 3.0'
    text = BLANK.replace("NaHCO3 + HCl -> NaCl", "KHSO4 + Na2CO3 -> K2SO4 + Na2SO4").replace(
        'sample = "NaHCO3"', 'sample = "KHSO4"'
    )
    text = text.replace('reagent = "HCl"', 'reagent = "Na2CO3"').replace(GIVEN, strength)
    with pytest.raises(InputError, match=r"more does not dissolve.*Plan a stock of 1\.6 mol/L"):
        stock_recipe(parse_definition(text), 1.0)


def test_an_unknown_solute_needs_to_be_told_what_is_bought() -> None:
    text = with_reagent("HNO3", "NaNO3 + H2O + CO2")
    with pytest.raises(InputError, match=r"key prepare\.bought"):
        stock_recipe(parse_definition(text), 1.0)
    bought = (
        '\n[prepare.bought]\nname = "nitric acid, 65 %"\nstrength = { given_as = '
        '"mass fraction and density", mass_fraction = 0.65, density_g_per_mL = 1.39 }\n'
    )
    told = stock_recipe(parse_definition(text + bought), 1.0)
    # 0.5 mol x 63.01 g/mol / 0.65 = 48.47 g for a litre.
    np.testing.assert_allclose(told.mass / told.batch, 48.47, atol=0.01)


def test_sodium_hydroxide_says_how_hot_it_would_get() -> None:
    text = BLANK
    for old, new in (
        ("NaHCO3 + HCl -> NaCl + H2O + CO2", "NH4Cl + NaOH -> NaCl + H2O + NH3"),
        ('sample = "NaHCO3"', 'sample = "NH4Cl"'),
        ('gas = "CO2"', 'gas = "NH3"'),
        ('reagent = "HCl"', 'reagent = "NaOH"'),
    ):
        text = text.replace(old, new)
    recipe = stock_recipe(parse_definition(text), 1.0)
    assert recipe.supply.heat == "strong"
    assert recipe.rise is not None
    # 44.3 kJ/mol x 0.5 mol in a litre of 1.02 kg and 4.18 J/(g K): 5.2 K.
    np.testing.assert_allclose(recipe.rise, 5.2, atol=0.05)


def test_batches_never_make_too_little_nor_much_too_much() -> None:
    for volume in np.linspace(0.01, 60.0, 600):
        count, size, by_mass = batches(float(volume))
        assert count * size >= volume - 1e-9
        assert by_mass == (size > 2.0)
        if volume > 0.25:
            assert count * size <= 2.0 * volume + 0.25 + 1e-9


def test_what_becomes_very_hot_is_never_made_in_a_large_container() -> None:
    text = with_reagent("H2SO4", "Na2SO4 + H2O + CO2")
    hot = stock_recipe(parse_definition(text), 9.0)
    assert hot.supply.heat == "strong"
    assert not hot.by_mass
    assert (hot.n_batches, hot.batch) == (5, 2.0)
    mild = stock_recipe(parse_definition(with_reagent("CH3COOH", "NaCH3COO + H2O + CO2")), 9.0)
    assert mild.by_mass


def test_no_dilution_makes_anything_stronger() -> None:
    with pytest.raises(OutOfRangeError):
        volume_to_take(1.0, 1.0, 0.9)
    with pytest.raises(OutOfRangeError):
        batches(0.0)


@pytest.mark.parametrize(
    ("formula", "products", "per_mole"),
    [
        ("HCl", "NaCl + H2O + CO2", 1.0),
        ("CH3COOH", "NaCH3COO + H2O + CO2", 1.0),
        ("H2SO4", "Na2SO4 + H2O + CO2", 2.0),
        ("C6H8O7", "Na3C6H5O7 + H2O + CO2", 3.0),
    ],
)
@pytest.mark.parametrize("strength", [0.05, 0.5, 1.5])
def test_the_block_gives_the_strength_back(
    formula: str, products: str, per_mole: float, strength: float
) -> None:
    """Fill the expected titres in, read the definition again: the same strength and uncertainty."""
    given = f'given_as = "mol per L"\nmol_per_L = {strength}'
    text = with_reagent(formula, products, strength=given)
    check = stock_check(parse_definition(text))
    assert check is not None
    assert check.per_mole == per_mole
    assert TITRE[0] <= check.titre <= TITRE[1]
    titre = 1000.0 * check.titre
    block = titration_block(check, f"{titre - 0.03:.4f}, {titre:.4f}, {titre + 0.03:.4f}")
    old = text[text.index("[reagent.strength]") : text.index("[series]")]
    again = parse_definition(text.replace(old, block + "\n\n"))
    found = again.reagent.concentration
    np.testing.assert_allclose(found.value, strength, rtol=1e-5)
    if check.dilution == 1:
        np.testing.assert_allclose(found.u, check.expected.u, rtol=0.01)
    assert again.reagent.strength_is_sure


def test_a_blank_block_cannot_be_taken_for_a_result() -> None:
    check = stock_check(example("clean-pool-granules"))
    assert check is not None
    text = (EXAMPLES / "clean-pool-granules" / "experiment.toml").read_text(encoding="utf-8")
    old = text[text.index("[reagent.strength]") : text.index("[series]")]
    with pytest.raises(InputError):
        parse_definition(text.replace(old, titration_block(check) + "\n"))


def test_a_strong_stock_is_diluted_before_it_is_titrated() -> None:
    given = 'given_as = "mol per L"\nmol_per_L = 8.0'
    check = stock_check(parse_definition(with_reagent("HCl", "NaCl + H2O + CO2", strength=given)))
    assert check is not None
    assert check.dilution == 10
    assert check.effective_aliquot == check.aliquot / 10


def test_a_solute_that_is_neither_acid_nor_base_has_no_titration() -> None:
    text = with_reagent("HNO3", "NaNO3 + H2O + CO2")
    assert stock_check(parse_definition(text)) is None
