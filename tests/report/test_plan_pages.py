"""The plan as words, charts, page and JSON."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdf
import pytest

from tarebook.planning.changes import with_row, with_stock
from tarebook.planning.plan import make_plan
from tarebook.planning.wishes import Wishes
from tarebook.report import numbers, plan_charts
from tarebook.report.drawing import png, svg
from tarebook.report.languages.writing import in_english, writing
from tarebook.report.plan_document import plan_document
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_payload import plan_payload
from tarebook.report.plan_story import tell_plan
from tarebook.report.plan_text import plan_text
from tarebook.report.plan_words import row_words
from tarebook.report.printing import Paper
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"

Planner = Callable[[Experiment, Wishes], PlanOutcome]


def example(name: str) -> Experiment:
    return parse_definition((EXAMPLES / name / "experiment.toml").read_text(encoding="utf-8"))


def outcome_of(experiment: Experiment, wishes: Wishes | None = None) -> PlanOutcome:
    rng = np.random.Generator(np.random.SFC64(20))
    made = make_plan(experiment, wishes or Wishes(), rng)
    return PlanOutcome(plan=made, seed=20, version="0.1.0", made_on="")


@pytest.fixture(scope="module")
def pool() -> PlanOutcome:
    return outcome_of(example("clean-pool-granules"))


@pytest.fixture(scope="module")
def bath() -> PlanOutcome:
    return outcome_of(example("weak-acid-foot-bath"))


@pytest.fixture(scope="module")
def weak() -> PlanOutcome:
    """A stock too weak for the row."""
    return outcome_of(with_stock(example("clean-pool-granules"), 0.3))


def test_first_line_says_whether_it_works(pool: PlanOutcome, weak: PlanOutcome) -> None:
    assert tell_plan(pool).answer.startswith("This plan works: the equivalence point falls at")
    told = tell_plan(weak)
    assert told.answer.startswith(
        "This plan does not work. The equivalence point lies at 57\u00a0mL"
    )
    assert "±" not in told.prospect
    first = plan_text(weak).splitlines()[0]
    assert first.startswith("This plan does not work.")


def test_a_row_that_misses_some_contents_is_not_said_to_just_work() -> None:
    """The highest contents have their equivalence point beyond its last cup."""
    short = with_row(
        example("clean-pool-granules"), np.array([5, 8, 11, 14, 17, 20, 22, 24]) / 1000.0
    )
    outcome = outcome_of(short)
    assert outcome.plan.works
    assert not outcome.plan.holds_for_all
    answer = tell_plan(outcome).answer
    assert answer.startswith("This plan works for a part of the contents only: the equivalence")
    text = plan_text(outcome)
    assert " 0 of the cups" not in text
    assert "No cup is beyond that" in " ".join(text.split())


def test_findings_keep_severity_and_evidence(weak: PlanOutcome) -> None:
    findings = weak.plan.findings
    assert findings[0].severity == "stop"
    assert findings[0].evidence["last_mL"] == pytest.approx(35.0)


def test_numbers_in_the_text_are_those_of_the_plan(pool: PlanOutcome) -> None:
    text = plan_text(pool)
    plan = pool.plan
    assert f"± {100 * plan.rows[0].u_content:.2f} %" in text
    for row in plan.rows:
        assert row_words(row.reagent)[:20] in text
    gain = plan.gain("best")
    assert gain is not None
    assert f"{100 * gain:.1f}" in text


@pytest.mark.parametrize("width", [80, 100, 120])
def test_text_fits_the_terminal(bath: PlanOutcome, width: int) -> None:
    lines = plan_text(bath, width=width).splitlines()
    assert max(len(line) for line in lines) <= width
    assert not any("…" in line for line in lines)


def test_colour_only_adds_colour(pool: PlanOutcome) -> None:
    coloured = plan_text(pool, colour=True)
    assert "\x1b[" in coloured
    bare = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    assert bare.split() == plan_text(pool).split()


def test_decimal_comma(pool: PlanOutcome) -> None:
    told = tell_plan(pool, in_english(numbers.PRINT.with_decimal(",")))
    assert "22,9" in told.answer or "22,8" in told.answer
    assert not any("." in cell for row in told.variants.rows for cell in row[1:])


@pytest.mark.parametrize("language", ["de", "es"])
def test_other_languages_fit_the_terminal(
    language: str, pool: PlanOutcome, weak: PlanOutcome
) -> None:
    for outcome in (pool, weak):
        lines = plan_text(outcome, how=writing(language)).splitlines()
        assert max(len(line) for line in lines) <= 80
        assert not any("…" in line for line in lines)


@pytest.mark.parametrize("language", ["de", "es"])
def test_a_course_has_its_plan_in_its_language(language: str, pool: PlanOutcome) -> None:
    """With decimal commas; what the definition has typed stays as it is."""
    experiment = pool.plan.experiment
    course = replace(experiment.preparation.course, language=language)
    held = replace(experiment, preparation=replace(experiment.preparation, course=course))
    outcome = replace(pool, plan=replace(pool.plan, experiment=held))
    told, english = tell_plan(outcome), tell_plan(pool)
    for field in ("answer", "prospect", "rows_note", "vessel", "takes", "method", "curve_alt"):
        assert getattr(told, field) != getattr(english, field), field
    tables = (told.rows, told.runs, told.care, told.variants)
    cells = [cell for table in tables for row in table.rows for cell in row]
    assert not [cell for cell in cells if re.search(r"\d\.\d", cell)]
    assert sum(bool(re.search(r"\d,\d", cell)) for cell in cells) > 50
    assert told.said["care"] in plan_text(outcome)
    assert " ".join(told.answer.split()) in " ".join(plan_text(outcome, width=400).split())
    page = pypdf.PdfReader(io.BytesIO(plan_document(outcome))).pages[0].extract_text()
    assert told.said["what_if"] in page
    assert "What if" not in page


def test_charts_draw(pool: PlanOutcome, weak: PlanOutcome) -> None:
    for outcome in (pool, weak):
        plan = outcome.plan
        told = tell_plan(outcome)
        specs = [
            plan_charts.plan_curve(plan),
            plan_charts.rows_chart(plan),
            plan_charts.upgrades_chart(told.upgrades),
        ]
        for spec in specs:
            if spec is not None:
                assert svg(spec).startswith("<svg")
    assert png(plan_charts.rows_chart(pool.plan)).startswith(b"\x89PNG")
    assert plan_charts.upgrades_chart(()) is None


def test_curve_shows_each_run_once_and_names_it(pool: PlanOutcome) -> None:
    drawn = svg(plan_charts.plan_curve(pool.plan))
    assert "equivalence point 22" in drawn
    for run in pool.plan.experiment.planned:
        assert f">{run.run}</text>" in drawn


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("which", ["pool", "bath", "weak"])
def test_page_is_one_page(which: str, paper: Paper, request: pytest.FixtureRequest) -> None:
    outcome: PlanOutcome = request.getfixturevalue(which)
    pdf = plan_document(outcome, paper=paper)
    read = pypdf.PdfReader(io.BytesIO(pdf))
    assert len(read.pages) == 1
    text = read.pages[0].extract_text()
    for heading in ("Rows side by side", "Run by run", "How exact", "What if"):
        assert heading in text
    assert "Invented data" in text
    width = float(read.pages[0].mediabox.width)
    assert width == pytest.approx({"a4": 595.28, "letter": 612.0}[paper], abs=0.01)


@pytest.mark.parametrize("name", ["clean-pool-granules", "soda-grows-in-acid"])
def test_each_run_has_its_line_on_paper(name: str) -> None:
    """Where the sample grows too, which takes a column more."""
    outcome = outcome_of(example(name))
    pages = pypdf.PdfReader(io.BytesIO(plan_document(outcome))).pages
    set_out = [page.extract_text(extraction_mode="layout") for page in pages]
    lines = ["".join(line.split()) for text in set_out for line in text.splitlines()]
    for row in tell_plan(outcome).runs.rows:
        assert "".join("".join(row).split()) in lines


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_twelve_runs_still_fit_one_page(paper: Paper) -> None:
    outcome = outcome_of(example("weak-acid-foot-bath"), Wishes(n_runs=12))
    pdf = plan_document(outcome, paper=paper)
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 1


def test_same_plan_same_bytes(pool: PlanOutcome) -> None:
    assert plan_document(pool) == plan_document(pool)
    dated = replace(pool, made_on="2026-03-01")
    assert plan_document(dated) != plan_document(pool)


def test_odd_letters_in_a_title(pool: PlanOutcome) -> None:
    experiment = replace(pool.plan.experiment, title='Pool #1 "50 % off" <b> \\ $x$ @ [a] 水')
    outcome = replace(pool, plan=replace(pool.plan, experiment=experiment))
    assert plan_document(outcome).startswith(b"%PDF")
    assert plan_payload(outcome)["experiment"]["title"] == experiment.title


def test_payload_is_json_and_agrees_with_the_plan(pool: PlanOutcome, weak: PlanOutcome) -> None:
    for outcome in (pool, weak):
        found = json.loads(json.dumps(plan_payload(outcome), allow_nan=False))
        assert found["works"] is outcome.plan.works
        assert len(found["findings"]) == len(outcome.plan.findings)
    found = plan_payload(weak)
    offers = found["findings"][0]["remedies"]
    assert {offer["kind"] for offer in offers} == {"stock", "sample"}
    assert all(offer["equivalence_mL"] < 35.0 for offer in offers)


def test_row_words() -> None:
    assert row_words([0.005, 0.0075, 0.01]) == "5 to 10 in steps of 2.5"
    assert row_words([0.005, 0.009, 0.01]) == "5, 9, 10"
    assert row_words([0.02, 0.005, 0.02]) == "5, 2 × 20"
