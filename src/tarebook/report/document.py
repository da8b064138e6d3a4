"""The report on paper."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict
from functools import cache

from tarebook.report import charts, numbers, printing
from tarebook.report.drawing import Spec
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.printing import PAPER_NAMES, Paper
from tarebook.report.story import tell


def document(outcome: Outcome, *, paper: Paper = "a4", style: NumberStyle = numbers.PRINT) -> bytes:
    """Return the report as PDF.

    Parameters
    ----------
    outcome : Outcome
        Its `made_on` is the date of the file; the same outcome gives the same bytes.
    paper : {"a4", "letter"}
    style : NumberStyle

    Warns
    -----
    UserWarning
        If typst warns, for example of a missing font.
    """
    made_on = dt.date.fromisoformat(outcome.made_on) if outcome.made_on else printing.NO_DATE
    return printing.pdf(_template(), _inputs(outcome, paper, style), made_on)


def first_page(
    outcome: Outcome, *, ppi: float = 96.0, paper: Paper = "a4", style: NumberStyle = numbers.PRINT
) -> bytes:
    """Return the first page of the report as a picture.

    Parameters
    ----------
    outcome : Outcome
    ppi : float
        Pixels per inch.
    paper : {"a4", "letter"}
    style : NumberStyle

    Returns
    -------
    bytes
        PNG.
    """
    return printing.png(_template(), _inputs(outcome, paper, style), ppi)


def _inputs(outcome: Outcome, paper: Paper, style: NumberStyle) -> dict[str, str]:
    story = tell(outcome, style)
    made: dict[str, tuple[Spec | None, str]] = {
        "curve": (charts.curve(outcome, width=620, height=350, style=style), story.curve_alt),
        "waterfall": (
            charts.waterfall(outcome, width=620, style=style),
            story.model.waterfall_alt if story.model else "",
        ),
        "ph": (
            charts.ph(outcome, width=620, height=120, style=style),
            story.model.ph_alt if story.model else "",
        ),
        "limiting": (charts.limiting(outcome, width=620, style=style), story.limiting_alt),
        "budget": (charts.budget(outcome, width=440, style=style), story.budget_alt),
        "liquid": (charts.liquid(outcome, width=620, style=style), story.liquid_alt),
    }
    return {
        "story": json.dumps(asdict(story)),
        "charts": printing.charts_input(made),
        "curve-key": charts.curve_key(outcome),
        "ph-note": charts.ph_note(outcome),
        "paper": PAPER_NAMES[paper],
    }


@cache
def _template() -> bytes:
    return printing.template("report.typ")
