"""The pages that draw a row follow what grows along it: the sample in some rows."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from tarebook.api import bench
from tarebook.planning.wishes import Wishes
from tarebook.series.definition import parse_definition

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_plan_of_a_row_in_which_the_sample_grows_is_drawn_along_it() -> None:
    text = (EXAMPLES / "soda-grows-in-acid" / "experiment.toml").read_text(encoding="utf-8")
    experiment = parse_definition(text)
    drawn = bench.plan_curve(experiment, Wishes())
    axis = {"title": "sample / g", "unit": "g", "grows": "sample", "rising": "sample",
            "beyond": "reagent", "acid": "reagent"}  # fmt: skip
    assert drawn["axis"] == axis
    assert [run["along"] for run in drawn["runs"]] == [run.sample for run in experiment.planned]
    along = [point["along"] for point in drawn["curve"]]
    assert (along[0], along[-1]) == (0.0, pytest.approx(2.0))
    at = drawn["equivalence"]
    # By the equation alone 14 mmol of acid take 1.278 g at 92 %.
    assert at["low"] < at["value"] < at["high"]
    assert at["value"] == pytest.approx(0.014 * 84.006 / 0.92, rel=0.03)
    lost = np.interp(at["value"], along, [point["lost_g"] for point in drawn["curve"]])
    assert lost > 0.95 * max(point["lost_g"] for point in drawn["curve"])


def test_own_acid_is_named_in_the_plan() -> None:
    path = EXAMPLES / "fizzing-tablet-hand-soak" / "experiment.toml"
    drawn = bench.plan_curve(parse_definition(path.read_text(encoding="utf-8")), Wishes())
    assert drawn["axis"]["title"] == "reagent poured / mL"
    assert (drawn["axis"]["rising"], drawn["axis"]["beyond"]) == ("acid", "sample")
    assert drawn["equivalence"]["value"] > 1.0


def test_the_points_of_the_projector_stand_along_the_sample(tmp_path: Path) -> None:
    folder = tmp_path / "row"
    shutil.copytree(EXAMPLES / "soda-grows-in-acid", folder)
    with bench.open_workspace(folder, workers=False) as workspace:
        view = bench.results_view(workspace, ("1",), expected=True)
    points = {point["run"]: point for point in view["groups"][0]["points"]}
    assert view["axis"]["title"] == "sample / g"
    assert view["expected"][-1]["along"] == pytest.approx(2.0)
    for run in workspace.experiment.planned:
        assert points[run.run]["along"] == pytest.approx(run.sample, abs=0.06)
