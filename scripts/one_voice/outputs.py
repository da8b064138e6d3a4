"""Every output of a reduced row, rendered once; what is text, as one line with single spaces."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser
from typing import Any

import openpyxl
import pypdfium2

from tarebook.report.document import document
from tarebook.report.outcome import Outcome
from tarebook.report.page import page
from tarebook.report.payload import payload
from tarebook.report.results_csv import results_csv
from tarebook.report.story import Story, tell
from tarebook.report.text import text
from tarebook.report.workbook import workbook

TEXTS = ("page", "terminal", "paper")
"""Outputs that are read as text."""


@dataclass(kw_only=True)
class Outputs:
    """What is printed of one row.

    Attributes
    ----------
    outcome : Outcome
    json : dict
    csv : list of dict
    workbook : openpyxl.Workbook
        With the values that stand in its cells.
    texts : dict of str to str
        Page, terminal and paper.
    """

    outcome: Outcome
    json: dict[str, Any]
    csv: list[dict[str, str]]
    workbook: Any
    texts: dict[str, str] = field(default_factory=dict)

    @cached_property
    def story(self) -> Story:
        """What page, terminal and paper set: here only its words serve, as names of the numbers."""
        return tell(self.outcome)


def render(outcome: Outcome) -> Outputs:
    """Return every output of a row.

    Parameters
    ----------
    outcome : Outcome
    """
    return Outputs(
        outcome=outcome,
        json=payload(outcome),
        csv=list(csv.DictReader(io.StringIO(results_csv(outcome)))),
        workbook=openpyxl.load_workbook(io.BytesIO(workbook(outcome)), data_only=True),
        texts={
            "page": one_line(words_of_page(page(outcome))),
            "terminal": one_line(text(outcome, width=400)),
            "paper": one_line(words_of_paper(document(outcome))),
        },
    )


def one_line(shown: str) -> str:
    """Return a text with single spaces, none around ± nor before % nor after < and >.

    Examples
    --------
    >>> one_line("yield  91.55 ± 0.94 %, chance > 99.9 %")
    'yield 91.55±0.94%, chance >99.9%'
    """
    line = re.sub(r"\s+", " ", shown)
    line = re.sub(r" ?± ?(?=[0-9])", "±", line).replace(" %", "%")
    return re.sub(r"([<>]) (?=[0-9])", r"\1", line)


def words_of_paper(data: bytes) -> str:
    """Return the words of a PDF without what stands at head and foot of every page.

    Parameters
    ----------
    data : bytes
    """
    with pypdfium2.PdfDocument(data) as paper:
        sheets = [sheet.get_textpage().get_text_range().splitlines() for sheet in paper]
    everywhere = set.intersection(*(set(lines) for lines in sheets)) if len(sheets) > 1 else set()
    return "\n".join(
        # A hyphen at the end of a line has a sign of its own.
        re.sub(r"page \d+ of \d+$", "", line).replace("\ufffe", "-")
        for number, lines in enumerate(sheets)
        for line in lines
        if number == 0 or (line not in everywhere and not re.search(r"page \d+ of \d+$", line))
    )


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.hidden = 0

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.hidden += tag == "style"
        if tag == "figure":
            # What the chart is to those who cannot see it.
            self.found += [value for name, value in attributes if name == "aria-label" and value]

    def handle_endtag(self, tag: str) -> None:
        self.hidden -= tag == "style"

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.found.append(data)


def words_of_page(made: str) -> str:
    """Return the words of a page, those of its charts among them.

    Parameters
    ----------
    made : str
        HTML.
    """
    parser = _Words()
    parser.feed(made)
    # A full stop is no cell of its own.
    return re.sub(r" ([.,;:)])", r"\1", re.sub(r"\s+", " ", " ".join(parser.found)))
