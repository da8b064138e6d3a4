"""A small fixed part of the study: intervals hold the truth as often as they say.

`make study` runs it in full and writes docs/studies/joint-fit.md.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scripts import study_joint_fit as study

from tarebook.core.arrays import FloatArray
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.parameters import NAMES, Parameters, to_fit_scale
from tarebook.records.readings import RunTable
from tarebook.reduction.joint.problem import joint_problem
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.experiment import Experiment

pytestmark = pytest.mark.slow

Drawn = Callable[..., list[tuple[RunTable, Parameters]]]

SERIES = 40
REFITS = 200


@pytest.mark.parametrize("number", [0, 1, 2])
def test_coverage_and_bias(number: int) -> None:
    """40 series of each kind. The bounds are those that chance crosses once in ten thousand."""
    kind = study.KINDS[number]
    found = [study.one_series(kind, "own", 4, i) for i in range(SERIES)]
    line = study.line_of(kind.title, found)
    assert line.failures == ()
    # Of 40 intervals of 95 % fewer than 32 hold the truth once in 20,000 times.
    assert line.full_coverage >= 32 / SERIES
    assert abs(line.full_bias) < 4 * line.full_bias_u
    assert line.full_sd == pytest.approx(line.full_u, rel=4 / math.sqrt(2 * SERIES))
    # What the usual sum leaves out it gets wrong.
    assert -0.10 < line.usual_bias < -0.04
    assert line.usual_coverage < line.full_coverage - 0.3


def test_another_chemistry() -> None:
    """Readings by PHREEQC with ion pairs: the fit, which has none, is not misled."""
    kind = study.KINDS[0]
    pairs = [study.one_series(kind, "pairs", 4, i) for i in range(SERIES)]
    line = study.line_of(kind.title, pairs)
    assert line.failures == ()
    assert abs(line.full_bias) < 4 * line.full_bias_u
    assert line.full_coverage >= 32 / SERIES
    # the ion pairs lower the ions' activity: our pH is a little higher
    assert 0.0 < line.ph_bias < 0.1


def test_without_ion_pairs_phreeqc_makes_the_same_series(monkeypatch: pytest.MonkeyPatch) -> None:
    """The seam itself: PHREEQC with our constants gives the readings that our solver gives."""
    monkeypatch.setitem(study.CHEMISTRIES, "pairs", lambda m: study.by_phreeqc(m, pairs=False))
    other = study.one_series(study.KINDS[2], "pairs", 4, 0)
    # our own chemistry under the other's name, so that both have no shift of the first pK
    monkeypatch.setitem(study.CHEMISTRIES, "pairs", study.CHEMISTRIES["own"])
    ours = study.one_series(study.KINDS[2], "pairs", 4, 0)
    assert isinstance(other, study.One)
    assert isinstance(ours, study.One)
    assert other.full == pytest.approx(ours.full, abs=2e-4)
    assert other.ph == pytest.approx(ours.ph, abs=2e-3)


def test_the_page_is_written_from_the_lines() -> None:
    found = [study.one_series(study.KINDS[0], "own", 4, i) for i in range(3)]
    line = study.line_of(study.KINDS[0].title, [*found, "no reason"])
    page = study.page((line,), (line,), 4, 4)
    assert "pool granules, 0.001 g balance | 4 |" in page
    assert study.faults("own", [line])[0].endswith("1 of 4 gave no result")


@pytest.fixture(scope="module")
def errors(granules: Experiment, drawn: Drawn) -> tuple[FloatArray, FloatArray]:
    """Errors of all parameters of 200 refits, and the mean covariance they claim."""
    wrong, claimed = [], np.zeros((len(NAMES), len(NAMES)))
    for table, truth in drawn(granules, REFITS, seed=16):
        found = solve(joint_problem(granules, table, table.runs, ALL_EFFECTS))
        true = [float(to_fit_scale(name, getattr(truth, name))) for name in NAMES]
        wrong.append(found.unknowns[: len(NAMES)] - true)
        claimed += found.covariance.shared[: len(NAMES), : len(NAMES)] / REFITS
    return np.array(wrong), claimed


def test_the_covariance_is_that_of_many_refits(errors: tuple[FloatArray, FloatArray]) -> None:
    """Truths drawn from what is known beforehand: then errors have the covariance of the fit."""
    wrong, claimed = errors
    for index, name in enumerate(NAMES):
        ratio = wrong[:, index].std() / math.sqrt(claimed[index, index])
        # of a standard deviation of 200: 5 %; scales and eyes are not normal, valleys are bent
        assert ratio == pytest.approx(1.0, abs=4 * 0.05), name
    u = np.sqrt(np.diag(claimed))
    found = np.cov(wrong.T) / np.outer(u, u)
    expected = claimed / np.outer(u, u)
    # of a correlation of 200: at most 7 %
    np.testing.assert_allclose(found[CONTENT], expected[CONTENT], rtol=0, atol=0.28)


def test_no_parameter_is_biased(errors: tuple[FloatArray, FloatArray]) -> None:
    wrong, _ = errors
    scores = wrong.mean(axis=0) / (wrong.std(axis=0) / math.sqrt(REFITS))
    content = scores[CONTENT]
    assert abs(content) < 4
    # Of parameters on a bent scale the mode lies off the mean: pressure and evaporation by a
    # quarter of a u. More would be a fault; chance adds a quarter of a u to each at most.
    assert np.all(np.abs(scores) < 0.5 * math.sqrt(REFITS))
