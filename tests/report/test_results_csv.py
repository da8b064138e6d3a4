"""The table of results for a spreadsheet."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from tarebook.records.readings import RunTable
from tarebook.report.outcome import Outcome
from tarebook.report.results_csv import HEADER, results_csv


def rows_of(outcome: Outcome) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(results_csv(outcome), newline="")))


def test_lines_end_as_the_standard_says(outcome: Outcome) -> None:
    text = results_csv(outcome)
    assert text.endswith("\r\n")
    assert text.count("\r\n") == text.count("\n") == 1 + len(outcome.table.runs)


def test_each_run_has_a_row_in_the_order_of_the_readings(outcome: Outcome) -> None:
    rows = rows_of(outcome)
    assert [row["run"] for row in rows] == list(outcome.table.runs)
    third = outcome.usual.runs[2]
    assert float(rows[2]["reagent_mmol"]) == pytest.approx(1000 * third.reagent.value, rel=1e-5)
    assert float(rows[2]["gas_found_u_g"]) == pytest.approx(third.gas_found.u, rel=1e-5)


def test_what_a_run_lacks_is_blank_and_why(outcome: Outcome) -> None:
    last = rows_of(outcome)[-1]
    assert last["yield_percent"] == ""
    assert "the final mass" in last["not_used_because"]


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
    assert rows_of(replace(outcome, usual=usual, table=table))[0]["run"] == shown
