"""What a notebook shows of a result: chart and tables, escaped, in light and dark, no script."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest
from tests.poured_rows import LABORATORIES, poured

from tarebook import api
from tarebook.api.reduce_series import reduce_table
from tarebook.report.cell import cell
from tarebook.report.outcome import Outcome
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_story import tell_plan
from tarebook.report.story import tell
from tarebook.series.definition import parse_definition

EXAMPLES = Path(__file__).parents[2] / "examples"
HOSTILE = '<script>alert("1")</script>&<b>'


class Elements(HTMLParser):
    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs


@pytest.fixture(scope="module")
def plan() -> PlanOutcome:
    return api.plan(EXAMPLES / "clean-pool-granules", today=False)


@pytest.fixture(scope="module")
def filled() -> Outcome:
    experiment = parse_definition(LABORATORIES["hydrochloric acid"])
    table = poured(experiment, 1).table
    return reduce_table(experiment, table, seed=1, draws=1_000, made_on="")


def words_of(html: str) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", html.partition("</style>")[2]))


def test_a_result_has_its_answer_its_chart_and_all_its_runs(outcome: Outcome) -> None:
    story, html = tell(outcome), cell(outcome)
    words = words_of(html)
    assert story.answer in words
    assert html.count("<svg") == 1
    for table in story.runs:
        assert all(each in words for row in table.rows for each in row)
    assert story.findings
    assert all(found.message in words and found.do in words for found in story.findings)


def test_a_plan_has_its_answer_its_chart_and_all_its_runs(plan: PlanOutcome) -> None:
    story, html = tell_plan(plan), cell(plan)
    words = words_of(html)
    assert story.answer in words
    assert html.count("<svg") == 1
    for table in (story.rows, story.runs):
        assert all(each in words for row in table.rows for each in row)


def test_cups_that_are_only_filled_have_a_table_and_what_to_do_next(filled: Outcome) -> None:
    assert filled.handover is not None
    html = cell(filled)
    assert html.count("<tbody>") >= 2
    assert "<svg" not in html
    assert all(run in words_of(html) for run in filled.table.runs)


def test_nothing_runs_nothing_is_fetched(outcome: Outcome, plan: PlanOutcome) -> None:
    for html in (cell(outcome), cell(plan)):
        found = Elements(html)
        banned = {"script", "link", "iframe", "object", "img", "base", "form"}
        assert set(found.tags) & banned == set()
        names = {name for name, _ in found.attributes}
        assert not {name for name in names if name.startswith("on")} | names & {"src", "href"}
        assert len(html.encode()) < 120_000


def test_what_people_typed_is_text(outcome: Outcome, plan: PlanOutcome) -> None:
    result = replace(outcome, experiment=replace(outcome.experiment, title=HOSTILE))
    planned = replace(plan.plan, experiment=replace(plan.plan.experiment, title=HOSTILE))
    for html in (cell(result), cell(replace(plan, plan=planned))):
        assert "<script" not in html
        assert "&lt;script&gt;" in html
        assert HOSTILE in words_of(html)


def test_nothing_has_an_id_so_that_many_results_can_stand_on_one_page(
    outcome: Outcome, plan: PlanOutcome
) -> None:
    for html in (cell(outcome), cell(plan)):
        names = [name for name, _ in Elements(html).attributes]
        assert "class" in names
        assert "id" not in names


def test_it_has_colours_for_light_and_dark_and_touches_nothing_else(outcome: Outcome) -> None:
    style = cell(outcome).partition("<style>")[2].partition("</style>")[0]
    assert "(prefers-color-scheme: dark)" in style
    assert '[data-jp-theme-light="false"]' in style
    assert ".vscode-dark" in style
    selectors = [part.strip() for part in re.findall(r"(?:^|[{}])([^{}@]+)\{", style)]
    assert len(selectors) > 20
    assert all(
        ".tarebook" in one for whole in selectors for one in re.split(r",(?![^(]*\))", whole)
    )
