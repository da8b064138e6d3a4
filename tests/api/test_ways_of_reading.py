"""Whole folders that are read in other ways than the usual one; all invented and simulated."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import openpyxl
import pytest

from tarebook.api import report
from tarebook.api.exchange import export_readings, import_readings
from tarebook.api.folder import DEFINITION, READINGS
from tarebook.api.reduce_series import reduce
from tarebook.findings.finding import Severity
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.planning.expected import _lost
from tarebook.records.complete import columns_of
from tarebook.records.readings import Quantity
from tarebook.records.sheet import write_sheet
from tarebook.report.outcome import Outcome
from tarebook.series.definition import parse_definition

BASE = """
title = "Sodium hydrogen carbonate in invented granules"
invented = "The granules do not exist; the readings are simulated."
[reaction]
equation = "NaHCO3 + HCl -> NaCl + H2O + CO2"
sample = "NaHCO3"
reagent = "HCl"
gas = "CO2"
[sample]
name = "granules"
{sample}
[reagent]
name = "dilute hydrochloric acid"
[reagent.strength]
given_as = "mol per L"
mol_per_L = 0.5
relative_u = 0.003
[series]
total_mL = 50
{series}
[instruments.reagent]
{reagent}
[instruments.diluent]
kind = "graduated cylinder"
capacity_mL = {diluent_mL}
[instruments.balance]
readability_g = 0.001
{weighing}
"""

CYLINDER = 'kind = "graduated cylinder"\ncapacity_mL = 50'
BURETTE = 'kind = "burette"\ncapacity_mL = 50\nread = "start and end"'
GROWING = "reagent_mL = [24]\nsample_g = [0.3, 0.5, 0.7, 0.9, 1.1, 1.3, 1.6, 1.9]"
ROW = "reagent_mL = [6, 10, 14, 18, 24, 30, 36, 42]"
TRUTH = 0.86


def folder_of(
    place: Path,
    *,
    sample: str = "nominal_g = 1.0",
    series: str = ROW,
    reagent: str = CYLINDER,
    diluent_ml: int = 50,
    weighing: str = "",
    seed: int = 3,
) -> Path:
    """Write a folder whose readings come from the model with a content of `TRUTH`."""
    text = BASE.format(
        sample=sample, series=series, reagent=reagent, diluent_mL=diluent_ml, weighing=weighing
    )
    experiment = parse_definition(text)
    truth = central_parameters(experiment).with_values(content=np.array(TRUTH))
    made = simulate(experiment, truth, np.random.Generator(np.random.SFC64(seed)))
    (place / DEFINITION).write_text(text, encoding="utf-8")
    (place / READINGS).write_text(write_sheet(made.table, columns_of(experiment)), encoding="utf-8")
    return place


def held(outcome: Outcome) -> None:
    """Hold that the model finds the truth, and that nobody is accused."""
    full = outcome.full.series
    assert full is not None
    found = full.sample_mass_fraction
    assert abs(found.value - TRUTH) < 3.0 * found.u
    assert found.u < 0.02
    assert [f.code for f in outcome.findings if f.severity is Severity.STOP] == []
    assert "reading-missing" not in {f.code for f in outcome.findings}


def columns(folder: Path) -> list[str]:
    return (folder / READINGS).read_text(encoding="utf-8").splitlines()[0].split(",")


def test_a_row_in_which_the_sample_grows(tmp_path: Path) -> None:
    outcome = reduce(folder_of(tmp_path, sample="", series=GROWING), draws=2000)
    held(outcome)
    assert outcome.experiment.grows == "sample"
    # The acid is used up in the last cups and left over in the first.
    limiting = [run.limiting for run in outcome.full.runs]
    assert limiting[0] == "sample"
    assert limiting[-1] == "reagent"


def test_a_holder_weighed_before_and_after(tmp_path: Path) -> None:
    by_holder = folder_of(tmp_path, weighing='[weighing]\nsample_in = "holder before and after"')
    assert "holder_before_g" in columns(by_holder)
    assert "sample_g" not in columns(by_holder)
    outcome = reduce(by_holder, draws=2000)
    held(outcome)
    residual = next(r for r in outcome.full.runs[0].residuals if r.reading == "sample_g")
    one = outcome.experiment.equipment.sample_balance.weighing_u
    assert residual.u == pytest.approx(np.sqrt(2.0) * one)


def test_a_burette_read_at_both_ends(tmp_path: Path) -> None:
    by_burette = folder_of(tmp_path, reagent=BURETTE)
    assert {"reagent_start_mL", "reagent_end_mL"} <= set(columns(by_burette))
    held(reduce(by_burette, draws=2000))


def test_a_cylinder_that_has_to_be_filled_twice(tmp_path: Path) -> None:
    """Each filling leaves its own hold-up behind: told as a sum, or clear from the plan."""
    small = folder_of(tmp_path, diluent_ml=25)
    outcome = reduce(small, draws=2000)
    held(outcome)
    # The same readings, written filling by filling.
    rows = list(csv.DictReader(io.StringIO((small / READINGS).read_text(encoding="utf-8"))))
    for row in rows:
        poured = float(row["diluent_mL"])
        if poured > 25:
            row["diluent_mL"] = f"25 + {poured - 25:.2f}"
    with (small / READINGS).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    told = reduce(small, draws=2000)
    held(told)
    first, second = (one.full.series for one in (outcome, told))
    assert first is not None
    assert second is not None
    assert second.sample_mass_fraction.value == pytest.approx(
        first.sample_mass_fraction.value, abs=0.1 * first.sample_mass_fraction.u
    )


def test_a_balance_zeroed_on_the_cup(tmp_path: Path) -> None:
    zeroed = folder_of(tmp_path, weighing='[weighing]\ntare = "zeroed on the cup"')
    assert "tare_g" not in columns(zeroed)
    held(reduce(zeroed, draws=2000))
    # And where the definition does not say so, but every tare reads zero.
    text = (zeroed / DEFINITION).read_text(encoding="utf-8")
    (zeroed / DEFINITION).write_text(text.replace("[weighing]", "").replace(
        'tare = "zeroed on the cup"', ""), encoding="utf-8")  # fmt: skip
    lines = (zeroed / READINGS).read_text(encoding="utf-8").splitlines()
    with_zero = [f"{lines[0]},tare_g", *(f"{line},0.000" for line in lines[1:])]
    (zeroed / READINGS).write_text("\n".join(with_zero) + "\n", encoding="utf-8")
    held(reduce(zeroed, draws=2000))


BLANKS = "reagent_mL = [20, 0, 6, 10, 14, 18, 30, 50]\nsample_g = [0, 1, 1, 1, 1, 1, 1, 1]"


def test_blank_cups_and_cups_of_one_liquid(tmp_path: Path) -> None:
    """Blank where the plan is nothing is 0; a cup without sample teaches what evaporates."""
    folder = folder_of(tmp_path, series=BLANKS, sample="nominal_g = 1.0")
    rows = list(csv.DictReader(io.StringIO((folder / READINGS).read_text(encoding="utf-8"))))
    assert rows[0]["sample_g"] == ""
    outcome = reduce(folder, draws=2000)
    held(outcome)
    for row in rows:
        for column in ("reagent_mL", "diluent_mL"):
            if float(row[column]) == 0.0:
                row[column] = ""
    with (folder / READINGS).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    blank = reduce(folder, draws=2000)
    held(blank)
    first, second = (one.full.series for one in (outcome, blank))
    assert first is not None
    assert second is not None
    assert second.sample_mass_fraction == first.sample_mass_fraction
    assert [one.code for one in blank.findings] == [one.code for one in outcome.findings]
    taught = {one.name: one.learned for one in second.parameters}
    assert taught["evaporation"] > 0.3
    assert blank.full.runs[0].sample.value == 0.0


def test_tablets_that_are_broken(tmp_path: Path) -> None:
    pieces = 'piece_g = 2.0\npieces_in = "halves"'
    folder = folder_of(tmp_path, sample=pieces, series=f"{ROW}\npieces = [0.5]")
    assert "pieces" in columns(folder)
    held(reduce(folder, draws=2000))
    text = (folder / READINGS).read_text(encoding="utf-8").splitlines()
    place = text[0].split(",").index("pieces")
    cells = text[1].split(",")
    cells[place] = "1"
    (folder / READINGS).write_text("\n".join([text[0], ",".join(cells), *text[2:]]) + "\n")
    odd = [one for one in reduce(folder, draws=2000).findings if one.code == "pieces-disagree"]
    assert [one.run for one in odd] == ["1"]


NAMES = ["1, big cup", 'the "red" one', "Blåbær; 3", "4\tfour", "=5+1", "Ω", "7/8", "8'"]


def test_runs_may_have_any_name(tmp_path: Path) -> None:
    """A name changes nothing but the name, and comes back from the record as it was."""
    plain, named = tmp_path / "plain", tmp_path / "named"
    plain.mkdir()
    named.mkdir()
    folder_of(plain)
    quoted = ", ".join('"' + name.replace('"', '\\"').replace("\t", "\\t") + '"' for name in NAMES)
    folder_of(named, series=f"{ROW}\nruns = [{quoted}]")
    first, second = (reduce(folder, draws=2000) for folder in (plain, named))
    held(second)
    assert [run.run for run in second.full.runs] == NAMES
    assert first.full.series is not None
    assert second.full.series is not None
    assert second.full.series.sample_mass_fraction == first.full.series.sample_mass_fraction


@pytest.mark.parametrize(
    ("changes", "header"),
    [
        ({"reagent": BURETTE}, "reagent_end_mL"),
        ({"weighing": '[weighing]\nsample_in = "holder before and after"'}, "holder_after_g"),
        (
            {"series": ROW + '\nruns = ["1, big", "b\\"c", "3", "4", "5", "6", "7", "8"]'},
            "sample_g",
        ),
        ({"series": BLANKS}, "sample_g"),
    ],
)
def test_a_record_gives_back_the_sheet_that_was_brought_in(
    tmp_path: Path, changes: dict[str, str], header: str
) -> None:
    folder = folder_of(tmp_path, **changes)  # type: ignore[arg-type]
    assert header in columns(folder)
    before = (folder / READINGS).read_bytes()
    without = reduce(folder, draws=2000)
    import_readings(folder, folder / READINGS)
    again = import_readings(folder, folder / READINGS)
    assert again.events == ()
    (written,) = export_readings(folder)
    assert written.read_bytes() == before
    recorded = reduce(folder, draws=2000)
    assert without.full.series is not None
    assert recorded.full.series is not None
    assert recorded.full.series.sample_mass_fraction == without.full.series.sample_mass_fraction


def test_fillings_are_kept_in_the_record(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    lines = (folder / READINGS).read_text(encoding="utf-8").splitlines()
    place = lines[0].split(",").index(Quantity.DILUENT.value)
    cells = lines[1].split(",")
    cells[place] = f"20+{float(cells[place]) - 20:.2f}"
    (folder / READINGS).write_text("\n".join([lines[0], ",".join(cells), *lines[2:]]) + "\n")
    import_readings(folder, folder / READINGS)
    (folder / READINGS).unlink()
    (written,) = export_readings(folder)
    kept = written.read_text(encoding="utf-8").splitlines()[1].split(",")[place]
    assert kept == cells[place].replace("+", " + ")
    (reading,) = reduce(folder, draws=2000).table.of("1", Quantity.DILUENT)
    assert len(reading.fillings) == 2


def test_every_output_is_made_of_a_row_that_is_read_in_other_ways(tmp_path: Path) -> None:
    """Report, page, workbook and sheets of tablets with a blank cup, a burette and a holder."""
    folder = folder_of(
        tmp_path,
        sample='piece_g = 2.0\npieces_in = "halves"',
        series="reagent_mL = [20, 0, 6, 10, 14, 18, 30, 50]\n"
        "pieces = [0, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5]",
        reagent=BURETTE,
        diluent_ml=25,
        weighing='[weighing]\nsample_in = "holder before and after"\ntare = "zeroed on the cup"',
    )
    held(reduce(folder, draws=2000))
    report(folder)
    book = openpyxl.load_workbook(folder / "out" / "workbook.xlsx")
    formulas = [
        cell.value
        for row in book["Readings"].iter_rows()
        for cell in row
        if isinstance(cell.value, str) and cell.value.startswith("=")
    ]
    # Seven portions and seven pours of a burette are differences of two cells.
    assert len(formulas) == 14
    assert all(formula.count("-") == 1 for formula in formulas)


def test_the_plan_expects_what_several_fillings_leave_behind(tmp_path: Path) -> None:
    """Less of the reagent arrives where it takes three fillings instead of one."""
    lost = []
    for number, capacity in enumerate((50, 10)):
        place = tmp_path / str(number)
        place.mkdir()
        ware = f'kind = "graduated cylinder"\ncapacity_mL = {capacity}\ntolerance_mL = 0.1'
        series = "reagent_mL = [6, 10, 14, 18, 24, 28, 30, 36]"
        folder = folder_of(place, series=series, reagent=ware)
        experiment = parse_definition((folder / DEFINITION).read_text(encoding="utf-8"))
        truth = central_parameters(experiment).with_values(
            hold_up_reagent=np.array(0.0005), content=np.array(1.0)
        )
        rows = np.array([run.reagent for run in experiment.planned])
        open_cups = np.zeros(len(rows), dtype=np.bool_)
        state, _ = _lost(experiment, truth, rows, np.ones(len(rows)), open_cups)
        lost.append(state.reagent_amount / experiment.reagent.concentration.value)
    fewer = lost[0] - lost[1]
    assert fewer == pytest.approx([0, 0, 0.0005, 0.0005, 0.001, 0.001, 0.001, 0.0015])
