"""From a folder to the sheets in `out`, and wishes that cannot be met."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from tarebook import api
from tarebook.cli import main
from tarebook.core.errors import AskedFor, InputError

LABORATORIES = Path(__file__).parents[1] / "laboratories"

NAMES = {
    "prep-room.pdf",
    "hazards.pdf",
    "bench-sheets.pdf",
    "labels.pdf",
    "handout.pdf",
    "key.pdf",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    api.start(tmp_path / "new")
    return tmp_path / "new"


def test_a_new_folder_is_prepared_without_any_readings(folder: Path) -> None:
    (folder / "readings.csv").unlink()
    done = api.prepare(folder, groups=3, date="2027-03-02")
    assert {path.name for path, _ in done.files} == NAMES
    assert {path.name for path in (folder / "out").iterdir()} == NAMES
    sheets = PdfReader(io.BytesIO((folder / "out" / "bench-sheets.pdf").read_bytes()))
    assert len(sheets.pages) == 3 * 8
    assert "note-hazards-unverified" in [note.key for note in done.notes]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("capacity_mL = 200", "capacity_mL = 45", "40 mL of liquid"),
        (
            "mol_per_L = 0.500",
            "mol_per_L = 0.02",
            "The equivalence point lies at 479 mL",
        ),
        (
            "nominal_g = 1.00",
            "nominal_g = 30",
            "The row does not work. The full model does not reach this far (ionic strength is",
        ),
    ],
)
def test_a_row_that_does_not_work_is_said_before_it_is_printed(
    folder: Path, old: str, new: str, said: str
) -> None:
    definition = folder / "experiment.toml"
    text = definition.read_text(encoding="utf-8")
    wish = ["prepare", str(folder), "--groups", "1", "--date", "2027-03-02"]
    works = CliRunner().invoke(main, wish)
    assert works.exit_code == 0
    assert works.stdout.startswith("Ready to print")
    assert old in text
    definition.write_text(text.replace(old, new), encoding="utf-8")
    done = CliRunner().invoke(main, wish)
    assert done.exit_code == 1
    first, then = done.stdout.splitlines()[:2]
    assert first.startswith("stop: ")
    assert said in first
    assert len(then) > len("Do: ")
    assert "Ready to print" not in done.stdout
    assert {path.name for path in (folder / "out").iterdir()} == NAMES


def test_a_metal_whose_gas_hides_behind_water_is_no_silent_success(folder: Path) -> None:
    metal = LABORATORIES / "magnesium-turnings-in-acid" / "experiment.toml"
    (folder / "experiment.toml").write_text(metal.read_text("utf-8"), encoding="utf-8")
    wish = ["prepare", str(folder), "--groups", "2", "--date", "2027-03-02"]
    done = CliRunner().invoke(main, wish)
    assert done.exit_code == 1
    assert done.stdout.startswith("stop: In the cup with the most gas, about")


@pytest.mark.parametrize("name", api.example_names())
def test_the_examples_are_prepared(tmp_path: Path, name: str) -> None:
    api.start(tmp_path / name, like=name)
    done = api.prepare(
        tmp_path / name, groups=2, date="2027-03-02", time="14:00", paper="letter", language="de"
    )
    assert {path.name for path, _ in done.files} == NAMES
    for path, _ in done.files:
        reader = PdfReader(io.BytesIO(path.read_bytes()))
        assert str(reader.root_object["/Lang"]) == "de-DE"


def test_the_same_wishes_give_the_same_files(folder: Path) -> None:
    first = {
        path.name: path.read_bytes()
        for path, _ in api.prepare(folder, groups=2, date="2027-03-02").files
    }
    second = {
        path.name: path.read_bytes()
        for path, _ in api.prepare(folder, groups=2, date="2027-03-02").files
    }
    assert first == second


def test_all_wrong_wishes_are_named_at_once_and_nothing_is_written(folder: Path) -> None:
    with pytest.raises(InputError) as caught:
        api.prepare(folder, groups=2, date="2027-02-30", time="25:00", address="somewhere")
    assert [fault.where for fault in caught.value.faults] == [
        AskedFor.DATE,
        AskedFor.TIME,
        AskedFor.ADDRESS,
    ]
    assert not (folder / "out").exists()


@pytest.mark.parametrize("date", ["tomorrow", "2027-13-01", "02.03.2027", "2027-02-29"])
def test_a_date_that_is_none_is_refused(folder: Path, date: str) -> None:
    with pytest.raises(InputError) as caught:
        api.prepare(folder, groups=1, date=date)
    assert [fault.where for fault in caught.value.faults] == [AskedFor.DATE]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--groups", "0"], "--groups: found 0; allowed: 1 to 500"),
        (["--groups", "501"], "Prepare them in parts"),
        (["--groups", "2", "--balances", "0"], "--balances: found 0"),
    ],
)
def test_impossible_numbers_end_with_exit_code_2(
    folder: Path, arguments: list[str], said: str
) -> None:
    result = CliRunner().invoke(main, ["prepare", str(folder), "--date", "2027-03-02", *arguments])
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stdout == ""
    assert not (folder / "out").exists()


def test_an_unknown_reagent_says_what_to_write(folder: Path) -> None:
    definition = folder / "experiment.toml"
    text = definition.read_text(encoding="utf-8").replace("HCl", "HNO3").replace("NaCl", "NaNO3")
    definition.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(
        main, ["prepare", str(folder), "--date", "2027-03-02", "--groups", "2"]
    )
    assert result.exit_code == 2
    assert "a table [prepare.bought]" in result.stderr
    assert "Traceback" not in result.stderr


def test_the_command_says_what_it_wrote(folder: Path) -> None:
    wish = ["--groups", "4", "--balances", "2", "--date", "2027-03-02", "--time", "14:00"]
    result = CliRunner().invoke(main, ["prepare", str(folder), *wish])
    assert result.exit_code == 0
    for name in NAMES:
        assert name in result.stdout
    assert "The last group is done after about" in result.stdout


def test_the_language_is_that_of_the_definition_unless_asked(folder: Path) -> None:
    with (folder / "experiment.toml").open("a", encoding="utf-8") as file:
        file.write('\n[course]\nname = "Chemie 1"\nlanguage = "de"\n')

    def language(wished: str | None) -> str:
        api.prepare(folder, groups=1, date="2027-03-02", language=wished)
        reader = PdfReader(io.BytesIO((folder / "out" / "handout.pdf").read_bytes()))
        assert "Chemie 1" in reader.pages[0].extract_text()
        return str(reader.root_object["/Lang"])

    assert language(None) == "de-DE"
    assert language("en") == "en-GB"


def test_other_commands_do_not_load_what_only_printing_needs() -> None:
    names = ("simpy", "segno", "babel", "typst")
    code = f"import sys, tarebook.cli; print([m for m in {names} if m in sys.modules])"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"


def test_without_a_date_the_sheets_leave_a_line_for_it(folder: Path) -> None:
    result = CliRunner().invoke(main, ["prepare", str(folder), "--groups", "1"])
    assert result.exit_code == 0, result.output
    text = PdfReader(folder / "out" / "handout.pdf").pages[0].extract_text()
    assert "Date: ____" in text


STUDENTS = {"bench-sheets.pdf", "labels.pdf", "handout.pdf"}
DECISION = """
[prepare.gas_decision]
by = "A. Muster"
on = 2027-02-20
why = "fume cupboard, demonstration"
"""


def sulfite(folder: Path, more: str = "") -> None:
    """Turn the blank series into one that makes sulfur dioxide."""
    blank = (Path(api.__file__).parent / "blank.toml").read_text(encoding="utf-8")
    text = blank.replace("NaHCO3 + HCl -> NaCl + H2O + CO2", "Na2SO3 + 2 HCl -> 2 NaCl + H2O + SO2")
    text = text.replace('sample = "NaHCO3"', 'sample = "Na2SO3"').replace('"CO2"', '"SO2"')
    (folder / "experiment.toml").write_text(text + more, encoding="utf-8")


def test_a_poisonous_gas_comes_first_and_students_get_no_sheets(folder: Path) -> None:
    wish = ["prepare", str(folder), "--groups", "2", "--date", "2027-03-02"]
    assert CliRunner().invoke(main, wish).exit_code == 0
    assert {path.name for path in (folder / "out").iterdir()} == NAMES
    sulfite(folder)
    done = CliRunner().invoke(main, wish)
    assert done.exit_code == 1
    first = done.stdout.splitlines()[0]
    assert first.startswith("stop: The gas of this row, sulfur dioxide (SO2), is poisonous")
    assert "Not made, and removed where they were: bench-sheets.pdf" in done.stdout
    # Those of the harmless row before are gone too.
    assert {path.name for path in (folder / "out").iterdir()} == NAMES - STUDENTS
    for path in (folder / "out").iterdir():
        for page in PdfReader(path).pages:
            assert "is poisonous. Nothing is poured until" in " ".join(page.extract_text().split())


def test_with_a_decision_every_sheet_is_made_and_names_who_decided(folder: Path) -> None:
    sulfite(folder, DECISION)
    done = CliRunner().invoke(
        main, ["prepare", str(folder), "--groups", "1", "--date", "2027-03-02"]
    )
    assert done.exit_code == 1
    assert done.stdout.splitlines()[1].startswith("Do: Decided by A. Muster on 2027-02-20")
    assert {path.name for path in (folder / "out").iterdir()} == NAMES
    for path in (folder / "out").iterdir():
        for page in PdfReader(path).pages:
            text = " ".join(page.extract_text().split())
            assert "Only as A. Muster decided on 20 Feb 2027: fume cupboard" in text


def test_plan_says_a_poisonous_gas_before_the_row(folder: Path) -> None:
    sulfite(folder)
    told = CliRunner().invoke(main, ["plan", str(folder), "--write"])
    assert told.exit_code == 1
    lines = " ".join(told.stdout.split())
    assert lines.startswith("Stop before anything is poured. The gas of this row, sulfur dioxide")
    page = PdfReader(folder / "out" / "plan.pdf").pages[0].extract_text()
    assert page.strip().startswith("Stop before anything is poured.")
    found = json.loads(CliRunner().invoke(main, ["plan", str(folder), "--json"]).stdout)
    assert found["findings"][0]["code"] == "gas-poisonous"
    assert found["works"] is False
