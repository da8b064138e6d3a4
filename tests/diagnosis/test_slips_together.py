"""Walks side by side lead where each leads alone, in fewer calls of the model."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.errors import OutOfRangeError
from tarebook.diagnosis.slips import cups as cups_module
from tarebook.diagnosis.slips.cups import CONCENTRATION, FINAL, SAMPLE, cups_of, shared_prior
from tarebook.diagnosis.slips.shared import fit_shared, fitting, together
from tarebook.model.cup import CupState, cup_state
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint.problem import joint_problem
from tarebook.series.definition import parse_definition

pytestmark = pytest.mark.slow

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
EXPERIMENT = parse_definition((EXAMPLE / "experiment.toml").read_text(encoding="utf-8"))
TABLE = parse_sheet((EXAMPLE / "readings.csv").read_text(encoding="utf-8"))
PROBLEM = joint_problem(EXPERIMENT, TABLE, TABLE.runs, ALL_EFFECTS)
PRIOR, CUPS = shared_prior(PROBLEM), cups_of(PROBLEM)


def off(row: int, run: int, by: float) -> cups_module.Cups:
    observed = CUPS.observed.copy()
    observed[row, run] += by
    return replace(CUPS, observed=observed)


# The strongest one holds cups beyond the model's range, which must not touch the others.
CASES = [
    (PRIOR, CUPS),
    (PRIOR, off(FINAL, 3, 1.0)),
    (PRIOR.widened(CONCENTRATION, 0.5 * PRIOR.centre[CONCENTRATION]), off(SAMPLE, 5, 0.4)),
    (
        PRIOR.widened(CONCENTRATION, PRIOR.step[CONCENTRATION], 7 * PRIOR.centre[CONCENTRATION]),
        CUPS,
    ),
]


def test_side_by_side_and_alone_lead_to_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    calls = [0]

    def counted(*given: object) -> CupState:
        calls[0] += 1
        return cup_state(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(cups_module, "cup_state", counted)
    alone = [fit_shared(EXPERIMENT, prior, cups) for prior, cups in CASES]
    calls_alone, calls[0] = calls[0], 0
    found = together(EXPERIMENT, [fitting(prior, cups) for prior, cups in CASES])
    for one, other in zip(alone, found, strict=True):
        np.testing.assert_array_equal(one.kept, other.kept)
        np.testing.assert_array_equal(one.views.possible, other.views.possible)
        np.testing.assert_allclose(one.shared, other.shared, rtol=0, atol=1e-6)
    assert not found[-1].views.possible.all(), "some of its cups are beyond"
    assert 0 < calls[0] < calls_alone


def test_a_walk_beyond_the_model_says_so_as_it_does_alone() -> None:
    strongest = PRIOR.widened(CONCENTRATION, 1e-3, 500 * PRIOR.centre[CONCENTRATION])
    with pytest.raises(OutOfRangeError) as alone:
        fit_shared(EXPERIMENT, strongest, CUPS)
    with pytest.raises(OutOfRangeError) as beside:
        together(EXPERIMENT, [fitting(PRIOR, CUPS), fitting(strongest, CUPS)])
    assert str(beside.value) == str(alone.value)
