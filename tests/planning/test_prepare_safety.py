"""Hazards at their concentration, the gas against the room, what is left over."""

from __future__ import annotations

import datetime as dt
from importlib import resources
from typing import Any

import numpy as np
import pytest

from tarebook.chemistry.formula import parse_formula
from tarebook.core.errors import OutOfRangeError
from tarebook.core.tables import reference_table
from tarebook.planning.prepare.hazards import classify, hazards, percent_of
from tarebook.planning.prepare.neutralise import WasteWay, waste
from tarebook.planning.prepare.stock_check import stock_check
from tarebook.planning.prepare.stock_recipe import stock_recipe
from tarebook.planning.prepare.ventilation import AirVerdict, air_load, rise
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Confirmed, Experiment

BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
GAS_CONSTANT = 8.314462618
TARTARIC = "2 NaHCO3 + C4H6O6 -> Na2C4H4O6 + 2 H2O + 2 CO2"


@pytest.fixture(scope="module")
def experiment() -> Experiment:
    return parse_definition(BLANK)


def metal() -> Experiment:
    text = BLANK.replace("NaHCO3 + HCl -> NaCl + H2O + CO2", "Mg + HCl -> MgCl2 + H2")
    text = text.replace('sample = "NaHCO3"', 'sample = "Mg"').replace('gas = "CO2"', 'gas = "H2"')
    return parse_definition(text.replace("nominal_g = 1.00", "nominal_g = 0.10"))


def test_corrosion_takes_the_place_of_the_exclamation_mark_for_skin_and_eyes() -> None:
    # HCl at 37 % keeps it for the airways, NaOH at 10 % has nothing left for it.
    assert classify("HCl", 37.0).pictograms == ("GHS05", "GHS07")
    assert classify("NaOH", 10.0).pictograms == ("GHS05",)
    assert classify("NaOH", 1.0).pictograms == ("GHS05", "GHS07")


def test_statements_bring_the_signal_word_and_what_to_do() -> None:
    strong = classify("HCl", 30.0)
    assert strong.signal == "danger"
    assert {"P280", "P305+P351+P338", "P310"} <= set(strong.P)
    weak = classify("HCl", 1.8)
    assert (weak.H, weak.signal) == (("H290",), "warning")


def test_of_two_statements_the_stricter_one_stays() -> None:
    # H314 brings P260 (do not breathe), H335 P261 (avoid breathing).
    strong = classify("HCl", 37.0)
    assert "P260" in strong.P
    assert "P261" not in strong.P
    assert "P261" in classify("HCl", 15.0).P


def test_every_code_of_the_table_is_known_and_bands_fall() -> None:
    table = reference_table("tarebook.planning", "hazards")
    codes = table["codes"]["H"]
    for row in table["substances"]:
        starts = [band["from_percent"] for band in row["bands"]]
        assert starts == sorted(starts, reverse=True)
        assert not starts or starts[-1] == 0
        used = [code for band in row["bands"] for code in band["H"]] + list(row.get("solid", []))
        assert set(used) <= set(codes), row["key"]
        assert row["basis"] in ("read", "secondary", "library", "memory")


def test_what_is_not_in_the_table_is_never_called_harmless() -> None:
    unknown = classify("HClO4", 3.0)
    assert not unknown.known
    assert not unknown.verified
    assert not classify("HCl", None).known


def test_a_row_is_unverified_until_a_person_confirms_it() -> None:
    row = classify("HCl", 3.0)
    assert not row.verified
    confirmed = Confirmed(substance="HCl", sheet="sheet of 2026", by="xy", on=dt.date(2027, 2, 20))
    assert classify("HCl", 3.0, [confirmed]).verified
    assert not classify("NaOH", 3.0, [confirmed]).verified


@pytest.mark.parametrize("percent", [0.0, -1.0, 101.0])
def test_impossible_percentages_are_refused(percent: float) -> None:
    with pytest.raises(OutOfRangeError):
        classify("HCl", percent)


def test_all_that_stands_around_is_listed(experiment: Experiment) -> None:
    found = hazards(experiment, stock_recipe(experiment, 1.0), stock_check(experiment))
    assert [one.what for one in found] == ["stock", "bought", "sample", "titrant", "indicator"]
    stock, bought = found[0].classification, found[1].classification
    assert stock.mass_percent == pytest.approx(percent_of(0.5, 36.458, 1007.0), rel=0.002)
    assert bought.mass_percent == pytest.approx(37.0)


def test_room_air_by_hand(experiment: Experiment) -> None:
    """One group of the blank row: 1.00 g of NaHCO3 at most in each of eight cups.

    By hand: n(NaHCO3) = 1.00/84.006 = 11.904 mmol; 0.500 mol/L gives 4, 6, 8, 10 mmol in the first
    four cups and then the sample limits: 28 + 4 x 11.904 = 75.62 mmol. At 21 degC and 101.3 kPa a
    mole fills 24.141 L: 1.8254 L in 200 m3 is 9.13 ppm.
    """
    air = air_load(experiment, 1, 60.0, 4)
    np.testing.assert_allclose(air.amount, 0.07562, atol=5e-6)
    np.testing.assert_allclose(air.volume, 1.8254, atol=2e-4)
    np.testing.assert_allclose(1e6 * air.unventilated, 9.13, atol=0.005)
    # Two changes an hour over one hour: (1 - e^-2)/2 of it is there at the end.
    np.testing.assert_allclose(air.peak / air.unventilated, (1 - np.exp(-2.0)) / 2.0, rtol=1e-12)
    # Four people, 18 L an hour each.
    np.testing.assert_allclose(air.breathed, rise(72.0, 200e3, 2.0, 1.0), rtol=1e-12)
    assert air.verdict is AirVerdict.FINE


def test_the_rooms_balance_solves_its_differential_equation() -> None:
    volume, room, changes, hours = 50.0, 150e3, 1.7, 2.0
    steps, share = 200_000, 0.0
    each = hours / steps
    for _ in range(steps):
        share += each * (volume / hours / room - changes * share)
    np.testing.assert_allclose(rise(volume, room, changes, hours), share, rtol=1e-5)


def test_a_small_room_is_refused_with_the_groups_that_it_takes() -> None:
    text = BLANK + "\nvolume_m3 = 10\nair_changes_per_hour = 0\n"
    small = parse_definition(text.replace("nominal_g = 1.00", "nominal_g = 1.50"))
    air = air_load(small, 30, 60.0, 60)
    assert air.verdict is AirVerdict.TOO_MUCH
    assert not air.room_is_assumed
    assert air.most_groups is not None
    fewer = air_load(small, max(air.most_groups, 1), 60.0, 60)
    if air.most_groups >= 1:
        assert fewer.verdict is AirVerdict.FINE
        assert air_load(small, air.most_groups + 1, 60.0, 60).verdict is not AirVerdict.FINE


def test_hydrogen_burns_and_rises() -> None:
    air = air_load(metal(), 3, 60.0, 8)
    assert air.burns
    assert air.relative_density < 0.1
    assert air.limits is not None
    assert air.limits.flammable == 0.04
    assert air.breathed == 0.0


def test_pressure_under_a_stopper_by_hand(experiment: Experiment) -> None:
    # 11.904 mmol in 160 mL at 294.15 K, without what dissolves.
    air = air_load(experiment, 1, 60.0, 2)
    pressure = 1.00 / 84.006 * GAS_CONSTANT * 294.15 / 160e-6
    np.testing.assert_allclose(air.stoppered, pressure, rtol=1e-4)


def test_left_over_acid_by_hand(experiment: Experiment) -> None:
    # Nothing is claimed: most acid is left where the sample holds least, 60 %. Over 7.1424 mmol the
    # cups of 16 to 36 mL hold 8, 10, 12, 14, 16, 18 mmol: 35.146 mmol spare. 1 L made, 176 mL
    # poured. Poured together most gas comes at 100 % (of the five scenarios: 96 %, 11.428 mmol):
    # spare 0.572 + 2.572 + 4.572 + 6.572 = 14.288, unused 7.428 + 5.428 + 3.428 + 1.428 = 17.712.
    left = waste(experiment, 1, 1.0)
    spare, stock = 0.035146, (1.0 - 0.176) * 0.5
    assert left.way is WasteWay.ACID
    np.testing.assert_allclose(left.equivalents, spare + stock, rtol=1e-4)
    np.testing.assert_allclose(left.mass, (spare + stock) * 84.006, rtol=1e-4)
    molar = GAS_CONSTANT * 294.15 / 101.3
    np.testing.assert_allclose(left.gas_on_pooling, 0.014288 * molar, rtol=1e-3)


def test_tartaric_acid_left_over_counts_with_all_its_protons() -> None:
    text = BLANK.replace("NaHCO3 + HCl -> NaCl + H2O + CO2", TARTARIC)
    left = waste(parse_definition(text.replace('reagent = "HCl"', 'reagent = "C4H6O6"')), 1, 0.5)
    assert left.way is WasteWay.ACID
    assert left.neutraliser == "NaHCO3"
    # Two protons: 0.324 L of 0.5 mol/L that nobody poured are 0.324 mol of them alone.
    assert left.equivalents > 0.324


def test_an_unknown_reagent_is_collected() -> None:
    text = BLANK.replace("HCl", "HClO4").replace("NaCl", "NaClO4")
    left = waste(parse_definition(text), 2, 1.0)
    assert left.way is WasteWay.COLLECT
    assert left.neutraliser == ""


def test_a_base_is_neutralised_with_citric_acid() -> None:
    changes: dict[str, Any] = {
        "NaHCO3 + HCl -> NaCl + H2O + CO2": "NH4Cl + NaOH -> NaCl + H2O + NH3",
        'sample = "NaHCO3"': 'sample = "NH4Cl"',
        'reagent = "HCl"': 'reagent = "NaOH"',
        'gas = "CO2"': 'gas = "NH3"',
    }
    text = BLANK
    for old, new in changes.items():
        text = text.replace(old, new)
    left = waste(parse_definition(text), 1, 0.5)
    assert left.way is WasteWay.BASE
    assert left.gas_volume == 0.0
    np.testing.assert_allclose(left.mass, left.equivalents / 3.0 * 210.14, rtol=1e-4)


def test_every_substance_that_the_model_knows_stands_in_the_hazard_table() -> None:
    known = reference_table("tarebook.chemistry", "substances")
    formulas = [row["formula"] for kind in ("carbonate", "metal", "acid") for row in known[kind]]
    assert len(formulas) > 30
    for formula in formulas:
        assert classify(formula, None).key, formula


@pytest.mark.parametrize(
    ("formula", "percent", "codes"),
    [
        ("K2CO3", None, ("H315", "H319", "H335")),
        ("KHCO3", None, ()),
        ("NH4HCO3", None, ("H302",)),
        ("Na2CO3.10H2O", None, ("H319",)),
        ("NaHSO4.H2O", None, ("H318",)),
        ("NaHSO4", 2.0, ("H319",)),
        ("H2NSO3H", 10.0, ("H315", "H319")),
        ("C4H6O6", None, ("H318",)),
        ("H3PO4", 25.0, ("H290", "H302", "H314")),
        ("H3PO4", 24.9, ("H290", "H315", "H319")),
        ("HNO3", 65.0, ("H272", "H290", "H314", "H331")),
        ("HNO3", 6.3, ("H290", "H314")),
        ("C4H4O4", None, ("H319",)),
        ("Ca(H2PO4)2.H2O", None, ("H318",)),
    ],
)
def test_classification_of_added_substances(
    formula: str, percent: float | None, codes: tuple[str, ...]
) -> None:
    found = classify(formula, percent)
    assert codes == found.H
    assert found.source is not None
    # None of them was read in the regulation itself: each says so until a person confirms it.
    assert not found.verified


def test_no_row_rests_on_a_source_that_disowns_itself() -> None:
    table = reference_table("tarebook.planning", "hazards")
    for row in [*table["substances"], *table["indicators"], *table["gases"]]:
        assert "authoritative" not in row["source"]
        assert "fixture" not in row["source"]


def test_the_indicator_of_the_titration_is_classified_as_it_stands_on_the_bench(
    experiment: Experiment,
) -> None:
    check = stock_check(experiment)
    assert check is not None
    found = hazards(experiment, stock_recipe(experiment, 1.0), check)[-1]
    assert found.what == "indicator"
    assert found.classification.key == check.indicator == "phenolphthalein"
    assert {"H225", "H350"} <= set(found.classification.H)
    assert found.classification.signal == "danger"


def test_no_substance_stands_twice() -> None:
    rows = reference_table("tarebook.planning", "hazards")["substances"]
    keys = [row["key"] for row in rows]
    assert len(keys) == len(set(keys))
    # Spellings of one composition share a row.
    parts = [{parse_formula(one).composition for one in row["formulas"]} for row in rows]
    every = [composition for part in parts for composition in part]
    assert len(every) == len(set(every))
