"""Two columns of the sheet in each other's place are named, and nothing else is said of the row."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.api.reduce_series import reduce_table
from tarebook.diagnosis.columns import WITHHELD, ColumnsExchanged, columns_exchanged
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, Reading, RunTable, memory_value
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint.problem import READ
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("clean-pool-granules", "egg-shells-in-acid", "weak-acid-foot-bath")
PAIRS = list(itertools.combinations(READ, 2))


def example(name: str) -> tuple[Experiment, RunTable]:
    definition, readings = (
        (EXAMPLES / name / file).read_text(encoding="utf-8")
        for file in ("experiment.toml", "readings.csv")
    )
    return parse_definition(definition), parse_sheet(readings)


def exchanged(table: RunTable, pair: tuple[Quantity, Quantity]) -> RunTable:
    """Return the sheet with two headings in each other's place."""
    other = dict(zip(pair, pair[::-1], strict=True))

    def moved(reading: Reading) -> Reading:
        quantity = other.get(reading.quantity, reading.quantity)
        return replace(reading, quantity=quantity, value=memory_value(quantity, reading.in_column))

    return replace(table, readings=tuple(moved(reading) for reading in table.readings))


def found(experiment: Experiment, table: RunTable) -> ColumnsExchanged:
    columns = columns_exchanged(experiment, table)
    assert columns is not None
    return columns


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: "-".join(pair))
def test_every_pair_of_columns_is_named(name: str, pair: tuple[Quantity, Quantity]) -> None:
    experiment, table = example(name)
    columns = found(experiment, exchanged(table, pair))
    assert set(columns.columns) == set(pair)
    assert columns.runs == table.runs


@pytest.mark.parametrize("name", sorted(path.name for path in EXAMPLES.iterdir()))
def test_no_column_of_a_row_as_it_should_be_is_in_doubt(name: str) -> None:
    assert columns_exchanged(*example(name)) is None


def test_a_wrong_number_beside_hides_nothing() -> None:
    experiment, table = example("clean-pool-granules")
    readings = tuple(
        replace(r, value=300.0, typed="300") if (r.run, r.quantity) == ("3", Quantity.FINAL) else r
        for r in table.readings
    )
    pair = (Quantity.REAGENT, Quantity.TARE)
    columns = found(experiment, exchanged(replace(table, readings=readings), pair))
    assert set(columns.columns) == set(pair)
    assert abs(columns.content - 0.947) < 3 * columns.u


def test_who_poured_the_row_from_its_other_end_exchanged_nothing() -> None:
    """Volumes that are those of the other liquid's plan, with masses that say so too."""
    experiment, _ = example("clean-pool-granules")
    reversed_plan = tuple(
        replace(run, reagent=other.reagent, diluent=other.diluent)
        for run, other in zip(experiment.planned, experiment.planned[::-1], strict=True)
    )
    other_end = replace(experiment, planned=reversed_plan)
    truth = central_parameters(experiment).with_values(content=np.array(0.947))
    table = simulate(other_end, truth, np.random.Generator(np.random.SFC64(5))).table
    assert columns_exchanged(experiment, table) is None


@pytest.mark.parametrize("off", [-2.0, 2.0, 20.0])
def test_last_masses_on_another_zero_are_no_exchanged_columns(off: float) -> None:
    experiment, table = example("clean-pool-granules")
    readings = tuple(
        replace(r, value=r.value + off, typed=f"{r.value + off:.3f}")
        if r.quantity is Quantity.FINAL
        else r
        for r in table.readings
    )
    assert columns_exchanged(experiment, replace(table, readings=readings)) is None


def test_one_finding_and_no_result_until_it_is_settled() -> None:
    experiment, table = example("clean-pool-granules")
    table = exchanged(table, (Quantity.REAGENT, Quantity.TARE))
    outcome = reduce_table(experiment, table, seed=1, draws=1000, made_on="")
    (finding,) = outcome.findings
    assert finding.code == "columns-exchanged"
    assert finding.severity.value == "stop"
    assert finding.evidence["content_if"] == pytest.approx(0.947, abs=0.01)
    assert outcome.full.series is None
    assert outcome.usual.series is None
    assert outcome.full.no_series_because == WITHHELD
    assert outcome.table == table, "no reading is changed"
