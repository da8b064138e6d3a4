"""The plan on one page: a tagged PDF made by typst, the same bytes for the same plan."""

from __future__ import annotations

import datetime as dt
import json
import re
import warnings
from dataclasses import asdict
from functools import cache
from importlib import resources
from typing import Literal, TypeAlias

import typst

from tarebook.report import drawing, numbers, plan_charts
from tarebook.report.numbers import NumberStyle
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_story import tell_plan

Paper: TypeAlias = Literal["a4", "letter"]

STANDARDS: list[typst.PDFStandard] = ["ua-1", "a-2a"]
"""PDF/UA-1 (ISO 14289-1) for screen readers, PDF/A-2a (ISO 19005-2) for keeping."""

NO_GLYPH = "could not be displayed with font"
"""What typst says where the shipped font lacks a character, which the standards forbid."""

MOST_BARS = 5
"""Upgrades that the page has room for; the text has them all."""

NO_DATE = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
"""Written into the file where the plan has no date."""


def plan_document(
    outcome: PlanOutcome, *, paper: Paper = "a4", style: NumberStyle = numbers.PRINT
) -> bytes:
    """Return the plan as PDF: one page for a row of up to about a dozen runs.

    Parameters
    ----------
    outcome : PlanOutcome
        Its `made_on` is the date of the file; the same plan gives the same bytes.
    paper : {"a4", "letter"}
    style : NumberStyle

    Warns
    -----
    UserWarning
        If typst warns, for example of a missing font.

    Notes
    -----
    Where a title or a name needs letters that the shipped font lacks, the fonts of the machine
    step in; such a file is not a PDF/A.
    """
    made_on = dt.date.fromisoformat(outcome.made_on) if outcome.made_on else NO_DATE.date()
    midnight = dt.datetime.combine(made_on, dt.time(), tzinfo=dt.UTC)
    inputs = _inputs(outcome, paper, style)
    try:
        return _compiled(inputs, midnight, _fonts(system=False), STANDARDS)
    except typst.TypstError as error:
        if NO_GLYPH not in str(error):
            raise
    return _compiled(inputs, midnight, _fonts(system=True), [])


def _inputs(outcome: PlanOutcome, paper: Paper, style: NumberStyle) -> dict[str, str]:
    story = tell_plan(outcome, style)
    plan = outcome.plan
    made = {
        "curve": (
            plan_charts.plan_curve(plan, width=440, height=150, style=style),
            story.curve_alt,
        ),
        "rows": (plan_charts.rows_chart(plan, width=390, title="", style=style), story.rows_alt),
        "upgrades": (
            plan_charts.upgrades_chart(story.upgrades[:MOST_BARS], width=270, style=style),
            story.upgrades_alt,
        ),
    }
    drawn = {
        name: {"svg": _with_bold(drawing.svg(spec)), "alt": alt}
        for name, (spec, alt) in made.items()
        if spec is not None
    }
    return {
        "story": json.dumps(asdict(story)),
        "charts": json.dumps(drawn),
        "curve-key": plan_charts.KEY,
        "paper": {"a4": "a4", "letter": "us-letter"}[paper],
    }


def _compiled(
    inputs: dict[str, str],
    created: dt.datetime,
    fonts: typst.Fonts,
    standards: list[typst.PDFStandard],
) -> bytes:
    pdf, told = typst.compile_with_warnings(
        _template(),
        font_paths=fonts,
        sys_inputs=inputs,
        format="pdf",
        timestamp=created,
        pdf_standards=standards,
    )
    for warning in told:
        warnings.warn(f"typst: {warning.message}", stacklevel=3)
    return bytes(pdf)


def _with_bold(svg: str) -> str:
    """Name the bold font as typst knows it: by family, not by weight."""
    wanted = rf'font-family="{drawing.FONT}"([^>]*) font-weight="600"'
    return re.sub(wanted, r'font-family="IBM Plex Sans SmBld"\1', svg)


@cache
def _template() -> bytes:
    return (resources.files("tarebook.report") / "templates" / "plan.typ").read_bytes()


@cache
def _fonts(*, system: bool) -> typst.Fonts:
    return typst.Fonts(
        include_system_fonts=system,
        include_embedded_fonts=system,
        font_paths=[drawing.font_folder()[0]],
    )
