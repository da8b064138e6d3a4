"""A report always comes, whatever was not read or cannot be used, and says what is missing."""

from __future__ import annotations

import csv
import html
import io
import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from tarebook import api, cli
from tarebook.api.write_report import one_file

POOL = Path(__file__).parent / "snapshots" / "pool"
POURED = "reagent_mL = [5, 10, 14, 18, 22, 26, 30, 35]"
KEPT = ("1", "3", "6", "8")
"""Runs that are kept: two on either side of the equivalence point, so that it is quick."""

Rows = list[dict[str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Little:
    """What is done to the sheet, and the words that say what is missing."""

    change: Callable[[Rows], Rows]
    words: tuple[str, ...]


def column(name: str, make: Callable[[float], str]) -> Callable[[Rows], Rows]:
    return lambda rows: [{**row, name: make(float(row[name]))} for row in rows]


def blank(*names: str) -> Callable[[Rows], Rows]:
    return lambda rows: [{**row, **dict.fromkeys(names, "")} for row in rows]


def zeroed(rows: Rows) -> Rows:
    def less(row: dict[str, str], name: str) -> str:
        return f"{float(row[name]) - float(row['tare_g']):.3f}"

    masses = ("vessel_liquid_g", "final_g")
    return [
        {**row, **{name: less(row, name) for name in masses}, "tare_g": "0.000"} for row in rows
    ]


READ = {
    "tare_g": "the empty vessel",
    "reagent_mL": "the reagent poured",
    "diluent_mL": "the diluent poured",
    "vessel_liquid_g": "the vessel with the liquid",
    "sample_g": "the sample",
}
TOO_FEW = "the two lines need 4 usable runs"

CASES = {
    "degrees Fahrenheit": Little(
        change=column("temperature_C", lambda value: f"{1.8 * value + 32:.1f}"),
        words=(TOO_FEW, "Run 1: the temperature is written as 69.8 °C, but 21.0 °C would fit"),
    ),
    "milligrams": Little(
        change=column("sample_g", lambda value: f"{1000 * value:.0f}"),
        words=(
            TOO_FEW,
            "the sample is written as 1488 g, about a thousand times more than was asked for",
        ),
    ),
    "a balance zeroed on the cup": Little(change=zeroed, words=("NaHCO₃ in the sample",)),
    "one run": Little(
        change=lambda rows: rows[:1],
        words=(TOO_FEW, "planned, but there are no readings of it."),
    ),
    "nothing read": Little(
        change=blank(*READ, "final_g", "temperature_C", "minutes"),
        words=("Nothing has been poured yet.", "the empty vessel (4 of 4)"),
    ),
    "no final mass": Little(
        change=blank("final_g"), words=("Not read yet", "the final mass (4 of 4)")
    ),
    **{
        f"no {name}": Little(
            change=blank(name), words=(f"Runs 1, 3, 6 and 8: {words} was not read.",)
        )
        for name, words in READ.items()
    },
}


def folder_with(change: Callable[[Rows], Rows], place: Path) -> Path:
    shutil.copytree(POOL, place)
    text = (place / "experiment.toml").read_text(encoding="utf-8")
    assert POURED in text
    shorter = text.replace(POURED, f"reagent_mL = [5, 14, 26, 35]\nruns = {list(KEPT)}")
    (place / "experiment.toml").write_text(shorter, encoding="utf-8")
    with (place / "readings.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["run"] in KEPT]
    sheet = io.StringIO()
    writer = csv.DictWriter(sheet, rows[0].keys(), lineterminator="\n")
    writer.writeheader()
    writer.writerows(change(rows))
    (place / "readings.csv").write_text(sheet.getvalue(), encoding="utf-8")
    return place


def words_of_page(page: str) -> str:
    bare = re.sub(r"<(script|style)\b.*?</\1>|<[^>]+>", " ", page, flags=re.DOTALL)
    return one_line(html.unescape(bare))


def one_line(text: str) -> str:
    return " ".join(text.replace("\xa0", " ").split())


def words_of_pdf(data: bytes) -> str:
    pages = PdfReader(io.BytesIO(data)).pages
    return one_line(" ".join(page.extract_text() for page in pages))


@pytest.mark.parametrize("name", CASES)
def test_a_report_comes_and_says_what_is_missing(name: str, tmp_path: Path) -> None:
    case = CASES[name]
    folder = folder_with(case.change, tmp_path / "it")
    result = CliRunner().invoke(cli.main, ["report", str(folder), "--draws", "1000"])
    assert result.exit_code in (0, 1), result.output
    out = folder / "out"
    page = words_of_page((out / "report.html").read_text(encoding="utf-8"))
    pdf = words_of_pdf((out / "report.pdf").read_bytes())
    for words in case.words:
        assert words in page
        # What is broken into lines on paper may hold a hyphen.
        assert words.replace(" ", "") in pdf.replace(" ", "")
    assert (out / "results.csv").read_text(encoding="utf-8").startswith("run,")
    workbook = out / "workbook.xlsx"
    if not workbook.exists():
        # What is handed on with cups has none; the app makes it all the same.
        workbook.write_bytes(one_file(api.reduce(folder, draws=1000), workbook.name))
    assert openpyxl.load_workbook(workbook)["Readings"]


def test_a_new_folder_has_a_report_that_says_that_nothing_was_read(tmp_path: Path) -> None:
    folder = tmp_path / "new"
    assert CliRunner().invoke(cli.main, ["start", str(folder)]).exit_code == 0
    result = CliRunner().invoke(cli.main, ["report", str(folder)])
    assert result.exit_code == 0, result.output
    page = words_of_page((folder / "out" / "report.html").read_text(encoding="utf-8"))
    assert "Nothing has been poured yet. Cups planned: 8." in page
    assert (folder / "out" / "report.pdf").read_bytes().startswith(b"%PDF")


def test_a_sheet_without_runs_says_what_to_add(tmp_path: Path) -> None:
    folder = folder_with(lambda _: [], tmp_path / "it")
    result = CliRunner().invoke(cli.main, ["report", str(folder)])
    assert result.exit_code == 2
    assert "allowed: at least one run. Add a row for each run." in result.stderr
