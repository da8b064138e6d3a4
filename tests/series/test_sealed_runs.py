"""A run weighed in a closed vessel: refused unless the vessel surely holds the gas."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tarebook.core.errors import InputError
from tarebook.planning.prepare.amounts import gas_per_group
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment
from tarebook.series.weighing import highest_pressure

ROOT = Path(__file__).parents[2]
POOL = (ROOT / "tests" / "snapshots" / "pool" / "experiment.toml").read_text("utf-8")
RATED = 'sealed_runs = ["8"]\nsealed_vessel_rated_kPa = 600\nsealed_vessel_mL = 500'


def weighed(weighing: str, text: str = POOL) -> Experiment:
    return parse_definition(f"{text}\n[weighing]\n{weighing}\n")


def refused(weighing: str, text: str = POOL) -> str:
    with pytest.raises(InputError) as error:
        weighed(weighing, text)
    (fault,) = error.value.faults
    return f"{fault.where}|{fault.found}|{fault.allowed}|{fault.do}"


def test_no_run_is_closed_unless_the_definition_says_so() -> None:
    experiment = parse_definition(POOL)
    assert experiment.weighing.sealed is None
    assert not any(experiment.is_sealed(run.run) for run in experiment.planned)


def test_a_rated_vessel_with_room_is_taken() -> None:
    experiment = weighed(RATED)
    assert [run.run for run in experiment.planned if experiment.is_sealed(run.run)] == ["8"]
    sealed = experiment.weighing.sealed
    assert sealed is not None
    assert sealed.rated == 600e3
    assert sealed.capacity == pytest.approx(0.5)
    # 1.5 g / 84.006 g/mol = 17.856 mmol in 460 mL at the room's temperature, by hand
    by_hand = 1.5 / 84.006 * 8.314463 * experiment.room.temperature / 460e-6
    assert sealed.most == pytest.approx(by_hand, rel=1e-4)


def test_without_the_rating_it_is_refused() -> None:
    said = refused('sealed_runs = ["8"]')
    assert "key weighing.sealed_vessel_rated_kPa" in said or "sealed_vessel_rated_kPa" in said
    assert "Never stopper a glass vessel or a cup" in said


def test_gas_above_half_of_the_rating_is_refused_with_what_to_change() -> None:
    # 95 kPa in 460 mL, so a rating of 189 kPa is just too little and one of 191 kPa enough
    at = 'sealed_runs = ["8"]\nsealed_vessel_mL = 500\nsealed_vessel_rated_kPa = '
    said = refused(f"{at}180")
    assert "below half of the rating, 90 kPa" in said
    found = re.search(r"less than ([\d.]+) g of sample", said)
    larger = re.search(r"more than (\d+) mL", said)
    assert found is not None
    assert larger is not None
    assert 1.3 < float(found[1]) < 1.5
    more = f'sealed_runs = ["8"]\nsealed_vessel_mL = {int(larger[1]) + 1}'
    assert weighed(f"{more}\nsealed_vessel_rated_kPa = 180").weighing.sealed is not None
    assert weighed(f"{at}200").weighing.sealed is not None


def test_liquid_that_fills_the_vessel_is_refused() -> None:
    said = refused(RATED.replace("500", "40"))
    assert "inf kPa" not in said
    assert "no space above the liquid" in said


def test_the_pressure_is_never_below_that_of_the_gas_planned_for() -> None:
    experiment = weighed(RATED)
    for run, gas in zip(experiment.planned, gas_per_group(experiment), strict=True):
        space = 0.5 - run.reagent - run.diluent
        planned = gas * 8.314463 * experiment.room.temperature * 1000.0 / space
        most = highest_pressure(run, experiment.reaction, experiment.room, 0.5)
        assert most >= planned * (1 - 1e-6)


def test_only_carbon_dioxide_is_ever_shut_in() -> None:
    text = POOL.replace("NaHCO3 + HCl -> NaCl + H2O + CO2", "Mg + 2 HCl -> MgCl2 + H2")
    text = text.replace('sample = "NaHCO3"', 'sample = "Mg"').replace('gas = "CO2"', 'gas = "H2"')
    assert parse_definition(text).reaction.gas == "H2"
    assert "must never be shut in" in refused(RATED, text)


@pytest.mark.parametrize(
    ("weighing", "said"),
    [
        (RATED.replace('["8"]', '["9"]'), "run '9'"),
        (RATED.replace('["8"]', '["1", "2", "3", "4", "5", "6", "7", "8"]'), "every run"),
        ("sealed_vessel_rated_kPa = 600", "no sealed_runs beside it"),
    ],
)
def test_what_makes_no_sense_is_refused(weighing: str, said: str) -> None:
    assert said in refused(weighing)
