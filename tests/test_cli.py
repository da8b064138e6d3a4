"""The command line as scripts rely on it: one JSON object, units, exit codes, the same digits."""

from __future__ import annotations

import json
import math
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Annotated, Any, Literal

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict, Field

from tarebook import api, cli
from tarebook.api.reduce_series import reduce_table
from tarebook.records.sheet import parse_sheet
from tarebook.series.definition import parse_definition

TOP = Path(__file__).parents[1]
EXAMPLES = TOP / "examples"
NAMES = ("clean-pool-granules", "messy-pool-granules", "weak-acid-foot-bath")
PROGRAM = Path(sys.executable).parent / "tarebook"
POOL = Path(__file__).parent / "snapshots" / "pool"


class Part(BaseModel):
    """A part of the contract: more keys may stand there, these must."""

    model_config = ConfigDict(extra="allow", strict=True)


class Quantity(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)
    value: float
    u: Annotated[float, Field(ge=0)]
    low: float
    high: float
    unit: str


class Finding(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)
    code: str
    severity: Literal["stop", "look", "note"]
    run: str | None
    reading: str | None
    message: Annotated[str, Field(min_length=10)]
    evidence: dict[str, float | str | None]
    do: Annotated[str, Field(min_length=4)]


class Run(Part):
    run: str
    reagent_mol: Quantity | None
    sample_mol: Quantity | None
    limiting: Literal["reagent", "sample"] | None
    p_reagent_limiting: Annotated[float, Field(ge=0, le=1)] | None
    gas_usual_g: Quantity | None
    gas_expected_g: Quantity | None
    yield_percent: Quantity | None
    findings: list[Finding]


class Usual(Part):
    sample_mass_fraction: Quantity | None
    equivalence_mL: Quantity | None  # noqa: N815 (the unit is part of the key)


class Series(Part):
    usual: Usual


class Share(Part):
    source: str
    share: Annotated[float, Field(ge=0, le=1)]


class About(Part):
    title: str
    equation: str
    hash: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


class Method(Part):
    version: str
    seed: int
    draws: int


class Reduced(Part):
    experiment: About
    runs: list[Run]
    series: Series
    budget: list[Share]
    findings: list[Finding]
    method: Method


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli.main, list(arguments))


def refuse(constant: str) -> Any:
    raise AssertionError(f"{constant} is no JSON")


def as_json(text: str) -> Any:
    return json.loads(text, parse_constant=refuse)


def reduced(name: str, *options: str) -> Result:
    return run("reduce", str(EXAMPLES / name), "--json", "--draws", "5000", *options)


@pytest.fixture(scope="module")
def contracts() -> dict[str, Reduced]:
    return {name: Reduced.model_validate(as_json(reduced(name).stdout)) for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_reduce_keeps_the_contract(name: str, contracts: dict[str, Reduced]) -> None:
    result = contracts[name]
    assert sum(item.share for item in result.budget) == pytest.approx(1.0, abs=1e-9)
    assert result.method.seed == api.DEFAULT_SEED
    assert result.method.draws == 5000
    assert result.experiment.equation.count("->") == 1
    fraction = result.series.usual.sample_mass_fraction
    assert fraction is not None
    assert fraction.unit == "g/g"
    assert fraction.low < fraction.value < fraction.high
    equivalence = result.series.usual.equivalence_mL
    assert equivalence is not None
    assert equivalence.unit == "mL"
    assert 5 < equivalence.value < 40


@pytest.mark.parametrize("name", NAMES)
def test_units_and_intervals_of_every_run(name: str, contracts: dict[str, Reduced]) -> None:
    units = {
        "reagent_mol": "mol",
        "sample_mol": "mol",
        "gas_usual_g": "g",
        "gas_expected_g": "g",
        "yield_percent": "%",
    }
    for one in contracts[name].runs:
        for key, unit in units.items():
            quantity = getattr(one, key)
            if quantity is not None:
                assert quantity.unit == unit
                assert quantity.low <= quantity.value <= quantity.high


def test_every_run_of_the_sheet_is_there_in_its_order(contracts: dict[str, Reduced]) -> None:
    assert [one.run for one in contracts["messy-pool-granules"].runs] == list("12345678")
    assert [one.run for one in contracts["weak-acid-foot-bath"].runs] == list("ABCDEFGHI")
    sixth = contracts["messy-pool-granules"].runs[5]
    assert sixth.reagent_mol is not None, "the full result leaves out the sample, not the run"
    assert sixth.gas_usual_g is None
    assert [f.code for f in sixth.findings] == ["slip-other-unit"]


def test_the_messy_example_finds_what_was_planted(contracts: dict[str, Reduced]) -> None:
    """Run 2 without tare, run 4 with swapped digits, run 6 in milligrams, run 7 read too finely.

    17.8 mL became 18.7 mL; the masses say 18.0 mL, give or take 0.1, so that a meniscus read at its
    edge fits as well as swapped digits, and both are named.
    """
    found = {(f.code, f.run) for f in contracts["messy-pool-granules"].findings}
    fourth = next(f for f in contracts["messy-pool-granules"].findings if f.run == "4")
    assert "two digits are swapped (17.8 mL)" in fourth.do
    assert {
        ("reading-missing", "2"),
        ("slip-meniscus-edge", "4"),
        ("slip-other-unit", "6"),
        ("not-readable", "7"),
    } <= found


@pytest.mark.parametrize(("name", "code"), [(NAMES[0], 0), (NAMES[1], 1), (NAMES[2], 0)])
@pytest.mark.parametrize("command", ["reduce", "check"])
def test_exit_codes(name: str, code: int, command: str) -> None:
    result = run(command, str(EXAMPLES / name))
    assert result.exit_code == code
    assert result.stderr == ""
    assert result.stdout


@pytest.mark.parametrize("name", NAMES)
def test_check_prints_the_findings_in_the_same_form(name: str) -> None:
    found = as_json(run("check", str(EXAMPLES / name), "--json").stdout)
    assert list(found) == ["findings", "readings"]
    findings = [Finding.model_validate(one) for one in found["findings"]]
    order = ["stop", "look", "note"]
    ranks = [order.index(finding.severity) for finding in findings]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize("name", NAMES)
def test_the_same_seed_gives_the_same_bytes(name: str) -> None:
    assert reduced(name).stdout_bytes == reduced(name).stdout_bytes


def test_another_seed_changes_digits_within_the_noise(contracts: dict[str, Reduced]) -> None:
    """5000 draws: u is known to 1 %, an end of the interval to about 0.04 u."""
    name = NAMES[0]
    other = Reduced.model_validate(as_json(reduced(name, "--seed", "7").stdout))
    a, b = contracts[name].series.usual, other.series.usual
    assert a.sample_mass_fraction is not None
    assert b.sample_mass_fraction is not None
    assert a.sample_mass_fraction.value == b.sample_mass_fraction.value
    assert a.sample_mass_fraction.u != b.sample_mass_fraction.u
    assert a.sample_mass_fraction.u == pytest.approx(b.sample_mass_fraction.u, rel=0.06)
    assert a.sample_mass_fraction.low == pytest.approx(
        b.sample_mass_fraction.low, abs=0.2 * a.sample_mass_fraction.u
    )


def test_reading_changes_nothing_in_the_folder(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    shutil.copytree(EXAMPLES / NAMES[0], folder, ignore=shutil.ignore_patterns("out"))
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    run("reduce", str(folder))
    run("check", str(folder), "--json")
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_start_says_what_to_do_next(tmp_path: Path) -> None:
    result = run("start", str(tmp_path / "mine"))
    assert result.exit_code == 0
    assert f"tarebook reduce {tmp_path / 'mine'}" in result.stdout
    folders = sorted(path.name for path in EXAMPLES.iterdir() if path.is_dir())
    assert run("start", str(tmp_path), "--examples").stdout.split() == folders


def test_version_and_help() -> None:
    assert api.VERSION in run("--version").stdout
    for command in ("start", "reduce", "check", "report"):
        assert run(command, "--help").exit_code == 0


def process(*arguments: str, **options: Any) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(PROGRAM), *arguments], capture_output=True, text=True, check=False, timeout=120,
        **options,
    )  # fmt: skip


def test_the_package_is_a_program_too() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tarebook", "--version"],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    assert done.stdout == process("--version").stdout == f"tarebook, version {api.VERSION}\n"


def test_the_program_itself() -> None:
    done = process("reduce", str(EXAMPLES / NAMES[0]), "--json", "--draws", "2000")
    assert done.returncode == 0
    assert done.stderr == ""
    Reduced.model_validate(as_json(done.stdout))


def test_a_closed_pipe_ends_quietly() -> None:
    """`tarebook reduce FOLDER --json | head -1`: the reader goes away before the writing."""
    reader, writer = os.pipe()
    os.close(reader)
    command = [str(PROGRAM), "reduce", str(EXAMPLES / NAMES[0]), "--json", "--draws", "1000"]
    with subprocess.Popen(command, stdout=writer, stderr=subprocess.PIPE, text=True) as child:
        os.close(writer)
        _, said = child.communicate(timeout=60)
    assert said == ""
    assert child.returncode == 141


def test_a_full_disk_behind_the_output_is_said() -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        command = [str(PROGRAM), "check", str(EXAMPLES / NAMES[0])]
        done = subprocess.run(
            command, stdout=full, stderr=subprocess.PIPE, text=True, check=False, timeout=60
        )
    assert done.returncode == 2
    assert "no space left" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_interrupt_ends_quietly() -> None:
    command = [str(PROGRAM), "reduce", str(EXAMPLES / NAMES[0]), "--draws", "5000000"]
    # A job in the background is started with interrupts ignored; a person's terminal is not.
    before = signal.signal(signal.SIGINT, signal.SIG_DFL)
    child = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    )
    signal.signal(signal.SIGINT, before)
    time.sleep(1.5)
    child.send_signal(signal.SIGINT)
    out, said = child.communicate(timeout=60)
    assert child.returncode == 130
    assert out == ""
    assert "Traceback" not in said
    assert "Stopped" in said


def test_an_interrupt_inside_a_command(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(api, "reduce", interrupted)
    result = run("reduce", str(EXAMPLES / NAMES[0]))
    assert result.exit_code == 130
    assert "Traceback" not in result.output


def test_a_terminal_without_the_letters_gets_question_marks_and_json_gets_escapes() -> None:
    latin = {"env": {**os.environ, "PYTHONIOENCODING": "latin-1"}, "encoding": "latin-1"}
    done = process("reduce", str(EXAMPLES / NAMES[0]), "--draws", "1000", **latin)
    assert done.returncode == 0
    assert "NaHCO?" in done.stdout
    assert "±" in done.stdout
    folder = str(EXAMPLES / NAMES[1])
    plain = process("check", folder, "--json", **latin)
    assert as_json(plain.stdout) == as_json(process("check", folder, "--json").stdout)


EXPERIMENT = parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8"))
SHEET = (POOL / "readings.csv").read_text(encoding="utf-8").splitlines()


def outcome(lines: list[str]) -> Any:
    table = parse_sheet("\n".join(lines) + "\n")
    made = reduce_table(EXPERIMENT, table, seed=1, draws=1_000, made_on="")
    return as_json(json.dumps(api.payload(made)))


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ([1], "no-change-over"),
        ([1, 2, 3], "no-change-over"),
        ([1, 2, 3, 4], "no-change-over"),
        ([5, 6, 7, 8], "no-change-over"),
        ([3, 4, 5, 6, 7], "few-runs-on-a-side"),
    ],
)
def test_short_and_one_sided_rows_give_a_finding(rows: list[int], code: str) -> None:
    found = outcome([SHEET[0], *(SHEET[row] for row in rows)])
    assert code in {finding["code"] for finding in found["findings"]}
    assert len(found["runs"]) == len(rows)
    Reduced.model_validate(found)


@pytest.mark.parametrize("typed", ["0", "0.0", "5.1"])
def test_the_same_reagent_everywhere_or_none_at_all(typed: str) -> None:
    rows = [line.split(",") for line in SHEET]
    found = outcome([SHEET[0], *(",".join([*row[:2], typed, *row[3:]]) for row in rows[1:])])
    assert "no-change-over" in {finding["code"] for finding in found["findings"]}


def test_identical_samples_are_as_good_as_any() -> None:
    rows = [line.split(",") for line in SHEET]
    found = outcome([SHEET[0], *(",".join([*row[:5], "1.500", *row[6:]]) for row in rows[1:])])
    assert found["series"]["usual"]["sample_mass_fraction"] is not None


def test_nothing_read_at_all() -> None:
    found = outcome([SHEET[0], *(f"{n},,,,,,,,," for n in range(1, 9))])
    assert all(one["reagent_mol"] is None for one in found["runs"])
    # A row that nobody has begun is planned; nothing is odd about it.
    assert found["series"]["stage"] == "planned"
    assert found["findings"] == []


odd = st.sampled_from(
    ["", "0", "-1", "1510", "0.001", "35", "15.790", "40", "54.840", "1e7", "1e-7", "-273.15", "70"]
)


@settings(max_examples=30)
@given(
    rows=st.lists(st.integers(1, 8), min_size=1, max_size=8, unique=True),
    slips=st.lists(st.tuples(st.integers(0, 7), st.integers(1, 8), odd), max_size=30),
)
def test_whatever_is_read_gives_valid_json(
    rows: list[int], slips: list[tuple[int, int, str]]
) -> None:
    """Readings from nowhere: findings, no crash, no warning, no number that JSON cannot hold."""
    cells = [SHEET[row].split(",") for row in rows]
    for row, column, typed in slips:
        cells[row % len(cells)][column] = typed
    found = outcome([SHEET[0], *(",".join(row) for row in cells)])
    Reduced.model_validate(found)
    shares = [item["share"] for item in found["budget"]]
    assert not shares or math.isclose(sum(shares), 1.0)
