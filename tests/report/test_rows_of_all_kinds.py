"""What is printed of rows that are not the usual ones: own acid, a blank cup, soda, labels only."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import openpyxl
import pytest
from tests.reduced_rows import made

from tarebook.report.derivation import derivation
from tarebook.report.facts import held_back
from tarebook.report.languages.writing import in_files
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results
from tarebook.report.text import text
from tarebook.report.workbook import workbook


def test_a_cup_without_sample_has_no_yield() -> None:
    outcome = made("soda-grows-in-acid")
    blank = next(run for run in outcome.experiment.planned if run.sample == 0)
    result = next(one for one in run_results(outcome) if one.run == blank.run)
    assert result.lost is not None
    assert result.yield_percent is None
    assert all(one.yield_percent for one in run_results(outcome) if one.run != blank.run)


def test_a_cup_without_sample_is_no_cup_that_holds_back_least() -> None:
    outcome = made("soda-grows-in-acid")
    held = {run.run: run.retained.value for run in outcome.full.runs}
    blank = next(run.run for run in outcome.experiment.planned if run.is_blank)
    least = min(value for run, value in held.items() if run != blank)
    assert held[blank] < 0.1 * least
    assert float(held_back(outcome, in_files()).split()[0]) == pytest.approx(least, rel=0.05)


@pytest.mark.parametrize("name", ["fizzing-tablet-hand-soak", "soda-grows-in-acid", "labels-only"])
def test_no_number_is_a_row_of_zeros_and_no_percentage_is_hopeless(name: str) -> None:
    printed = text(made(name), width=200)
    assert not re.search(r"\b0\.0{5,}", printed)
    assert not re.search(r"\d{4,}(\.\d*)? ?± ?\d{3,}", printed)


def test_a_strength_from_a_label_has_the_digits_of_its_tolerance() -> None:
    outcome = made("labels-only")
    strength = outcome.experiment.reagent.concentration
    weaker = replace(strength, value=0.83264, u=0.0333)
    reagent = replace(outcome.experiment.reagent, concentration=weaker)
    other = replace(outcome, experiment=replace(outcome.experiment, reagent=reagent))
    steps = " ".join(step.worked for step in derivation(other, in_files()))
    assert "0.833 mol/L" in steps
    assert "0.8326" not in steps


class _Cells:
    """A sheet's formulas, worked out with plain arithmetic: enough for those of this workbook."""

    def __init__(self, outcome: Outcome) -> None:
        data = io.BytesIO(workbook(outcome))
        self.formulas = openpyxl.load_workbook(data)
        self.stored = openpyxl.load_workbook(data, data_only=True)

    def named(self, name: str) -> float:
        sheet, _, cell = self.stored.defined_names[name].attr_text.rpartition("!")
        return float(self.stored[sheet.strip("'")][cell.replace("$", "")].value)

    def worked(self, sheet: str, cell: str) -> object:
        formula = str(self.formulas[sheet][cell].value)
        assert formula.startswith("="), (sheet, cell, formula)
        found = self.stored[sheet]
        names = {name: self.named(name) for name in self.stored.defined_names}
        cells = {ref: found[ref].value for ref in re.findall(r"\b[A-Z]\d+\b", formula)}
        arithmetic = {"IF": lambda test, yes, no: yes if test else no, "MAX": max}
        return eval(formula[1:], {}, {**arithmetic, **names, **cells})


@pytest.mark.parametrize(
    "name",
    ["fizzing-tablet-hand-soak", "washing-soda-crystals", "egg-shells-in-acid", "labels-only"],
)
def test_the_workbook_counts_all_acid_and_the_first_step_of_soda(name: str) -> None:
    outcome = made(name)
    cells = _Cells(outcome)
    sheet = cells.stored["Textbook calculation"]
    rows = {str(sheet.cell(row, 1).value): row for row in range(7, 7 + len(outcome.table.runs))}
    for run in outcome.usual.runs:
        row = rows[run.run]
        assert run.gas_expected is not None
        assert run.p_reagent_limiting is not None
        assert cells.worked("Textbook calculation", f"J{row}") == pytest.approx(
            run.gas_expected.value
        )
        assert cells.worked("Textbook calculation", f"I{row}") == sheet[f"I{row}"].value
        if 0.1 < run.p_reagent_limiting < 0.9:
            continue
        assert sheet[f"I{row}"].value == run.limiting
        if run.yield_percent is not None:
            worked = cells.worked("Textbook calculation", f"K{row}")
            assert worked == pytest.approx(run.yield_percent.value)
