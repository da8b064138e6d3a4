"""What all sheets of the workbook share: formats, heads, names, print set-up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from xlsxwriter.utility import xl_range, xl_rowcol_to_cell

from tarebook.records.readings import Quantity

TITLE_ROW, HEAD_ROW = 0, 3
FIRST_ROW = HEAD_ROW + 3
"""Rows of a table: title, head, unit and note stand above the first row of numbers."""

INK, SOFT, HAIR = "#1B2528", "#586468", "#C9CDCA"
INPUT, COMPUTED = "#FFF5D6", "#ECEFEE"
RISE, LEVEL = "#0B5D73", "#A4501A"
"""The colours of the two lines."""


@dataclass(frozen=True, slots=True)
class Column:
    """Head of a column: name, unit, how it is made, width in characters, words or numbers."""

    name: str
    unit: str
    how: str
    width: float
    words: bool = False


class Book:
    """A workbook being written.

    Attributes
    ----------
    readings : dict of Quantity to (int, int)
        First column and number of columns of each quantity on the sheet of the readings.
    """

    def __init__(self, target: Any, invented: str) -> None:
        self._target = target
        self._invented = invented
        self._pages: dict[str, Any] = {}
        self._numbers: dict[tuple[str, int], Any] = {}
        self.readings: dict[Quantity, tuple[int, int]] = {}
        self._title = self._format(bold=True, font_size=15)
        self._mark = self._format(bold=True, font_color=LEVEL)
        self._unit = self._format(font_color=SOFT, align="right")
        self._how = self._format(font_color=SOFT, italic=True, font_size=9, text_wrap=True,
                                 valign="top", align="right", bottom=1)  # fmt: skip
        self.head = self._format(bold=True, text_wrap=True, valign="bottom", top=2)
        self._words_head = self._format(bold=True, text_wrap=True, valign="bottom", top=2,
                                        align="left", indent=1)  # fmt: skip
        self.number_head = self._format(bold=True, text_wrap=True, valign="bottom", top=2,
                                         align="right")  # fmt: skip
        self._left_how = self._format(font_color=SOFT, italic=True, font_size=9, text_wrap=True,
                                      align="left",
                                      valign="top", bottom=1, indent=1)  # fmt: skip
        self.name = self._format()
        self.beside = self._format(indent=1)
        self.note = self._format(font_color=SOFT, indent=1)
        self.remark = self._format(font_color=SOFT, indent=1, text_wrap=True, valign="top")
        self.wrapped = self._format(text_wrap=True, valign="top")
        self.free_input = self._format(bg_color=INPUT, border=1, border_color=HAIR)
        self.strong = self._format(bold=True)

    def _format(self, **how: Any) -> Any:
        return self._target.add_format({"font_name": "Calibri", "font_color": INK, **how})

    def fixed(self, decimals: int) -> Any:
        """Return the format of a calculated number."""
        return self._number("calculated", decimals)

    def input(self, decimals: int) -> Any:
        """Return the format of a number that may be changed."""
        return self._number("input", decimals, bg_color=INPUT, border=1, border_color=HAIR)

    def computed(self, decimals: int) -> Any:
        """Return the format of a number that the program found: to change it changes nothing."""
        return self._number("computed", decimals, bg_color=COMPUTED, border=1, border_color=HAIR)

    def result(self, decimals: int) -> Any:
        """Return the format of a main result."""
        return self._number("result", decimals, bold=True, top=1, bottom=1)

    def _number(self, kind: str, decimals: int, **how: Any) -> Any:
        if (kind, decimals) not in self._numbers:
            pattern = "0." + "0" * decimals if decimals else "0"
            self._numbers[kind, decimals] = self._format(num_format=pattern, **how)
        return self._numbers[kind, decimals]

    def sheet(self, name: str, title: str, *, landscape: bool = True) -> Any:
        """Add a sheet with its title, the mark of invented data and the print set-up."""
        page = self._target.add_worksheet(name)
        self._pages[name] = page
        page.write_string(TITLE_ROW, 0, title, self._title)
        page.set_row(TITLE_ROW, 22)
        if self._invented:
            page.write_string(TITLE_ROW + 1, 0, self._invented, self._mark)
        if landscape:
            page.set_landscape()
        page.set_paper(9)
        page.fit_to_pages(1, 0)
        page.hide_gridlines(2)
        said = self._invented.replace("&", "&&")
        page.set_header(f"&C{said[:200]}" if said else "")
        page.set_footer("&L&A&RPage &P of &N")
        return page

    def table(self, name: str, title: str, columns: Sequence[Column]) -> Any:
        """Add a sheet with a head of three rows: name, unit, how it is made."""
        page = self.sheet(name, title)
        for place, column in enumerate(columns):
            head, how = (
                (self.head if place == 0 else self._words_head, self._left_how)
                if column.words
                else (self.number_head, self._how)
            )
            page.write_string(HEAD_ROW, place, column.name, head)
            self.say(page, HEAD_ROW + 1, place, column.unit, self._unit)
            page.write_string(HEAD_ROW + 2, place, column.how or " ", how)
            page.set_column(place, place, column.width)
        page.set_row(HEAD_ROW, 46)
        if not any(column.unit for column in columns):
            page.set_row(HEAD_ROW + 1, 4)
        page.set_row(HEAD_ROW + 2, 40 if any(column.how for column in columns) else 4)
        page.freeze_panes(FIRST_ROW, 1)
        page.repeat_rows(HEAD_ROW, HEAD_ROW + 2)
        return page

    def say(self, page: Any, row: int, column: int, words: str, style: Any = None) -> None:
        """Write words into a cell; nothing where there are none."""
        if words:
            page.write_string(row, column, words, style or self.beside)

    def page(self, name: str) -> Any:
        """Return a sheet that was added."""
        return self._pages[name]

    def define(self, name: str, sheet: str, row: int, column: int) -> None:
        """Give a cell a name that formulas can use."""
        cell = xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)
        self._target.define_name(name, f"='{sheet}'!{cell}")

    def mean_of(self, row: int, what: Quantity) -> str:
        """Return the formula part that is the mean of the readings of one run."""
        first, many = self.readings[what]
        if many == 1:
            return f"Readings!{xl_rowcol_to_cell(row, first)}"
        return f"AVERAGE(Readings!{xl_range(row, first, row, first + many - 1)})"

    def mass_lost(self, row: int) -> str:
        """Return the formula part that is the mass lost of one run."""
        parts = (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
        liquid, sample, final = (self.mean_of(row, what) for what in parts)
        return f"{liquid}+{sample}-{final}"

    def scatter(self) -> Any:
        """Return a new chart of points."""
        return self._target.add_chart({"type": "scatter"})
