"""The charts show the outcome's numbers and can be drawn."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import pytest

from tarebook.report import charts, drawing
from tarebook.report.drawing import PALETTE, Spec
from tarebook.report.outcome import Outcome

MAKERS: tuple[Callable[..., Spec | None], ...] = (
    charts.curve,
    charts.limiting,
    charts.budget,
    charts.liquid,
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
        assert row["x"] == pytest.approx(1000 * point.reagent)
        assert row["y_high"] - row["y"] == pytest.approx(2 * point.u_gas)
        assert row["x"] - row["x_low"] == pytest.approx(2000 * point.u_reagent)


def test_the_band_is_the_interval_of_the_changeover(outcome: Outcome) -> None:
    assert outcome.usual.series is not None
    (band,) = rows_with(made(charts.curve(outcome)), "low", "high")
    equivalence = outcome.usual.series.equivalence
    assert band["low"] == pytest.approx(1000 * equivalence.low)
    assert band["high"] == pytest.approx(1000 * equivalence.high)


def test_a_run_that_the_lines_do_not_use_is_hollow_and_within_the_picture(
    odd_outcome: Outcome,
) -> None:
    spec = made(charts.curve(odd_outcome))
    (hollow,) = [row for row in rows_with(spec, "kind", "label") if row["kind"] == "not used"]
    assert hollow["label"].startswith("3 (not used): 10.58 g")
    used = [row["y_high"] for row in rows_with(spec, "label", "y_high") if row is not hollow]
    assert hollow["y"] < 1.5 * max(used)
    assert "hollow" in charts.curve_key(odd_outcome)


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
