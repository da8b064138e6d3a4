"""How far a row has come, by the readings that are there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tarebook.api.start_folder import _examples
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import blank_sheet, parse_sheet
from tarebook.records.stage import Stage, stage_of, stage_of_run
from tarebook.series.definition import parse_definition

POOL = _examples() / "clean-pool-granules"
EXPERIMENT = parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8"))
TABLE = parse_sheet((POOL / "readings.csv").read_text(encoding="utf-8"))


def only(table: RunTable, *quantities: Quantity, runs: tuple[str, ...] = ()) -> RunTable:
    """Return a table with some readings only, of some runs or of all."""
    kept = tuple(
        r for r in table.readings if r.quantity in quantities or (runs and r.run not in runs)
    )
    return replace(table, readings=kept)


LIQUIDS = (Quantity.TARE, Quantity.REAGENT, Quantity.DILUENT, Quantity.LIQUID)


@pytest.mark.parametrize(
    ("quantities", "stage"),
    [
        ((), Stage.PLANNED),
        ((Quantity.TARE,), Stage.PLANNED),
        ((Quantity.TARE, Quantity.REAGENT), Stage.POURED),
        (LIQUIDS, Stage.POURED),
        ((*LIQUIDS, Quantity.TEMPERATURE), Stage.POURED),
        ((*LIQUIDS, Quantity.SAMPLE), Stage.SAMPLE_WEIGHED),
        ((*LIQUIDS, Quantity.SAMPLE, Quantity.MINUTES), Stage.REACTED),
        (tuple(Quantity), Stage.FINISHED),
    ],
)
def test_a_row_is_as_far_as_its_readings(quantities: tuple[Quantity, ...], stage: Stage) -> None:
    found = stage_of(only(TABLE, *quantities), EXPERIMENT)
    assert found.stage is found.furthest is stage
    assert set(found.runs.values()) == {stage}
    assert not found.is_mixed
    assert found.has_results == (stage is Stage.FINISHED)


def test_a_blank_sheet_is_a_planned_row() -> None:
    table = parse_sheet(blank_sheet([run.run for run in EXPERIMENT.planned]))
    assert stage_of(table, EXPERIMENT).stage is Stage.PLANNED


def test_a_planned_run_without_a_row_in_the_sheet_belongs_to_the_row() -> None:
    seven = replace(TABLE, runs=TABLE.runs[:-1])
    seven = replace(seven, readings=tuple(r for r in TABLE.readings if r.run != TABLE.runs[-1]))
    found = stage_of(seven, EXPERIMENT)
    assert found.stage is Stage.PLANNED
    assert found.furthest is Stage.FINISHED
    assert found.is_mixed
    assert stage_of(seven, EXPERIMENT, left_out={TABLE.runs[-1]}).stage is Stage.FINISHED


def test_a_mixed_row_names_the_cups_in_work() -> None:
    found = stage_of(only(TABLE, *LIQUIDS, runs=("2", "5")), EXPERIMENT)
    assert found.stage is Stage.POURED
    assert found.furthest is Stage.FINISHED
    assert found.in_work == ("2", "5")
    assert found.at(Stage.POURED) == ("2", "5")


def test_nothing_poured_is_no_work_done() -> None:
    table = parse_sheet(
        "run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g\n1,15.2,0,,,,\n"
    )
    assert stage_of_run(table, "1") is Stage.PLANNED


def test_a_cup_without_sample_holds_nobody_back() -> None:
    blank = replace(EXPERIMENT.planned[0], sample=0.0)
    experiment = replace(EXPERIMENT, planned=(blank, *EXPERIMENT.planned[1:]))
    poured = only(TABLE, *LIQUIDS)
    assert stage_of(poured, experiment).stage is Stage.POURED
    others = tuple(run for run in TABLE.runs if run != blank.run)
    weighed = only(TABLE, *LIQUIDS, Quantity.SAMPLE)
    weighed = only(weighed, *LIQUIDS, runs=(blank.run,))
    assert stage_of_run(weighed, others[0]) is Stage.SAMPLE_WEIGHED
    assert stage_of(weighed, experiment).stage is Stage.SAMPLE_WEIGHED
