"""The sheet of the two lines: weighted least squares that a student can follow cell by cell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from xlsxwriter.utility import xl_rowcol_to_cell

from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.reduction.results import UsualSeries
from tarebook.report import typeset
from tarebook.report.outcome import Outcome
from tarebook.report.workbook_fit import (
    Cell,
    Lines,
    LineWords,
    line_cells,
    line_words,
    own_protons,
    two_lines,
)
from tarebook.report.workbook_sheets import FIRST_ROW, HAIR, LEVEL, RISE, Book, Column

SHEET = "Equivalence point"

STEPS = "Textbook calculation"
"""The sheet that this one reads from."""


def write_lines(book: Book, outcome: Outcome, series: UsualSeries) -> None:
    """Add the sheet: runs by rising reagent, the two lines, the content, the claim."""
    lines, words = two_lines(outcome.experiment, series), line_words(series.axis)
    columns = [
        Column("run", "", "", 50, words=True),
        Column("place", "1", f"by rising {series.axis.grows}", 12),
        Column(words.x, words.x_unit, "from Textbook calculation", 12),
        Column(words.y, words.y_unit, "from Textbook calculation", 11),
        Column("weight", "1", words.weight, 13),
        Column("on the rise", "1", "1 up to the number below, then 0", 12),
        Column("line", words.y_unit, "the lower of the two lines", 11),
        Column("off the line", words.y_unit, "gas − line", 11),
    ]
    page = book.table(SHEET, "Two lines and where they meet", columns)
    _write_points(book, page, outcome, lines)
    top = FIRST_ROW + len(lines.runs) + 1
    _write_results(book, page, outcome, series, lines, top)


def _write_points(book: Book, page: Any, outcome: Outcome, lines: Lines) -> None:
    place_of = {run: place for place, run in enumerate(outcome.table.runs)}
    fitted = lines.line(lines.x)
    beyond = "line_p" if lines.k == 0.0 else "line_p+line_k*{x}"
    for place, run in enumerate(lines.runs):
        row = FIRST_ROW + place
        there = FIRST_ROW + place_of[run]
        x, y, line = (xl_rowcol_to_cell(row, column) for column in (2, 3, 6))
        page.write_string(row, 0, run, book.name)
        page.write_number(row, 1, place + 1, book.fixed(0))
        page.write_formula(row, 2, f"='{STEPS}'!{xl_rowcol_to_cell(there, 5)}", book.fixed(3),
                           lines.x[place])  # fmt: skip
        page.write_formula(row, 3, f"='{STEPS}'!{xl_rowcol_to_cell(there, 6)}", book.fixed(4),
                           lines.y[place])  # fmt: skip
        page.write_number(row, 4, lines.weight[place], book.input(0))
        page.write_formula(row, 5, f"=IF({xl_rowcol_to_cell(row, 1)}<=n_left,1,0)", book.fixed(0),
                           int(place < lines.n_left))  # fmt: skip
        formula = f"=MIN(line_a+line_b*{x},{beyond.format(x=x)})"
        page.write_formula(row, 6, formula, book.fixed(4), fitted[place])
        page.write_formula(row, 7, f"={y}-{line}", book.fixed(4), lines.y[place] - fitted[place])


def _write_results(
    book: Book, page: Any, outcome: Outcome, series: UsualSeries, lines: Lines, top: int
) -> None:
    heads = ("what", "value", "unit", "u, as found", "how", " ", " ", " ")
    for column, head in enumerate(heads):
        book.say(page, top, column, head, book.head)
    page.set_row(top, 32)
    page.write_string(top + 1, 0, "runs on the rising line", book.name)
    page.write_number(top + 1, 1, lines.n_left, book.input(0))
    page.write_string(top + 1, 4, "The partition with the least squares of all, which the program "
                      "looked for. Try another and see the residuals grow.", book.note)  # fmt: skip
    book.define("n_left", SHEET, top + 1, 1)
    row = top + 2
    cells = line_cells(outcome.experiment, lines, line_words(series.axis))
    for cell in (*cells, *_result_cells(outcome, series, lines)):
        if cell.name:
            book.define(cell.name, SHEET, row, 1)
        style = book.result(cell.decimals) if cell.u is not None else book.fixed(cell.decimals)
        page.write_string(row, 0, cell.words, book.strong if cell.u is not None else book.name)
        page.write_formula(row, 1, cell.formula, style, cell.value)
        book.say(page, row, 2, cell.unit)
        if cell.u is not None:
            page.write_number(row, 3, cell.u, book.fixed(cell.decimals))
        book.say(page, row, 4, cell.how, book.note)
        row += 1
    if series.claim is not None:
        row = _write_claim(book, page, series, row)
    _write_chart(book, page, lines, line_words(series.axis), row + 1)


def result_values(outcome: Outcome, series: UsualSeries) -> dict[str, float]:
    """Return the results of the sheet by their names, as the sheet calculates them."""
    cells = _result_cells(outcome, series, two_lines(outcome.experiment, series))
    return {cell.name: cell.value for cell in cells}


def _result_cells(outcome: Outcome, series: UsualSeries, lines: Lines) -> Iterator[Cell]:
    experiment, reaction = outcome.experiment, outcome.experiment.reaction
    analyte, gas = typeset.formula(reaction.analyte), typeset.formula(reaction.gas)
    masses = reaction.analyte_molar_mass.value / reaction.gas_molar_mass.value
    axis = series.axis
    if axis.grows == "reagent":
        yield Cell("equivalence_mL", "equivalence point for the nominal sample mass",
                   "=line_break*nominal_mass", lines.at * series.nominal_mass, "mL", 3,
                   "Reagent that uses up the nominal sample mass.",
                   1000.0 * series.equivalence.u)  # fmt: skip
        of_a_gram, gas_of_a_gram, way = "line_p", lines.p, "from the plateau"
        reagent, volume = "line_break", lines.at
    else:
        each = 1000.0 * axis.fixed
        yield Cell("equivalence_g", "equivalence point for the reagent of a cup", "=line_break",
                   lines.at, "g", 4, "Sample that uses up the reagent of a cup.",
                   series.meets_at.u)  # fmt: skip
        yield Cell("equivalence_mL", "the same for the nominal sample mass",
                   "=reagent_each*nominal_mass/line_break", each * series.nominal_mass / lines.at,
                   "mL", 3, "Reagent that uses up the nominal sample mass.",
                   1000.0 * series.equivalence.u)  # fmt: skip
        of_a_gram, gas_of_a_gram, way = "line_b", lines.b, "from the slope"
        reagent, volume = "reagent_each/line_break", each / lines.at
    yield Cell("content", f"content of {analyte}, {way}",
               f"={of_a_gram}*nu_sample/nu_gas*M_sample/M_gas",
               gas_of_a_gram * masses * reaction.analyte_coefficient / reaction.gas_coefficient,
               "g/g", 4, f"Gas per gram of sample, from g of {gas} to g of {analyte}.",
               series.sample_mass_fraction.u)  # fmt: skip
    strength, counts = experiment.reagent.concentration.value, reaction.analyte_coefficient
    own = own_protons(experiment) / (protons_of_extent(reaction) or 1.0)
    second = (strength * volume / 1000.0 / reaction.reagent_coefficient + own) * counts
    brought = "+own_acid/1000/own_acid_taken" if own else ""
    yield Cell("content_from_equivalence", f"content of {analyte}, from the equivalence point",
               f"=(strength*{reagent}/1000/nu_reagent{brought})*nu_sample*M_sample",
               second * reaction.analyte_molar_mass.value, "g/g", 4,
               "Reagent at the equivalence point, and the sample's own acid, as sample."
               if own else "Amount of reagent at the equivalence point, as sample.",
               series.content_from_equivalence.u)  # fmt: skip


def _write_claim(book: Book, page: Any, series: UsualSeries, row: int) -> int:
    claim = series.claim
    assert claim is not None  # noqa: S101 (the caller has looked)
    u_found = xl_rowcol_to_cell(row - 2, 3)
    how_many = claim.how_many_u if np.isfinite(claim.how_many_u) else "without bound"
    cells: tuple[tuple[str, str, float | str, str, int], ...] = (
        ("content found less content claimed", "=content-claimed", claim.difference, "g/g", 4),
        ("u of the difference", f"=SQRT({u_found}^2+claimed_u^2)", claim.u_difference, "g/g", 4),
        ("difference in u", f'=IF({xl_rowcol_to_cell(row + 1, 1)}>0,'
         f'ABS({xl_rowcol_to_cell(row, 1)})/{xl_rowcol_to_cell(row + 1, 1)},"without bound")',
         how_many, "", 1),
        ("result and claim", f'=IF({xl_rowcol_to_cell(row + 2, 1)}<=2,"agree","do not agree")',
         "agree" if claim.agrees else "do not agree", "", 0),
    )  # fmt: skip
    notes = ("", "Root of the sum of the squares.", "Up to 2 counts as agreement.", "")
    for (words, formula, value, unit, decimals), how in zip(cells, notes, strict=True):
        page.write_string(row, 0, words, book.name)
        page.write_formula(row, 1, formula, book.fixed(decimals), value)
        book.say(page, row, 2, unit)
        book.say(page, row, 4, how, book.note)
        row += 1
    return row


def _write_chart(book: Book, page: Any, lines: Lines, words: LineWords, row: int) -> None:
    last = FIRST_ROW + len(lines.runs) - 1
    right, last_x = float(lines.x[-1]), xl_rowcol_to_cell(last, 2)
    top, end = lines.p + lines.k * lines.at, lines.p + lines.k * right
    at_top, at_end = ("", "") if lines.k == 0.0 else ("+line_k*line_break", f"+line_k*{last_x}")
    corners = (("=0", 0.0, "=line_a", lines.a),
               ("=line_break", lines.at, f"=line_p{at_top}", top),
               (f"={last_x}", right, f"=line_p{at_end}", end))  # fmt: skip
    page.write_string(row, 0, "corners of the two lines", book.note)
    for place, (x, x_value, y, y_value) in enumerate(corners):
        page.write_formula(row + place, 1, x, book.fixed(3), x_value)
        page.write_formula(row + place, 2, y, book.fixed(4), y_value)
    chart = book.scatter()
    chart.add_series({
        "name": "runs",
        "categories": [SHEET, FIRST_ROW, 2, last, 2],
        "values": [SHEET, FIRST_ROW, 3, last, 3],
        "marker": {"type": "circle", "size": 7, "fill": {"color": RISE}, "border": {"none": True}},
    })  # fmt: skip
    chart.add_series({
        "name": "two lines",
        "categories": [SHEET, row, 1, row + 2, 1],
        "values": [SHEET, row, 2, row + 2, 2],
        "marker": {"type": "none"},
        "line": {"color": LEVEL, "width": 1.75},
    })  # fmt: skip
    chart.set_x_axis({"name": words.x_title, "min": 0})
    gridlines = {"visible": True, "line": {"color": HAIR}}
    chart.set_y_axis({"name": words.y_title, "min": 0, "major_gridlines": gridlines})
    chart.set_legend({"none": True})
    chart.set_size({"width": 620, "height": 330})
    page.insert_chart(
        row + 4, 0, chart, {"description": f"Gas against {words.grown} with the two lines"}
    )
