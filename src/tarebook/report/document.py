"""The report on paper."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict
from functools import cache

from tarebook.report import charts, printing
from tarebook.report.drawing import Spec
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.outcome import Outcome
from tarebook.report.printing import PAPER_NAMES, Paper
from tarebook.report.story import tell


def document(outcome: Outcome, *, paper: Paper = "a4", how: Writing | None = None) -> bytes:
    """Return the report as PDF.

    Parameters
    ----------
    outcome : Outcome
        Its `made_on` is the date of the file; the same outcome gives the same bytes.
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


def first_page(
    outcome: Outcome, *, ppi: float = 96.0, paper: Paper = "a4", how: Writing | None = None
) -> bytes:
    """Return the first page of the report as a picture.

    Parameters
    ----------
    outcome : Outcome
    ppi : float
        Pixels per inch.
    paper : {"a4", "letter"}
    how : Writing, optional
        Language and numbers; those of the course without it.

    Returns
    -------
    bytes
        PNG.
    """
    return printing.png(_template(), _inputs(outcome, paper, how), ppi)


def _inputs(outcome: Outcome, paper: Paper, how: Writing | None) -> dict[str, str]:
    how = how or course_writing(outcome.experiment, paper)
    story = tell(outcome, how)
    made: dict[str, tuple[Spec | None, str]] = {
        "curve": (charts.curve(outcome, width=620, height=310, how=how), story.curve_alt),
        "waterfall": (
            charts.waterfall(outcome, width=620, how=how),
            story.model.waterfall_alt if story.model else "",
        ),
        "ph": (
            charts.ph(outcome, width=620, height=120, how=how),
            story.model.ph_alt if story.model else "",
        ),
        "limiting": (charts.limiting(outcome, width=620, how=how), story.limiting_alt),
        "budget": (charts.budget(outcome, width=440, how=how), story.budget_alt),
        "liquid": (charts.liquid(outcome, width=620, how=how), story.liquid_alt),
    }
    return {
        "story": json.dumps(asdict(story)),
        "charts": printing.charts_input(made),
        "curve-key": charts.curve_key(outcome, how),
        "ph-note": charts.ph_note(outcome, how),
        "paper": PAPER_NAMES[paper],
    }


@cache
def _template() -> bytes:
    return printing.template("report.typ")
