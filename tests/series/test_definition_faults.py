"""Every fault of a definition at once, each with its place, what was found, what is allowed."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.core.errors import Fault, InputError
from tarebook.series.definition import parse_definition

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
CLEAN = (POOL / "experiment.toml").read_text(encoding="utf-8")
STRENGTH = CLEAN[CLEAN.index("[reagent.strength]") : CLEAN.index("[series]")]

SORTS = (
    "mol per L",
    "mass percent",
    "g per 100 mL",
    "mass fraction and density",
    "weighed solid",
    "dilution",
    "titration",
)


def changed(*changes: tuple[str, str]) -> str:
    """Return the clean definition with some texts replaced; each of them must stand there."""
    text = CLEAN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def with_strength(block: str) -> str:
    return CLEAN.replace(STRENGTH, f"[reagent.strength]\n{block}\n\n")


def faults(text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        parse_definition(text)
    return caught.value.faults


def fault(text: str) -> Fault:
    found = faults(text)
    assert len(found) == 1, [str(one) for one in found]
    return found[0]


def test_an_empty_definition_says_how_to_begin() -> None:
    assert "tarebook start" in fault("\n  \n").do


def test_faults_of_all_parts_are_listed_together() -> None:
    """A wrong type in one table does not hide what is wrong in the others."""
    text = changed(
        ("nominal_g = 1.500", 'nominal_g = "1.500"'),
        ("H2O + CO2", "H2O"),
        ("reagent_mL = [5, 10,", "reagent_mL = [500, 10,"),
        ("readability_g = 0.001", "readability_g = 0.003"),
        ("aliquot_mL = 5.00", "aliquot_mL = -5.00"),
        ("[room]", "[rom]"),
    )
    keys = {one.where.removeprefix("experiment.toml, key ") for one in faults(text)}
    assert keys == {
        "sample.nominal_g",
        "reaction.equation",
        "series.reagent_mL, item 1",
        "instruments.balance",
        "reagent.strength.aliquot_mL",
        "rom",
    }


def test_every_fault_says_where_what_and_what_is_allowed() -> None:
    text = changed(("nominal_g", "nominl_g"), ("[room]", "[rom]"), ('"HCl"', '"HBr"'))
    for one in faults(text):
        assert one.where.startswith("experiment.toml, key ")
        assert one.found
        assert one.allowed
        assert one.do


def test_a_misspelt_key_is_one_fault_with_a_suggestion() -> None:
    one = fault(changed(("nominal_g", "nominl_g")))
    assert one.where.endswith("key sample.nominl_g")
    assert one.do == "Did you mean nominal_g?"


def test_a_misspelt_key_of_a_strength_is_suggested_too() -> None:
    one = fault(changed(("aliquot_mL", "aliqot_mL")))
    assert one.where.endswith("key reagent.strength.aliqot_mL")
    assert one.do == "Did you mean aliquot_mL?"


def test_a_key_from_nowhere_lists_what_is_known() -> None:
    one = fault(changed(("[room]", "[room]\nxyzzy = 1")))
    assert "temperature_C" in one.allowed
    assert "Remove it" in one.do


def test_a_missing_key_and_a_missing_table() -> None:
    assert fault(changed(("nominal_g = 1.500\n", ""))).do.startswith("Add a line: nominal_g =")
    without = CLEAN[: CLEAN.index("[series]")] + CLEAN[CLEAN.index("[instruments.reagent]") :]
    assert "[series]" in fault(without).do


@pytest.mark.parametrize(
    ("old", "new", "key", "allowed"),
    [
        ("nominal_g = 1.500", 'nominal_g = "1.5"', "sample.nominal_g", "a number, without quotes"),
        ("nominal_g = 1.500", "nominal_g = nan", "sample.nominal_g", "a finite number"),
        ("nominal_g = 1.500", "nominal_g = inf", "sample.nominal_g", "a finite number"),
        ("nominal_g = 1.500", "nominal_g = 0", "sample.nominal_g", "0.001 or more"),
        ("total_mL = 40", "total_mL = true", "series.total_mL", "a number, without quotes"),
        ('name = "pool granules"', "name = 3", "sample.name", 'a text in "quotes"'),
        ('name = "pool granules"', 'name = ""', "sample.name", "a text that is not empty"),
        ('name = "pool granules"', 'name = "pool\\u0000 granules"', "sample.name",
         "characters that can be printed"),
        ("claimed_mass_fraction = 0.95", "claimed_mass_fraction = 95",
         "sample.claimed_mass_fraction", "at most 1"),
        ("reagent_mL = [5, 10,", "reagent_mL = [-5, 10,", "series.reagent_mL, item 1", "0 or more"),
        ("reagent_mL = [5, 10,", 'reagent_mL = [5, "10",', "series.reagent_mL, item 2",
         "a number, without quotes"),
        ("reagent_mL = [5, 10, 14, 18, 22, 26, 30, 35]", "reagent_mL = 5", "series.reagent_mL",
         "a list, as in [5, 10, 15]"),
        ("reagent_mL = [5, 10, 14, 18, 22, 26, 30, 35]", "reagent_mL = []", "series.reagent_mL",
         "a list of at least 1"),
        ("temperature_C = 21", "temperature_C = 70", "room.temperature_C", "at most 40"),
        ("temperature_C = 21", "temperature_C = 1979-05-27", "room.temperature_C",
         "a number, without quotes"),
    ],
)  # fmt: skip
def test_a_value_of_the_wrong_kind(old: str, new: str, key: str, allowed: str) -> None:
    one = fault(changed((old, new)))
    assert one.where == f"experiment.toml, key {key}"
    assert one.allowed == allowed


def test_a_long_value_is_not_repeated_in_full() -> None:
    one = fault(changed(('"pool granules"', '"' + "x" * 100_000 + '"')))
    assert len(str(one)) < 300


@pytest.mark.parametrize(
    ("typed", "suggestion"), [("titraton", "titration"), ("mass per cent", "mass percent")]
)
def test_a_wrong_way_to_give_the_strength_is_understandable(typed: str, suggestion: str) -> None:
    one = fault(changed(('given_as = "titration"', f'given_as = "{typed}"')))
    assert one.where == "experiment.toml, key reagent.strength.given_as"
    assert one.found == f"'{typed}'"
    assert all(f'"{sort}"' in one.allowed for sort in SORTS)
    assert one.do == f"Did you mean {suggestion}?"
    assert "tag" not in str(one)
    assert "discriminator" not in str(one)


def test_a_missing_way_to_give_the_strength_is_understandable() -> None:
    one = fault(changed(('given_as = "titration"\n', "")))
    assert one.where == "experiment.toml, key reagent.strength.given_as"
    assert one.found == "nothing"
    assert all(f'"{sort}"' in one.allowed for sort in SORTS)
    assert 'given_as = "mol per L"' in one.do
    assert "discriminator" not in str(one)


def test_the_stock_of_a_dilution_needs_its_own_way() -> None:
    block = """given_as = "dilution"
taken = { mL = 10, tolerance_mL = 0.1 }
made_up_to = { mL = 100, tolerance_mL = 0.1 }
[reagent.strength.of]
given_as = "dilution"
"""
    one = fault(with_strength(block))
    assert one.where == "experiment.toml, key reagent.strength.of.given_as"
    assert "dilution" not in one.allowed  # a dilution of a dilution is worked out by hand first


def test_a_strength_that_is_no_table() -> None:
    text = CLEAN.replace(STRENGTH, "strength = 0.75\n\n")
    one = fault(text)
    assert one.found == "0.75"
    assert one.allowed.startswith("a table")


def test_how_sure_is_said_once() -> None:
    block = 'given_as = "mol per L"\nmol_per_L = 0.5\nrelative_u = 0.01\ntolerance_percent = 1.0'
    assert "relative_u or tolerance_percent" in fault(with_strength(block)).allowed


def test_an_equation_that_does_not_balance_says_which_element() -> None:
    one = fault(changed(("H2O + CO2", "H2O")))
    assert one.where.endswith("reaction.equation")
    assert "C stands only on the left" in one.found
    assert "Add the species" in one.do


def test_a_zero_for_an_o_is_named_once() -> None:
    one = fault(changed(("NaHCO3", "NaHC03")))
    assert "03" in one.found
    assert "NaHCO3" in one.do


def test_a_species_that_the_equation_does_not_hold() -> None:
    one = fault(changed(('gas = "CO2"', 'gas = "CO"')))
    assert one.where.endswith("reaction.gas")
    assert "NaCl, H2O, CO2" in one.allowed
    assert one.do == "Did you mean CO2?"


def test_analyte_and_reagent_are_two_species() -> None:
    one = fault(changed(('reagent = "HCl"', 'reagent = "NaHCO3"')))
    assert one.where.endswith("reaction.reagent")


def test_the_gas_is_a_product() -> None:
    assert "products" in fault(changed(('gas = "CO2"', 'gas = "HCl"'))).allowed


def test_planned_runs_must_fit_the_total_and_their_names() -> None:
    one = fault(changed(("26, 30, 35]", "26, 30, 45]")))
    assert "45 mL" in one.found
    assert "40 mL" in one.allowed
    named = changed(("diluent = ", 'runs = ["A", "A"]\ndiluent = '))
    assert {each.found for each in faults(named)} == {"2 names", "A twice"}


def test_a_vessel_smaller_than_its_liquid() -> None:
    one = fault(changed(("capacity_mL = 200", "capacity_mL = 30")))
    assert one.where.endswith("vessel.capacity_mL")
    assert "40 mL" in one.allowed


@pytest.mark.parametrize(
    ("old", "new", "key", "needs"),
    [
        ("claimed_mass_fraction = 0.95\n", "", "sample.claimed_tolerance", "claimed_mass_fraction"),
        ("own_acid_mmol_per_g = 0.0\n", "", "sample.own_acid_u_mmol_per_g", "own_acid_mmol_per_g"),
        ("minutes = 10", "head_gas_u = 0.1", "waiting.head_gas_u", "head_gas_fraction"),
    ],
)
def test_an_uncertainty_without_its_value_counts_for_nothing_and_is_refused(
    old: str, new: str, key: str, needs: str
) -> None:
    one = fault(changed((old, new)))
    assert one.where.endswith(key)
    assert needs in one.do


def test_two_uncertainties_of_one_claim() -> None:
    one = fault(changed(("claimed_tolerance = 0.02", "claimed_tolerance = 0.02\nclaimed_u = 0.01")))
    assert one.do == "Keep one."


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('kind = "graduated cylinder"', 'kind = "cylinder"', "kind"),
        ('grade = "A"', 'grade = "C"', "grade"),
        ('grade = "A"', 'standard = "ISO 1"', "standard"),
    ],
)
def test_an_instrument_no_standard_knows(old: str, new: str, key: str) -> None:
    found = faults(changed((old, new)))
    assert [one.where for one in found] == [
        f"experiment.toml, key instruments.reagent.{key}",
        f"experiment.toml, key instruments.diluent.{key}",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "nominal_g = 1,5",
        "title = unquoted",
        "[room]\ntemperature_C = 21\ntemperature_C = 22\n",
        "x = " + "[" * 5000,
        "\x01",
        "just words",
    ],
)
def test_what_is_no_toml_says_how_to_write_it(text: str) -> None:
    one = fault(text)
    assert one.where == "experiment.toml"
    assert "TOML" in one.allowed
    assert len(one.found) < 200


def test_a_number_too_large_for_the_machine() -> None:
    one = fault(changed(("nominal_g = 1.500", "nominal_g = 1" + "0" * 400)))
    assert one.where.endswith("sample.nominal_g")


@pytest.mark.slow
@given(line=st.integers(0, CLEAN.count("\n")), text=st.text(max_size=30))
def test_whatever_stands_there_is_read_or_refused(line: int, text: str) -> None:
    """One line of a sound definition replaced by anything: an experiment or an InputError."""
    lines = CLEAN.split("\n")
    lines[line] = text
    try:
        planned, places = len(parse_definition("\n".join(lines)).planned), {"experiment.toml"}
    except InputError as error:
        planned, places = 1, {one.where.split(",")[0] for one in error.faults}
    assert planned
    assert places == {"experiment.toml"}


def test_no_open_cup_that_stopped_fizzing_stands_under_two_atmospheres_and_more() -> None:
    one = fault(changed(("[waiting]", "[waiting]\ngas_pressure_atm = 2.7")))
    assert one.where.endswith("waiting.gas_pressure_atm")
    assert "2.7" in one.found
    assert "2" in one.allowed
