"""One wrong cell costs little more than a good sheet: work is counted, in calls of the model."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from tarebook.api.folder import DEFINITION, READINGS
from tarebook.api.reduce import reduce_table
from tarebook.diagnosis.slips import cups
from tarebook.model.cup import cup_state
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint import problem
from tarebook.report.outcome import Outcome
from tarebook.series.definition import parse_definition

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
    monkeypatch: pytest.MonkeyPatch, run: str, column: str, cell: str
) -> None:
    calls = [0]

    def counted(*given: object) -> object:
        calls[0] += 1
        return cup_state(*given)  # type: ignore[arg-type]

    for module in (problem, cups):
        monkeypatch.setattr(module, "cup_state", counted)
    outcome = reduced(run, column, cell)
    assert 0 < calls[0] < MOST_CALLS
    assert outcome.full.series is not None
    found = outcome.full.series.sample_mass_fraction
    assert found.value == pytest.approx(0.947, abs=0.004), "the other readings say it all the same"
    named = {f.run for f in outcome.findings if f.severity.value == "stop"}
    assert named <= {run}


def reduced(run: str, column: str, cell: str) -> Outcome:
    rows = list(csv.DictReader(io.StringIO((EXAMPLE / READINGS).read_text(encoding="utf-8"))))
    for row in rows:
        if row["run"] == run:
            row[column] = cell
    text = io.StringIO()
    writer = csv.DictWriter(text, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    experiment = parse_definition((EXAMPLE / DEFINITION).read_text(encoding="utf-8"))
    table = parse_sheet(text.getvalue())
    return reduce_table(experiment, table, seed=1, draws=1000, made_on="", pictures=False)


def test_nothing_is_said_to_follow_from_a_number_that_cannot_be() -> None:
    (note,) = (f for f in reduced("4", "final_g", "300").findings if f.code == "doubtful-left-out")
    assert "content_as_read" not in note.evidence


def test_two_columns_in_each_others_place_are_bounded_in_work(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Every cup then holds what none can: no fit is walked to its end."""
    calls = [0]

    def counted(*given: object) -> object:
        calls[0] += 1
        return cup_state(*given)  # type: ignore[arg-type]

    for module in (problem, cups):
        monkeypatch.setattr(module, "cup_state", counted)
    folder = EXAMPLE.parent / "egg-shells-in-acid"
    rows = list(csv.DictReader(io.StringIO((folder / READINGS).read_text(encoding="utf-8"))))
    for row in rows:
        row["sample_g"], row["final_g"] = row["final_g"], row["sample_g"]
    text = io.StringIO()
    writer = csv.DictWriter(text, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    experiment = parse_definition((folder / DEFINITION).read_text(encoding="utf-8"))
    table = parse_sheet(text.getvalue())
    outcome = reduce_table(experiment, table, seed=1, draws=1000, made_on="", pictures=False)
    assert 0 < calls[0] < MOST_CALLS / 2
    assert outcome.full.series is None
    assert any(finding.severity.value == "stop" for finding in outcome.findings)
