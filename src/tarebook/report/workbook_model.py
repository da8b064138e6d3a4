"""The sheet of the model of the cup: its results as values, the way to the gas made as formulas."""

from __future__ import annotations

from typing import Any

from xlsxwriter.utility import xl_rowcol_to_cell

from tarebook.reduction.joint.results import FullSeries
from tarebook.report import model_words, typeset
from tarebook.report.languages.writing import ENGLISH
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import RunResult, run_results
from tarebook.report.workbook_lines import result_values
from tarebook.report.workbook_sheets import FIRST_ROW, Book, Column

SHEET = "Cup model"

COMPUTED = (
    "The numbers on a gray ground are computed by the program, not by formulas: a sheet cannot "
    "fit a model. The formulas go from the mass lost to the gas made, and from the textbook "
    "calculation to the model."
)


def write_model(book: Book, outcome: Outcome, series: FullSeries) -> None:
    """Add the sheet: corrections run by run, both results, the waterfall, the parameters."""
    gas = typeset.formula(outcome.experiment.reaction.gas)
    columns = [
        Column("run", "", "", 46, words=True),
        Column("mass lost", "g", "from the readings", 12),
        Column("still dissolved", "g", "model", 11),
        Column("lying in the vessel", "g", "model", 11),
        Column("held back", "g", "dissolved + lying in the vessel", 12),
        Column("vapour", "g", "model", 11),
        Column("evaporated", "g", "model", 11),
        Column("buoyancy, balance error", "g", "model", 12),
        Column(
            f"{gas} made", "g", "lost + held back − vapour − evaporated + buoyancy and error", 16
        ),
        Column("u of it", "g", "model", 10),
        Column(f"{gas} expected", "g", "model", 12),
        Column("chance that the reagent limits", "1", "model", 14),
        Column("pH", "1", "model", 10),
    ]
    page = book.table(SHEET, "The model of the cup beside the textbook calculation", columns)
    results = run_results(outcome)
    for place, result in enumerate(results):
        _write_run(book, page, FIRST_ROW + place, result, outcome)
    row = FIRST_ROW + len(results) + 1
    page.write_string(row, 0, COMPUTED, book.note)
    row = _write_results(book, page, outcome, series, row + 2)
    row = _write_waterfall(book, page, outcome, series, row + 1)
    _write_parameters(book, page, outcome, series, row + 1)


def _write_run(book: Book, page: Any, row: int, result: RunResult, outcome: Outcome) -> None:
    page.write_string(row, 0, result.run, book.name)
    full = result.full
    if full is None:
        book.say(page, row, 1, "not used by the model", book.note)
        return
    at = {letter: xl_rowcol_to_cell(row, column) for column, letter in enumerate("ABCDEFGHI")}
    computed = book.computed(4)
    page.write_number(row, 2, full.dissolved, computed)
    page.write_number(row, 3, full.head_gas, computed)
    held_back = full.dissolved + full.head_gas
    page.write_formula(row, 4, f"={at['C']}+{at['D']}", book.fixed(4), held_back)
    page.write_number(row, 5, full.vapour, computed)
    page.write_number(row, 6, full.evaporated, computed)
    if full.gas_full is not None and result.lost is not None and result.rest is not None:
        place = outcome.table.runs.index(result.run)
        page.write_formula(row, 1, f"={book.mass_lost(FIRST_ROW + place)}", book.fixed(3),
                           result.lost.value)  # fmt: skip
        page.write_number(row, 7, result.rest, computed)
        made = f"={at['B']}+{at['E']}-{at['F']}-{at['G']}+{at['H']}"
        page.write_formula(row, 8, made, book.result(4), full.gas_full.value)
        page.write_number(row, 9, full.gas_full.u, computed)
    page.write_number(row, 10, full.gas_expected.value, computed)
    page.write_number(row, 11, full.p_reagent_limiting, book.computed(3))
    if full.ph is not None:
        page.write_number(row, 12, full.ph.value, book.computed(2))


def _heads(book: Book, page: Any, row: int, heads: tuple[str, ...]) -> None:
    for column, head in enumerate(heads):
        page.write_string(row, column, head, book.head if column == 0 else book.number_head)
    page.set_row(row, 32)


def _write_results(book: Book, page: Any, outcome: Outcome, series: FullSeries, row: int) -> int:
    """Write both results side by side."""
    analyte = typeset.formula(outcome.experiment.reaction.analyte)
    usual = outcome.usual.series
    stored = result_values(outcome, usual) if usual else {}
    _heads(
        book,
        page,
        row,
        ("result", "textbook calculation", "model", "u of the model", "low", "high"),
    )
    content, sample = series.sample_mass_fraction, series.equivalence_sample
    lines = [("content", f"content of {analyte}, g/g", content, 1.0, 4)]
    if sample is not None:
        lines.append(
            ("equivalence_g", "equivalence point for the reagent of a cup, g", sample, 1.0, 4)
        )
    words = "equivalence point for the nominal sample mass, mL"
    lines.append(("equivalence_mL", words, series.equivalence, 1000.0, 3))
    for place, (name, words, estimate, factor, decimals) in enumerate(lines, start=1):
        page.write_string(row + place, 0, words, book.name)
        if name in stored:
            page.write_formula(row + place, 1, f"={name}", book.fixed(decimals), stored[name])
        parts = (estimate.value, estimate.u, estimate.low, estimate.high)
        for column, part in enumerate(parts, start=2):
            page.write_number(row + place, column, factor * part, book.computed(decimals))
        book.define(f"full_{name}", SHEET, row + place, 2)
    return row + 1 + len(lines)


def _write_waterfall(book: Book, page: Any, outcome: Outcome, series: FullSeries, row: int) -> int:
    """Write the effects, each with the content that it leads to as a running sum."""
    if not series.waterfall:
        return row
    _heads(
        book,
        page,
        row,
        ("from the textbook calculation to the model", "change, g/g", "content, g/g"),
    )
    first, *steps = series.waterfall
    page.write_string(row + 1, 0, model_words.effect_label(first.label), book.name)
    running = first.content
    if outcome.usual.series is not None:
        running = result_values(outcome, outcome.usual.series)["content"]
        page.write_formula(row + 1, 2, "=content", book.fixed(4), running)
    else:
        page.write_number(row + 1, 2, running, book.computed(4))
    for place, step in enumerate(steps, start=2):
        running += step.change
        before, change = xl_rowcol_to_cell(row + place - 1, 2), xl_rowcol_to_cell(row + place, 1)
        page.write_string(row + place, 0, model_words.effect_label(step.label), book.name)
        page.write_number(row + place, 1, step.change, book.computed(4))
        page.write_formula(row + place, 2, f"={before}+{change}", book.fixed(4), running)
        book.say(page, row + place, 3, model_words.effect_words(step.label, series), book.note)
    return row + 2 + len(steps)


def _write_parameters(
    book: Book, page: Any, outcome: Outcome, series: FullSeries, row: int
) -> None:
    """Write what the readings made of each parameter, in words as the report has them."""
    _heads(book, page, row, ("what the readings taught", "learned", "before, after"))
    acting = [parameter for parameter in series.parameters if parameter.acts]
    for place, parameter in enumerate(acting, start=1):
        name = model_words.parameter_name(parameter.name, outcome.experiment)
        before, after = (
            model_words.before(parameter, ENGLISH),
            model_words.after(parameter, ENGLISH),
        )
        page.write_string(row + place, 0, name, book.name)
        page.write_number(row + place, 1, parameter.learned, book.computed(2))
        page.write_string(row + place, 2, f"before: {before}; after: {after}", book.note)
