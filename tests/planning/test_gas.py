"""Gases that no class works with unless a person in charge has decided so."""

from __future__ import annotations

import datetime as dt
from importlib import resources

import numpy as np
import pytest

from tarebook.core.phrase import Phrase
from tarebook.core.tables import reference_table
from tarebook.planning.prepare.gas import Danger, gas_danger, limits_of
from tarebook.planning.rules_gas import gas_findings, is_about_gas
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")

POISONOUS = (
    ("NaCN + HCl -> NaCl + HCN", "NaCN", "HCl", "HCN"),
    ("ZnS + 2 HCl -> ZnCl2 + H2S", "ZnS", "HCl", "H2S"),
    ("Na2SO3 + 2 HCl -> 2 NaCl + H2O + SO2", "Na2SO3", "HCl", "SO2"),
    ("NH4Cl + NaOH -> NaCl + H2O + NH3", "NH4Cl", "NaOH", "NH3"),
    ("MnO2 + 4 HCl -> MnCl2 + 2 H2O + Cl2", "MnO2", "HCl", "Cl2"),
    ("Cu + 4 HNO3 -> Cu(NO3)2 + 2 H2O + 2 NO2", "Cu", "HNO3", "NO2"),
    ("HCOONa + H2SO4 -> NaHSO4 + H2O + CO", "HCOONa", "H2SO4", "CO"),
)

DECISION = """
[prepare.gas_decision]
by = "A. Muster"
on = 2027-02-20
why = "fume cupboard, demonstration"
"""


def experiment_of(equation: str, sample: str, reagent: str, gas: str, more: str = "") -> Experiment:
    text = BLANK.replace("NaHCO3 + HCl -> NaCl + H2O + CO2", equation)
    for key, old, new in (
        ("sample", "NaHCO3", sample),
        ("reagent", "HCl", reagent),
        ("gas", "CO2", gas),
    ):
        assert f'{key} = "{old}"' in text
        text = text.replace(f'{key} = "{old}"', f'{key} = "{new}"')
    bought = f'\n[prepare.bought]\nname = "bought"\nsolid = "{reagent}"\n'
    return parse_definition(text + bought + more)


@pytest.mark.parametrize(("equation", "sample", "reagent", "gas"), POISONOUS)
def test_a_poisonous_gas_stops_before_anything_else(
    equation: str, sample: str, reagent: str, gas: str
) -> None:
    found = gas_findings(experiment_of(equation, sample, reagent, gas))
    assert (found[0].code, found[0].severity) == ("gas-poisonous", "stop")
    assert is_about_gas(found[0])
    assert found[0].evidence["gas"] == gas
    assert found[0].do == Phrase("gas-undecided")


def test_a_poisonous_gas_stops_in_the_largest_hall_too() -> None:
    large = experiment_of(*POISONOUS[0]).preparation
    assert large.gas_decision is None
    hall = "\nvolume_m3 = 100000\n"
    text = (BLANK + hall).replace("NaHCO3 + HCl -> NaCl + H2O + CO2", POISONOUS[0][0])
    text = text.replace('"NaHCO3"', '"NaCN"').replace('gas = "CO2"', 'gas = "HCN"')
    danger = gas_danger(parse_definition(text))
    assert danger is not None
    assert danger.limit is not None
    assert danger.share < 0.1 * danger.limit
    assert danger.danger is Danger.POISONOUS


def test_a_gas_without_a_known_limit_stops() -> None:
    found = gas_findings(
        experiment_of("KSCN + 2 HCl + H2O -> KCl + NH4Cl + COS", "KSCN", "HCl", "COS")
    )
    assert (found[0].code, found[0].severity) == ("gas-limit-unknown", "stop")


def test_carbon_dioxide_stops_only_above_its_limit() -> None:
    """By hand: one group makes 1.8254 L of the blank row (see test_prepare_safety), 5000 ppm of
    0.36508 m3.
    """
    assert gas_findings(parse_definition(BLANK), 40) == ()
    for room, stops in ((0.36, True), (0.37, False)):
        found = gas_findings(parse_definition(f"{BLANK}\nvolume_m3 = {room}\n"))
        assert [one.code for one in found] == (["gas-above-limit"] if stops else [])
    # In an ordinary room it takes many groups: 200 / 0.36508 = 547.8.
    assert gas_findings(parse_definition(BLANK), 547) == ()
    assert [one.severity for one in gas_findings(parse_definition(BLANK), 548)] == ["stop"]


def test_hydrogen_is_said_to_burn_and_stops_at_a_quarter_of_what_burns() -> None:
    mg = ("Mg + 2 HCl -> MgCl2 + H2", "Mg", "HCl", "H2")
    found = gas_findings(experiment_of(*mg))
    assert [(one.code, one.severity) for one in found] == [("gas-burns", "look")]
    assert found[0].values["light"] is True
    danger = gas_danger(experiment_of(*mg), 10_000)
    assert danger is not None
    assert danger.danger is Danger.ABOVE_LIMIT
    np.testing.assert_allclose(danger.limit or 0.0, 0.01)


def test_who_decided_is_named_and_it_stays_a_stop() -> None:
    found = gas_findings(experiment_of(*POISONOUS[2], more=DECISION))
    assert found[0].severity == "stop"
    assert found[0].do == Phrase.of(
        "gas-decided", by="A. Muster", on="2027-02-20", why="fume cupboard, demonstration"
    )
    decided = experiment_of(*POISONOUS[2], more=DECISION).preparation.gas_decision
    assert decided is not None
    assert decided.on == dt.date(2027, 2, 20)


@pytest.mark.published("European Chemicals Agency: Directive (EU) 2017/164, sulfur dioxide")
def test_limits_of_sulfur_dioxide() -> None:
    limits = limits_of("SO2")
    assert limits is not None
    assert limits.average == pytest.approx(0.5e-6, abs=0.05e-6)
    assert limits.short == pytest.approx(1e-6, abs=0.5e-6)


@pytest.mark.published("European Chemicals Agency: Directive 2004/37/EC, Annex III, CO")
def test_limits_of_carbon_monoxide() -> None:
    limits = limits_of("CO")
    assert limits is not None
    assert limits.average == pytest.approx(20e-6, abs=0.5e-6)
    assert limits.short == pytest.approx(100e-6, abs=0.5e-6)


def test_every_gas_that_can_hurt_has_a_limit_and_a_source() -> None:
    for row in reference_table("tarebook.planning", "hazards")["gases"]:
        assert row["source"]
        assert row["basis"] in ("read", "secondary", "library", "memory")
        limits = limits_of(row["formula"])
        assert limits is not None
        assert not limits.poisonous or limits.strictest is not None
