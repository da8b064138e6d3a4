"""The page that is handed on, on paper and as one file for a browser."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict

from tarebook.diagnosis.handover import Handover
from tarebook.report import charts, printing
from tarebook.report.handover.story import tell_handover
from tarebook.report.languages.writing import course_writing
from tarebook.report.outcome import Outcome
from tarebook.report.page import NARROW, WIDE, both_widths, rendered
from tarebook.report.printing import PAPER_NAMES, Paper


def handover_document(
    outcome: Outcome,
    handover: Handover,
    *,
    paper: Paper = "a4",
) -> bytes:
    """Return the page as PDF.

    Parameters
    ----------
    outcome : Outcome
        Its `made_on` is the date of the file; the same outcome gives the same bytes.
    handover : Handover
    paper : {"a4", "letter"}

    Warns
    -----
    UserWarning
        If typst warns, for example of a missing font.
    """
    how = course_writing(outcome.experiment, paper)
    story = tell_handover(outcome, handover, how)
    made_on = dt.date.fromisoformat(outcome.made_on) if outcome.made_on else printing.NO_DATE
    liquid = charts.liquid(outcome, width=620, how=how)
    inputs = {
        "story": json.dumps(asdict(story)),
        "charts": printing.charts_input({"liquid": (liquid, story.liquid_alt)}),
        "paper": PAPER_NAMES[paper],
    }
    return printing.pdf(printing.template("handover.typ"), inputs, made_on)


def handover_page(outcome: Outcome, handover: Handover, *, paper: Paper = "a4") -> str:
    """Return the page as HTML that adapts to width, to light and dark, and to paper.

    Parameters
    ----------
    outcome : Outcome
    handover : Handover
    paper : {"a4", "letter"}
        Where nothing says of which place the language is.
    """
    how = course_writing(outcome.experiment, paper)
    story = tell_handover(outcome, handover, how)
    drawn = {}
    wide = charts.liquid(outcome, width=WIDE, how=how)
    narrow = charts.liquid(outcome, width=NARROW, how=how)
    if wide is not None and narrow is not None:
        drawn["liquid"] = both_widths(wide, narrow, "liquid", story.liquid_alt)
    return rendered("handover.html", story=story, charts=drawn)
