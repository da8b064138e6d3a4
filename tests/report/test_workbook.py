"""The workbook calculates what the program found."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tarebook.records.readings import Quantity
from tarebook.report.outcome import Outcome
from tarebook.report.workbook import workbook
from tarebook.report.workbook_fit import two_lines

SHEETS = [
    "Read me",
    "Readings",
    "Constants",
    "Textbook calculation",
    "Equivalence point",
    "Cup model",
]


def opened(data: bytes, *, values: bool) -> Any:
    return openpyxl.load_workbook(io.BytesIO(data), data_only=values)


def named(book: Any, name: str) -> Any:
    """Return the cell that a name of the workbook stands for."""
    sheet, _, cell = book.defined_names[name].attr_text.rpartition("!")
    return book[sheet.strip("'")][cell.replace("$", "")]


def recalculated(data: bytes, folder: Path, changes: dict[str, float]) -> Any:
    """Return the workbook as LibreOffice calculates it, after changes to cells.

    Writing it through openpyxl drops every stored value, so each number is calculated anew.
    """
    office = shutil.which("soffice")
    if office is None:
        if os.environ.get("CI"):
            pytest.fail("LibreOffice is missing; CI leaves nothing out")
        pytest.skip("LibreOffice is not installed: formulas were not recalculated")
    book = opened(data, values=False)
    for name, value in changes.items():
        sheet, _, cell = name.partition("!")
        (book[sheet][cell] if cell else named(book, name)).value = value
    source = folder / "in" / "workbook.xlsx"
    source.parent.mkdir()
    book.save(source)
    profile = (folder / "profile").as_uri()
    subprocess.run(
        [office, "--headless", f"-env:UserInstallation={profile}", "--convert-to", "xlsx",
         "--outdir", str(folder / "out"), str(source)],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    return openpyxl.load_workbook(folder / "out" / "workbook.xlsx", data_only=True)


def numbers_of(book: Any) -> dict[tuple[str, str], float]:
    return {
        (sheet.title, cell.coordinate): cell.value
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, int | float)
    }


@pytest.mark.parametrize(
    "which", ["outcome", "odd_outcome", "open_outcome", "meeting_outcome", "usual_outcome"]
)
def test_recalculated_it_gives_the_values_that_were_stored(
    which: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    data = workbook(request.getfixturevalue(which))
    stored = numbers_of(opened(data, values=True))
    assert len(stored) > 50
    assert numbers_of(recalculated(data, tmp_path, {})) == pytest.approx(stored, rel=1e-9)


def test_a_changed_strength_moves_what_follows_from_it(outcome: Outcome, tmp_path: Path) -> None:
    data = workbook(outcome)
    before = opened(data, values=True)
    strength = named(before, "strength").value
    after = recalculated(data, tmp_path, {"strength": 1.1 * strength})
    moved = named(before, "content_from_equivalence").value * 1.1
    assert named(after, "content_from_equivalence").value == pytest.approx(moved)
    assert named(after, "content").value == pytest.approx(named(before, "content").value)


@pytest.mark.parametrize("which", ["outcome", "odd_outcome", "meeting_outcome"])
def test_the_lines_of_the_sheet_are_those_of_the_program(
    which: str, request: pytest.FixtureRequest
) -> None:
    made = request.getfixturevalue(which)
    book, series = opened(workbook(made), values=True), made.usual.series
    assert series is not None
    expected = {
        "content": series.sample_mass_fraction.value,
        "equivalence_mL": 1000 * series.equivalence.value,
        "content_from_equivalence": series.content_from_equivalence.value,
    }
    found = {name: named(book, name).value for name in expected}
    assert found == pytest.approx(expected, rel=1e-7)


def test_lines_that_meet_at_a_run_are_told_from_free_ones(
    outcome: Outcome, meeting_outcome: Outcome
) -> None:
    assert outcome.usual.series is not None
    assert meeting_outcome.usual.series is not None
    assert not two_lines(outcome.experiment, outcome.usual.series).meets_at_run
    met = two_lines(meeting_outcome.experiment, meeting_outcome.usual.series)
    assert met.meets_at_run
    assert met.at == pytest.approx(float(met.x[met.n_left - 1]))


def test_runs_stand_as_the_program_has_them(outcome: Outcome) -> None:
    sheet = opened(workbook(outcome), values=True)["Textbook calculation"]
    rows = {row[0].value: row for row in sheet.iter_rows(min_row=7) if row[0].value}
    for run in outcome.usual.runs:
        row = rows[run.run]
        assert row[3].value == pytest.approx(run.gas_found.value)
        assert row[4].value == pytest.approx(1000 * run.reagent.value)
        assert row[7].value == pytest.approx(1000 * run.sample.value)
        assert run.gas_expected is not None
        assert row[9].value == pytest.approx(run.gas_expected.value)
        assert run.yield_percent is not None
        assert row[10].value == pytest.approx(run.yield_percent.value)
    assert "cannot use run 9" in rows["9"][11].value
    assert rows["9"][3].value is None


def test_sheets_formulas_and_the_mark_of_invented_data(outcome: Outcome) -> None:
    book = opened(workbook(outcome), values=False)
    assert book.sheetnames == SHEETS
    for sheet in book.worksheets:
        assert sheet["A2"].value == outcome.experiment.invented
    formulas = [
        cell.value
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str) and cell.value.startswith("=")
    ]
    assert len(formulas) > 100


def test_without_changeover_there_is_no_sheet_for_it(open_outcome: Outcome) -> None:
    assert opened(workbook(open_outcome), values=False).sheetnames == SHEETS[:-2]


def test_without_the_model_there_is_no_sheet_for_it(usual_outcome: Outcome) -> None:
    assert opened(workbook(usual_outcome), values=False).sheetnames == SHEETS[:-1]


def test_the_model_stands_beside_the_usual_sum(outcome: Outcome) -> None:
    data = workbook(outcome)
    book, series = opened(data, values=True), outcome.full.series
    assert series is not None
    content = named(book, "full_content")
    assert content.value == series.sample_mass_fraction.value
    assert content.offset(column=-1).value == pytest.approx(named(book, "content").value)
    assert named(book, "full_equivalence_mL").value == pytest.approx(
        1000 * series.equivalence.value
    )
    words = [cell.value for row in book["Cup model"].iter_rows() for cell in row]
    assert any("computed by the program, not by formulas" in str(each) for each in words)


def test_yellow_is_for_what_may_be_changed_alone(outcome: Outcome) -> None:
    """The reader is told that a change to a yellow cell moves what follows from it."""
    book = opened(workbook(outcome), values=False)
    yellow = {
        name: [cell for row in book[name].iter_rows() for cell in row
               if cell.fill.fgColor.rgb == "FFFFF5D6"]
        for name in SHEETS
    }  # fmt: skip
    assert yellow["Readings"]
    assert yellow["Constants"]
    assert yellow["Cup model"] == []
    # No source is cut off by the column beside it.
    page = book["Constants"]
    longest = max(len(str(cell.value or "")) for cell in page["D"])
    assert page.column_dimensions["D"].width > 0.9 * longest


def test_a_changed_final_mass_moves_the_gas_made(outcome: Outcome, tmp_path: Path) -> None:
    data = workbook(outcome)
    before = opened(data, values=True)["Cup model"]
    full = outcome.full.runs[0]
    assert full.gas_full is not None
    assert before["I7"].value == pytest.approx(full.gas_full.value)
    assert before["E7"].value == pytest.approx(full.retained.value)
    readings = opened(data, values=False)["Readings"]
    column = next(cell.column_letter for cell in readings[4] if cell.value == Quantity.FINAL.words)
    changed = {f"Readings!{column}7": readings[f"{column}7"].value - 0.1}
    after = recalculated(data, tmp_path, changed)["Cup model"]
    assert after["I7"].value == pytest.approx(full.gas_full.value + 0.1)


def test_the_same_outcome_gives_the_same_bytes(outcome: Outcome) -> None:
    assert workbook(outcome) == workbook(outcome)
