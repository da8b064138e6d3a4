"""Readings that were taken again: what their mean is worth, and what stands for very many."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.api.reduce_series import load, reduce_table
from tarebook.measurement.own_errors import own_u
from tarebook.measurement.volumes import line_u
from tarebook.model.cup import cup_state
from tarebook.records.complete import completed
from tarebook.records.pours import pours
from tarebook.records.readings import MOST_REPEATS, Origin, Quantity, RunTable
from tarebook.records.sheet import parse_sheet, write_sheet
from tarebook.report.outcome import Outcome
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"
POOL = EXAMPLES / "clean-pool-granules"


def reduced(experiment: Experiment, table: RunTable) -> Outcome:
    return reduce_table(experiment, table, seed=1, draws=1000, made_on="", pictures=False)


def again(table: RunTable, times: int) -> RunTable:
    """Return the readings, each written down so many times."""
    return replace(table, readings=tuple(r for r in table.readings for _ in range(times)))


def test_a_volume_read_again_keeps_the_error_of_its_line() -> None:
    experiment, _ = load(POOL)
    once, twice = (
        pours(experiment, parse_sheet(text), Quantity.REAGENT)
        for text in ("run,reagent_mL\n1,20.0\n", "run,reagent_mL,reagent_mL_2\n1,20.0,20.4\n")
    )
    ware = experiment.equipment.reagent
    line = line_u(ware, np.array([0.0202]))[0]
    own = own_u(ware, np.array([0.0202]))[0]
    expected = math.sqrt(line**2 + (own**2 - line**2) / 2)
    assert twice.own_u[0] == pytest.approx(expected, rel=1e-3)
    assert line < twice.own_u[0] < once.own_u[0]


@pytest.mark.parametrize("name", ["clean-pool-granules", "egg-shells-in-acid"])
@pytest.mark.parametrize("times", [2, MOST_REPEATS, 10 * MOST_REPEATS])
def test_a_display_recorded_many_times_changes_no_result(name: str, times: int) -> None:
    """Ten presses of a button for one reading made a good row "impossible" before."""
    experiment, table = load(EXAMPLES / name)
    once, many = reduced(experiment, table), reduced(experiment, again(table, times))
    assert once.full.series is not None
    assert many.full.series is not None
    expected, found = once.full.series.sample_mass_fraction, many.full.series.sample_mass_fraction
    assert found.value == pytest.approx(expected.value, rel=1e-6)
    assert found.u == pytest.approx(expected.u, rel=1e-6)
    assert {f.code for f in many.findings} - {"read-often"} == {f.code for f in once.findings}


def test_of_very_many_readings_the_middle_one_stands_and_a_few_wrong_ones_do_not_move_it() -> None:
    experiment, table = load(POOL)
    last = table.of("3", Quantity.FINAL)[0]
    wrong = [replace(last, value=last.value * 10, typed=f"{last.value * 10:.2f}")] * 5
    crowded = replace(table, readings=(*table.readings, *[last] * 40, *wrong))
    (reading,) = completed(experiment, crowded).of("3", Quantity.FINAL)
    assert (reading.value, reading.typed, reading.times) == (last.value, last.typed, 46)
    assert reading.origin is Origin.READ
    outcome = reduced(experiment, crowded)
    (finding,) = [one for one in outcome.findings if one.code == "read-often"]
    assert (finding.run, finding.reading) == ("3", Quantity.FINAL.value)
    assert finding.evidence["times"] == 46
    assert outcome.full.series is not None


def test_readings_that_scatter_count_each() -> None:
    experiment, table = load(POOL)
    last = table.of("3", Quantity.FINAL)[0]
    values = [round(last.value + 0.001 * k, 3) for k in range(-20, 21)]
    scattered = [replace(last, value=value, typed=f"{value:.3f}") for value in values]
    others = tuple(r for r in table.readings if r is not last)
    seen = completed(experiment, replace(table, readings=(*others, *scattered)))
    assert seen.mean_of("3", Quantity.FINAL) == pytest.approx(last.value)
    noise = seen.noise(Quantity.FINAL)[seen.runs.index("3")]
    assert noise == pytest.approx(1 / len(values))
    # To condense again changes nothing.
    assert completed(experiment, seen) is seen


def test_what_is_written_keeps_every_reading(tmp_path: Path) -> None:
    """Only the calculations look at fewer."""
    table = parse_sheet((POOL / "readings.csv").read_text("utf-8"))
    many = again(table, 30)
    back = parse_sheet(write_sheet(many))
    assert [r.typed for r in back.of("3", Quantity.FINAL)] == [
        r.typed for r in many.of("3", Quantity.FINAL)
    ]


def test_the_work_of_a_reduction_does_not_grow_with_the_readings(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    experiment, table = load(POOL)
    calls = [0]

    def counted(*args: object, **kwargs: object) -> object:
        calls[0] += 1
        return cup_state(*args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr("tarebook.reduction.joint.problem.cup_state", counted)
    reduced(experiment, table)
    once, calls[0] = calls[0], 0
    reduced(experiment, again(table, 100))
    assert once > 0
    assert calls[0] <= 2 * once
