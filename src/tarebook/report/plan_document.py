"""The plan on one page of paper."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict
from functools import cache
from importlib import resources

from tarebook.report import plan_charts, printing
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_story import tell_plan
from tarebook.report.printing import PAPER_NAMES, Paper

MOST_BARS = 5
"""Upgrades that the page has room for; the text has them all."""


def plan_document(
    outcome: PlanOutcome, *, paper: Paper = "a4", how: Writing | None = None
) -> bytes:
    """Return the plan as PDF: one page for a row of up to about a dozen runs.

    Parameters
    ----------
    outcome : PlanOutcome
        Its `made_on` is the date of the file; the same plan gives the same bytes.
    paper : {"a4", "letter"}
    how : Writing, optional
        Language and numbers; those of the course without it.

    Warns
    -----
    UserWarning
        If typst warns, for example of a missing font.
    """
    made_on = dt.date.fromisoformat(outcome.made_on) if outcome.made_on else printing.NO_DATE
    return printing.pdf(_template(), _inputs(outcome, paper, how), made_on)


def _inputs(outcome: PlanOutcome, paper: Paper, how: Writing | None) -> dict[str, str]:
    plan = outcome.plan
    how = how or course_writing(plan.experiment, paper)
    story = tell_plan(outcome, how)
    made = {
        "curve": (
            plan_charts.plan_curve(plan, width=440, height=150, how=how),
            story.curve_alt,
        ),
        "rows": (plan_charts.rows_chart(plan, width=390, titled=False, how=how), story.rows_alt),
        "upgrades": (
            plan_charts.upgrades_chart(story.upgrades[:MOST_BARS], width=270, style=how.style),
            story.upgrades_alt,
        ),
    }
    return {
        "story": json.dumps(asdict(story)),
        "charts": printing.charts_input(made),
        "curve-key": plan_charts.plan_key(plan, how),
        "paper": PAPER_NAMES[paper],
    }


@cache
def _template() -> bytes:
    return (resources.files("tarebook.report") / "templates" / "plan.typ").read_bytes()
