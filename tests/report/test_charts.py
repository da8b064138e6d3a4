"""The charts show the outcome's numbers and can be drawn."""

from __future__ import annotations

import itertools
import json
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import pytest

from tarebook.core.quantity import COVERAGE_95, Estimate
from tarebook.report import charts, drawing, numbers
from tarebook.report.drawing import PALETTE, Spec
from tarebook.report.outcome import Outcome

MAKERS: tuple[Callable[..., Spec | None], ...] = (
    charts.curve,
    charts.limiting,
    charts.budget,
    charts.liquid,
    charts.waterfall,
    charts.ph,
)


def made(spec: Spec | None) -> Spec:
    assert spec is not None
    return spec


def rows_with(spec: Spec, *keys: str) -> list[dict[str, Any]]:
    found = [
        row
        for layer in spec["layer"]
        for row in layer["data"]["values"]
        if all(key in row for key in keys)
    ]
    return list({json.dumps(row, sort_keys=True): row for row in found}.values())


@pytest.mark.parametrize("make", MAKERS)
@pytest.mark.parametrize("width", [300, 560])
def test_each_can_be_drawn_and_stays_within_its_width(
    outcome: Outcome, make: Callable[..., Spec | None], width: int
) -> None:
    tree = ElementTree.fromstring(drawing.svg(made(make(outcome, width=width))))
    assert float(tree.attrib["width"]) <= 1.2 * width + 250
    assert drawing.png(made(make(outcome, width=width))).startswith(b"\x89PNG")


def test_the_curve_has_a_point_with_bars_for_each_run(outcome: Outcome) -> None:
    assert outcome.usual.series is not None
    drawn = {row["label"]: row for row in rows_with(made(charts.curve(outcome)), "label", "y_low")}
    for point in outcome.usual.series.curve:
        row = drawn[point.run]
        assert row["x"] == pytest.approx(1000 * point.grown)
        assert row["y_high"] - row["y"] == pytest.approx(COVERAGE_95 * point.u_gas)
        assert row["x"] - row["x_low"] == pytest.approx(1000 * COVERAGE_95 * point.u_grown)


@pytest.mark.parametrize("which", ["outcome", "usual_outcome"])
def test_the_upright_band_is_the_interval_of_the_changeover(
    which: str, request: pytest.FixtureRequest
) -> None:
    each: Outcome = request.getfixturevalue(which)
    series = each.full.series or each.usual.series
    assert series is not None
    rows = rows_with(made(charts.curve(each)), "low", "high")
    (band,) = [row for row in rows if "y" not in row]
    assert band["low"] == pytest.approx(1000 * series.equivalence.low)
    assert band["high"] == pytest.approx(1000 * series.equivalence.high)


def test_the_models_curve_and_band_stand_behind_the_thin_lines_of_the_usual_sum(
    outcome: Outcome,
) -> None:
    spec, series = made(charts.curve(outcome)), outcome.full.series
    assert series is not None
    drawn = {round(row["x"], 6): row for row in rows_with(spec, "x", "y", "low", "high")}
    inside = [p for p in series.band if 1000 * p.reagent < max(drawn)]
    assert len(inside) > 20
    for point in inside:
        row = drawn[round(1000 * point.reagent, 6)]
        assert (row["y"], row["low"], row["high"]) == (point.lost, point.low, point.high)
    lines = [layer["mark"] for layer in spec["layer"] if layer["mark"]["type"] == "line"]
    widths = [mark["strokeWidth"] for mark in lines]
    assert widths == [2.2, 2.2, 1.0]
    assert "strokeDash" in lines[-1]


def test_both_equivalence_points_are_named(outcome: Outcome) -> None:
    said = [row["said"] for row in rows_with(made(charts.curve(outcome)), "said")]
    assert outcome.full.series is not None
    assert outcome.usual.series is not None
    assert any(numbers.quantity(outcome.full.series.equivalence) in words for words in said)
    assert any(numbers.quantity(outcome.usual.series.equivalence) in words for words in said)


def test_a_dash_shows_the_gas_made_above_each_reading(outcome: Outcome) -> None:
    rows = rows_with(made(charts.curve(outcome)), "lost", "made")
    runs = [run for run in outcome.full.runs if run.gas_full is not None]
    assert len(rows) == len(runs) == 8
    assert all(row["made"] > row["lost"] for row in rows)


def test_the_waterfall_goes_from_the_usual_sum_to_the_model_without_a_gap(
    outcome: Outcome,
) -> None:
    rows = rows_with(made(charts.waterfall(outcome)), "start", "content", "order")
    rows = [row for row in rows if "low" not in row and "next" not in row]
    rows.sort(key=lambda row: row["order"])
    assert outcome.usual.series is not None
    assert outcome.full.series is not None
    assert rows[0]["content"] == pytest.approx(
        100 * outcome.usual.series.sample_mass_fraction.value
    )
    for before, after in itertools.pairwise(rows[:-1]):
        assert after["start"] == pytest.approx(before["content"])
    full = 100 * outcome.full.series.sample_mass_fraction.value
    assert rows[-1]["content"] == pytest.approx(full)
    assert rows[-2]["content"] == pytest.approx(full, abs=0.01)
    signs = {row["shown"][0] for row in rows if row["kind"] == "down"}
    assert signs <= {"\u2212", "0"}


def test_the_ph_of_each_run_stands_in_its_place(outcome: Outcome) -> None:
    rows = {row["label"]: row for row in rows_with(made(charts.ph(outcome)), "label", "ph")}
    assert set(rows) == {run.run for run in outcome.full.runs}
    for run in outcome.full.runs:
        assert run.ph is not None
        row = rows[run.run]
        assert row["ph"] == run.ph.value
        # The same interval as in the table: 1.96 u, not 2 u.
        assert row["ph_high"] - row["ph"] == pytest.approx(run.ph.high - run.ph.value)
        assert row["ph_high"] - row["ph"] == pytest.approx(COVERAGE_95 * run.ph.u)
        assert (row["kind"] == "not used") is run.extrapolated
    hollow = any(run.extrapolated for run in outcome.full.runs)
    assert ("Hollow" in charts.ph_note(outcome)) is hollow


def test_without_the_model_there_is_no_chart_of_it(usual_outcome: Outcome) -> None:
    assert charts.waterfall(usual_outcome) is None
    assert charts.ph(usual_outcome) is None
    assert charts.ph_note(usual_outcome) == ""
    assert not rows_with(made(charts.curve(usual_outcome)), "made")


def test_a_run_that_the_lines_do_not_use_is_hollow_and_within_the_picture(
    odd_outcome: Outcome,
) -> None:
    spec = made(charts.curve(odd_outcome))
    (hollow,) = [row for row in rows_with(spec, "kind", "label") if row["kind"] == "not used"]
    assert hollow["label"].startswith("3 (not used): 10.58 g")
    used = [row["y_high"] for row in rows_with(spec, "label", "y_high") if row is not hollow]
    assert hollow["y"] < 1.5 * max(used)
    assert "hollow" in charts.curve_key(odd_outcome)


def test_an_equivalence_point_far_beyond_the_row_does_not_widen_the_picture(
    outcome: Outcome,
) -> None:
    assert outcome.full.series is not None
    assert outcome.usual.series is not None
    far = Estimate(value=1e3, u=1.0, low=998.0, high=1002.0, unit="L")
    full = replace(outcome.full.series, equivalence=far)
    usual = replace(outcome.usual.series, equivalence=far)
    other = replace(
        outcome,
        full=replace(outcome.full, series=full),
        usual=replace(outcome.usual, series=usual),
    )
    for one in (other, replace(other, full=replace(outcome.full, series=None))):
        tree = ElementTree.fromstring(drawing.svg(made(charts.curve(one))))
        assert float(tree.attrib["width"]) < 1000


def test_without_changeover_the_points_are_drawn_without_lines(open_outcome: Outcome) -> None:
    spec = made(charts.curve(open_outcome))
    assert len(rows_with(spec, "label")) == 4
    assert not any(layer["mark"]["type"] == "line" for layer in spec["layer"])
    assert charts.budget(open_outcome) is None


def test_shape_says_what_colour_says() -> None:
    looks = [(shape, filled) for _, shape, filled in drawing.KINDS.values()]
    assert len(set(looks)) == len(looks)


def test_an_inline_chart_takes_every_colour_from_the_page(outcome: Outcome) -> None:
    drawn = drawing.svg(made(charts.curve(outcome)), adaptive=True, prefix="a")
    assert "var(--chart-rise)" in drawn
    assert not [colour for colour in PALETTE.values() if colour in drawn]
    assert not re.findall(r'"#[0-9a-fA-F]{3,6}"', drawn)


def test_a_name_cannot_break_out_of_the_picture(outcome: Outcome) -> None:
    series = outcome.usual.series
    assert series is not None
    name = "<script>alert(1)</script>"
    curve = (replace(series.curve[0], run=name), *series.curve[1:])
    runs = (replace(outcome.usual.runs[0], run=name), *outcome.usual.runs[1:])
    usual = replace(outcome.usual, runs=runs, series=replace(series, curve=curve))
    drawn = drawing.svg(made(charts.curve(replace(outcome, usual=usual))))
    assert "<script" not in drawn
    assert "&lt;script" in drawn


def test_the_same_outcome_gives_the_same_picture(outcome: Outcome) -> None:
    first, second = (drawing.svg(made(charts.curve(outcome))) for _ in range(2))
    assert first == second
