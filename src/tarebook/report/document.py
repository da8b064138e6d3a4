"""The report on paper: a tagged PDF made by typst, the same bytes for the same outcome."""

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

from tarebook.report import charts, drawing, numbers
from tarebook.report.drawing import Spec
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.story import tell

Paper: TypeAlias = Literal["a4", "letter"]

STANDARDS: list[typst.PDFStandard] = ["ua-1", "a-2a"]
"""PDF/UA-1 (ISO 14289-1) for screen readers, PDF/A-2a (ISO 19005-2) for keeping."""

NO_GLYPH = "could not be displayed with font"
"""What typst says where the shipped font lacks a character, which the standards forbid."""

NO_DATE = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
"""Written into the file where the outcome has no date."""


def document(outcome: Outcome, *, paper: Paper = "a4", style: NumberStyle = numbers.PRINT) -> bytes:
    """Return the report as PDF.

    Parameters
    ----------
    outcome : Outcome
        Its `made_on` is the date of the file; the same outcome gives the same bytes.
    paper : {"a4", "letter"}
    style : NumberStyle

    Returns
    -------
    bytes

    Notes
    -----
    The shipped font has the Latin, Greek and Cyrillic letters. Where a title or a name needs
    others, the fonts of the machine step in; such a file is not a PDF/A, and it may look different
    elsewhere.

    Warns
    -----
    UserWarning
        If typst warns, for example of a missing font.
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
    pages = typst.compile(
        _template(),
        font_paths=_fonts(system=False),
        sys_inputs=_inputs(outcome, paper, style),
        format="png",
        ppi=ppi,
    )
    return bytes(pages[0] if isinstance(pages, list) else pages)


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
    drawn = {
        name: {"svg": _with_bold(drawing.svg(spec)), "alt": alt}
        for name, (spec, alt) in made.items()
        if spec is not None
    }
    paper_name = {"a4": "a4", "letter": "us-letter"}[paper]
    return {
        "story": json.dumps(asdict(story)),
        "charts": json.dumps(drawn),
        "curve-key": charts.curve_key(outcome),
        "ph-note": charts.ph_note(outcome),
        "paper": paper_name,
    }


def _with_bold(svg: str) -> str:
    """Name the bold font as typst knows it: by family, not by weight."""
    wanted = rf'font-family="{drawing.FONT}"([^>]*) font-weight="600"'
    return re.sub(wanted, r'font-family="IBM Plex Sans SmBld"\1', svg)


@cache
def _template() -> bytes:
    return (resources.files("tarebook.report") / "templates" / "report.typ").read_bytes()


@cache
def _fonts(*, system: bool) -> typst.Fonts:
    return typst.Fonts(
        include_system_fonts=system,
        include_embedded_fonts=system,
        font_paths=[drawing.font_folder()[0]],
    )
