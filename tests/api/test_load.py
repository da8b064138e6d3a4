"""Which readings count: those of the record where there are any, else those of the sheet."""

from __future__ import annotations

import datetime as dt
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from tarebook import api
from tarebook.api.bench.workspace import open_workspace
from tarebook.api.exchange import import_readings
from tarebook.api.folder import READINGS
from tarebook.cli import main
from tarebook.core.errors import AskedFor, InputError
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.report.handover.story import tell_handover

POOL = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
NOW = dt.datetime(2027, 3, 2, 14, 0, tzinfo=dt.UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    there = tmp_path / "pool"
    there.mkdir()
    for name in ("experiment.toml", READINGS):
        shutil.copy(POOL / name, there / name)
    return there


def without_first_run(folder: Path) -> Path:
    rows = (folder / READINGS).read_text(encoding="utf-8").splitlines()
    shorter = folder / "shorter.csv"
    shorter.write_text("\n".join([rows[0], *rows[2:]]) + "\n", encoding="utf-8")
    return shorter


def test_without_a_record_the_sheet_counts(folder: Path) -> None:
    assert len(api.load(folder)[1].readings) == 64


def test_what_was_recorded_counts_before_the_sheet(folder: Path) -> None:
    import_readings(folder, without_first_run(folder), group="1", who="", now=NOW)
    table = api.load(folder)[1]
    assert len(table.readings) == 56
    assert not [reading for reading in table.readings if reading.run == "1"]


def test_several_groups_must_be_told_apart(folder: Path) -> None:
    import_readings(folder, folder / READINGS, group="A", who="", now=NOW)
    import_readings(folder, without_first_run(folder), group="B", who="", now=NOW)
    with pytest.raises(InputError, match="A, B") as fault:
        api.load(folder)
    assert [one.where for one in fault.value.faults] == [AskedFor.GROUP]
    assert len(api.load(folder, "A")[1].readings) == 64
    assert len(api.load(folder, "B")[1].readings) == 56


def test_a_group_without_a_record_is_a_fault(folder: Path) -> None:
    with pytest.raises(InputError) as fault:
        api.load(folder, "A")
    assert AskedFor.GROUP in [one.where for one in fault.value.faults]


def test_a_history_of_slips_in_the_folder_is_used(tmp_path: Path) -> None:
    """A course whose students often swap digits reads the messy example otherwise."""
    folder = tmp_path / "messy"
    folder.mkdir()
    for name in ("experiment.toml", READINGS):
        shutil.copy(POOL.parent / "messy-pool-granules" / name, folder / name)
    before = {finding.run: finding for finding in api.check(folder)}
    assert before["4"].code == "slip-meniscus-edge"
    history = "[looked_through]\nseries = 25\nruns = 200\n[confirmed]\ndigits-swapped = 60\n"
    (folder / "slips.toml").write_text(history, encoding="utf-8")
    after = {finding.run: finding for finding in api.check(folder)}
    assert after["4"].code == "slip-digits-swapped"
    assert after["4"].values["meant"] == "17.8"
    with open_workspace(folder, workers=False) as workspace:
        assert workspace.odds.rate(SlipKind.DIGITS_SWAPPED) > 0.03


def test_faults_of_a_history_stand_beside_those_of_the_other_files(folder: Path) -> None:
    (folder / "slips.toml").write_text("[confirmed]\ntypos = 3\n", encoding="utf-8")
    (folder / READINGS).write_text("run,tare_g\n1,x\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        api.check(folder)
    text = str(caught.value)
    for words in ("slips.toml, table confirmed", "no series and no runs", "'x'"):
        assert words in text


def test_a_history_that_is_a_link_to_nowhere_is_a_fault(folder: Path) -> None:
    (folder / "slips.toml").symlink_to(folder / "elsewhere.toml")
    with pytest.raises(InputError, match="a link that leads nowhere"):
        api.check(folder)


def test_a_class_is_checked_group_by_group(folder: Path) -> None:
    """Group 3 wrote the first cup's final mass with two digits swapped."""
    sheet = (folder / READINGS).read_text(encoding="utf-8")
    for group in ("10", "3", "2"):
        typed = sheet.replace("56.212", "56.122") if group == "3" else sheet
        assert (typed != sheet) == (group == "3")
        (folder / "of-group.csv").write_text(typed, encoding="utf-8")
        import_readings(folder, folder / "of-group.csv", group=group, who="", now=NOW)
    found = api.check_class(folder)
    assert list(found) == ["2", "3", "10"]
    (odd,) = [f for f in found["3"] if f.severity is not api.Severity.NOTE]
    assert (odd.code, odd.run, odd.reading) == ("slip-digits-swapped", "1", "final_g")
    text = api.class_as_text(found)
    assert text.startswith("Group 3\n")
    assert text.endswith("Nothing to stop or to look at: 2, 10.\n")


def test_of_exchanged_columns_a_class_is_told_once(folder: Path) -> None:
    """The numbers look wrong by themselves too; that the columns are exchanged says it all."""
    sheet = (folder / READINGS).read_text(encoding="utf-8")
    other = {"tare_g": "reagent_mL", "reagent_mL": "tare_g"}
    head, rest = sheet.split("\n", 1)
    heads = ",".join(other.get(name, name) for name in head.split(","))
    (folder / "of-group.csv").write_text(f"{heads}\n{rest}", encoding="utf-8")
    import_readings(folder, folder / "of-group.csv", group="2", who="", now=NOW)
    assert [finding.code for finding in api.check_class(folder)["2"]] == ["columns-exchanged"]


def test_groups_that_only_filled_their_cups_are_not_accused(folder: Path) -> None:
    rows = [line.split(",") for line in (folder / READINGS).read_text("utf-8").splitlines()]
    filled = [rows[0], *([*row[:5], "", "", row[7], "", ""] for row in rows[1:])]
    (folder / "filled.csv").write_text("\n".join(map(",".join, filled)) + "\n", encoding="utf-8")
    import_readings(folder, folder / "filled.csv", group="2", who="Ada", now=NOW)
    assert api.check_class(folder) == {"2": ()}
    outcome = api.reduce(folder)
    assert outcome.stage.stage.value == "poured"
    assert outcome.handover is not None
    (filling,) = [one for one in tell_handover(outcome, outcome.handover).handed_on if one.who]
    assert (filling.what, filling.who) == ("Cups filled and weighed", "Ada")


def test_a_class_without_a_record_is_told_what_to_do(folder: Path) -> None:
    with pytest.raises(InputError, match="Leave it out to check the sheet"):
        api.check_class(folder)


def test_the_command_checks_every_group(folder: Path) -> None:
    import_readings(folder, folder / READINGS, group="A", who="", now=NOW)
    import_readings(folder, without_first_run(folder), group="B", who="", now=NOW)
    done = CliRunner().invoke(main, ["check", str(folder), "--every-group", "--json"])
    assert done.exit_code == 0
    groups = json.loads(done.stdout)["groups"]
    assert list(groups) == ["A", "B"]
    assert any(finding["code"] == "run-missing" for finding in groups["B"])
    both = CliRunner().invoke(main, ["check", str(folder), "--every-group", "--group", "A"])
    assert both.exit_code == 2
    assert "exclude one another" in both.output
