"""The table of results for a spreadsheet."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from tarebook.records.readings import RunTable
from tarebook.report.outcome import Outcome
from tarebook.report.results_csv import HEADER, results_csv
from tarebook.series.experiment import Course, Experiment


def rows_of(outcome: Outcome) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(results_csv(outcome), newline="")))


def test_lines_end_as_the_standard_says(outcome: Outcome) -> None:
    text = results_csv(outcome)
    assert text.endswith("\r\n")
    assert text.count("\r\n") == text.count("\n") == 1 + len(outcome.table.runs)


def test_each_run_has_a_row_in_the_order_of_the_readings(outcome: Outcome) -> None:
    rows = rows_of(outcome)
    assert [row["run"] for row in rows] == list(outcome.table.runs)
    usual, full = outcome.usual.runs[2], outcome.full.runs[2]
    assert full.gas_full is not None
    assert full.ph is not None
    assert usual.gas_expected is not None
    for name, value in {
        "reagent_mmol": 1000 * full.reagent.value,
        "gas_found_u_g": usual.gas_found.u,
        "retained_g": full.retained.value,
        "gas_full_low_g": full.gas_full.low,
        "gas_expected_g": full.gas_expected.value,
        "usual_gas_expected_g": usual.gas_expected.value,
        "pH_expected": full.ph.value,
        "p_reagent_limiting": full.p_reagent_limiting,
        "usual_p_reagent_limiting": usual.p_reagent_limiting,
    }.items():
        # Six significant digits of amounts, four of probabilities.
        assert float(rows[2][name]) == pytest.approx(value, rel=1e-5, abs=1e-4)


def test_without_the_model_the_columns_hold_the_usual_sum(usual_outcome: Outcome) -> None:
    row, third = rows_of(usual_outcome)[2], usual_outcome.usual.runs[2]
    assert float(row["reagent_mmol"]) == pytest.approx(1000 * third.reagent.value, rel=1e-5)
    assert third.yield_percent is not None
    assert float(row["yield_percent"]) == pytest.approx(third.yield_percent.value, rel=1e-5)
    assert row["gas_full_g"] == row["retained_g"] == row["pH_expected"] == ""


def test_what_a_run_lacks_is_blank_and_why(outcome: Outcome) -> None:
    last = rows_of(outcome)[-1]
    assert last["yield_percent"] == last["gas_full_g"] == ""
    assert last["retained_g"] != ""
    assert "the final mass" in last["not_used_because"]
    assert last["not_in_model_because"] == ""


def test_units_stand_in_the_header() -> None:
    assert {"reagent_mmol", "reagent_u_mmol", "gas_found_low_g", "yield_high_percent"} <= set(
        HEADER
    )


@pytest.mark.parametrize(
    ("name", "shown"), [("=1+1", "'=1+1"), ("@x", "'@x"), ("-2", "-2"), ("+A1", "'+A1")]
)
def test_the_name_of_a_run_is_never_a_formula(outcome: Outcome, name: str, shown: str) -> None:
    usual = replace(outcome.usual, runs=(replace(outcome.usual.runs[0], run=name),), left_out=())
    table = RunTable(runs=(name,), readings=())
    (row,) = rows_of(replace(outcome, usual=usual, table=table))
    assert row["run"] == shown


def in_spanish(experiment: Experiment) -> Experiment:
    course = Course(language="es")
    return replace(experiment, preparation=replace(experiment.preparation, course=course))


def test_where_decimals_have_a_comma_cells_have_semicolons(outcome: Outcome) -> None:
    text = results_csv(replace(outcome, experiment=in_spanish(outcome.experiment)))
    rows = list(csv.DictReader(io.StringIO(text, newline=""), delimiter=";"))
    plain = rows_of(outcome)
    words = {"run", "limiting", "usual_limiting", "not_used_because", "not_in_model_because"}
    assert len(rows) == len(plain) > 5
    for row, same in zip(rows, plain, strict=True):
        assert {name: row[name] for name in words} == {name: same[name] for name in words}
        numbers = set(HEADER) - words
        assert [row[name] for name in numbers] == [same[name].replace(".", ",") for name in numbers]
