"""How anything becomes a PDF: one call of typst, tagged, the same bytes for the same input."""

from __future__ import annotations

import datetime as dt
import json
import re
import warnings
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Final, Literal, TypeAlias

import typst

from tarebook.report import drawing
from tarebook.report.drawing import Spec

Paper: TypeAlias = Literal["a4", "letter"]

PAPER_NAMES: Final[dict[Paper, str]] = {"a4": "a4", "letter": "us-letter"}
"""Papers as typst names them."""

STANDARDS: Final[list[typst.PDFStandard]] = ["ua-1", "a-2a"]
"""PDF/UA-1 (ISO 14289-1) for screen readers, PDF/A-2a (ISO 19005-2) for keeping."""

NO_GLYPH: Final = "could not be displayed with font"
"""What typst says where the shipped font lacks a character, which the standards forbid."""

NO_DATE: Final = dt.date(2000, 1, 1)
"""Written into the file where what is printed has no date."""


def pdf(template: bytes, inputs: dict[str, str], day: dt.date = NO_DATE) -> bytes:
    """Return a PDF of whatever the shipped font can write, else with fonts of the machine.

    Parameters
    ----------
    template : bytes
        In typst's language.
    inputs : dict of str
        What the template reads.
    day : date
        Written into the file as the time of its making.

    Warns
    -----
    UserWarning
        If typst warns, for example of a missing font.

    Notes
    -----
    The shipped font has the Latin, Greek and Cyrillic letters. Where a title or a name needs
    others, the fonts of the machine step in; such a file is not a PDF/A, and it may look different
    elsewhere.
    """
    try:
        return _compiled(template, inputs, day, system=False)
    except typst.TypstError as error:
        if NO_GLYPH not in str(error):
            raise
    return _compiled(template, inputs, day, system=True)


def template(name: str) -> bytes:
    """Return a template of the report, after the look that all of them share.

    Parameters
    ----------
    name : str
        Of a file beside `look.typ`.
    """
    folder = resources.files("tarebook.report") / "templates"
    return (folder / "look.typ").read_bytes() + (folder / name).read_bytes()


def png(template: bytes, inputs: dict[str, str], ppi: float) -> bytes:
    """Return the first page as a picture.

    Parameters
    ----------
    template : bytes
    inputs : dict of str
    ppi : float
        Pixels per inch.
    """
    pages = typst.compile(
        template, font_paths=_fonts(system=False), sys_inputs=inputs, format="png", ppi=ppi
    )
    return bytes(pages[0] if isinstance(pages, list) else pages)


def charts_input(made: Mapping[str, tuple[Spec | None, str]]) -> str:
    """Return charts and their texts for those who cannot see them, as a template reads them.

    Parameters
    ----------
    made : mapping of str to (Spec or None, str)
        A chart that there is nothing to draw for is left out.
    """
    return json.dumps(
        {
            name: {"svg": _with_bold(drawing.svg(spec)), "alt": alt}
            for name, (spec, alt) in made.items()
            if spec is not None
        }
    )


def _compiled(template: bytes, inputs: dict[str, str], day: dt.date, *, system: bool) -> bytes:
    made, told = typst.compile_with_warnings(
        template,
        font_paths=_fonts(system=system),
        sys_inputs=inputs,
        format="pdf",
        timestamp=dt.datetime.combine(day, dt.time(), tzinfo=dt.UTC),
        pdf_standards=[] if system else STANDARDS,
    )
    for warning in told:
        warnings.warn(f"typst: {warning.message}", stacklevel=4)
    return bytes(made)


def _with_bold(svg: str) -> str:
    """Name the bold font as typst knows it: by family, not by weight."""
    wanted = rf'font-family="{drawing.FONT}"([^>]*) font-weight="600"'
    return re.sub(wanted, r'font-family="IBM Plex Sans SmBld"\1', svg)


@cache
def _fonts(*, system: bool) -> typst.Fonts:
    return typst.Fonts(
        include_system_fonts=system,
        include_embedded_fonts=system,
        font_paths=[drawing.font_folder()[0]],
    )
