"""What the bench says of slips, run by run, while the series grows."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pytest
from scripts.study_slips.series import drawn, experiment, moved, rewritten, typed

from tarebook.api.bench.say import known_before, look_at_group, look_at_run
from tarebook.diagnosis.slips.check import check_slips
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.diagnosis.to_come import Belief
from tarebook.findings.finding import Finding, Severity
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

ORDER = (
    Quantity.TARE,
    Quantity.REAGENT,
    Quantity.DILUENT,
    Quantity.LIQUID,
    Quantity.SAMPLE,
    Quantity.FINAL,
)


@pytest.fixture(scope="module")
def clean() -> tuple[Experiment, RunTable]:
    """A clean simulated series of the pool granules."""
    of = experiment("clean-pool-granules")
    rng = np.random.Generator(np.random.SFC64(5))
    return of, simulate(of, drawn(of, rng), rng).table


def so_far(table: RunTable, run: str, last: Quantity) -> RunTable:
    """Return the readings up to one of a run."""
    runs = table.runs[: table.runs.index(run)]
    there = ORDER[: ORDER.index(last) + 1]
    kept = (r for r in table.readings if r.run in runs or (r.run == run and r.quantity in there))
    return RunTable(runs=table.runs, readings=tuple(kept))


def said(of: Experiment, table: RunTable, runs: Iterable[str]) -> dict[str, list[Finding]]:
    """Return what is odd at the bench, under each run."""
    before = known_before(of)
    look = look_at_group(of, table, before, check_slips(of, table, default_odds()))
    belief = Belief(content=(0.75, 1.0))
    found = {}
    for run in runs:
        _, findings = look_at_run(of, table, run, belief, (), look)
        found[run] = [f for f in findings if f.severity is not Severity.NOTE]
    return found


def test_a_slip_is_said_at_the_second_weighing_and_under_its_run_alone(
    clean: tuple[Experiment, RunTable],
) -> None:
    of, table = clean
    right = typed(table, "2", Quantity.DILUENT)
    slipped = rewritten(table, "2", Quantity.DILUENT, right.replace(".", "")[::-1][:3])
    before = said(of, so_far(slipped, "2", Quantity.TARE), ("1", "2"))
    assert before == {"1": [], "2": []}
    found = said(of, so_far(slipped, "2", Quantity.LIQUID), ("1", "2"))
    assert found["1"] == []
    (first, *_) = found["2"]
    assert first.code.startswith("slip-")
    assert first.reading == Quantity.DILUENT.value
    assert first.do


def test_before_the_second_weighing_the_range_speaks_of_the_one_odd_reading(
    clean: tuple[Experiment, RunTable],
) -> None:
    """Not of the weighing before it, which nothing speaks against."""
    of, table = clean
    slipped = rewritten(table, "1", Quantity.REAGENT, "41.0")
    (found,) = said(of, so_far(slipped, "1", Quantity.REAGENT), ("1",))["1"]
    assert (found.code, found.reading) == ("outside-expected", Quantity.REAGENT.value)


def test_one_thing_is_said_once(clean: tuple[Experiment, RunTable]) -> None:
    """A final mass far off is a slip; that it is outside what was expected adds nothing."""
    of, table = clean
    slipped = moved(table, "3", Quantity.FINAL, 0.4)
    (found,) = said(of, so_far(slipped, "3", Quantity.FINAL), ("3",))["3"]
    assert found.code.startswith("slip-")


def test_a_column_one_row_off_is_said_under_each_run_of_it(
    clean: tuple[Experiment, RunTable],
) -> None:
    of, table = clean
    shifted = table
    for run, other in zip(table.runs, (*table.runs[1:], table.runs[0]), strict=True):
        shifted = rewritten(shifted, run, Quantity.TARE, typed(table, other, Quantity.TARE))
    found = said(of, shifted, table.runs)
    assert all(found[run][0].code == "slip-column-shifted" for run in table.runs)


def test_another_stock_is_said_under_the_last_run_begun() -> None:
    of = experiment("clean-pool-granules")
    rng = np.random.Generator(np.random.SFC64(10))
    truth = drawn(of, rng)
    strong = truth.with_values(concentration=1.2 * truth.concentration)
    table = simulate(of, strong, rng).table
    found = said(of, table, table.runs)
    codes = {run: [f.code for f in findings] for run, findings in found.items()}
    assert "slip-other-stock-throughout" in codes[table.runs[-1]]
    assert not any("slip-other-stock-throughout" in codes[run] for run in table.runs[:-1])
