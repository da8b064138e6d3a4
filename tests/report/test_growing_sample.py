"""What is printed of a row in which the sample grows: axis, words and formulas follow it."""

from __future__ import annotations

import io
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pytest
from tests.reduced_rows import made

from tarebook.planning.plan import make_plan
from tarebook.planning.wishes import Wishes
from tarebook.report import charts, numbers
from tarebook.report.payload import payload
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_story import tell_plan
from tarebook.report.story import tell
from tarebook.report.text import text
from tarebook.report.workbook import workbook
from tarebook.series.definition import parse_definition

TESTS = Path(__file__).parents[1]
GROWING = ("soda-grows-in-acid", "baking-soda-grows-in-vinegar", "washing-soda-grows-in-acid")
FALLING = "washing-soda-grows-in-acid"


def words_of(spec: Any) -> str:
    return json.dumps(spec, ensure_ascii=False)


@pytest.mark.parametrize("name", GROWING)
def test_the_chart_is_drawn_along_the_sample(name: str) -> None:
    outcome = made(name)
    spec, usual, full = charts.curve(outcome), outcome.usual.series, outcome.full.series
    assert spec is not None
    assert usual is not None
    assert full is not None
    said = words_of(spec)
    assert '"sample / g"' in said
    assert "reagent poured" not in said
    assert f"equivalence point {numbers.quantity(full.meets_at)} of sample" in said
    assert f"lines meet at {numbers.quantity(usual.meets_at)} of sample" in said
    points = {
        row["label"]: row
        for layer in spec["layer"]
        for row in layer["data"]["values"]
        if "label" in row and "x_low" in row
    }
    assert len(points) == len(outcome.table.runs)
    for point in usual.curve:
        assert points[point.run]["x"] == pytest.approx(point.grown)
        assert points[point.run]["y"] == pytest.approx(point.gas)
    assert "scaled to the same volume of reagent" in charts.curve_key(outcome)
    assert '"sample / g"' in words_of(charts.ph(outcome))


@pytest.mark.parametrize("name", GROWING)
def test_the_sample_limits_on_the_rise(name: str) -> None:
    """The words on the lines say the same as the points that lie on them."""
    outcome = made(name)
    assert outcome.usual.series is not None
    at = outcome.usual.series.meets_at.value
    spec = charts.curve(outcome)
    assert spec is not None
    places = {
        layer["mark"]["text"]: layer["data"]["values"][0]["x"]
        for layer in spec["layer"]
        if isinstance(layer["mark"], dict) and str(layer["mark"].get("text", "")).endswith("limits")
    }
    assert places["sample limits"] < at < places["reagent limits"]


@pytest.mark.parametrize("name", GROWING)
def test_every_step_is_one_of_the_growing_sample(name: str) -> None:
    outcome = made(name)
    usual, full = outcome.usual.series, outcome.full.series
    assert usual is not None
    assert full is not None
    story = tell(outcome)
    steps = {step.name: f"{step.rule} {step.worked}" for step in story.steps}
    assert "a + b × sample" in steps["Two lines"]
    assert ("falls as steeply as it rose" in steps["Two lines"]) == (name == FALLING)
    assert numbers.quantity(usual.sample_mass_fraction) in steps["Content from the slope"]
    assert numbers.quantity(usual.meets_at) in steps["Equivalence point"]
    second = steps["Content from the equivalence point"]
    assert numbers.quantity(usual.content_from_equivalence) in second
    assert "sample at the equivalence point" in second
    fact = next(fact for fact in story.facts if fact.label == "Equivalence point")
    assert fact.value == numbers.quantity(full.meets_at)
    assert "uses up the" in fact.note
    assert "against the sample in g" in story.curve_alt
    assert ("falls again" in story.curve_alt) == (name == FALLING)
    printed = text(outcome, width=200)
    for wrong in ("reagent poured in mL", "plateau", "level part of the row"):
        assert wrong not in printed + " ".join(steps.values()) + story.curve_alt


@pytest.mark.parametrize("name", GROWING)
def test_the_textbook_calculation_agrees_with_the_model(name: str) -> None:
    """Per gram of sample it was a tenth low, and scattered ten times as much as it may."""
    usual, full = made(name).usual.series, made(name).full.series
    assert usual is not None
    assert full is not None
    assert usual.birge < 2.0
    for content in (usual.sample_mass_fraction, usual.content_from_equivalence):
        apart = content.value - full.sample_mass_fraction.value
        assert abs(apart) < 2.5 * np.hypot(content.u, full.sample_mass_fraction.u)


def test_json_says_what_grows_and_where_both_are_used_up() -> None:
    outcome = made("soda-grows-in-acid")
    series, usual, full = payload(outcome)["series"], outcome.usual.series, outcome.full.series
    assert usual is not None
    assert full is not None
    assert series["grows"] == "sample"
    assert series["usual"]["equivalence_g"]["value"] == usual.meets_at.value
    assert series["full"]["equivalence_g"]["value"] == full.meets_at.value
    assert series["full"]["equivalence_g"]["unit"] == "g"
    ordinary = payload(made("fizzing-tablet-hand-soak"))["series"]
    assert ordinary["grows"] == "reagent"
    assert ordinary["full"]["equivalence_g"] is None
    assert ordinary["full"]["equivalence_mL"]["value"] > 0


def named(book: Any, name: str) -> Any:
    sheet, _, cell = book.defined_names[name].attr_text.rpartition("!")
    return book[sheet.strip("'")][cell.replace("$", "")]


@pytest.mark.parametrize("name", GROWING)
def test_the_sheet_recalculates_the_lines_of_the_program(name: str, tmp_path: Path) -> None:
    outcome = made(name)
    usual = outcome.usual.series
    assert usual is not None
    book = openpyxl.load_workbook(io.BytesIO(workbook(outcome)))
    reads = [str(cell.value) for row in book["Equivalence point"].iter_rows() for cell in row]
    assert not any("per gram of sample / mL" in each or "rising reagent" in each for each in reads)
    strength = named(book, "strength")
    strength.value = 1.05 * strength.value
    source = tmp_path / "workbook.xlsx"
    book.save(source)
    subprocess.run(
        ["soffice", "--headless", f"-env:UserInstallation=file://{tmp_path / 'profile'}",
         "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(tmp_path / "out"),
         str(source)],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    after = openpyxl.load_workbook(tmp_path / "out" / "workbook.xlsx", data_only=True)
    expected = {
        "content": usual.sample_mass_fraction.value,
        "equivalence_g": usual.meets_at.value,
        "equivalence_mL": 1000.0 * usual.equivalence.value,
        "content_from_equivalence": 1.05 * usual.content_from_equivalence.value,
    }
    found = {cell: named(after, cell).value for cell in expected}
    assert found == pytest.approx(expected, rel=1e-7)


def test_all_acid_limits_where_the_sample_brings_some() -> None:
    outcome = made("fizzing-tablet-hand-soak")
    said = words_of(charts.curve(outcome))
    assert '"acid limits"' in said
    assert '"reagent limits"' not in re.sub(r'"kind": "[^"]*"', "", said)
    assert "circle, the acid limits" in charts.curve_key(outcome)
    assert "chance that the acid limits" in words_of(charts.limiting(outcome))
    assert "while the acid limits" in tell(outcome).curve_alt
    plain = made("washing-soda-crystals")
    assert '"reagent limits"' in words_of(charts.curve(plain))
    assert "circle, the reagent limits" in charts.curve_key(plain)


def test_the_plan_speaks_of_grams_of_sample() -> None:
    path = TESTS / "laboratories" / FALLING / "experiment.toml"
    experiment = parse_definition(path.read_text(encoding="utf-8"))
    made_plan = make_plan(experiment, Wishes(), np.random.Generator(np.random.SFC64(3)))
    story = tell_plan(PlanOutcome(plan=made_plan, seed=3, version="", made_on=""))
    assert made_plan.between == ("5", "6")
    assert story.rows_note == ""
    assert story.rows.columns[1] == "sample\ng"
    assert story.rows.columns[3] == "equiv.\n±, g"
    u = made_plan.rows[0].u_equivalence / made_plan.expected.equivalence.value * 2.35
    assert float(story.rows.rows[0][3]) == pytest.approx(u, rel=0.02)
    assert "falls again from" in story.curve_alt
    assert " mL (standard uncertainties)" not in story.prospect
