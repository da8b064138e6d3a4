"""Bad input through the real command line: one clear message, exit code 2, nothing written.

Every case is tried with every command that reads a folder; a few more go through the program
itself, in a process of its own.
"""

from __future__ import annotations

import errno
import os
import re
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from tarebook import cli

POOL = Path(__file__).parent / "snapshots" / "pool"
DEFINITION = (POOL / "experiment.toml").read_text(encoding="utf-8")
READINGS = (POOL / "readings.csv").read_text(encoding="utf-8")
PROGRAM = Path(sys.executable).parent / "tarebook"

State = dict[str, tuple[bytes, float]]


def state(folder: Path) -> State:
    """Return every file below a folder, hidden ones too, with content and time of change."""
    return {
        str(path.relative_to(folder)): (path.read_bytes(), path.stat().st_mtime)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def write(folder: Path, definition: str | bytes | None, readings: str | bytes | None) -> None:
    for name, content in (("experiment.toml", definition), ("readings.csv", readings)):
        if content is not None:
            data = content.encode() if isinstance(content, str) else content
            (folder / name).write_bytes(data)


def d(old: str, new: str) -> str:
    assert old in DEFINITION
    return DEFINITION.replace(old, new)


def r(old: str, new: str) -> str:
    assert old in READINGS
    return READINGS.replace(old, new, 1)


BAD_READINGS: dict[str, tuple[str | bytes | None, list[str]]] = {
    "empty": ("", ["readings.csv", "found nothing", "tarebook start"]),
    "missing": (None, ["readings.csv", "no such file"]),
    "header only": (READINGS.splitlines()[0], ["row 2", "at least one run"]),
    "UTF-16 with mark": (READINGS.encode("utf-16"), ["UTF-16", "UTF-8"]),
    "UTF-16 without mark": (READINGS.encode("utf-16-le"), ["UTF-16", "UTF-8"]),
    "UTF-16 big end first": (READINGS.encode("utf-16-be"), ["UTF-16", "UTF-8"]),
    "Latin-1": (r(",9,\n", ",9,café\n").encode("latin-1"), ["0xE9", "line 2", "UTF-8"]),
    "semicolons, both marks": (
        r("15.790", "15,790").replace(",", ";").replace("15;790", "15,790"),
        ["row 2", "'15,790'", "with a decimal point", "Write 15.790"],
    ),
    "tabs": (READINGS.replace(",", "\t"), ["tabs", "commas"]),
    "misspelt column": (r("tare_g", "tara_g"), ["'tara_g'", "Did you mean tare_g?"]),
    "unknown column": (r("note", "mood"), ["'mood'", "allowed: run, tare_g"]),
    "column twice": (r("minutes", "tare_g"), ["'tare_g' again", "tare_g_2"]),
    "run twice": (r("\n4,", "\n3,"), ["row 5", "'3'", "row 4", "_2"]),
    "run without name": (r("\n4,", "\n,"), ["row 5, column run"]),
    "text in a number": (r("15.790", "about 15"), ["row 2", "tare_g", "'about 15'", "blank"]),
    "unit in a cell": (r("34.5", "34.5 mL"), ["'34.5 mL'", "Write 34.5 alone"]),
    "unit at the number": (r("34.5", "34.5mL"), ["'34.5mL'", "Write 34.5 alone"]),
    "comma and unit": (r("1.488", '"1,52 g"'), ["'1,52 g'", "Write 1.52 alone"]),
    "nan": (r("1.488", "nan"), ["'nan'", "number"]),
    "inf": (r("1.488", "inf"), ["'inf'", "number"]),
    "too large": (r("1.488", "1e300"), ["'1e300'", "bench"]),
    "row too short": (r("1.488,56.209", "1.488"), ["row 2", "9 cells", "10"]),
    "row too long": (r("1.488", "1,488"), ["row 2", "11 cells", "decimal comma"]),
    "quote without end": (r("15.790", '"15.790'), ["quotation mark"]),
    "very long cell": (r("15.790", "9" * 1_000_000), ["5000 characters"]),
    "long text": (r("15.790", "x" * 100_000), ["row 2", "tare_g"]),
    "10 MB of junk": (bytes(range(256)) * 40_000, ["readings.csv", "other file"]),
    "10 MB of letters": (b"abc,def\n" * 1_200_000, ["readings.csv", "no column run"]),
    "a program": (b"\x7fELF\x02\x01\x01\0\0\0", ["not a text"]),
}

BAD_DEFINITIONS: dict[str, tuple[str | bytes | None, list[str]]] = {
    "empty": ("", ["experiment.toml", "found nothing", "tarebook start"]),
    "missing": (None, ["experiment.toml", "no such file"]),
    "UTF-16": (DEFINITION.encode("utf-16"), ["UTF-16", "UTF-8"]),
    "Latin-1": (d("pool granules", "Körner").encode("latin-1"), ["0xF6", "UTF-8"]),
    "not TOML": (d("nominal_g = 1.500", "nominal_g = 1,500"), ["line ", "1.5, not 1,5"]),
    "does not balance": (d("H2O + CO2", "H2O"), ["reaction.equation", "C stands only"]),
    "species not there": (d('gas = "CO2"', 'gas = "O2"'), ["reaction.gas", "Did you mean CO2?"]),
    "zero for O": (d("NaHCO3", "NaHC03"), ["'03'", "NaHCO3"]),
    "misspelt key": (d("nominal_g", "nominal_mg"), ["sample.nominal_mg", "nominal_g?"]),
    "wrong type": (d("total_mL = 40", 'total_mL = "40"'), ["series.total_mL", "without quotes"]),
    "wrong sort": (d('"titration"', '"titrated"'), ["given_as", "titration"]),
    "unknown vessel": (d('"graduated cylinder"', '"bucket"'), ["'bucket'", "graduated cylinder"]),
}

COMMANDS = (["reduce"], ["reduce", "--json"], ["check"], ["check", "--json"], ["report"])


def refused(folder: Path, words: list[str], command: list[str]) -> str:
    """Run a command on a folder that cannot be used and return what it says."""
    before = state(folder)
    result = CliRunner().invoke(cli.main, [command[0], str(folder), *command[1:]])
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    assert isinstance(result.exception, SystemExit)
    for word in words:
        assert word in result.stderr, result.stderr
    assert re.match(r"\d+ faults? in the input; nothing was written\.\n", result.stderr)
    assert len(result.stderr) < 4_000
    assert state(folder) == before
    return result.stderr


@pytest.mark.parametrize("case", BAD_READINGS)
def test_readings_that_cannot_be_used(case: str, tmp_path: Path) -> None:
    readings, words = BAD_READINGS[case]
    write(tmp_path, DEFINITION, readings)
    for command in COMMANDS:
        refused(tmp_path, words, command)


@pytest.mark.parametrize("case", BAD_DEFINITIONS)
def test_definitions_that_cannot_be_used(case: str, tmp_path: Path) -> None:
    definition, words = BAD_DEFINITIONS[case]
    write(tmp_path, definition, READINGS)
    for command in COMMANDS:
        refused(tmp_path, words, command)


def test_faults_of_both_files_are_listed_together(tmp_path: Path) -> None:
    write(tmp_path, d("H2O + CO2", "H2O"), r("34.5", "34.5 mL"))
    said = refused(tmp_path, ["reaction.equation", "'34.5 mL'"], ["reduce"])
    assert said.startswith("2 faults in the input; nothing was written.")


def test_every_line_says_where_what_and_what_is_allowed(tmp_path: Path) -> None:
    for definition, readings in (
        *((one, READINGS) for one, _ in BAD_DEFINITIONS.values()),
        *((DEFINITION, one) for one, _ in BAD_READINGS.values()),
    ):
        for path in tmp_path.iterdir():
            path.unlink()
        write(tmp_path, definition, readings)
        for line in refused(tmp_path, [], ["check"]).splitlines()[1:]:
            assert ": found " in line
            assert "; allowed: " in line
            assert line.rstrip().endswith((".", "?"))


def test_no_folder_and_a_file_instead_of_one(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    for command in COMMANDS:
        for name, found in (("none", "no such folder"), ("file", "found a file")):
            result = CliRunner().invoke(cli.main, [command[0], str(tmp_path / name), *command[1:]])
            assert result.exit_code == 2
            assert found in result.stderr
            assert result.stderr.count("\n") == 2
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--draws", "3"], ["--draws", "found 3", "1000 to 5000000"]),
        (["--draws", "3", "--seed", "-1"], ["--draws", "--seed", "0 or more"]),
        (["--draws", "many"], ["--draws", "not a valid integer"]),
        (["--drows", "3"], ["--drows"]),
    ],
)
@pytest.mark.parametrize("command", ["reduce", "report"])
def test_options_that_cannot_be(command: str, options: list[str], words: list[str]) -> None:
    result = CliRunner().invoke(cli.main, [command, str(POOL), *options])
    assert result.exit_code == 2
    assert result.stdout == ""
    for word in words:
        assert word in result.stderr


def test_more_draws_than_the_memory_holds(tmp_path: Path) -> None:
    rows = [READINGS.splitlines()[0], *(f"{n},,,,,,,,," for n in range(400))]
    write(tmp_path, DEFINITION, "\n".join(rows))
    result = CliRunner().invoke(cli.main, ["reduce", str(tmp_path), "--draws", "1000000"])
    assert result.exit_code == 2
    assert "at most 125000" in result.stderr


@pytest.mark.parametrize("command", ["start", "reduce", "check", "report"])
def test_the_folder_left_out(command: str) -> None:
    result = CliRunner().invoke(cli.main, [command])
    assert result.exit_code == 2
    assert "Missing argument 'FOLDER'" in result.stderr


def test_a_paper_that_is_not_known() -> None:
    result = CliRunner().invoke(cli.main, ["report", str(POOL), "--paper", "a3"])
    assert result.exit_code == 2
    assert "'a4', 'letter'" in result.stderr


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A sound folder with an older report, of which nothing may change."""
    shutil.copytree(POOL, tmp_path / "pool")
    (tmp_path / "pool" / "out").mkdir()
    (tmp_path / "pool" / "out" / "report.pdf").write_bytes(b"an older report")
    return tmp_path / "pool"


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EACCES, "you may not write there"),
        (errno.EROFS, "read-only"),
        (errno.EFBIG, "larger than is allowed"),
    ],
)
def test_a_report_that_cannot_be_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch, code: int, words: str
) -> None:
    """The disk refuses where a file is made safe: a full disk needs rights to mount one, and root
    may write everywhere, so both are made up at that place."""

    def refuse(_: int) -> None:
        raise OSError(code, os.strerror(code))

    before = state(folder)
    monkeypatch.setattr(os, "fsync", refuse)
    result = CliRunner().invoke(cli.main, ["report", str(folder), "--draws", "1000"])
    assert result.exit_code == 2
    assert words in result.stderr
    assert "Nothing was changed." in result.stderr
    assert "Traceback" not in result.output
    assert state(folder) == before


def limited() -> None:
    """Let no file of the process grow beyond 2000 bytes: a limit that the system itself holds."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (2_000, 2_000))


def process(
    *arguments: str, before: Callable[[], None] | None = None
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(PROGRAM), *arguments],
        capture_output=True, text=True, check=False, timeout=120, preexec_fn=before,
    )  # fmt: skip


def test_a_file_larger_than_the_system_allows(tmp_path: Path) -> None:
    """A real refusal by the system: the blank definition has more than 2000 bytes."""
    done = process("start", str(tmp_path / "mine"), before=limited)
    assert done.returncode == 2
    assert "larger than is allowed" in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_place_where_nothing_can_be_made() -> None:
    """The folder /proc takes no files, from root neither."""
    done = process("start", "/proc/tarebook")
    assert done.returncode == 2
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("case", ["UTF-16 with mark", "unit in a cell", "very long cell"])
def test_the_program_itself_on_bad_readings(case: str, tmp_path: Path) -> None:
    readings, words = BAD_READINGS[case]
    write(tmp_path, DEFINITION, readings)
    before = state(tmp_path)
    done = process("report", str(tmp_path))
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    for word in words:
        assert word in done.stderr
    assert state(tmp_path) == before


def test_the_program_itself_without_a_folder() -> None:
    done = process("reduce", "/no/such/folder")
    assert done.returncode == 2
    assert "no such folder" in done.stderr
    assert "Traceback" not in done.stderr
