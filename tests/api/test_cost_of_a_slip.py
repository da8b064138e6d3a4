"""One wrong cell costs little more than a good sheet: work is counted, in calls of the model."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Callable
from pathlib import Path

import pytest

from tarebook.api.folder import DEFINITION, READINGS
from tarebook.api.reduce_series import reduce_table
from tarebook.diagnosis.slips import cups
from tarebook.model.cup import cup_state
from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint import problem
from tarebook.reduction.joint.problem import READ
from tarebook.report.outcome import Outcome
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
MOST_CALLS = 2000
"""A good sheet takes some 60. A fit that was to make sense of 300 g took above 9000."""


@pytest.mark.parametrize(
    ("run", "column", "cell"),
    [
        ("4", "final_g", "300"),
        ("4", "final_g", "3000"),
        ("4", "final_g", "0"),
        ("4", "final_g", "-5"),
        ("4", "final_g", ""),
        ("3", "sample_g", "15"),
        ("3", "reagent_mL", "145"),
        ("3", "vessel_liquid_g", "300"),
        ("3", "tare_g", "154.17"),
    ],
)
def test_one_wrong_cell_is_bounded_in_work(
    calls: list[int], run: str, column: str, cell: str
) -> None:
    outcome = reduced(run, column, cell)
    assert 0 < calls[0] < MOST_CALLS
    assert outcome.full.series is not None
    found = outcome.full.series.sample_mass_fraction
    assert found.value == pytest.approx(0.947, abs=0.004), "the other readings say it all the same"
    named = {f.run for f in outcome.findings if f.severity.value == "stop"}
    assert named <= {run}


def reduced(run: str, column: str, cell: str) -> Outcome:
    def change(rows: list[dict[str, str]]) -> None:
        for row in rows:
            if row["run"] == run:
                row[column] = cell

    given = sheet("clean-pool-granules", change)
    return reduce_table(*given, seed=1, draws=1000, made_on="", pictures=False)


def test_nothing_is_said_to_follow_from_a_number_that_cannot_be() -> None:
    (note,) = (f for f in reduced("4", "final_g", "300").findings if f.code == "doubtful-left-out")
    assert "content_as_read" not in note.evidence


NAMES = ("clean-pool-granules", "egg-shells-in-acid", "weak-acid-foot-bath")
PAIRS = list(itertools.combinations([quantity.value for quantity in READ], 2))
MOST_OF_A_COLUMN = 5000
"""A whole column that is wrong leaves no cup alone. It took up to 12100 calls."""


def sheet(name: str, change: Callable[[list[dict[str, str]]], None]) -> tuple[Experiment, RunTable]:
    folder = EXAMPLE.parent / name
    rows = list(csv.DictReader(io.StringIO((folder / READINGS).read_text(encoding="utf-8"))))
    change(rows)
    text = io.StringIO()
    writer = csv.DictWriter(text, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    experiment = parse_definition((folder / DEFINITION).read_text(encoding="utf-8"))
    return experiment, parse_sheet(text.getvalue())


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Calls of the forward model, counted."""
    counter = [0]

    def counted(*given: object) -> object:
        counter[0] += 1
        return cup_state(*given)  # type: ignore[arg-type]

    for module in (problem, cups):
        monkeypatch.setattr(module, "cup_state", counted)
    return counter


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_two_columns_in_each_others_place_cost_no_more_than_a_good_sheet(
    calls: list[int], name: str, one: str, other: str
) -> None:
    def swap(rows: list[dict[str, str]]) -> None:
        for row in rows:
            row[one], row[other] = row[other], row[one]

    outcome = reduce_table(*sheet(name, swap), seed=1, draws=1000, made_on="", pictures=False)
    assert 0 < calls[0] <= 100
    assert [finding.code for finding in outcome.findings] == ["columns-exchanged"]


@pytest.mark.parametrize(
    ("name", "column", "factor"),
    [
        ("clean-pool-granules", "final_g", 0.0),
        ("clean-pool-granules", "vessel_liquid_g", 0.0),
        ("clean-pool-granules", "reagent_mL", 0.0),
        ("clean-pool-granules", "reagent_mL", 10.0),
        ("egg-shells-in-acid", "reagent_mL", 10.0),
        ("egg-shells-in-acid", "diluent_mL", 10.0),
        ("weak-acid-foot-bath", "final_g", 0.0),
        ("weak-acid-foot-bath", "diluent_mL", 0.0),
    ],
)
def test_a_wrong_column_is_bounded_in_work(
    calls: list[int], name: str, column: str, factor: float
) -> None:
    """All numbers of a column too large by a factor, or all the same (0 stands for that)."""

    def change(rows: list[dict[str, str]]) -> None:
        same = rows[3][column]
        for row in rows:
            row[column] = f"{float(row[column]) * factor:g}" if factor else same

    outcome = reduce_table(*sheet(name, change), seed=1, draws=1000, made_on="", pictures=False)
    assert 0 < calls[0] < MOST_OF_A_COLUMN
    assert any(finding.severity.value == "stop" for finding in outcome.findings)
