"""The sheet of the two lines: weighted least squares that a student can follow cell by cell."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from xlsxwriter.utility import xl_range_abs, xl_rowcol_to_cell

from tarebook.core.arrays import FloatArray
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.reduction.reading_errors import declared_acid
from tarebook.reduction.results import UsualSeries
from tarebook.report import typeset
from tarebook.report.outcome import Outcome
from tarebook.report.workbook_sheets import FIRST_ROW, HAIR, LEVEL, RISE, Book, Column

SHEET = "Equivalence point"
STEPS = "Textbook calculation"
"""The sheet that this one reads from."""

SAME = 1e-6
"""Relative difference below which the lines of the sheet and of the program are the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Two weighted lines as the sheet calculates them.

    Attributes
    ----------
    runs : tuple of str
        By rising reagent per gram of sample.
    x, y, weight : ndarray, shape (n,)
        Reagent [mL/g], gas [g/g] and weight in the fit, in that order.
    n_left : int
        Runs on the rising line.
    meets_at_run : bool
        Whether the best lines meet at the last run on the left itself: two lines drawn freely
        would then cross outside the gap between the runs that they belong to.
    a, b, p, at : float
        Start [g/g], slope [g/mL], level [g/g] and the equivalence point [mL/g].
    """

    runs: tuple[str, ...]
    x: FloatArray
    y: FloatArray
    weight: FloatArray
    n_left: int
    meets_at_run: bool
    a: float
    b: float
    p: float
    at: float


def two_lines(series: UsualSeries) -> Lines:
    """Return the two lines by the formulas of the sheet, for the program's partition of the runs.

    Parameters
    ----------
    series : UsualSeries
    """
    points = sorted(series.curve, key=lambda point: point.reagent)
    x = np.array([1000.0 * point.reagent / series.nominal_mass for point in points])
    y = np.array([point.gas / series.nominal_mass for point in points])
    weight = np.array([point.weight for point in points])
    found = 1000.0 * series.equivalence.value / series.nominal_mass
    n_left = int(np.sum(x <= found * (1.0 + SAME)))
    left, right = slice(None, n_left), slice(n_left, None)
    a, b = _line(x[left], y[left], weight[left])
    p = float(np.average(y[right], weights=weight[right]))
    meets_at_run = abs((p - a) / b - found) > SAME * found
    if meets_at_run:
        at = x[n_left - 1]
        p, b = _line(np.minimum(x - at, 0.0), y, weight)
        a = p - b * at
    return Lines(
        runs=tuple(point.run for point in points),
        x=x,
        y=y,
        weight=weight,
        n_left=n_left,
        meets_at_run=meets_at_run,
        a=float(a),
        b=b,
        p=p,
        at=float((p - a) / b),
    )


def _line(x: FloatArray, y: FloatArray, weight: FloatArray) -> tuple[float, float]:
    """Return start and slope of a weighted line."""
    middle_x, middle_y = np.average(x, weights=weight), np.average(y, weights=weight)
    slope = np.sum(weight * (x - middle_x) * y) / np.sum(weight * (x - middle_x) ** 2)
    return float(middle_y - slope * middle_x), float(slope)


@dataclass(frozen=True, slots=True)
class Cell:
    """One line of the results: its name for formulas, what it is, and how it is calculated."""

    name: str
    words: str
    formula: str
    value: float
    unit: str
    decimals: int
    how: str
    u: float | None = None


def write_lines(book: Book, outcome: Outcome, series: UsualSeries) -> None:
    """Add the sheet: runs by rising reagent, the two lines, the content, the claim."""
    lines = two_lines(series)
    columns = [
        Column("run", "", "", 42, words=True),
        Column("place", "1", "by rising reagent", 12),
        Column("reagent per gram", "mL/g", "from Textbook calculation", 12),
        Column("gas per gram", "g/g", "from Textbook calculation", 11),
        Column("weight", "1", "1 / u² of the gas per gram", 13),
        Column("on the rise", "1", "1 up to the number below, then 0", 12),
        Column("line", "g/g", "the lower of the two lines", 11),
        Column("off the line", "g/g", "gas − line", 11),
    ]
    page = book.table(SHEET, "Two lines and where they meet", columns)
    _write_points(book, page, outcome, lines)
    top = FIRST_ROW + len(lines.runs) + 1
    _write_results(book, page, outcome, series, lines, top)


def _write_points(book: Book, page: Any, outcome: Outcome, lines: Lines) -> None:
    place_of = {run: place for place, run in enumerate(outcome.table.runs)}
    fitted = np.minimum(lines.a + lines.b * lines.x, lines.p)
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
        page.write_formula(row, 6, f"=MIN(line_a+line_b*{x},line_p)", book.fixed(4), fitted[place])
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
    for cell in (*_line_cells(lines), *_result_cells(outcome, series, lines)):
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
    _write_chart(book, page, lines, row + 1)


def _line_cells(lines: Lines) -> Iterator[Cell]:
    last = FIRST_ROW + len(lines.runs) - 1
    x, y, w, s = (xl_range_abs(FIRST_ROW, column, last, column) for column in (2, 3, 4, 5))
    on = np.arange(len(lines.runs)) < lines.n_left
    if lines.meets_at_run:
        z = f"({s}*({x}-meet_x))"
        at = lines.x[lines.n_left - 1]
        shifted = np.minimum(lines.x - at, 0.0)
        middle = float(np.average(shifted, weights=lines.weight))
        yield Cell("meet_x", "where they meet: at this run", f"=INDEX({x},n_left)", float(at),
                   "mL/g", 4, "Two free lines would cross outside their gap; the best pair of "
                   "lines meets at a run itself.")  # fmt: skip
        yield Cell("mean_z", "weighted mean of x − that, on the rise",
                   f"=SUMPRODUCT({w}*{z})/SUM({w})", middle, "mL/g", 4,
                   "Zero for the runs on the plateau.")  # fmt: skip
        yield Cell("line_b", "slope b",
                   f"=SUMPRODUCT({w}*({z}-mean_z)*{y})/SUMPRODUCT({w}*({z}-mean_z)^2)", lines.b,
                   "g/mL", 5, "Weighted least squares through all runs.")  # fmt: skip
        yield Cell("line_p", "plateau p", f"=SUMPRODUCT({w}*{y})/SUM({w})-line_b*mean_z", lines.p,
                   "g/g", 5, "Level of the gas once the sample limits.")  # fmt: skip
        yield Cell("line_a", "start a", "=line_p-line_b*meet_x", lines.a, "g/g", 5,
                   "Where the rising line meets the axis; about zero is expected.")  # fmt: skip
    else:
        mean_x, mean_y = (
            float(np.average(values[on], weights=lines.weight[on])) for values in (lines.x, lines.y)
        )
        for name, letter, values, mean, unit in (
            ("mid_x", "x", x, mean_x, "mL/g"),
            ("mid_y", "y", y, mean_y, "g/g"),
        ):
            formula = f"=SUMPRODUCT({w},{s},{values})/SUMPRODUCT({w},{s})"
            words = f"weighted mean of {letter} on the rise"
            yield Cell(name, words, formula, mean, unit, 4, "")
        yield Cell("line_b", "slope b",
                   f"=SUMPRODUCT({w}*{s}*({x}-mid_x)*{y})/SUMPRODUCT({w}*{s}*({x}-mid_x)^2)",
                   lines.b, "g/mL", 5,
                   "Weighted least squares through the runs on the rise.")  # fmt: skip
        yield Cell("line_a", "start a", "=mid_y-line_b*mid_x", lines.a, "g/g", 5,
                   "Where the rising line meets the axis; about zero is expected.")  # fmt: skip
        yield Cell("line_p", "plateau p",
                   f"=SUMPRODUCT({w}*(1-{s})*{y})/SUMPRODUCT({w}*(1-{s}))", lines.p, "g/g", 5,
                   "Weighted mean of the gas of the other runs.")  # fmt: skip
    yield Cell("line_break", "where the lines meet", "=(line_p-line_a)/line_b", lines.at, "mL/g", 4,
               "a + b × volume = p, solved for the volume.")  # fmt: skip


def own_protons(outcome: Outcome) -> float:
    """Return the acid that a gram of sample brings to the reaction, as declared, [mol/g]."""
    declared = declared_acid(outcome.experiment)
    if declared is None or not protons_of_extent(outcome.experiment.reaction):
        return 0.0
    return declared.value


def result_values(outcome: Outcome, series: UsualSeries) -> dict[str, float]:
    """Return the results of the sheet by their names, as the sheet calculates them."""
    cells = _result_cells(outcome, series, two_lines(series))
    return {cell.name: cell.value for cell in cells}


def _result_cells(outcome: Outcome, series: UsualSeries, lines: Lines) -> Iterator[Cell]:
    experiment, reaction = outcome.experiment, outcome.experiment.reaction
    analyte, gas = typeset.formula(reaction.analyte), typeset.formula(reaction.gas)
    masses = reaction.analyte_molar_mass.value / reaction.gas_molar_mass.value
    yield Cell("equivalence_mL", "equivalence point for the nominal sample mass",
               "=line_break*nominal_mass", lines.at * series.nominal_mass, "mL", 3,
               "Reagent that uses up the nominal sample mass.",
               1000.0 * series.equivalence.u)  # fmt: skip
    yield Cell("content", f"content of {analyte}, from the plateau",
               "=line_p*nu_sample/nu_gas*M_sample/M_gas",
               lines.p * masses * reaction.analyte_coefficient / reaction.gas_coefficient,
               "g/g", 4, f"Gas per gram of sample, from g of {gas} to g of {analyte}.",
               series.sample_mass_fraction.u)  # fmt: skip
    strength, counts = experiment.reagent.concentration.value, reaction.analyte_coefficient
    own = own_protons(outcome) / (protons_of_extent(reaction) or 1.0)
    second = (strength * lines.at / 1000.0 / reaction.reagent_coefficient + own) * counts
    brought = "+own_acid/1000/own_acid_taken" if own else ""
    yield Cell("content_from_equivalence", f"content of {analyte}, from the equivalence point",
               f"=(strength*line_break/1000/nu_reagent{brought})*nu_sample*M_sample",
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


def _write_chart(book: Book, page: Any, lines: Lines, row: int) -> None:
    last = FIRST_ROW + len(lines.runs) - 1
    right = float(lines.x[-1])
    corners = (("=0", 0.0, "=line_a", lines.a), ("=line_break", lines.at, "=line_p", lines.p),
               (f"={xl_rowcol_to_cell(last, 2)}", right, "=line_p", lines.p))  # fmt: skip
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
    chart.set_x_axis({"name": "reagent per gram of sample / mL/g", "min": 0})
    gridlines = {"visible": True, "line": {"color": HAIR}}
    chart.set_y_axis(
        {"name": "gas per gram of sample / g/g", "min": 0, "major_gridlines": gridlines}
    )
    chart.set_legend({"none": True})
    chart.set_size({"width": 620, "height": 330})
    page.insert_chart(row + 4, 0, chart, {"description": "Gas against reagent with the two lines"})
