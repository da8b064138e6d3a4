"""Rows of many runs: work grows with the runs, many slips are left out, what is cut off is said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.diagnosis.slips import cups as cups_module
from tarebook.diagnosis.slips.check import findings_of
from tarebook.diagnosis.slips.cups import FINAL, cups_of, shared_prior
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.diagnosis.slips.series import weigh_series
from tarebook.diagnosis.slips.shared import MOST_TOGETHER, fit_shared
from tarebook.findings.finding import Severity
from tarebook.model.cup import CupState, cup_state
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.problem import joint_problem
from tarebook.series.definition import parse_definition

pytestmark = pytest.mark.slow

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
EXPERIMENT = parse_definition((EXAMPLE / "experiment.toml").read_text(encoding="utf-8"))


def long_row(times: int) -> RunTable:
    """Return rows of eight, each with errors of its own, one after the other."""
    truth = central_parameters(EXPERIMENT).with_values(content=np.array(0.947))
    rng = np.random.Generator(np.random.SFC64(11))
    made = [simulate(EXPERIMENT, truth, rng).table for _ in range(times)]
    return RunTable(
        runs=tuple(f"{run}-{i}" for i, table in enumerate(made) for run in table.runs),
        readings=tuple(
            replace(reading, run=f"{reading.run}-{i}")
            for i, table in enumerate(made)
            for reading in table.readings
        ),
    )


def test_ten_wrong_runs_of_many_are_left_out_and_no_other() -> None:
    """Weighings a gram too heavy in every eighth run: none may hide behind the others."""
    table = long_row(10)
    problem = joint_problem(EXPERIMENT, table, table.runs, ALL_EFFECTS)
    cups = cups_of(problem)
    observed = cups.observed.copy()
    wrong = np.arange(80) % 8 == 5
    observed[FINAL, wrong] += 1.0
    fit = fit_shared(EXPERIMENT, shared_prior(problem), replace(cups, observed=observed))
    assert not fit.kept[wrong].any()
    assert np.count_nonzero(~fit.kept) <= np.count_nonzero(wrong) + 1
    content, u = fit.content(*fit.without([]))
    assert abs(content - 0.947) < 4 * u


def test_work_grows_with_the_runs_and_not_with_their_square(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """States of cups that are worked out, four runs being wrong: 2.5 times the runs, not 6."""
    worked_out = [0]

    def counted(*given: object) -> CupState:
        state = cup_state(*given)  # type: ignore[arg-type]
        worked_out[0] += int(np.size(state.excess))
        return state

    monkeypatch.setattr(cups_module, "cup_state", counted)

    def states(times: int) -> int:
        worked_out[0] = 0
        table = long_row(times)
        wrong = {(f"5-{i}", Quantity.FINAL) for i in range(4)}
        readings = tuple(
            replace(r, value=r.value + 1.0) if (r.run, r.quantity) in wrong else r
            for r in table.readings
        )
        weights = weigh_series(EXPERIMENT, replace(table, readings=readings), default_odds())
        assert weights is not None
        assert {f"5-{i}" for i in range(4)} <= {run.run for run in weights.runs}
        return worked_out[0]

    few, many = states(8), states(20)
    assert 0 < many < 4 * few


def test_what_was_cut_off_is_said_and_not_judged() -> None:
    weights = weigh_series(EXPERIMENT, long_row(1), default_odds())
    assert weights is not None
    assert not any(f.code == "slips-cut-off" for f in findings_of(weights))
    cut = replace(weights, not_weighed=("3-0", "7-0"))
    (note,) = (f for f in findings_of(cut) if f.code == "slips-cut-off")
    assert note.severity is Severity.NOTE
    assert note.values["left"] == cut.not_weighed
    assert note.evidence["not_weighed"] == 2
    assert not any(f.run in cut.not_weighed for f in findings_of(cut))
    assert MOST_TOGETHER == 60, "docs/findings.md says so"
