"""The textbook calculation as a workbook whose cells calculate: each step can be followed.

Every formula carries the value that the program found, so a viewer that does not calculate shows
the same numbers.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Mapping

import xlsxwriter
from xlsxwriter.utility import xl_range, xl_rowcol_to_cell

from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.weights import standard_atomic_weight
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.limiting import lag_of
from tarebook.records.readings import PAIRS, Origin, Quantity, Reading, RunTable, parts_of
from tarebook.reduction.reading_errors import declared_acid
from tarebook.reduction.results import RunAmounts
from tarebook.report import numbers, typeset
from tarebook.report.languages.writing import in_english
from tarebook.report.not_used import not_used, sentence
from tarebook.report.outcome import Outcome
from tarebook.report.workbook_fit import own_protons
from tarebook.report.workbook_lines import write_lines
from tarebook.report.workbook_model import write_model
from tarebook.report.workbook_sheets import FIRST_ROW, Book, Column

NO_DATE = dt.datetime(2000, 1, 1)  # noqa: DTZ001 (the file format knows no zone)


def workbook(outcome: Outcome) -> bytes:
    """Return the workbook: readings, constants, the sum run by run, the two lines, the model.

    Parameters
    ----------
    outcome : Outcome

    Returns
    -------
    bytes
        An Office Open XML workbook; the same outcome gives the same bytes.
    """
    file = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(file, options) as target:
        made = dt.datetime.fromisoformat(outcome.made_on) if outcome.made_on else NO_DATE
        target.set_properties({"title": outcome.experiment.title, "created": made})
        book = Book(target, outcome.experiment.invented)
        _write_readme(book, outcome)
        _write_readings(book, outcome)
        _write_constants(book, outcome)
        _write_runs(book, outcome)
        if outcome.usual.series is not None:
            write_lines(book, outcome, outcome.usual.series)
        if outcome.full.series is not None:
            write_model(book, outcome, outcome.full.series)
    return file.getvalue()


def _write_readme(book: Book, outcome: Outcome) -> None:
    page = book.sheet("Read me", outcome.experiment.title, landscape=False)
    page.set_column(0, 0, 66)
    equation = typeset.equation(outcome.experiment.reaction.equation)
    paragraphs = (
        equation,
        "This workbook does the textbook calculation again, step by step, with formulas. Begin "
        "with the sheet Readings, then Constants, Textbook calculation and Equivalence point. "
        "Cells with a yellow ground are inputs: change one and everything that follows from it "
        "changes. All other numbers are calculated. Each column says in its head how it is made.",
        "u is the standard uncertainty. The uncertainties come from repeating all this many times "
        "with shifted readings, which a sheet cannot do: they stand here as the program found "
        "them, and do not follow a changed input.",
        "The textbook calculation takes the mass lost for the gas made. Gas that stays in the "
        "liquid or the vessel, and water vapour that leaves with the gas, are not in it."
        + (
            " The sheet Cup model shows the result of the model that counts them, beside it; "
            "its numbers are computed by the program and do not follow a changed input."
            if outcome.full.series
            else ""
        ),
        f"Tarebook {outcome.version}; {outcome.usual.draws} draws, seed {outcome.usual.seed}; "
        f"definition {outcome.experiment.digest}.",
    )
    for row, paragraph in enumerate(paragraphs):
        page.write_string(3 + row, 0, paragraph, book.wrapped)
        page.set_row(3 + row, 16 * (1 + len(paragraph) // 60) + 8)


def _write_readings(book: Book, outcome: Outcome) -> None:
    table = outcome.table
    columns = [Column("run", "", "", 8, words=True)]
    repeats = {}
    for what in Quantity:
        most = max((len(table.of(run, what)) for run in table.runs), default=0)
        repeats[what] = (len(columns), most)
        for number in range(1, most + 1):
            again = f" ({number})" if most > 1 else ""
            columns.append(Column(what.words + again, what.unit, "as written down", 13))
    columns.append(Column("note", "", "", 40, words=True))
    page = book.table("Readings", "Readings as they were written down", columns)
    for place, run in enumerate(table.runs):
        page.write_string(FIRST_ROW + place, 0, run, book.name)
        for what, (column, _) in repeats.items():
            for number, reading in enumerate(table.of(run, what)):
                last = parts_of(reading.typed)[-1]
                cell, style = (FIRST_ROW + place, column + number), book.input(_decimals(last))
                formula = _made_of(reading, table, repeats, FIRST_ROW + place)
                if formula:
                    page.write_formula(*cell, formula, style, reading.in_column)
                else:
                    page.write_number(*cell, reading.in_column, style)
        if run in table.notes:
            page.write_string(FIRST_ROW + place, len(columns) - 1, table.notes[run], book.note)
    book.readings = repeats


def _made_of(
    reading: Reading, table: RunTable, repeats: Mapping[Quantity, tuple[int, int]], row: int
) -> str:
    """Return the formula of a reading that is made of others; empty for one that was read as is."""
    parts = parts_of(reading.typed)
    if reading.origin is Origin.READ and len(parts) > 1:
        return f"={'+'.join(parts)}"
    pair = PAIRS.get(reading.quantity)
    if reading.origin is not Origin.DIFFERENCE or pair is None:
        return ""
    cells = [table.of(reading.run, part) for part in (pair.more, pair.less)]
    if any(len(cell) != 1 for cell in cells):
        # A mean of repeats: its digits stand in the cell.
        return ""
    more, less = (xl_rowcol_to_cell(row, repeats[part][0]) for part in (pair.more, pair.less))
    return f"={more}-{less}"


def _decimals(number: str) -> int:
    """Return how many decimals a number has as it was typed."""
    return len(number.partition(".")[2])


def _write_constants(book: Book, outcome: Outcome) -> None:
    experiment = outcome.experiment
    reaction, sample = experiment.reaction, experiment.sample
    columns = [
        Column("what", "", "", 34, words=True),
        Column("value", "", "", 12),
        Column("unit", "", "", 10, words=True),
        Column("where it is from", "", "", 110, words=True),
    ]
    page = book.table("Constants", "Constants and strength", columns)
    claimed = sample.claimed_mass_fraction
    inputs = [
        ("strength", f"strength of {experiment.reagent.name}",
         experiment.reagent.concentration.value, "mol/L", experiment.reagent.how),
        ("nominal_mass", "nominal sample mass", sample.nominal_mass, "g", "the definition"),
        *((name, f"number of {typeset.formula(species)} in the equation", count, "", "the equation")
          for name, species, count in (
              ("nu_sample", reaction.analyte, reaction.analyte_coefficient),
              ("nu_reagent", reaction.reagent, reaction.reagent_coefficient),
              ("nu_gas", reaction.gas, reaction.gas_coefficient))),
    ]  # fmt: skip
    if experiment.grows == "sample":
        inputs.append(("reagent_each", "reagent that each cup asks for",
                       1000.0 * experiment.common_reagent, "mL", "the definition"))  # fmt: skip
    inputs += _acid_inputs(outcome)
    if claimed is not None:
        source = typeset.source(claimed.source)
        inputs += [("claimed", "content claimed", claimed.value, "g/g", source),
                   ("claimed_u", "its standard uncertainty", claimed.u, "g/g", source)]  # fmt: skip
    row = FIRST_ROW
    for name, words, value, unit, source in inputs:
        page.write_string(row, 0, words, book.name)
        page.write_number(row, 1, value, book.free_input)
        book.say(page, row, 2, unit)
        page.write_string(row, 3, source, book.note)
        book.define(name, "Constants", row, 1)
        row += 1
    _write_molar_masses(book, outcome, row + 1)


def _acid_inputs(outcome: Outcome) -> list[tuple[str, str, float, str, str]]:
    """Return the sample's own acid and the first step of its base, where there are such."""
    reaction, declared = outcome.experiment.reaction, declared_acid(outcome.experiment)
    found: list[tuple[str, str, float, str, str]] = []
    if declared is not None and own_protons(outcome.experiment) > 0:
        found += [
            ("own_acid", "acid of the sample itself", 1000.0 * declared.value, "mmol/g",
             typeset.source(declared.source)),
            ("own_acid_taken", "acid that the reaction takes up, as the equation counts it",
             protons_of_extent(reaction), "", "the equation"),
        ]  # fmt: skip
    if lag_of(reaction) > 0:
        words = f"part of the acid that {typeset.formula(reaction.analyte)} takes up before any gas"
        found.append(("first_step", words, lag_of(reaction), "", "the equation, in two steps"))
    return found


def _write_molar_masses(book: Book, outcome: Outcome, top: int) -> None:
    page = book.page("Constants")
    reaction = outcome.experiment.reaction
    species = (
        ("M_sample", reaction.analyte, reaction.analyte_molar_mass.value),
        ("M_reagent", reaction.reagent, reaction.reagent_molar_mass.value),
        ("M_gas", reaction.gas, reaction.gas_molar_mass.value),
    )
    counts = [dict(parse_formula(text).counts) for _, text, _ in species]
    elements = sorted({symbol for count in counts for symbol in count})
    heads = (
        "element",
        "atomic weight",
        " ",
        "source",
        *(typeset.formula(t) for _, t, _ in species),
    )
    for column, head in enumerate(heads):
        page.write_string(top, column, head, book.head if column in (0, 3) else book.number_head)
    page.set_row(top, 32)
    page.set_column(4, 6, 11)
    for place, symbol in enumerate(elements, start=1):
        weight = standard_atomic_weight(symbol)
        page.write_string(top + place, 0, symbol, book.name)
        page.write_number(top + place, 1, weight.value, book.free_input)
        page.write_string(top + place, 3, typeset.source(weight.source), book.note)
        for column, count in enumerate(counts, start=4):
            page.write_number(top + place, column, count.get(symbol, 0), book.fixed(0))
    first, last = top + 1, top + len(elements)
    weights = xl_range(first, 1, last, 1)
    for place, (name, text, value) in enumerate(species, start=2):
        row = last + place
        held = xl_range(first, 2 + place, last, 2 + place)
        page.write_string(row, 0, f"molar mass of {typeset.formula(text)}", book.name)
        page.write_formula(row, 1, f"=SUMPRODUCT({weights},{held})", book.fixed(3), value)
        book.say(page, row, 2, "g/mol")
        page.write_string(row, 3, "atomic weights times the numbers of atoms", book.note)
        book.define(name, "Constants", row, 1)


def _write_runs(book: Book, outcome: Outcome) -> None:
    reaction = outcome.experiment.reaction
    reagent, analyte, gas = (
        typeset.formula(text) for text in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    columns = [
        Column("run", "", "", 8, words=True),
        Column("reagent poured", "mL", "mean of the readings", 12),
        Column("sample", "g", "mean of the readings", 10),
        Column("gas found", "g", "vessel with liquid + sample − vessel at the end", 14),
        Column(f"amount of {reagent}", "mmol", "strength × volume", 12),
        *_scaled_columns(outcome),
        Column(f"amount of {analyte}", "mmol", "sample × content / molar mass", 14),
        Column(
            "limiting reactant",
            "",
            "the smaller of amount / number in the equation",
            16,
            words=True,
        ),
        Column(f"{gas} expected", "g", "what the limiting reactant gives", 14),
        Column("yield", "%", "found / expected", 10),
        Column("remark", "", "", 52, words=True),
    ]
    page = book.table("Textbook calculation", "The textbook calculation, run by run", columns)
    page.write_string(2, 0, "content used", book.strong)
    basis = outcome.usual.content_basis
    if basis == "found" and outcome.usual.series is None:
        # A series that is too unsure to be reported still gave the content of the runs.
        page.write_number(2, 2, _content_value(outcome), book.free_input)
    else:
        formula = {"found": "=content", "claimed": "=claimed", "pure": "=1"}[basis]
        page.write_formula(2, 2, formula, book.fixed(4), _content_value(outcome))
    book.define("content_used", "Textbook calculation", 2, 2)
    amounts = {run.run: run for run in outcome.usual.runs}
    how = in_english(numbers.PRINT)
    said = {one.run: sentence(one, (one.run,), how) for one in not_used(outcome, how)}
    for place, name in enumerate(outcome.table.runs):
        row = FIRST_ROW + place
        page.write_string(row, 0, name, book.name)
        if name in amounts:
            _write_run(book, outcome, row, amounts[name])
        if name in said:
            page.write_string(row, 11, said[name], book.remark)
            page.set_row(row, 16 * (1 + len(said[name]) // 48))


def _scaled_columns(outcome: Outcome) -> tuple[Column, Column]:
    """Return the columns that the lines are drawn through."""
    if outcome.usual.axis.grows == "reagent":
        return (
            Column("reagent per gram of sample", "mL/g", "volume / sample", 13),
            Column("gas per gram of sample", "g/g", "gas / sample", 13),
        )
    return (
        Column("sample, scaled", "g", "sample × reagent of a cup / volume", 14),
        Column("gas, scaled", "g", "gas × reagent of a cup / volume", 14),
    )


def _content_value(outcome: Outcome) -> float:
    """Return the content with which the program found the amounts of the sample."""
    if not outcome.usual.runs:
        claimed = outcome.experiment.sample.claimed_mass_fraction
        return claimed.value if claimed else 1.0
    run = outcome.usual.runs[0]
    molar_mass = outcome.experiment.reaction.analyte_molar_mass.value
    return run.sample.value * molar_mass / _mean(outcome, run, Quantity.SAMPLE)


def _write_run(book: Book, outcome: Outcome, row: int, run: RunAmounts) -> None:
    page = book.page("Textbook calculation")
    at = {letter: xl_rowcol_to_cell(row, column) for column, letter in enumerate("ABCDEFGHIJK")}
    volume, sample = (_mean(outcome, run, what) for what in (Quantity.REAGENT, Quantity.SAMPLE))
    liquid, final = (book.mean_of(row, what) for what in (Quantity.LIQUID, Quantity.FINAL))
    gas = run.gas_found.value
    by_acid, by_sample, reached = _limits(outcome, at)
    cells: list[tuple[str, int, float | str]] = [
        (f"={book.mean_of(row, Quantity.REAGENT)}", 2, volume),
        (f"={book.mean_of(row, Quantity.SAMPLE)}", 3, sample),
        (f"={liquid}+{at['C']}-{final}", 3, gas),
        (f"=strength*{at['B']}", 3, 1000.0 * run.reagent.value),
        *_scaled_cells(outcome, at, volume, sample, gas),
        (f"=1000*{at['C']}*content_used/M_sample", 3, 1000.0 * run.sample.value),
    ]
    if run.gas_expected is not None:
        cells += [
            (f'=IF({by_acid}<{by_sample},"reagent","sample")', -1, _limiting(outcome, run)),
            (f"={reached}*nu_gas*M_gas/1000", 4, run.gas_expected.value),
        ]
    if run.yield_percent:
        # A cup of which no gas is expected beyond doubt has no yield.
        cells.append((f"=100*{at['D']}/{at['J']}", 1, run.yield_percent.value))
    for column, (formula, decimals, value) in enumerate(cells, start=1):
        style = book.beside if decimals < 0 else book.fixed(decimals)
        page.write_formula(row, column, formula, style, value)


def _scaled_cells(
    outcome: Outcome, at: Mapping[str, str], volume: float, sample: float, gas: float
) -> tuple[tuple[str, int, float], ...]:
    """Return what the lines are drawn through, as formulas."""
    axis = outcome.usual.axis
    if axis.grows == "reagent":
        return (
            (f"={at['B']}/{at['C']}", 3, volume / sample),
            (f"={at['D']}/{at['C']}", 4, gas / sample),
        )
    share = 1000.0 * axis.fixed / volume
    return (
        (f"={at['C']}*reagent_each/{at['B']}", 3, sample * share),
        (f"={at['D']}*reagent_each/{at['B']}", 4, gas * share),
    )


def _limits(outcome: Outcome, at: Mapping[str, str]) -> tuple[str, str, str]:
    """Return what the acid allows, what the sample allows, and how far the gas gets, as formulas.

    All acid in the vessel counts; a base of two steps gives no gas in the first.
    """
    by_acid, by_sample = f"{at['E']}/nu_reagent", f"{at['H']}/nu_sample"
    if own_protons(outcome.experiment) > 0:
        by_acid = f"({by_acid}+own_acid*{at['C']}/own_acid_taken)"
    reached = f"IF({by_acid}<{by_sample},{by_acid},{by_sample})"
    if lag_of(outcome.experiment.reaction) > 0:
        reached = f"MAX(0,({reached}-first_step*{by_sample})/(1-first_step))"
    return by_acid, by_sample, reached


def _limiting(outcome: Outcome, run: RunAmounts) -> str:
    """Return the limiting reactant by the best values, as the cell finds it."""
    reaction = outcome.experiment.reaction
    by_acid = run.reagent.value / reaction.reagent_coefficient
    if own_protons(outcome.experiment) > 0:
        own = own_protons(outcome.experiment) * _mean(outcome, run, Quantity.SAMPLE)
        by_acid += own / protons_of_extent(reaction)
    return "reagent" if by_acid < run.sample.value / reaction.analyte_coefficient else "sample"


def _mean(outcome: Outcome, run: RunAmounts, what: Quantity) -> float:
    typed = [reading.in_column for reading in outcome.table.of(run.run, what)]
    return sum(typed) / len(typed)
